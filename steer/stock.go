package steer

import (
	"cmp"
	"context"
	"math"
	"slices"

	"rowen/farm"
	"rowen/feed"
	"rowen/quantity"
	"rowen/say"
	"rowen/season"
	"rowen/weather"
)

// Stock is whether there is enough: what lies in store, how long it lasts over the
// other years' weather, and what would close the gap.
type Stock struct {
	Stores    []StoreNow
	Lots      []feed.Lot    // what the outlook begins with; by store it adds up to Stores
	Groups    []GroupNow    // those that will want feed from store
	Runs      int           // years looked at
	RunsOut   int           // of them, in how many home-grown stored feed runs out before Horizon
	Horizon   quantity.Date // how far is looked: the feed year's last day, or the next turn-out where that end is near
	Middle    quantity.Date
	MiddleOut bool // the middle year runs out, on Middle
	Bad       quantity.Date
	BadOut    bool    // one year in five runs out as early as Bad
	Gap       float64 // kg DM that home feed will miss up to Horizon: the middle year
	GapBad    float64 // and one year in five
	Closers   []Closer
	Assumed   []say.Line
}

// StoreNow is one store.
type StoreNow struct {
	Name    string
	DM      float64 // kg
	Counted quantity.Date
	Known   bool    // counted or weighed by somebody, on Counted
	Written bool    // never counted: reckoned from the document and what was written down
	Fed     float64 // kg DM taken off as fed since then, because nobody wrote it down
}

// GroupNow is a group's share of what is in store.
type GroupNow struct {
	Name  string
	Need  float64 // kg DM of stored feed on a day on which it is fed such, while its share of what lies there lasts, in the middle year
	Share float64 // of what lies in store now
	Days  float64 // that its share of what lies in store now lasts at that need
}

// Closer is one way to close the gap of the bad year.
type Closer struct {
	What say.Line
	Cost float64
}

// StockOf looks ahead with the whole farm: the season replayed to the last weather
// with the plan's own rules, fields put as they were found (the middle member of
// each), stores as they were counted or written down, then every other year's weather
// from there.
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
	plain, err := m.Run(ctx, opening, []weather.YearID{years[0].ID})
	if err != nil {
		return nil, err
	}
	s := &Stock{Assumed: []say.Line{say.That("between entries the season was grazed and cut by the plan's own rules")}}
	for i := range d.Fields {
		f := &d.Fields[i]
		if f.History.Stands && !f.History.Course.Assumed {
			m.Adopt(&now, season.Found{Field: f.Index, Mix: f.History.Course.Mix.Name, Stand: f.State, Rest: f.Now.Rest})
		}
	}
	s.count(r, d, &now, &plain.Years[0])
	s.Lots = slices.Clone(now.Lots)
	futures, err := s.futures(ctx, r, d, m, &now)
	if err != nil {
		return nil, err
	}
	return s, s.outlook(r, d, futures)
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

func (s *Stock) tell(pattern string, args ...any) {
	text := say.That(pattern, args...)
	if !slices.ContainsFunc(s.Assumed, func(l say.Line) bool { return l.String() == text.String() }) {
		s.Assumed = append(s.Assumed, text)
	}
}

// passing is the share of the stored feed that is wanted below which want of it is a
// passing one, a lot that has not fermented yet, and no running out.
const passing = 0.02

// outlook sums the futures up.
func (s *Stock) outlook(r *Request, d *Day, futures []future) error {
	const never = math.MaxInt32
	var out []quantity.Date
	for i := range futures {
		on := quantity.Date(never)
		if f := &futures[i]; f.out && f.gap >= passing*f.need() {
			on = f.on
			s.RunsOut++
		}
		out = append(out, on)
	}
	n := len(futures)
	s.Runs = n
	slices.Sort(out)
	s.Middle, s.MiddleOut = out[(n-1)/2], out[(n-1)/2] != never
	s.Bad, s.BadOut = out[(n-1)/5], out[(n-1)/5] != never
	slices.SortStableFunc(futures, func(a, b future) int { return cmp.Or(cmp.Compare(a.gap, b.gap), cmp.Compare(a.need(), b.need())) })
	middle, bad := &futures[(n-1)/2], &futures[n-1-(n-1)/5]
	s.Gap, s.GapBad = middle.gap, bad.gap
	s.groups(r.Farm, middle, d.Known)
	return s.closers(r, d, bad)
}

// groups shares the stored feed by what each group will eat of it in the middle year.
func (s *Stock) groups(f *farm.Farm, y *future, today quantity.Date) {
	var stored, all float64
	for i := range s.Stores {
		stored += s.Stores[i].DM
	}
	shares := eatenFrom(y.groups, stored)
	for _, eaten := range shares {
		all += eaten
	}
	for i := range y.groups {
		w := &y.groups[i]
		if w.need <= 0 || w.days <= 0 {
			continue
		}
		n := GroupNow{Name: f.Groups[i].Name}
		if all > 0 {
			n.Share = shares[i] / all
		}
		n.Need, n.Days = w.lasts(stored * n.Share)
		if s.MiddleOut { // what then still lies there does not meet the need
			n.Days = min(n.Days, float64(s.Middle-today))
		}
		s.Groups = append(s.Groups, n)
	}
}

// closers are ways to close the bad year's gap, each with its cost; bad is a year of
// that gap.
func (s *Stock) closers(r *Request, d *Day, bad *future) error {
	if s.GapBad < 500 {
		return nil
	}
	f := r.Farm
	s.Closers = append(s.Closers, Closer{say.That("buy %s of forage dry matter", roughly(s.GapBad, f.Units)), s.GapBad * float64(f.Prices.BoughtForage)})
	best := 0
	for g := range f.Groups {
		if bad.groups[g].need > bad.groups[best].need {
			best = g
		}
	}
	if need := bad.groups; len(need) > 0 && need[best].need > 0 {
		head := 0.0
		for i := range f.Groups[best].Periods {
			head = max(head, f.Groups[best].Periods[i].Head)
		}
		if fewer := math.Ceil(s.GapBad / need[best].need * head); fewer > 0 && fewer <= head {
			s.Closers = append(s.Closers, Closer{say.That("%.0f fewer of %s from now on; what they would have earned is not counted", fewer, f.Groups[best].Name), 0})
		}
	}
	if days := s.GapBad / totalNeed(s.Groups); d.Known.HalfMonth() < 8 && days <= soonerAtMost { // before May
		s.Closers = append(s.Closers, Closer{say.That("turn out %.0f days sooner, where the height allows; the swards pay for it later", math.Ceil(days)), 0})
	}
	err := s.late(r, d)
	slices.SortStableFunc(s.Closers, func(a, b Closer) int { return cmp.Compare(b.Cost, a.Cost) })
	return err
}

// soonerAtMost is how many days sooner than planned animals may be turned out at all:
// three weeks before, no sward has grown (common practice).
const soonerAtMost = 21

// roughly writes a mass as people speak of it: to two digits, in tons or tonnes.
func roughly(kg float64, u quantity.System) string {
	if u == quantity.US {
		return quantity.Digits(quantity.Mass(kg).Tons(), 2) + " ton"
	}
	return quantity.Digits(kg/1000, 2) + " t"
}

func totalNeed(groups []GroupNow) (sum float64) {
	for i := range groups {
		sum += groups[i].Need
	}
	return max(sum, 1)
}
