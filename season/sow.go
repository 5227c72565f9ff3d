package season

import (
	"fmt"
	"hash/fnv"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/fertility"
	"rowen/quantity"
	"rowen/stand"
)

// patience is how long a sowing with a fixed date waits for ground that
// carries a drill before it is given up: three weeks, and not past the crop's
// latest useful date (common practice; the plan's own "by" date goes before it).
const patience = 21

// wetDay is the rain, mm, on which no one drills or mows (common practice).
const wetDay = 5

// timing is when a plot's next sowing may happen, in days of the feed year.
type timing struct {
	phase    int // the programme step to be sown
	from, by int
	bySoil   bool // the soil's temperature decides within the window
}

// never is the timing of a plot with nothing left to sow.
var never = timing{from: 1 << 20, by: 1 << 20}

// timingOf works out a programme step's sowing window in this weather year.
func (r *runner) timingOf(i, next int) timing {
	p := &r.m.plots[i]
	if next >= len(p.phases) {
		return never
	}
	s := p.phases[next].sowing
	rule := &s.Mix.Parts[0].Crop.Sowing
	if s.On != 0 {
		from := r.dayOf(s.On) + s.Delay
		// Past its latest useful date it is not sown, unless the plan says by when.
		on := s.On + quantity.Date(s.Delay)
		by := from + min(patience, int(rule.Latest.In(on.Year())-on))
		if s.By != 0 {
			by = r.dayOf(s.By) + s.Delay
		}
		return timing{phase: next, from: r.afterLabel(s, from), by: by}
	}
	t := timing{phase: next, bySoil: true, from: r.dayOfRule(rule.Earliest), by: r.dayOfRule(rule.Latest)}
	if s.From != 0 {
		t.from = r.dayOf(s.From)
	}
	if s.By != 0 {
		t.by = r.dayOf(s.By)
	}
	t.from = r.afterLabel(s, t.from)
	return t
}

// afterLabel is a day, or the day to which a label's plant-back wait, as the farm
// entered it, puts it off.
func (r *runner) afterLabel(s *farm.Sowing, day int) int {
	if s.Before.PlantBack == 0 {
		return day
	}
	return max(day, r.dayOf(s.Before.PlantBack))
}

// dayOf carries a date of the plan's year to a day of this weather year.
func (r *runner) dayOf(d quantity.Date) int {
	_, month, day := d.Civil()
	return r.dayOfRule(quantity.MonthDay{Month: month, Day: day})
}

// dayOfRule is the day of this feed year on which a date rule falls.
func (r *runner) dayOfRule(rule quantity.MonthDay) int {
	return int(rule.OnOrAfter(r.y.first) - r.y.first)
}

// sow carries out the plan's sowings whose day has come.
func (r *runner) sow() {
	for i := range r.now.Plots {
		t := &r.times[i]
		if r.day < t.from {
			continue
		}
		ps := &r.now.Plots[i]
		next := &r.m.plots[i].phases[t.phase]
		if t.bySoil {
			r.settle(ps, next)
		}
		switch {
		case r.day > t.by:
			r.note(i, Event{Kind: SowingDropped, Group: -1, Use: next.use})
			// What stands goes on; the plan's later sowings keep their place.
			r.times[i] = r.timingOf(i, t.phase+1)
		case t.bySoil && int(ps.Settled) < next.holdDays+next.delay:
		case r.cropFirst(i):
		case r.y.forcing.Day(r.day).Rain > wetDay || ps.Swath.DM > 0:
		default:
			r.drill(i, next)
		}
	}
}

// cropFirst tells whether a winter annual still waits for its cut: what follows it
// is drilled after that.
func (r *runner) cropFirst(i int) bool {
	ps, ph := &r.now.Plots[i], r.phase(i)
	return ph.winter && ps.Uses == 0 && ph.use != crop.Leave && !ph.stand.Dead(&ps.Stand)
}

// settle counts the days on which the soil has held the sowing's temperature; once
// it has held it, a later block counts on from there.
func (r *runner) settle(ps *PlotState, next *phase) {
	if r.y.forcing.Day(r.day).SoilTemp >= next.soilTemp || int(ps.Settled) >= next.holdDays {
		ps.Settled++
	} else {
		ps.Settled = 0
	}
}

// sodCredit is the nitrogen that a killed stand gives what follows it in the first
// year, kg/m².
func sodCredit(old *phase) float64 {
	return float64(quantity.MassPerArea(fertility.SodCredit(old.legume, 1)) * quantity.PoundPerAcre)
}

// resow puts a sowing that failed up for another try from tomorrow, while its window
// is open and most of it is gone: a farmer who sees bare ground drills again.
func (r *runner) resow(i int) {
	ps := &r.now.Plots[i]
	ph := r.phase(i)
	if ph.sowing == nil || !ph.stand.Dead(&ps.Stand) || ps.Tries > 0 {
		return
	}
	t := r.timingOf(i, int(ps.Phase))
	t.from = max(t.from, r.day+1)
	if t.from <= t.by {
		ps.Tries++
		r.times[i] = t
	}
}

// seedbed is how a sowing is made, with what fortune gives it this year: the same
// for a year, a field and a sowing whatever runs beside it.
func (r *runner) seedbed(i int, next *phase) stand.Seedbed {
	h := fnv.New64a()
	_, _ = fmt.Fprintf(h, "%d %d %d %d", r.y.id, r.m.plots[i].field, next.index, r.now.Plots[i].Tries)
	return stand.Seedbed{
		Misfortune: float64(h.Sum64()>>11) / (1 << 53),
		NoTill:     next.sowing.NoTill, Broadcast: next.sowing.Broadcast,
		Weedy: r.m.farm.Fields[r.m.plots[i].field].Weedy,
	}
}

// drill sows the next phase: what stood there is ended, its soil stays.
func (r *runner) drill(i int, next *phase) {
	p, ps := &r.m.plots[i], &r.now.Plots[i]
	for g := range r.now.Groups {
		if int(r.now.Groups[g].Plot) == i {
			r.leave(g) // before the plough, not with it
		}
	}
	left := r.phase(i).stand.Standing(&ps.Stand, 0).DM
	old := r.phase(i)
	next.stand.Sow(&ps.Stand, r.seedbed(i, next))
	ps.Stand.Nitrogen += next.manure / 10
	if !old.annual && !old.bare {
		// A killed sod feeds what follows, g/m².
		ps.Stand.Nitrogen += 1000 * sodCredit(old)
	}
	if next.dressing > 0 {
		next.stand.Dress(&ps.Stand, next.dressing)
		r.note(i, Event{Kind: Dressed, Group: -1, DM: next.dressing * p.area / 10000})
	}
	if int(ps.Phase) != r.times[i].phase {
		ps.Tries = 0
	}
	ps.Phase = int16(r.times[i].phase)
	ps.Uses, ps.Rest, ps.Settled, ps.Group = 0, 0, 0, -1
	r.stale(i)
	seed, work := next.seedCost*p.area, next.sowCost*p.area
	nitrogen := next.dressing / 10000 * p.area * r.m.prices.nitrogen
	r.out.Money.Seed += seed
	r.out.Money.Work += work
	r.out.Money.Nitrogen += nitrogen
	r.spend(i, seed+work+nitrogen)
	if s := r.sowing(i); s.Sown == 0 {
		s.Sown = r.date
	}
	r.note(i, Event{Kind: Sown, Group: -1, Use: next.use, DM: left * p.area / 1000})
	r.times[i] = r.timingOf(i, int(ps.Phase)+1)
}
