package suggest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/crew"
	"rowen/season"
	"rowen/weather"
)

// Plan is a plan suggested, or held beside one.
type Plan struct {
	Name   string
	Also   []string // what else it is: of least cost on average, or in bad years
	At     []int    // by field: the candidate; nil where the document's plan has parts that no one candidate is
	Plan   farm.Plan
	Choice *Choice // nil where it was not chosen by the program
	Run    *Run    // the coupled season over all weather years
	Rounds int     // of correcting the program by the coupled run
	// Reckoned is the program's own expected cost of it; the difference to Run.Expected
	// is what the coupled farm adds.
	Reckoned float64
	judged   *Judgement
	p        *program
}

// Suggestion is the answer to a request.
type Suggestion struct {
	Request    *Request
	Present    Plan
	Plans      []Plan // the one that the request's risk asks for first, then really different ones
	Thumb      *Plan  // the best plan of one annual by rule of thumb; nil where there is none
	Bare       *Run   // the farm with nothing sown
	NoGap      bool   // even with nothing sown the farm has no gap: nothing is suggested
	Unbeaten   bool   // the present plan costs no more than the first of Plans, in the coupled season
	Unseen     *Unseen
	Refused    []Refusal
	Programmes int  // candidates considered
	Grown      int  // field-years simulated
	Stopped    bool // the search was stopped or ran out of time: what is there is the best so far
	WhatIf     []WhatIf
	search     *search
}

const (
	// noGap is the gap of the 1-in-5 year, as a share of its demand, below which a
	// farm has none.
	noGap = 0.005
	// corrections is how often at most the program is corrected by the coupled run.
	corrections = 3
	// different is the share of the land on which a further plan must differ.
	different = 0.08
)

// Find suggests plans.
func Find(ctx context.Context, r *Request) (*Suggestion, error) {
	if err := r.Check(); err != nil {
		return nil, err
	}
	s, err := newSearch(ctx, r)
	if err != nil {
		return nil, err
	}
	out := &Suggestion{Request: r, Refused: s.refused, Programmes: s.count(), Grown: s.grown, search: s}
	p := newProgram(s, r, noRelief())
	if out.Present, err = p.present(ctx); err != nil {
		return nil, err
	}
	bare, err := p.run(ctx, &farm.Plan{}, 0, s.years)
	if err != nil {
		return nil, err
	}
	out.Bare = bare
	if len(r.Hold) == 0 && hasNoGap(&bare.Result) {
		out.NoGap = true
		return out, nil
	}
	first, p, err := s.best(ctx, r, p, out.Present.start(), out.Present.judged)
	if err != nil {
		return nil, err
	}
	out.Plans = []Plan{*first}
	out.Stopped = first.Choice.Stopped
	// Once there is a plan, a stop loses only what would have come beside it.
	if err := out.others(ctx, p); err != nil && ctx.Err() == nil {
		return nil, err
	}
	if err := out.settle(ctx); err != nil && ctx.Err() == nil {
		return nil, err
	}
	if out.Thumb, err = p.thumb(ctx); err != nil && ctx.Err() == nil {
		return nil, err
	}
	if err != nil {
		out.Thumb = nil
	}
	if ctx.Err() != nil {
		out.Stopped = true
	}
	return out, nil
}

// present judges the document's own plan.
func (p *program) present(ctx context.Context) (Plan, error) {
	at := make([]int, len(p.s.present))
	whole := true
	for i, j := range p.s.present {
		if j < 0 {
			whole = false
			continue
		}
		at[i] = j
	}
	out := Plan{Name: "the present plan", Plan: p.s.farm.Plan, p: p}
	var err error
	if out.Run, err = p.run(ctx, &out.Plan, 0, p.s.years); err != nil {
		return out, err
	}
	if out.judged, err = p.Judge(ctx, p.point(at)); err != nil {
		return out, err
	}
	if whole {
		out.At, out.Reckoned = at, out.judged.Expected
	}
	return out, nil
}

// start is a point from which a search may begin.
func (x *Plan) start() []float64 {
	if x.At != nil {
		return x.p.point(x.At)
	}
	return x.p.point(make([]int, len(x.p.choice)))
}

func hasNoGap(r *season.Result) bool {
	y := &r.Years[r.Bad]
	gap, demand := 0.0, 0.0
	for h := range y.Ledger {
		gap += y.Ledger[h].Gap
		demand += y.Ledger[h].Demand
	}
	return y.Shortage <= 0 && gap <= noGap*demand
}

// best chooses at the request's risk, lets the coupled season correct the program, and
// keeps the plan that is best there.
func (s *search) best(ctx context.Context, r *Request, p *program, start []float64, known *Judgement) (*Plan, *program, error) {
	var best *Plan
	for round := 1; round <= corrections; round++ {
		how := r.thorough()
		if round == 1 {
			how.known = known
		}
		c, err := p.choose(ctx, r, start, how)
		if err != nil {
			if best != nil {
				break // the correction found nothing; what is there stands
			}
			return nil, nil, err
		}
		if best != nil && slices.Equal(c.At, best.At) {
			// Corrected, the program stands by its plan, and reckons it better.
			best.Choice, best.Reckoned, best.judged, best.p, best.Rounds = c, c.Judged.Expected, c.Judged, p, round
			break
		}
		x := &Plan{Name: suggestedName, At: c.At, Plan: s.plan(c.At), Choice: c, Reckoned: c.Judged.Expected, judged: c.Judged, p: p, Rounds: round}
		if x.Run, err = p.run(context.WithoutCancel(ctx), &x.Plan, s.credit(c.At), s.years); err != nil {
			return nil, nil, err
		}
		r.tell("the coupled farm makes %.0f of the %.0f reckoned", x.Run.Expected, x.Reckoned)
		if best == nil || x.Run.Objective < best.Run.Objective {
			best = x
		}
		if c.Stopped || ctx.Err() != nil || round == corrections {
			break
		}
		start = p.point(c.At)
		next := newProgram(s, r, p.relief.towards(p, c.Judged, c.At, x.Run))
		next.Rules = append(next.Rules, p.Rules[len(next.Rules):]...)
		p = next
	}
	return best, best.p, nil
}

// others finds further plans: the cheapest on average and the safest, where they differ
// from those before them on a share of the land, and then the best that differ from all.
func (out *Suggestion) others(ctx context.Context, p *program) error {
	r := out.Request
	for _, end := range []struct {
		name string
		risk float64
	}{{averageName, 0}, {badName, 1}} {
		if end.risk == r.Risk {
			continue
		}
		if len(out.Plans) >= r.Plans || ctx.Err() != nil {
			return nil
		}
		x, err := out.another(ctx, p, end.risk, end.name, false)
		if err != nil || x == nil {
			return err
		}
		if slices.ContainsFunc(out.Plans, func(o Plan) bool { return !p.differs(o.At, x.At) }) {
			continue
		}
		out.Plans = append(out.Plans, *x)
	}
	for len(out.Plans) < r.Plans && ctx.Err() == nil {
		x, err := out.another(ctx, p, r.Risk, anotherName, true)
		if err != nil || x == nil {
			return err
		}
		out.Plans = append(out.Plans, *x)
	}
	return nil
}

// The names of plans.
const (
	suggestedName = "suggested"
	anotherName   = "another way"
	averageName   = "least cost on average"
	badName       = "least cost in bad years"
)

// settle lets the coupled season, in which every plan is shown, have the last word: what
// is best there stands first, and the cheapest there on average and in bad years are
// called so. The program that chose reckons each field alone, and may put two plans the
// other way round.
func (out *Suggestion) settle(ctx context.Context) error {
	least := func(of func(*Run) float64) (at int) {
		for i := range out.Plans {
			if of(out.Plans[i].Run) < of(out.Plans[at].Run) {
				at = i
			}
		}
		return at
	}
	if at := least(func(r *Run) float64 { return r.Objective }); at > 0 {
		first, x := &out.Plans[0], out.Plans[at]
		judged, err := first.p.Judge(ctx, first.p.point(x.At))
		if err != nil {
			return err
		}
		// Its proof is that of the first: no plan is better than the bound.
		c := *first.Choice
		c.At, c.Objective, c.Judged = x.At, judged.Objective, judged
		x.Choice, x.judged, x.Reckoned, x.p, x.Rounds = &c, judged, judged.Expected, first.p, first.Rounds
		out.Plans = slices.Insert(slices.Delete(out.Plans, at, at+1), 0, x)
	}
	for i := range out.Plans {
		out.Plans[i].Name, out.Plans[i].Also = anotherName, nil
	}
	out.Plans[0].Name = suggestedName
	call := func(at int, name string) {
		if x := &out.Plans[at]; x.Name == anotherName {
			x.Name = name
		} else {
			x.Also = append(x.Also, name)
		}
	}
	call(least(func(r *Run) float64 { return r.Expected }), averageName)
	call(least(func(r *Run) float64 { return r.Bad }), badName)
	present := out.Present.Run
	out.Unbeaten = present.Objective <= out.Plans[0].Run.Objective && out.Present.At != nil
	return nil
}

// another chooses one further plan; nil where nothing else is allowed, or the search was
// stopped.
func (out *Suggestion) another(ctx context.Context, p *program, risk float64, name string, apart bool) (*Plan, error) {
	r, s := out.Request, out.search
	q := *p
	own := *p.Program
	q.Program = &own
	q.Rules = slices.Clone(p.Rules)
	q.Risk.Weight = risk
	how := r.brisk(out.Plans[0].judged)
	if apart {
		how.near = out.Plans[0].Choice
		for _, x := range out.Plans {
			q.differ(x.At, different)
		}
	}
	r.tell("looking further: %s", name)
	c, err := q.choose(ctx, r, q.point(out.Plans[0].At), how)
	var none *ErrNone
	switch {
	case errors.As(err, &none), errors.Is(err, ErrNoPoint), err != nil && ctx.Err() != nil:
		return nil, nil
	case err != nil:
		return nil, err
	}
	x := &Plan{Name: name, At: c.At, Plan: s.plan(c.At), Choice: c, Reckoned: c.Judged.Expected, judged: c.Judged, p: &q, Rounds: 1}
	x.Run, err = p.run(context.WithoutCancel(ctx), &x.Plan, s.credit(c.At), s.years)
	return x, err
}

// thumb is the best plan that sows one annual, in one use, on all cropland that takes
// it and leaves the rest as it is: what is done without reckoning.
func (p *program) thumb(ctx context.Context) (*Plan, error) {
	at, err := p.thumbOf(ctx)
	if err != nil || at == nil {
		return nil, err
	}
	x := &Plan{Name: "one annual on all cropland", At: at, Plan: p.s.plan(at), p: p}
	if x.judged, err = p.Judge(ctx, p.point(at)); err != nil {
		return nil, err
	}
	x.Reckoned = x.judged.Expected
	x.Run, err = p.run(ctx, &x.Plan, 0, p.s.years)
	return x, err
}

// thumbOf finds that plan by the mean year's cost.
func (p *program) thumbOf(ctx context.Context) ([]int, error) {
	tried := map[string][]int{}
	var names []string
	for i := range p.s.fields {
		if f := &p.s.farm.Fields[i]; len(f.Stands.Parts) > 0 && f.Stands.Parts[0].Crop.Life == crop.Perennial {
			continue
		}
		for j := range p.s.fields[i] {
			c := &p.s.fields[i][j]
			if len(c.Sowings) != 1 || c.Share < 1 || c.own || c.Renews {
				continue
			}
			n := c.Name()
			if tried[n] == nil {
				tried[n] = make([]int, len(p.s.fields))
				names = append(names, n)
			}
			tried[n][i] = j
		}
	}
	year := *p.Program
	year.Years = []Scenario{*p.mean(p.Program.together()[0])}
	costs := make([]float64, len(names))
	work, ctx := crew.Of(ctx, solvers)
	for k, n := range names {
		work.Go(func() error {
			j, err := year.Judge(ctx, p.point(tried[n]))
			if err == nil {
				costs[k] = j.Expected
			}
			return err
		})
	}
	if err := work.Wait(); err != nil || len(names) == 0 {
		return nil, err
	}
	best := 0
	for k := range costs {
		if costs[k] < costs[best] {
			best = k
		}
	}
	return tried[names[best]], nil
}

// Unseen is how plans do in years that they were not chosen on: half of the weather
// years choose, the other half judge.
type Unseen struct {
	Learnt, Judged []int // weather years
	Lines          []UnseenLine
	// Foresight is the expected cost could each judged year be known, in the program's
	// own reckoning: a bound.
	Foresight float64
}

// UnseenLine is a plan in the judged years.
type UnseenLine struct {
	Name          string
	Reckoned      float64 // expected cost as the program reckons it
	Expected      float64 // in the coupled season
	Shortage, Bad float64 // kg in the 1-in-5 of the judged years; mean cost of the worst tail
}

// OnUnseen chooses a plan on every other weather year and judges it on the rest, beside
// the present plan and the rule of thumb.
func (out *Suggestion) OnUnseen(ctx context.Context) (*Unseen, error) {
	if len(out.Plans) == 0 || len(out.search.years) < 8 {
		return nil, nil
	}
	r, s, p := out.Request, out.search, out.Plans[0].p
	u := &Unseen{}
	var learn, judge []int
	var years []weather.Year
	for y := range s.years {
		if y%2 == 0 {
			learn = append(learn, y)
			u.Learnt = append(u.Learnt, int(s.years[y].ID))
			continue
		}
		judge = append(judge, y)
		years = append(years, s.years[y])
		u.Judged = append(u.Judged, int(s.years[y].ID))
	}
	known, unseen := p.of(learn), p.of(judge)
	c, err := known.choose(ctx, r, p.point(out.Plans[0].At), r.brisk(nil))
	if err != nil {
		return nil, err
	}
	add := func(name string, at []int, plan *farm.Plan) error {
		line := UnseenLine{Name: name}
		if at != nil {
			j, err := unseen.Judge(ctx, p.point(at))
			if err != nil {
				return err
			}
			line.Reckoned = j.Expected
		}
		run, err := p.run(ctx, plan, 0, years)
		if err != nil {
			return err
		}
		line.Expected, line.Bad, line.Shortage = run.Expected, run.Bad, run.Shortage
		u.Lines = append(u.Lines, line)
		return nil
	}
	chosen := s.plan(c.At)
	if err := add("chosen on the other years", c.At, &chosen); err != nil {
		return nil, err
	}
	if err := add(out.Present.Name, out.Present.At, &out.Present.Plan); err != nil {
		return nil, err
	}
	if out.Thumb != nil {
		if err := add(out.Thumb.Name, out.Thumb.At, &out.Thumb.Plan); err != nil {
			return nil, err
		}
	}
	u.Foresight, err = unseen.Foresight(ctx)
	return u, err
}

// of is the program over some of its years, each as likely as the other.
func (p *program) of(years []int) *program {
	q, own := *p, *p.Program
	own.Years = nil
	for _, y := range years {
		s := p.Years[y]
		s.Weight = 1 / float64(len(years))
		own.Years = append(own.Years, s)
	}
	q.Program = &own
	return &q
}

// Carries is what a field carries in a plan, in words.
func (out *Suggestion) Carries(x *Plan, field int) string {
	if x.At != nil {
		return out.search.fields[field][x.At[field]].Name()
	}
	own := Candidate{Share: 1}
	for _, w := range x.Plan.Sowings {
		if w.Field == field {
			own.Sowings = append(own.Sowings, w)
		}
	}
	return own.Name()
}

// RowName is a half-month of the feed year by its first day: "1 Nov".
func (out *Suggestion) RowName(h int) string { return out.search.row(h) }

// Own tells whether a plan leaves a field's programme as the document has it.
func (out *Suggestion) Own(x *Plan, field int) bool {
	return x.At == nil || out.search.fields[field][x.At[field]].own
}

// Terms are what plans were weighed by beside the farm's own prices, in words.
func (out *Suggestion) Terms() []string {
	c := out.Request.Farm.Currency
	t := termsOf(out.search)
	return []string{
		fmt.Sprintf("cost of a year: seed, work, nitrogen and bought feed, and what the stores close with against what they opened with: more at %.0f %s/t DM (stored_forage), less at %.0f (the cheapest bought forage), since the next winter has to be fed", 1000*t.closing, c, 1000*t.forage),
		fmt.Sprintf("dry matter that nothing meets: %d times the dearest bought forage, %.0f %s/t", shortOver, 1000*t.short, c),
		fmt.Sprintf("energy and protein lacking: %.1f times what grain and meal would cost to bring them", lackOver),
		fmt.Sprintf("pasture short of the organic rule: %d times bought forage", ruleOver),
		fmt.Sprintf("bad years: the mean cost of the worst %.0f %% of weather years, with the weight %.2f", 100*tailOf(out.Request.Tail), out.Request.Risk),
		"the weights are common practice, chosen here, and the same for every plan",
	}
}

// WriteMPS writes the first plan's program over every weather year in the MPS format, so
// that any other solver can be asked.
func (out *Suggestion) WriteMPS(w io.Writer) error {
	if len(out.Plans) == 0 {
		return ErrNoPoint
	}
	p := out.Plans[0].p
	m, _ := p.model(p.Program.apart(), nil, nil)
	return m.WriteMPS(w)
}
