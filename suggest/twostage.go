package suggest

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"rowen/internal/solver"
)

// Program is a two-stage stochastic program with fixed recourse: First is decided
// before the year is known, Second in each year anew, at costs and by rules that are
// the same in every year. Years differ in what First gives them (Tech), in the sides
// of the rules (Shift) and in what First costs (Cost). Everything is to be kept
// small: cost is minimised.
type Program struct {
	Name   string
	Fixed  float64 // cost that no decision changes
	First  []Column
	Rules  []Constraint // over First alone
	Second []Column
	Links  []Constraint // over Second, and over First by each year's Tech
	Years  []Scenario
	Risk   Risk
}

// Column is a decision.
type Column struct {
	Name    string
	Low, Up float64
	Cost    float64
	Whole   bool
}

// Term is a coefficient: of a column in a constraint, or of a row in a column.
type Term struct {
	At    int
	Value float64
}

// Constraint keeps a sum between two bounds.
type Constraint struct {
	Name    string
	Low, Up float64
	Terms   []Term
}

// Scenario is one year, or the mean of several.
type Scenario struct {
	Name   string
	Weight float64   // probability; all add up to 1
	Cost   []float64 // by First, on top of its own; nil for none
	Shift  []float64 // by Links, added to both bounds; nil for none
	Tech   [][]Term  // by First: At is the row of Links
}

// Risk weighs the bad years: the objective is (1-Weight) of the expected cost and
// Weight of the mean cost of the worst Tail of years (conditional value at risk,
// Rockafellar & Uryasev 2000, Journal of Risk 2: 21-41).
type Risk struct {
	Weight float64 // 0 to 1
	Tail   float64 // share of years counted as bad, above 0 and up to 1
}

// Of is the objective over years of given costs and probabilities.
func (r Risk) Of(cost, weight []float64) float64 {
	return (1-r.Weight)*mean(cost, weight) + r.Weight*r.Bad(cost, weight)
}

// Bad is the mean cost of the worst Tail of years; the year at the border counts for
// the part that is still wanted.
func (r Risk) Bad(cost, weight []float64) float64 {
	left, sum := r.Tail, 0.0
	for _, i := range worstFirst(cost) {
		take := min(left, weight[i])
		sum += take * cost[i]
		if left -= take; left <= 0 {
			break
		}
	}
	return sum / (r.Tail - max(left, 0))
}

func mean(cost, weight []float64) (sum float64) {
	for i := range cost {
		sum += weight[i] * cost[i]
	}
	return sum
}

// cut is what judging a choice taught of one year: its recourse costs at least Least
// plus Slope times First, whatever is chosen (Van Slyke & Wets 1969, SIAM Journal on
// Applied Mathematics 17: 638-663).
type cut struct {
	year  int
	least float64
	slope []float64 // by First
}

// layout tells where a program's columns and rows lie in the solver's model.
type layout struct {
	in    []bool // which of First are in; nil: all
	first []solver.Col
	rules []solver.Row
	// of each group: its years' rows, its columns, and the row that holds its cost
	links  [][]solver.Row
	second [][]solver.Col
	cost   []solver.Row
}

// model lays the program out as one linear program: the years in groups, each group
// standing for its years by their mean, and above that what cuts tell of each year.
//
// Fixed recourse and fixed costs make what a year costs convex in what it brings, so
// that the mean year of a group costs no more than its years do on average (Jensen's
// inequality; Birge & Louveaux, Introduction to Stochastic Programming, chapter 8):
// the optimum is a lower bound, and with every year its own group it is the optimum.
func (p *Program) model(groups [][]int, cuts []cut, in []bool) (*solver.Model, *layout) {
	m := solver.NewModel(p.Name)
	m.Minimise()
	m.Offset((1 - p.Risk.Weight) * p.Fixed)
	at := p.firstStage(m, in)
	theta := make([]solver.Col, len(p.Years))
	for s := range p.Years {
		theta[s] = m.Var("recourse|"+p.Years[s].Name, math.Inf(-1), math.Inf(1), (1-p.Risk.Weight)*p.Years[s].Weight)
	}
	for _, g := range groups {
		y := p.mean(g)
		second := make([]solver.Col, len(p.Second))
		for k := range p.Second {
			c := &p.Second[k]
			second[k] = m.Var(c.Name+"|"+y.Name, c.Low, c.Up, 0)
		}
		at.links, at.second = append(at.links, p.year(m, y, at, second)), append(at.second, second)
		row := m.Row("cost|"+y.Name, 0, math.Inf(1))
		for _, s := range g {
			m.Set(row, theta[s], p.Years[s].Weight/y.Weight)
		}
		at.cost = append(at.cost, row)
		for k := range p.Second {
			if c := p.Second[k].Cost; c != 0 {
				m.Set(row, second[k], -c)
			}
		}
	}
	for i := range cuts {
		c := &cuts[i]
		row := m.Row(fmt.Sprintf("cut %d|%s", i, p.Years[c.year].Name), c.least, math.Inf(1))
		m.Set(row, theta[c.year], 1)
		for j, v := range c.slope {
			at.set(m, row, j, -v)
		}
	}
	if p.Risk.Weight > 0 {
		p.badYears(m, at, theta)
	}
	return m, at
}

// firstStage lays out First with its expected cost, and the rules on it.
func (p *Program) firstStage(m *solver.Model, in []bool) *layout {
	at := &layout{in: in}
	for j := range p.First {
		c := &p.First[j]
		cost := c.Cost
		for s := range p.Years {
			cost += p.Years[s].Weight * p.Years[s].of(j)
		}
		cost *= 1 - p.Risk.Weight
		if !at.has(j) {
			at.first = append(at.first, m.Var(c.Name, 0, 0, 0))
		} else if c.Whole {
			at.first = append(at.first, m.Int(c.Name, c.Low, c.Up, cost))
		} else {
			at.first = append(at.first, m.Var(c.Name, c.Low, c.Up, cost))
		}
	}
	for i := range p.Rules {
		row := m.Row(p.Rules[i].Name, p.Rules[i].Low, p.Rules[i].Up)
		at.rules = append(at.rules, row)
		for _, t := range p.Rules[i].Terms {
			at.set(m, row, t.At, t.Value)
		}
	}
	return at
}

// has tells whether a decision is in.
func (at *layout) has(j int) bool { return at.in == nil || at.in[j] }

// set gives a decision its part in a row, if it is in.
func (at *layout) set(m *solver.Model, row solver.Row, j int, v float64) {
	if v != 0 && at.has(j) {
		m.Set(row, at.first[j], v)
	}
}

// badYears lays out the conditional value at risk: a border, and by how much each year
// is worse than it.
func (p *Program) badYears(m *solver.Model, at *layout, theta []solver.Col) {
	border := m.Var("value at risk", math.Inf(-1), math.Inf(1), p.Risk.Weight)
	for s := range p.Years {
		y := &p.Years[s]
		worse := m.Var("worse|"+y.Name, 0, math.Inf(1), p.Risk.Weight*y.Weight/p.Risk.Tail)
		row := m.Row("bad year|"+y.Name, p.Fixed, math.Inf(1)) // worse + border >= cost
		m.Set(row, worse, 1)
		m.Set(row, border, 1)
		m.Set(row, theta[s], -1)
		for j := range p.First {
			at.set(m, row, j, -p.First[j].Cost-y.of(j))
		}
	}
}

// year lays one year's rules out.
func (p *Program) year(m *solver.Model, y *Scenario, at *layout, second []solver.Col) []solver.Row {
	rows := make([]solver.Row, len(p.Links))
	for i := range p.Links {
		l := &p.Links[i]
		low, up := y.sides(l, i)
		rows[i] = m.Row(l.Name+"|"+y.Name, low, up)
		for _, t := range l.Terms {
			m.Set(rows[i], second[t.At], t.Value)
		}
	}
	for j := range y.Tech {
		for _, t := range y.Tech[j] {
			at.set(m, rows[t.At], j, t.Value)
		}
	}
	return rows
}

func (y *Scenario) of(j int) float64 {
	if y.Cost == nil {
		return 0
	}
	return y.Cost[j]
}

func (y *Scenario) sides(l *Constraint, i int) (low, up float64) {
	if y.Shift == nil {
		return l.Low, l.Up
	}
	return l.Low + y.Shift[i], l.Up + y.Shift[i]
}

// Chosen is what solving a program gave.
type Chosen struct {
	X         []float64 // by First
	Objective float64   // of this program
	Bound     float64   // no choice is better
	Optimal   bool      // proven to the gap asked; false where time ran out or the run was stopped
	Elapsed   time.Duration
	RulePrice []float64 // what one more unit of a rule's bound changes the objective by, with First as chosen
}

// Settings steer a solve.
type Settings struct {
	Gap      float64       // relative gap at which to stop
	Limit    time.Duration // 0 no limit
	Start    []float64     // First of an earlier choice, to begin from; may be nil
	Progress func(solver.Progress)
}

// ErrNone is returned where no choice keeps all rules.
type ErrNone struct{ Rules []string }

func (e *ErrNone) Error() string {
	return "no plan keeps all of these together: " + strings.Join(e.Rules, "; ") + ". Loosen one of them"
}

// Solve chooses First for all years together.
func (p *Program) Solve(ctx context.Context, set Settings) (*Chosen, error) {
	return p.solve(ctx, p.apart(), nil, nil, set)
}

// apart has every year in a group of its own; together has them all in one.
func (p *Program) apart() (groups [][]int) {
	for s := range p.Years {
		groups = append(groups, []int{s})
	}
	return groups
}

func (p *Program) together() [][]int {
	all := make([]int, len(p.Years))
	for s := range all {
		all[s] = s
	}
	return [][]int{all}
}

// solve chooses First for groups of years under cuts.
func (p *Program) solve(ctx context.Context, groups [][]int, cuts []cut, in []bool, set Settings) (*Chosen, error) {
	m, at := p.model(groups, cuts, in)
	o := solver.Options{Gap: set.Gap, TimeLimit: set.Limit, Progress: set.Progress}
	if set.Start != nil {
		o.Start = make([]float64, m.Cols())
		for i := range o.Start {
			o.Start[i] = math.NaN()
		}
		for j, c := range at.first {
			o.Start[c] = set.Start[j]
		}
	}
	s, err := solver.Solve(ctx, m, o)
	if err != nil {
		return nil, err
	}
	if s.Status == solver.Infeasible || s.Status == solver.InfeasibleOrUnbounded {
		return nil, p.conflict(ctx, m)
	}
	if !s.Feasible() {
		return nil, fmt.Errorf("%v: %w after %v", s.Status, ErrNoPoint, s.Elapsed.Round(time.Millisecond))
	}
	c := &Chosen{Objective: s.Objective, Bound: s.Bound, Optimal: s.Status == solver.Optimal, Elapsed: s.Elapsed}
	for j, col := range at.first {
		x := s.X[col]
		if p.First[j].Whole {
			x = math.Round(x)
		}
		c.X = append(c.X, x)
	}
	if s.Dual != nil {
		for _, r := range at.rules {
			c.RulePrice = append(c.RulePrice, s.Dual[r])
		}
	}
	return c, nil
}

// relaxed is a program solved with parts of whole decisions allowed.
type relaxed struct {
	bound   float64   // no choice, of everything that may be in, costs less
	cuts    []cut     // what its years teach of every choice
	reduced []float64 // by First: what the objective rises by at least for one unit of it
}

// relax solves the program over groups of years, with parts of whole decisions allowed.
// What is not in is priced all the same: wherever exactly one of several decisions is to
// be taken (the rules in one), the cheapest of them by these prices stands in for all, so
// that the bound holds for everything (Lagrangian bound; Geoffrion 1974, Mathematical
// Programming Study 2: 82-114).
func (p *Program) relax(ctx context.Context, groups [][]int, in []bool, limit time.Duration) (*relaxed, error) {
	m, at := p.model(groups, nil, in)
	sol, err := solver.Solve(ctx, m.Relax(), solver.Options{TimeLimit: limit})
	if err != nil {
		return nil, err
	}
	switch sol.Status {
	case solver.Optimal:
	case solver.Infeasible, solver.InfeasibleOrUnbounded:
		return nil, p.conflict(ctx, m)
	default:
		return nil, ErrNoPoint
	}
	x := make([]float64, len(at.first))
	for j, c := range at.first {
		x[j] = sol.X[c]
	}
	out := &relaxed{bound: sol.Objective, reduced: make([]float64, len(p.First))}
	// What each year's costs weigh in the objective: its probability, and more of it in
	// the worst years.
	weigh := make([]float64, len(p.Years))
	for g, years := range groups {
		weight := sol.Dual[at.cost[g]]
		price := make([]float64, len(p.Links))
		recourse := 0.0
		if weight > 1e-9 {
			for i, r := range at.links[g] {
				price[i] = sol.Dual[r] / weight
			}
			for k, c := range at.second[g] {
				recourse += p.Second[k].Cost * sol.X[c]
			}
		}
		y := p.mean(years)
		c := p.learnOf(x, y, recourse, price)
		for j := range c.slope {
			out.reduced[j] += weight * c.slope[j]
		}
		for _, s := range years {
			weigh[s] = weight * p.Years[s].Weight / y.Weight
		}
		if len(years) == 1 && weight > 1e-9 {
			c.year = years[0]
			out.cuts = append(out.cuts, c)
		}
	}
	for j := range p.First {
		out.reduced[j] += p.First[j].Cost
		for s := range p.Years {
			out.reduced[j] += weigh[s] * p.Years[s].of(j)
		}
	}
	for i := range p.Rules {
		dual := sol.Dual[at.rules[i]]
		for _, t := range p.Rules[i].Terms {
			out.reduced[t.At] -= dual * t.Value
		}
	}
	for i := range p.Rules {
		if !p.Rules[i].oneOf() {
			continue
		}
		least, taken := math.Inf(1), 0.0
		for _, t := range p.Rules[i].Terms {
			least = min(least, out.reduced[t.At])
			taken += x[t.At] * out.reduced[t.At]
		}
		out.bound += least - taken
	}
	return out, nil
}

// oneOf tells whether a rule takes exactly one of its decisions.
func (c *Constraint) oneOf() bool {
	if c.Low != 1 || c.Up != 1 {
		return false
	}
	for _, t := range c.Terms {
		if t.Value != 1 {
			return false
		}
	}
	return true
}

// conflict names the rules that cannot all be kept.
func (p *Program) conflict(ctx context.Context, m *solver.Model) error {
	rows, err := solver.Conflict(ctx, m, solver.Options{TimeLimit: conflictLimit})
	if err != nil {
		return err
	}
	none := &ErrNone{}
	for _, r := range rows {
		none.Rules = append(none.Rules, m.RowName(r))
	}
	return none
}

// conflictLimit is how long the search for what conflicts may take.
const conflictLimit = 20 * time.Second

// mean is a group of years as one.
func (p *Program) mean(g []int) *Scenario {
	if len(g) == 1 {
		return &p.Years[g[0]]
	}
	s := &Scenario{Name: fmt.Sprintf("mean of %d with %s", len(g), p.Years[g[0]].Name)}
	for _, y := range g {
		s.Weight += p.Years[y].Weight
	}
	for _, i := range g {
		y := &p.Years[i]
		part := y.Weight / s.Weight
		s.Cost = addScaled(s.Cost, y.Cost, part)
		s.Shift = addScaled(s.Shift, y.Shift, part)
		if s.Tech == nil {
			s.Tech = make([][]Term, len(y.Tech))
		}
		for j := range y.Tech {
			s.Tech[j] = addTerms(s.Tech[j], y.Tech[j], part)
		}
	}
	return s
}

func addScaled(sum, add []float64, part float64) []float64 {
	if add == nil {
		return sum
	}
	if sum == nil {
		sum = make([]float64, len(add))
	}
	for i := range add {
		sum[i] += part * add[i]
	}
	return sum
}

// addTerms adds one column to another; both are in order of row.
func addTerms(sum, add []Term, part float64) []Term {
	out := make([]Term, 0, len(sum)+len(add))
	for i, k := 0, 0; i < len(sum) || k < len(add); {
		switch {
		case k == len(add) || i < len(sum) && sum[i].At < add[k].At:
			out = append(out, sum[i])
			i++
		case i == len(sum) || add[k].At < sum[i].At:
			out = append(out, Term{add[k].At, part * add[k].Value})
			k++
		default:
			out = append(out, Term{sum[i].At, sum[i].Value + part*add[k].Value})
			i, k = i+1, k+1
		}
	}
	return out
}

// Judgement is what a choice costs in every year of a program.
type Judgement struct {
	Cost      []float64 // by year, First included
	Expected  float64
	Bad       float64 // mean of the worst tail
	Objective float64
	Second    [][]float64 // by year
	Price     [][]float64 // by year and link: what one more unit of its bound changes the year's cost by
	cuts      []cut
}
