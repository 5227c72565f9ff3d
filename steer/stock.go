package steer

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"rowen/farm"
	"rowen/feed"
	"rowen/journal"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

// Stock is whether there is enough: what lies in store, how long it lasts over the
// other years' weather, and what would close the gap.
type Stock struct {
	Stores    []StoreNow
	Groups    []GroupNow
	Runs      int // years looked at
	RunsOut   int // of them, in how many home-grown stored feed runs out this feed year
	Middle    quantity.Date
	MiddleOut bool // the middle year runs out, on Middle
	Bad       quantity.Date
	BadOut    bool    // one year in five runs out as early as Bad
	Gap       float64 // kg DM that home feed will miss until the feed year ends: the middle year
	GapBad    float64 // and one year in five
	Closers   []Closer
	Assumed   []string
}

// StoreNow is one store.
type StoreNow struct {
	Name    string
	DM      float64 // kg
	Counted quantity.Date
	Known   bool // counted or weighed by somebody this feed year; else simulated
}

// GroupNow is a group's share of what is in store.
type GroupNow struct {
	Name  string
	Need  float64 // kg DM a day
	Share float64 // of the stored feed that will be eaten until the feed year ends
	Days  float64 // that all stores would feed it alone
}

// Closer is one way to close the gap of the bad year.
type Closer struct {
	What string
	Cost float64
}

// StockOf looks ahead with the whole farm: the season replayed to the last weather
// with the plan's own rules, fields put as they were found (the middle member of
// each), stores as they were counted, then every other year's weather from there.
func StockOf(ctx context.Context, r *Request, d *Day) (*Stock, error) {
	years := r.ahead()
	m, problems := season.Compile(r.Farm, &r.Farm.Plan, years)
	if len(problems) > 0 {
		return nil, problems[0]
	}
	m.Workers = r.Workers
	opening, err := m.SpunUp(ctx)
	if err != nil {
		return nil, err
	}
	now, err := m.Until(ctx, opening, years[0].ID, d.Known+1)
	if err != nil {
		return nil, err
	}
	s := &Stock{Assumed: []string{"between entries the season was grazed and cut by the plan's own rules"}}
	for i := range d.Fields {
		f := &d.Fields[i]
		if f.History.Stands && !f.History.Course.Assumed {
			m.Adopt(&now, season.Found{Field: f.Index, Mix: f.History.Course.Mix.Name, Stand: f.State, Rest: f.Now.Rest})
		}
	}
	s.count(r, &now, years[0].First)
	result, err := m.Resume(ctx, now, m.Years())
	if err != nil {
		return nil, err
	}
	if err := s.outlook(r, d, &result); err != nil {
		return nil, err
	}
	return s, nil
}

// ahead are the years that could follow: the days so far, the forecast, and each
// other year's own.
func (r *Request) ahead() []weather.Year {
	var out []weather.Year
	for j := 1; j < len(r.Years); j++ {
		y := r.Years[0]
		y.ID = r.Years[j].ID
		y.Days = append([]weather.Day(nil), r.Years[0].Days[:r.Known+1]...)
		y.Days = append(y.Days, r.Forecast...)
		if n := len(y.Days); n < len(r.Years[j].Days) {
			y.Days = append(y.Days, r.Years[j].Days[n:]...)
		}
		y.Days = y.Days[:min(len(y.Days), len(r.Years[0].Days))]
		out = append(out, y)
	}
	return out
}

// count puts the stores as somebody counted them, and moved since.
func (s *Stock) count(r *Request, now *season.Snapshot, first quantity.Date) {
	for i := range r.Farm.Stores {
		store := &r.Farm.Stores[i]
		simulated, dry := 0.0, 0.0
		for _, l := range now.Lots {
			if int(l.Store) == i {
				simulated += l.DM
				dry += l.DM / l.DMShare
			}
		}
		if dry > 0 {
			dry = simulated / dry
		}
		n := StoreNow{Name: store.Name, DM: simulated}
		if counted, ok := s.counted(r, store, first, dry); ok {
			n.DM, n.Counted, n.Known = counted.DM, counted.Counted, true
			s.put(now, i, store, simulated, counted.DM)
		}
		s.Stores = append(s.Stores, n)
	}
}

// counted is the last count of a store with what was put in and taken out since.
func (s *Stock) counted(r *Request, store *farm.Store, first quantity.Date, dry float64) (n StoreNow, ok bool) {
	share := func(l journal.Load) float64 {
		if v, known := l.DryMatter.Get(); known {
			return float64(v)
		}
		if dry > 0 {
			return dry
		}
		s.note("dry matter of feed in %s is not told: 45 %% is taken", store.Name)
		return 0.45
	}
	weight := func(l journal.Load, on quantity.Date) float64 {
		w, known := l.AsFed()
		if !known {
			s.note("the amount of %s on %s is not known: it is not counted", store.Name, on)
			return 0
		}
		return float64(w) * share(l)
	}
	for i := range r.Entries {
		e := &r.Entries[i]
		if e.Date < r.Today-keptLongest || e.Date > r.Today || !strings.EqualFold(e.Store, store.Name) {
			continue
		}
		switch k := e.Fact.(type) {
		case journal.StoreMeasured:
			n, ok = StoreNow{DM: weight(k.Load, e.Date), Counted: e.Date}, true
		case journal.Bought:
			n.DM += weight(k.Load, e.Date)
		case journal.Sold:
			n.DM -= weight(k.Load, e.Date)
		case journal.Fed:
			n.DM -= weight(k.Load, e.Date)
		case journal.Cut:
			if w, known := k.AsFed(); known && k.Moisture.Known() {
				n.DM += float64(w) * (1 - float64(k.Moisture.SI()))
			}
		}
	}
	if n.DM < 0 {
		s.note("more was taken out of %s than was in it: count it again", store.Name)
		n.DM = 0
	}
	return n, ok
}

func (s *Stock) note(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if !slices.Contains(s.Assumed, text) {
		s.Assumed = append(s.Assumed, text)
	}
}

// put scales a store's lots to what was counted; a store that the simulation finds
// empty gets a lot of usual feed.
func (s *Stock) put(now *season.Snapshot, at int, store *farm.Store, simulated, counted float64) {
	if simulated > 0 {
		for i := range now.Lots {
			if int(now.Lots[i].Store) == at {
				now.Lots[i].DM *= counted / simulated
			}
		}
		return
	}
	if counted > 0 {
		kind, err := feed.ParseStore(store.Kind)
		if err == nil {
			now.Lots = append(now.Lots, season.UsualLot(kind, at, counted))
			s.note("nothing is known of the quality of feed in %s: a usual one is taken", store.Name)
		}
	}
}

// outlook sums the futures up.
func (s *Stock) outlook(r *Request, d *Day, result *season.Result) error {
	const never = math.MaxInt32
	var out []quantity.Date
	var gaps []float64
	for i := range result.Years {
		y := &result.Years[i]
		on, ok := y.RunOut(d.Known + 1)
		if ok {
			s.RunsOut++
		} else {
			on = never
		}
		out = append(out, on)
		gap := 0.0
		for h := range y.Ledger {
			gap += y.Ledger[h].Short + y.Ledger[h].Fed[feed.BoughtHay] + y.Ledger[h].Fed[feed.BoughtForage]
		}
		gaps = append(gaps, gap)
	}
	s.Runs = len(out)
	slices.Sort(out)
	slices.Sort(gaps)
	n := len(out)
	s.Middle, s.MiddleOut = out[(n-1)/2], out[(n-1)/2] != never
	s.Bad, s.BadOut = out[(n-1)/5], out[(n-1)/5] != never
	s.Gap, s.GapBad = gaps[(n-1)/2], gaps[n-1-(n-1)/5]
	s.groups(r, d, &result.Years[result.Middle])
	return s.closers(r, d, result)
}

// groups shares the stored feed by what each group will eat of it in the middle year.
func (s *Stock) groups(r *Request, d *Day, y *season.YearResult) {
	var stored, all float64
	for _, st := range s.Stores {
		stored += st.DM
	}
	eaten := make([]float64, len(r.Farm.Groups))
	for g := range y.Groups {
		for h := range y.Groups[g].Ledger {
			for k, v := range y.Groups[g].Ledger[h].Fed {
				if kind := feed.Kind(k); kind.HomeGrown() && kind != feed.Pasture {
					eaten[g] += v
				}
			}
		}
		all += eaten[g]
	}
	row := (d.Known.HalfMonth() - y.First.HalfMonth() + season.HalfMonths + 1) % season.HalfMonths
	for g := range r.Farm.Groups {
		n := GroupNow{Name: r.Farm.Groups[g].Name, Need: y.Groups[g].Ledger[row].Demand / 15.2}
		if all > 0 {
			n.Share = eaten[g] / all
		}
		if n.Need > 0 {
			n.Days = stored / n.Need
		}
		s.Groups = append(s.Groups, n)
	}
}

// closers are ways to close the bad year's gap, each with its cost.
func (s *Stock) closers(r *Request, d *Day, result *season.Result) error {
	if s.GapBad < 500 {
		return nil
	}
	f := r.Farm
	s.Closers = append(s.Closers, Closer{fmt.Sprintf("buy %s of forage dry matter", quantity.Mass(s.GapBad).In(f.Units)), s.GapBad * float64(f.Prices.BoughtForage)})
	left := float64(result.Years[0].First + 365 - d.Known)
	best, need := -1, 0.0
	for g := range s.Groups {
		if s.Groups[g].Need > need {
			best, need = g, s.Groups[g].Need
		}
	}
	if best >= 0 && left > 0 {
		head := 0.0
		for i := range f.Groups[best].Periods {
			head = max(head, f.Groups[best].Periods[i].Head)
		}
		if head > 0 {
			fewer := math.Ceil(s.GapBad / (need / head * left))
			s.Closers = append(s.Closers, Closer{fmt.Sprintf("%.0f fewer of %s from now on; what they would have earned is not counted", fewer, f.Groups[best].Name), 0})
		}
	}
	if days := s.GapBad / totalNeed(s.Groups); d.Known.HalfMonth() < 8 && days <= soonerAtMost { // before May
		s.Closers = append(s.Closers, Closer{fmt.Sprintf("turn out %.0f days sooner, where the height allows; the swards pay for it later", math.Ceil(days)), 0})
	}
	err := s.late(r, d)
	slices.SortStableFunc(s.Closers, func(a, b Closer) int { return cmp.Compare(b.Cost, a.Cost) })
	return err
}

// soonerAtMost is how many days sooner than planned animals may be turned out at all:
// three weeks before, no sward has grown (common practice).
const soonerAtMost = 21

func totalNeed(groups []GroupNow) (sum float64) {
	for i := range groups {
		sum += groups[i].Need
	}
	return max(sum, 1)
}
