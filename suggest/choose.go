package suggest

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"rowen/farm"
	"rowen/internal/document"
	"rowen/internal/solver"
	"rowen/quantity"
)

// Choice is a plan as the program chose it: one candidate a field, and what was
// proven of it.
type Choice struct {
	At        []int      // by field: the candidate
	Objective float64    // over all weather years
	Bound     float64    // no plan is better, in the program's own arithmetic
	Judged    *Judgement // over all weather years
	Stopped   bool       // time ran out, or the search was stopped, before the gap was proven
	Elapsed   time.Duration
	Rounds    int // of choosing and judging
	rulePrice []float64
	cuts      []cut     // all that was learnt of the years
	reduced   []float64 // by First: prices over every year
}

// Gap is what the proof leaves open, as a share of the objective.
func (c *Choice) Gap() float64 {
	switch {
	case math.IsInf(c.Objective, 1):
		return 1
	case c.Objective == 0:
		return 0
	}
	return max(0, c.Objective-c.Bound) / math.Abs(c.Objective)
}

const (
	// groups is how many groups of years price the programmes.
	groups = 5
	// wide and narrow are how many programmes of a field stay in: for the bound over
	// every year, and for the choice itself.
	wide, narrow = 24, 8
)

// effort is how far a choice is taken: the gap to be proven, how often what judging a
// choice taught is put back at most, and how long one round seeks before what is there is
// judged, since the bound comes from elsewhere.
type effort struct {
	gap      float64
	rounds   int
	patience time.Duration
	known    *Judgement // of the start, under the same years; nil where it was not judged
	near     *Choice    // of the same program with fewer rules, whose bound and lessons hold; nil for none
}

// thorough is the effort for the plan that is asked for; brisk for those shown beside it.
func (r *Request) thorough() effort {
	return effort{gap: cmp.Or(r.Gap, usualGap), rounds: 10, patience: 10 * time.Second}
}

func (r *Request) brisk(known *Judgement) effort {
	return effort{gap: 2 * cmp.Or(r.Gap, usualGap), rounds: 1, patience: time.Second, known: known}
}

// choose finds a plan and proves how good it is. Over groups of years every programme is
// priced; over every year the best of them are, which gives a bound that no plan is below,
// and what each year teaches; the choice is made under what was taught, and costed over
// every year by itself. What that teaches is put back and the choice made again until the
// gap between the best plan's cost and the bound is as small as asked.
func (p *program) choose(ctx context.Context, r *Request, start []float64, how effort) (*Choice, error) {
	gap := how.gap
	began := time.Now()
	j, err := p.weighed(how.known), error(nil)
	if j == nil {
		if j, err = p.Judge(ctx, start); err != nil {
			return nil, err
		}
	}
	best := &Choice{At: p.picks(start), Objective: j.Objective, Judged: j, Bound: math.Inf(-1)}
	if !p.keepsRules(start) {
		best.Objective = math.Inf(1)
	}
	cuts := slices.Clone(j.cuts)
	left := func(most time.Duration) time.Duration {
		if r.Limit <= 0 {
			return most
		}
		return min(cmp.Or(most, r.Limit), max(r.Limit-time.Since(began), 50*time.Millisecond))
	}
	stopped := func(err error) (*Choice, error) {
		var none *ErrNone
		if errors.As(err, &none) || math.IsInf(best.Objective, 1) || !errors.Is(err, ErrNoPoint) && ctx.Err() == nil {
			return nil, err
		}
		best.cuts, best.Stopped, best.Elapsed = cuts, true, time.Since(began)
		return best, nil
	}
	if near := how.near; near != nil {
		best.Bound, best.reduced = near.Bound, near.reduced
		cuts = append(cuts, near.cuts...)
	} else {
		rough, err := p.relax(ctx, clusters(groups, j), nil, left(0))
		if err != nil {
			return stopped(err)
		}
		fine, err := p.relax(ctx, p.apart(), p.within(rough.reduced, wide, best.At), left(0))
		if err != nil {
			best.Bound = rough.bound
			return stopped(err)
		}
		best.Bound, best.reduced = max(rough.bound, fine.bound), fine.reduced
		cuts = append(cuts, fine.cuts...)
	}
	if cuts, err = p.mend(ctx, best, cuts); err != nil {
		return stopped(err)
	}
	p.tell(r, best, began)
	for most := narrow; best.Gap() > gap && best.Rounds < how.rounds; {
		best.Rounds++
		set := Settings{Gap: gap / 4, Limit: left(how.patience)}
		if !math.IsInf(best.Objective, 1) {
			set.Start = p.point(best.At)
		}
		if r.Progress != nil {
			set.Progress = func(s solver.Progress) { r.Progress(Progress{Solve: &s}) }
		}
		c, err := p.solve(ctx, nil, cuts, p.within(best.reduced, most, best.At), set)
		if err != nil {
			return stopped(err)
		}
		if slices.Equal(p.picks(c.X), best.At) {
			// It stands by the best: only more programmes to choose among can better it.
			if best.rulePrice = c.RulePrice; most >= wide {
				break
			}
			most *= 2
			continue
		}
		// A stopped search still wants its plan costed.
		if j, err = p.Judge(context.WithoutCancel(ctx), c.X); err != nil {
			return nil, err
		}
		cuts = append(cuts, j.cuts...)
		if j.Objective < best.Objective {
			best.At, best.Objective, best.Judged, best.rulePrice = p.picks(c.X), j.Objective, j, c.RulePrice
		}
		p.tell(r, best, began)
		if ctx.Err() != nil || r.Limit > 0 && time.Since(began) > r.Limit {
			break
		}
	}
	best.cuts = cuts
	if math.IsInf(best.Objective, 1) {
		return nil, ErrNoPoint
	}
	best.Stopped, best.Elapsed = best.Gap() > gap, time.Since(began)
	return best, nil
}

// within keeps the programmes of each field that the prices speak best of, and those of a
// choice.
func (p *program) within(reduced []float64, most int, at []int) []bool {
	in := make([]bool, len(p.First))
	for i, cs := range p.choice {
		order := slices.Clone(cs)
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(reduced[a], reduced[b]) })
		for _, j := range order[:min(most, len(order))] {
			in[j] = true
		}
		in[cs[at[i]]] = true
		in[cs[0]] = true
	}
	return in
}

// keepsRules tells whether a point keeps the rules on First.
func (p *Program) keepsRules(x []float64) bool {
	for i := range p.Rules {
		c, sum := &p.Rules[i], 0.0
		for _, t := range c.Terms {
			sum += t.Value * x[t.At]
		}
		if slack := 1e-9 * max(1, math.Abs(sum)); sum < c.Low-slack || sum > c.Up+slack {
			return false
		}
	}
	return true
}

func (p *program) tell(r *Request, c *Choice, began time.Time) {
	c.Elapsed = time.Since(began)
	r.tell("round %d: cost %.0f, no plan is below %.0f, gap %.2f %%, %.1f s", c.Rounds, c.Objective, c.Bound, 100*c.Gap(), c.Elapsed.Seconds())
}

// picks reads which candidate each field carries.
func (p *program) picks(x []float64) []int {
	out := make([]int, len(p.choice))
	for i := range p.choice {
		for j, at := range p.choice[i] {
			if x[at] > 0.5 {
				out[i] = j
			}
		}
	}
	return out
}

// point is a choice as values of First.
func (p *program) point(at []int) []float64 {
	x := make([]float64, len(p.First))
	for i, j := range at {
		x[p.choice[i][j]] = 1
	}
	return x
}

// differ asks of a further plan that it differs from an earlier one on a share of the
// land: in kind, not in maturity or in a finer use.
func (p *program) differ(at []int, share float64) {
	total := 0.0
	same := Constraint{Low: math.Inf(-1)}
	for i, j := range at {
		area := float64(p.s.farm.Fields[i].Area)
		total += area
		kind := p.s.kind(&p.s.fields[i][j])
		for k, first := range p.choice[i] {
			if p.s.kind(&p.s.fields[i][k]) == kind {
				same.Terms = append(same.Terms, Term{first, area})
			}
		}
	}
	same.Name = fmt.Sprintf("a plan that differs on %.0f %% of the land", 100*share)
	same.Up = total * (1 - share)
	p.Rules = append(p.Rules, same)
}

// differs tells whether two choices differ in kind on the share of the land that makes
// them different plans.
func (p *program) differs(a, b []int) bool {
	total, other := 0.0, 0.0
	for i := range a {
		area := float64(p.s.farm.Fields[i].Area)
		total += area
		if p.s.kind(&p.s.fields[i][a[i]]) != p.s.kind(&p.s.fields[i][b[i]]) {
			other += area
		}
	}
	return other >= different*total
}

// kind names what a programme sows, its stands by the plainest of their kind: late corn
// is corn, brown midrib sorghum is sorghum.
func (s *search) kind(c *Candidate) (name string) {
	for i := range c.Sowings {
		stand := c.Sowings[i].Mix.Name
		for _, other := range s.catalogue.Names() {
			if len(other) < len(stand) && strings.HasPrefix(stand, other+"-") {
				stand = other
			}
		}
		name += stand + "|"
	}
	return name
}

// plan writes a choice as the plan of a farm document.
func (s *search) plan(at []int) farm.Plan {
	var out farm.Plan
	for i, j := range at {
		c := &s.fields[i][j]
		for _, w := range c.Sowings {
			w.Field = i
			if c.Share < 1 {
				w.Area = s.farm.Fields[i].Area * quantity.Area(c.Share)
			}
			out.Sowings = append(out.Sowings, w)
		}
	}
	return out
}

// restrict keeps only the candidates that holds and what is to be avoided allow.
func (s *search) restrict(r *Request) error {
	var problems document.Problems
	for _, h := range r.Hold {
		i := slices.IndexFunc(s.farm.Fields, func(f farm.Field) bool { return f.Name == h.Field })
		var kept []Candidate
		for _, c := range s.fields[i] {
			if h.Stand == AsItIs && c.Leaves() || c.has(h.Stand) {
				kept = append(kept, c)
			}
		}
		if len(kept) == 0 {
			problems = append(problems, document.Problem{File: s.farm.Document.Path, Line: s.farm.Fields[i].Line, Thing: fmt.Sprintf("hold %q", h.Field), Value: h.Stand, Remedy: s.whyNot(i, h.Stand, r)})
			continue
		}
		s.fields[i] = kept
	}
	for i := range s.fields {
		s.fields[i] = slices.DeleteFunc(slices.Clone(s.fields[i]), func(c Candidate) bool {
			return slices.ContainsFunc(r.Avoid, c.has)
		})
		if len(s.fields[i]) == 0 && len(problems) == 0 {
			problems = append(problems, document.Problem{File: s.farm.Document.Path, Line: s.farm.Fields[i].Line, Thing: fmt.Sprintf("field %q", s.farm.Fields[i].Name), Value: "", Remedy: "what it is held to and what is to be avoided leave it nothing; leave one of the two out"})
		}
	}
	if len(problems) > 0 {
		return problems
	}
	s.index()
	return nil
}

// whyNot says why a field has no programme with a stand.
func (s *search) whyNot(field int, stand string, r *Request) string {
	for _, other := range r.Hold {
		if other.Field == s.farm.Fields[field].Name && other.Stand != stand {
			return fmt.Sprintf("no programme of the field has it together with %s, to which the field is held too; leave one of the two out", other.Stand)
		}
	}
	for _, no := range s.refused {
		if no.Field == field && no.Stand == stand {
			return fmt.Sprintf("it was ruled out there: %s (%s)", no.Text, no.Source)
		}
	}
	return "it has no use there that this farm's stores and fields allow"
}

// index finds the document's own plan among the candidates again.
func (s *search) index() {
	for i := range s.fields {
		s.present[i] = -1
		for j := range s.fields[i] {
			if s.fields[i][j].own {
				s.present[i] = j
			}
		}
	}
}
