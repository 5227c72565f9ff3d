package season

import (
	"math"

	"rowen/feed"
	"rowen/herd"
)

// Demand is what a group of animals needs in a half-month, whole group.
type Demand struct {
	feed.Request
	Days float64 // on which there are animals
}

// Eater is a group of animals as a ration planner sees it.
type Eater struct {
	Name    string
	Class   herd.Class
	Grazes  bool
	Share   float64             // the organic rule's least share of pasture in the grazing season; 0 where it does not apply
	Grazing [HalfMonths]float64 // days of the grazing season
	Demand  [HalfMonths]Demand
}

// Eaters are the farm's groups, in document order, with their needs in the feed year
// of the model's first weather year: animals do not read the weather.
func (m *Model) Eaters() []Eater {
	out := make([]Eater, len(m.groups))
	if len(m.years) == 0 {
		return out
	}
	y := &m.years[0]
	head := y.first.HalfMonth()
	r := runner{m: m, y: y}
	for g := range m.groups {
		group := &m.groups[g]
		e := &out[g]
		e.Name, e.Class, e.Grazes = group.name, group.class, group.grazes
		e.Share, _ = group.pastureRule()
		for day := range y.days {
			row := ((y.first + dateOf(day)).HalfMonth() - head + HalfMonths) % HalfMonths
			r.day = day
			if r.grazing() {
				e.Grazing[row]++
			}
			need := group.need(day, y.days)
			if need.head == 0 {
				continue
			}
			d, want := &e.Demand[row], group.request(need, m.maxGrain)
			d.System = want.System
			d.Days++
			d.DM += want.DM
			d.Energy += want.Energy
			d.CP += want.CP
			d.MinNDF += want.MinNDF
			d.MaxNDF += want.MaxNDF
			d.Grain += want.Grain
			d.MaxGrain += want.MaxGrain
		}
	}
	return out
}

// Market are the feeds that can be bought, without limit, at the farm's prices.
func (m *Model) Market() []feed.Offer {
	var out []feed.Offer
	for i := range m.market {
		b := &m.market[i]
		out = append(out, feed.Offer{Kind: b.kind, DM: math.Inf(1), Analysis: b.analysis, Price: b.price})
	}
	return out
}

// Barn is a place that keeps feed.
type Barn struct {
	Name     string
	Kind     feed.StoreKind
	Capacity float64 // kg DM
}

// Barns are the farm's stores, in document order.
func (m *Model) Barns() []Barn {
	var out []Barn
	for i := range m.stores {
		out = append(out, Barn{m.stores[i].name, m.stores[i].kind, m.stores[i].capacity})
	}
	return out
}

// ClosingPrice is what home-grown forage left in store is worth, money/kg DM.
func (m *Model) ClosingPrice() float64 { return m.prices.closing }
