package account

import (
	"fmt"
	"sort"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/season"
)

// DueKind is what falls due on a field.
type DueKind uint8

// The kinds of what falls due.
const (
	DueSowing DueKind = iota
	DueFirstUse
	DueCut
	DueGrazing
	DueManure
	DueScout
)

// Due is one thing that the plan's weather years have on a field soon after a
// date. Dates are of the date's own year, by day of the feed year: what the years
// did, not an order.
type Due struct {
	Field       int
	Kind        DueKind
	What        string
	On          quantity.Date // usual; the date itself where it is usually over by now but not in every year
	Early, Late quantity.Date // 10 and 90 % of the years; 0 where there is one date alone
	UsuallyOver bool          // usually over by now, in one year of ten not yet
	Sowing      int           // index; -1 for none
}

// DueOf lists what is due on a farm's fields from a date on for so many days, in
// order of date: sowings, first uses, cuts, the next grazing, manure, and pests to
// look for.
func DueOf(f *farm.Farm, r *season.Result, on quantity.Date, days int) []Due {
	d := dues{f: f, r: r, on: on, days: days, day: feedDay(f, on)}
	for s := range f.Plan.Sowings {
		d.sowing(s)
	}
	for i := range f.Fields {
		d.cuts(i)
		d.grazing(i)
	}
	d.once()
	sort.SliceStable(d.out, func(a, b int) bool { return d.out[a].On < d.out[b].On })
	return d.out
}

// feedDay is a date's day of the farm's feed year, from 0, whatever its year.
func feedDay(f *farm.Farm, on quantity.Date) int {
	first := f.FirstDay()
	return int(on.MonthDay().OnOrAfter(first) - first)
}

type dues struct {
	f    *farm.Farm
	r    *season.Result
	on   quantity.Date
	days int
	day  int
	out  []Due
}

// ahead carries a day of the feed year to the date nearest to the one asked.
func (d *dues) ahead(day float64) quantity.Date {
	delta := int(day+0.5) - d.day
	if delta < -182 {
		delta += 365
	} else if delta > 182 {
		delta -= 365
	}
	return d.on + quantity.Date(delta)
}

// put adds what most years have in the window, and what is usually over but not
// yet in one year of ten.
func (d *dues) put(x Due, days []float64) bool {
	if 2*len(days) <= len(d.r.Years) {
		return false
	}
	x.On = d.ahead(stats.Percentile(days, 0.5))
	x.Early, x.Late = x.On, x.On
	if len(days) > 1 {
		x.Early, x.Late = d.ahead(stats.Percentile(days, 0.1)), d.ahead(stats.Percentile(days, 0.9))
	}
	end := d.on + quantity.Date(d.days)
	switch {
	case x.On >= d.on && x.On <= end:
	case x.On < d.on && x.Late >= d.on && x.Late < d.on+182:
		x.On, x.UsuallyOver = d.on, true
	default:
		return false
	}
	d.out = append(d.out, x)
	return true
}

func (d *dues) sowing(s int) {
	sow := &d.f.Plan.Sowings[s]
	var sown, used []float64
	for i := range d.r.Years {
		y := &d.r.Years[i]
		if x := &y.Sowings[s]; x.Sown != 0 {
			sown = append(sown, float64(x.Sown-y.First))
			if x.FirstUse != 0 {
				used = append(used, float64(x.FirstUse-y.First))
			}
		}
	}
	d.put(Due{Field: sow.Field, Kind: DueSowing, Sowing: s, What: "sow " + sow.Mix.Title}, sown)
	d.put(Due{Field: sow.Field, Kind: DueFirstUse, Sowing: s, What: "first use of " + sow.Mix.Title + ": " + Takes(sow.Use)}, used)
}

// Takes is a use as something to do.
//
//say:words
func Takes(u crop.Use) string {
	switch u {
	case crop.Graze:
		return "graze"
	case crop.Wrap:
		return "cut and wrap"
	case crop.Chop:
		return "cut and chop"
	case crop.Hay:
		return "cut for hay"
	case crop.Silage:
		return "chop whole"
	}
	return "leave"
}

// sameCut is how many days lie between the days of one cut, taken paddock by paddock,
// at most: no sward is ready again sooner (common practice).
const sameCut = 18

// springBefore is how long before turn-out the growing season's cuts begin to be
// counted, days: what a feed year that begins in autumn has before is the end of the
// season before.
const springBefore = 75

// cuts puts the first, second and later cuts of a field; the first use of a
// sowing is told already.
func (d *dues) cuts(field int) {
	var nth [][]float64
	var late []float64
	var use, lateUse crop.Use
	spring := feedDay(d.f, d.f.Turnout.In(d.on.Year())) - springBefore
	for i := range d.r.Years {
		y := &d.r.Years[i]
		n, last := 0, y.First-sameCut
		for e := range y.Events {
			x := &y.Events[e]
			if x.Kind != season.Cut || int(x.Field) != field {
				continue
			}
			again := x.Date-last < sameCut
			last = x.Date
			if again || d.firstUse(y, x) {
				continue
			}
			if int(x.Date-y.First) < spring {
				late, lateUse = append(late, float64(x.Date-y.First)), x.Use
				continue
			}
			if n == len(nth) {
				nth = append(nth, nil)
			}
			nth[n] = append(nth[n], float64(x.Date-y.First))
			use, n = x.Use, n+1
		}
	}
	d.put(Due{Field: field, Kind: DueCut, Sowing: -1, What: "a late cut, " + Takes(lateUse)}, late)
	for n := range nth {
		d.put(Due{Field: field, Kind: DueCut, Sowing: -1, What: fmt.Sprintf("%s cut, %s", ordinal(n+1), Takes(use))}, nth[n])
	}
}

// firstUse tells whether a cut is the first use of a sowing.
func (d *dues) firstUse(y *season.YearResult, e *season.Event) bool {
	for s := range d.f.Plan.Sowings {
		if d.f.Plan.Sowings[s].Field == int(e.Field) && y.Sowings[s].FirstUse == e.Date {
			return true
		}
	}
	return false
}

func ordinal(n int) string {
	if n < len(ordinals) {
		return ordinals[n]
	}
	return fmt.Sprintf("%dth", n)
}

var ordinals = [...]string{"", "first", "second", "third", "fourth", "fifth", "sixth"}

// grazing puts the next day on which animals go in.
func (d *dues) grazing(field int) {
	var next []float64
	for i := range d.r.Years {
		y := &d.r.Years[i]
		for e := range y.Events {
			x := &y.Events[e]
			day := int(x.Date - y.First)
			if x.Kind == season.GrazingStarted && int(x.Field) == field && day >= d.day {
				next = append(next, float64(day))
				break
			}
		}
	}
	d.put(Due{Field: field, Kind: DueGrazing, Sowing: -1, What: "graze next"}, next)
}

// once puts what has one date: manure of the middle year, and days to look for
// pests.
func (d *dues) once() {
	y := &d.r.Years[d.r.Middle]
	first := d.f.FirstDay()
	add := func(x Due, on quantity.Date) {
		x.On, x.Sowing = d.ahead(float64(on-first)), -1
		if x.On >= d.on && x.On <= d.on+quantity.Date(d.days) {
			d.out = append(d.out, x)
		}
	}
	for _, l := range NutrientsOf(d.f, y).Loads {
		add(Due{Field: l.Field, Kind: DueManure, What: "manure, " + massWords(l.Tons*float64(quantity.Ton), d.f.Units)}, l.On)
	}
	for _, s := range ScoutsOf(d.f) {
		add(Due{Field: s.Field, Kind: DueScout, What: "look for " + pest(s.Text)}, s.On)
	}
}

// pest is the name at the head of a line on what to look for.
func pest(text string) string {
	if i := strings.IndexAny(text, ",:;("); i > 0 {
		text = text[:i]
	}
	return strings.TrimSpace(text)
}

// massWords writes a farm-sized mass.
func massWords(kg float64, u quantity.System) string {
	if u == quantity.US {
		return quantity.Grouped(quantity.Mass(kg).Tons(), 0) + " ton"
	}
	return quantity.Grouped(kg/1000, 0) + " t"
}
