package season

import (
	"context"

	"rowen/crop"
	"rowen/feed"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/stand"
)

// runner plays one weather year. It owns its state and its scratch space;
// nothing it writes is seen by another year.
type runner struct {
	m   *Model
	y   *yearInput
	yi  int
	now Snapshot
	out *YearResult

	day  int           // of the feed year
	date quantity.Date // today
	row  int           // today's ledger row
	head int           // half-month of the feed year's first day

	today []plotDay // what today brought each plot
	times []timing  // when the plot's next sowing may happen, by plot

	offers  []offer
	feeds   []feed.Offer
	eaten   []float64
	closing balanceSheet

	standing []aboveCache // by plot
}

// plotDay is what today brought one plot.
type plotDay struct {
	step    stand.Day
	prussic hazard.Verdict
	nitrate hazard.Verdict
	busy    bool // a group grazed it today
}

// newRunner readies a year from a snapshot.
func newRunner(m *Model, index int, from *Snapshot, out *YearResult) *runner {
	y := &m.years[index]
	r := &runner{
		m: m, y: y, yi: index, now: from.clone(), out: out,
		head:  y.first.HalfMonth(),
		today: make([]plotDay, len(m.plots)),
		times: make([]timing, len(m.plots)),
	}
	out.ID, out.First = y.id, y.first
	out.Groups = make([]GroupYear, len(m.groups))
	out.Fields = make([]FieldYear, len(m.farm.Fields))
	out.Sowings = make([]SowingYear, len(m.plan.Sowings))
	out.Opening = append([]feed.Lot(nil), r.now.Lots...)
	for i := range m.groups {
		out.Groups[i].RuleShare, out.Groups[i].RuleDays = m.groups[i].pastureRule()
	}
	for i := range r.times {
		// A window that had closed before the snapshot was reported then.
		t := r.timingOf(i, int(r.now.Plots[i].Phase)+1)
		for t != never && t.by < r.now.Day {
			t = r.timingOf(i, t.phase+1)
		}
		r.times[i] = t
	}
	r.open()
	return r
}

// play runs the days up to, not including, the given day of the feed year.
func (r *runner) play(ctx context.Context, until int) error {
	for r.now.Day < until {
		if r.now.Day%16 == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		r.morning()
		r.cut()
		r.feed()
		r.age()
		r.book()
		r.now.Day++
	}
	r.close()
	return nil
}

// morning begins a day: the calendar, sowing, growth, and the gates' verdicts.
func (r *runner) morning() {
	r.day = r.now.Day
	r.date = r.y.first + quantity.Date(r.day)
	r.row = (r.date.HalfMonth() - r.head + HalfMonths) % HalfMonths
	r.sow()
	r.grow()
	r.judge()
}

// phase is the stand that a plot carries now.
func (r *runner) phase(i int) *phase { return &r.m.plots[i].phases[r.now.Plots[i].Phase] }

// use is what the present growth of a plot is for.
func (r *runner) use(i int) crop.Use {
	ph := r.phase(i)
	if r.now.Plots[i].Uses == 0 {
		return ph.use
	}
	return ph.then
}

// field is the yearly account of the field a plot belongs to.
func (r *runner) field(i int) *FieldYear { return &r.out.Fields[r.m.plots[i].field] }

// note records an event on a plot's field.
func (r *runner) note(i int, e Event) *Event {
	e.Date = r.date
	e.Field = int16(r.m.plots[i].field)
	r.out.Events = append(r.out.Events, e)
	return &r.out.Events[len(r.out.Events)-1]
}

// grow lets every plot live through the day.
func (r *runner) grow() {
	for i := range r.now.Plots {
		ps, ph, pd := &r.now.Plots[i], r.phase(i), &r.today[i]
		pd.busy = false
		if !ph.annual && r.y.forcing.Day(r.day).YearDay == springManure {
			r.spread(i)
		}
		ph.stand.Step(&ps.Stand, ph.climates[r.yi], r.day, &pd.step)
		ps.Rest++
		area := r.m.plots[i].area
		grown := pd.step.Growth * area / 1000
		fy := r.field(i)
		fy.Grown += grown
		fy.Ledger[r.row].Grown += grown
		r.out.Ledger[r.row].Growth += grown
		r.closing.water.add(&pd.step, area)
		r.closing.stress(r.m.plots[i].field, &pd.step)
		if flags := pd.step.Flags; flags != 0 {
			r.noteFlags(i, flags)
		}
	}
}

// springManure is the day on which swards get the first half of their manure,
// mid-April (common practice).
const springManure = 105

// spread gives a sward half of its year's manure.
func (r *runner) spread(i int) {
	ph := r.phase(i)
	if ph.manure <= 0 {
		return
	}
	r.now.Plots[i].Stand.Nitrogen += ph.manure / 20 // half, and kg/ha to g/m²
	r.work(i, float64(r.m.farm.Custom.Spreading)*r.m.plots[i].area)
}

// sowing is the account of the plan's sowing that a plot carries; nil for what
// stood there when the year began.
func (r *runner) sowing(i int) *SowingYear {
	if ph := r.phase(i); ph.sowing != nil {
		return &r.out.Sowings[ph.index]
	}
	return nil
}

// firstUse notes the first use of a sown stand, and whether it had reached what its
// rule asks.
func (r *runner) firstUse(i int, reached bool) {
	if s := r.sowing(i); s != nil && s.FirstUse == 0 {
		s.FirstUse, s.Reached = r.date, reached
	}
}

// spend books money on a plot's field and on the sowing it carries.
func (r *runner) spend(i int, money float64) {
	r.field(i).Cost += money
	if s := r.sowing(i); s != nil {
		s.Cost += money
	}
}

// used counts a use of a plot for its field, by its share of the field.
func (r *runner) used(i int) {
	p := &r.m.plots[i]
	r.closing.fields[p.field].uses += p.area / float64(r.m.farm.Fields[p.field].Area)
}

// noteFlags turns what the stand reported into events.
func (r *runner) noteFlags(i int, flags stand.Flags) {
	if flags&stand.Emerged != 0 {
		r.note(i, Event{Kind: Emerged, Group: -1})
	}
	if flags&stand.EstablishmentFailed != 0 {
		r.note(i, Event{Kind: EstablishmentFailed, Group: -1})
		r.resow(i)
	}
	if flags&stand.WinterKill != 0 {
		r.note(i, Event{Kind: WinterKilled, Group: -1})
	}
	if flags&stand.Lodged != 0 {
		r.note(i, Event{Kind: Laid, Group: -1})
	}
	if flags&stand.FrostKill != 0 {
		r.note(i, Event{Kind: FrostKilled, Group: -1})
	}
}
