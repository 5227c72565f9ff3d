package season

import (
	"context"
	"fmt"
	"math"
	"time"

	"rowen/farm"
	"rowen/feed"
	"rowen/handbook/nutrition"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/weather"
)

// store is a place that keeps feed, in the loop's units.
type store struct {
	name     string
	kind     feed.StoreKind
	capacity float64 // kg DM
}

// compileStores reads the stores and what lies in them.
func (m *Model) compileStores(add func(line int, thing, value, remedy string)) {
	for i := range m.farm.Stores {
		doc := &m.farm.Stores[i]
		kind, err := feed.ParseStore(doc.Kind)
		if err != nil {
			add(doc.Line, fmt.Sprintf("store %q: kind", doc.Name), doc.Kind, err.Error())
			continue
		}
		m.stores = append(m.stores, store{name: doc.Name, kind: kind, capacity: float64(doc.Capacity)})
	}
	lying := make([]float64, len(m.stores))
	for i := range m.farm.Stock {
		s := &m.farm.Stock[i]
		thing := fmt.Sprintf("stock in %q", s.Store)
		kind, err := feed.ParseKind(s.Feed)
		if err != nil {
			add(s.Line, thing+": feed", s.Feed, err.Error())
			continue
		}
		at := m.storeNamed(s.Store)
		if at < 0 {
			continue // its store's own problem was reported
		}
		lying[at] += float64(s.Amount)
		switch st := &m.stores[at]; {
		case !st.kind.Keeps(kind):
			add(s.Line, thing+": feed", s.Feed, fmt.Sprintf("a store of kind %q does not keep it", st.kind))
		case lying[at] > st.capacity:
			add(s.Line, thing+": amount", s.Amount.In(m.farm.Units), "with what else lies there it is more than the store holds, "+quantity.Mass(st.capacity).In(m.farm.Units))
		}
		m.stock = append(m.stock, onHand(s, kind, at))
	}
}

// Dry matter of fresh of stored feed that was not analysed (common practice).
const (
	silageDM = 0.42
	dryHayDM = 0.87
)

// onHand is stock as a lot: the document's analysis where it gives one.
func onHand(s *farm.Stock, kind feed.Kind, store int) feed.Lot {
	a, dry := usualSilage, silageDM
	if kind == feed.Hay {
		a, dry = usualHay, dryHayDM
	}
	if s.CP > 0 {
		a.CP = float64(s.CP) * 100
	}
	if s.NDF > 0 {
		a.ADF *= float64(s.NDF) * 100 / a.NDF
		a.NDF = float64(s.NDF) * 100
	}
	a.Complete(usualLegume)
	// Fed from the first day, in whatever century the weather is.
	return feed.Lot{Kind: kind, DM: float64(s.Amount), DMShare: dry, Analysis: a, Stored: math.MinInt32, Ready: math.MinInt32, Store: int16(store), Field: -1}
}

func (m *Model) storeNamed(name string) int {
	for i := range m.stores {
		if m.stores[i].name == name {
			return i
		}
	}
	return -1
}

// Feeds on the market, as typical tables give them (common practice); the home-
// grown ones are simulated.
var (
	usualHay    = nutrition.Analysis{CP: 11, NDF: 58, ADF: 36, NDFD: 55, Fat: 2.5, Ash: 8}
	usualSilage = nutrition.Analysis{CP: 14, NDF: 52, ADF: 34, NDFD: 60, Fat: 3, Ash: 9}
	boughtGrain = nutrition.Analysis{CP: 11, NDF: 13, ADF: 5, Starch: 62, Fat: 3.5, Ash: 2.5, TDN: 85, NEL: 1.95, ME: 3.07}
	boughtMeal  = nutrition.Analysis{CP: 48, NDF: 12, ADF: 8, Fat: 5, Ash: 7, TDN: 82, NEL: 1.95, ME: 2.96}
)

// usualLegume is the share of legumes in forage that was not analysed.
const usualLegume = 0.3

// compileMarket readies what can be bought.
func (m *Model) compileMarket() {
	hay, silage := usualHay, usualSilage
	hay.Complete(usualLegume)
	silage.Complete(usualLegume)
	m.market = []bought{
		{feed.BoughtForage, silage, m.prices.forage}, {feed.BoughtHay, hay, m.prices.hay},
		{feed.Grain, boughtGrain, m.prices.grain}, {feed.Protein, boughtMeal, m.prices.protein},
	}
	if m.farm.GrassFed {
		m.market = m.market[:2] // neither grain nor meal
		return
	}
	m.maxGrain = m.farm.Limits.MaxGrain.KilogramsPerDay() * grainDM
}

// compileLastCuts finds for each year the last day on which a perennial may be
// cut: five weeks before the middle killing frost of autumn over the years at hand,
// which is what a farmer knows beforehand.
func (m *Model) compileLastCuts() {
	autumn := quantity.MonthDay{Month: time.August, Day: 1}
	var days []float64
	for i := range m.years {
		y := &m.years[i]
		from := int(autumn.OnOrAfter(y.first) - y.first)
		for d := from; d < y.days && d < from+150; d++ {
			if y.weather[d].TMin <= weather.HardFreeze {
				days = append(days, float64(d-from))
				break
			}
		}
	}
	usual := noFrost
	if len(days) > 0 {
		usual = int(stats.Percentile(days, 0.5))
	}
	for i := range m.years {
		y := &m.years[i]
		m.lastCuts = append(m.lastCuts, int(autumn.OnOrAfter(y.first)-y.first)+usual-autumnRest)
	}
}

// noFrost is the days from 1 August to the end of growth where it never freezes
// hard: the last of November.
const noFrost = 121

// Opening is the farm's first morning: what the document says stands and lies in
// store, on ground and swards as a late autumn leaves them.
func (m *Model) Opening() Opening {
	o := Opening{Engine: Engine, Lots: append([]feed.Lot(nil), m.stock...)}
	for i := range m.plots {
		o.Plots = append(o.Plots, PlotState{Stand: m.plots[i].phases[0].stand.Opening(m.farm.Fields[m.plots[i].field].Age), Group: -1, HeldSince: longPast})
	}
	for range m.groups {
		o.Groups = append(o.Groups, GroupState{Plot: -1})
	}
	return o
}

// SpunUp is Opening after one year of the first weather year has been lived on
// the swards that stay, so that soil water and reserves are no guess.
func (m *Model) SpunUp(ctx context.Context) (Opening, error) {
	o := m.Opening()
	if len(m.years) == 0 {
		return o, nil
	}
	end, err := m.Until(ctx, o, m.years[0].id, m.years[0].first+quantity.Date(m.years[0].days))
	if err != nil {
		return o, err
	}
	for i := range o.Plots {
		if !m.plots[i].sward || end.Plots[i].Phase != 0 {
			continue
		}
		st := end.Plots[i].Stand
		st.Uses, st.Heading = 0, false
		o.Plots[i].Stand = st
	}
	return o, nil
}

// longPast is a day before any that counts.
const longPast = -1000
