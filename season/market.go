package season

import (
	"fmt"
	"math"

	"rowen/feed"
	"rowen/handbook/nutrition"
	"rowen/quantity"
)

// store is a place that keeps feed, in the loop's units.
type store struct {
	name     string
	kind     feed.StoreKind
	capacity float64 // kg DM
}

// compileStores reads the stores and checks that the feed on hand has a place.
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
	for i := range m.farm.Stock {
		s := &m.farm.Stock[i]
		thing := fmt.Sprintf("stock in %q", s.Store)
		kind, err := feed.ParseKind(s.Feed)
		if err != nil {
			add(s.Line, thing+": feed", s.Feed, err.Error())
			continue
		}
		if at := m.storeNamed(s.Store); at >= 0 && !m.stores[at].kind.Keeps(kind) {
			add(s.Line, thing+": feed", s.Feed, fmt.Sprintf("a store of kind %q does not keep it", m.stores[at].kind))
		}
	}
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
	boughtHay    = nutrition.Analysis{CP: 11, NDF: 58, ADF: 36, NDFD: 55, Fat: 2.5, Ash: 8}
	boughtSilage = nutrition.Analysis{CP: 14, NDF: 52, ADF: 34, NDFD: 60, Fat: 3, Ash: 9}
	boughtGrain  = nutrition.Analysis{CP: 11, NDF: 13, ADF: 5, Starch: 62, Fat: 3.5, Ash: 2.5, TDN: 85, NEL: 1.95, ME: 3.07}
	boughtMeal   = nutrition.Analysis{CP: 48, NDF: 12, ADF: 8, Fat: 5, Ash: 7, TDN: 82, NEL: 1.95, ME: 2.96}
	stockSilage  = nutrition.Analysis{CP: 14, NDF: 52, ADF: 34, NDFD: 60, Fat: 3, Ash: 9}
	stockHay     = nutrition.Analysis{CP: 11, NDF: 58, ADF: 36, NDFD: 55, Fat: 2.5, Ash: 8}
)

// compileMarket readies what can be bought.
func (m *Model) compileMarket() {
	hay, silage := boughtHay, boughtSilage
	hay.Complete(0)
	silage.Complete(0.3)
	m.market = []bought{
		{feed.BoughtForage, silage, m.prices.forage}, {feed.BoughtHay, hay, m.prices.hay},
		{feed.Grain, boughtGrain, m.prices.grain}, {feed.Protein, boughtMeal, m.prices.protein},
	}
	m.maxGrain = m.farm.Limits.MaxGrain.KilogramsPerDay() * grainDM
}

// compileLastCuts finds for each year the last day on which a perennial may be
// cut: five weeks before the middle killing frost (-2.2 °C) of the years at hand,
// which is what a farmer knows beforehand.
func (m *Model) compileLastCuts() {
	var days []float64
	for i := range m.years {
		y := &m.years[i]
		for d := range y.weather {
			if date := y.first + quantity.Date(d); date.YearDay() > 213 && date.Year() == int(y.id) && y.weather[d].TMin <= -2.2 {
				days = append(days, float64(date.YearDay()))
				break
			}
		}
	}
	last := 300.0
	if len(days) > 0 {
		last = middle(days)
	}
	for i := range m.years {
		y := &m.years[i]
		m.lastCuts = append(m.lastCuts, int(quantity.NewDate(int(y.id), 1, 1)+quantity.Date(last)-1-autumnRest-y.first))
	}
}

// Opening is the farm's first morning: what the document says stands and lies in
// store, and soils and swards as one spin-up through the first weather year
// leaves them.
func (m *Model) Opening() (Opening, error) {
	o := Opening{Engine: Engine}
	for i := range m.plots {
		p := &m.plots[i]
		o.Plots = append(o.Plots, PlotState{Stand: p.phases[0].stand.Opening(), Group: -1, HeldSince: longPast})
	}
	for range m.groups {
		o.Groups = append(o.Groups, GroupState{Plot: -1})
	}
	first := quantity.Date(0)
	if len(m.years) > 0 {
		first = m.years[0].first
	}
	for i := range m.farm.Stock {
		s := &m.farm.Stock[i]
		kind, err := feed.ParseKind(s.Feed)
		if err != nil {
			return o, err
		}
		a := stockSilage
		dry := 0.42
		if kind == feed.Hay {
			a, dry = stockHay, 0.87
		}
		if s.CP > 0 {
			a.CP = float64(s.CP) * 100
		}
		if s.NDF > 0 {
			a.NDF = float64(s.NDF) * 100
			a.ADF = 0.63 * a.NDF
		}
		a.Complete(0.3)
		o.Lots = append(o.Lots, feed.Lot{
			Kind: kind, DM: float64(s.Amount), DMShare: dry, Analysis: a,
			Stored: first - 120, Ready: math.MinInt32, Store: int16(max(0, m.storeNamed(s.Store))), Field: -1,
		})
	}
	return o, nil
}

// SpunUp is Opening after one year of the first weather year has been lived on
// the swards that stay, so that soil water and reserves are no guess.
func (m *Model) SpunUp() (Opening, error) {
	o, err := m.Opening()
	if err != nil || len(m.years) == 0 {
		return o, err
	}
	end, err := m.Until(background, o, m.years[0].id, m.years[0].first+quantity.Date(m.years[0].days))
	if err != nil {
		return o, err
	}
	for i := range o.Plots {
		p := &m.plots[i]
		if !p.sward || end.Plots[i].Phase != 0 {
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
