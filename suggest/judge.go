package suggest

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"rowen/internal/crew"
	"rowen/internal/solver"
)

// ErrNoPoint is returned where a solve was stopped before it found any choice.
var ErrNoPoint = errors.New("no plan was found")

func worstFirst(cost []float64) []int {
	order := make([]int, len(cost))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(cost[b], cost[a]) })
	return order
}

// Judge costs a choice over every year of the program: each year by itself is the
// linear program of its own Second.
func (p *Program) Judge(ctx context.Context, x []float64) (*Judgement, error) {
	n := len(p.Years)
	j := &Judgement{Cost: make([]float64, n), Second: make([][]float64, n), Price: make([][]float64, n), cuts: make([]cut, n)}
	work, ctx := crew.Of(ctx, solvers)
	for s := range p.Years {
		work.Go(func() error { return p.recourse(ctx, x, s, j) })
	}
	if err := work.Wait(); err != nil {
		return nil, err
	}
	weight := p.weights()
	j.Expected, j.Bad, j.Objective = mean(j.Cost, weight), p.Risk.Bad(j.Cost, weight), p.Risk.Of(j.Cost, weight)
	return j, nil
}

// weighed is a judgement of the same years under this program's risk; nil of nil.
func (p *Program) weighed(j *Judgement) *Judgement {
	if j == nil {
		return nil
	}
	again := *j
	again.Objective = p.Risk.Of(j.Cost, p.weights())
	return &again
}

// solvers is how many linear programs are solved at once.
const solvers = 2

func (p *Program) weights() []float64 {
	w := make([]float64, len(p.Years))
	for s := range p.Years {
		w[s] = p.Years[s].Weight
	}
	return w
}

// recourse finds the least that a year costs once First is chosen, and what its prices
// tell of every other choice.
func (p *Program) recourse(ctx context.Context, x []float64, s int, out *Judgement) error {
	y := &p.Years[s]
	m := solver.NewModel(p.Name + " " + y.Name)
	m.Minimise()
	cost := p.Fixed
	given := make([]float64, len(p.Links))
	for j, v := range x {
		if v == 0 {
			continue
		}
		cost += v * (p.First[j].Cost + y.of(j))
		if j < len(y.Tech) {
			for _, t := range y.Tech[j] {
				given[t.At] += v * t.Value
			}
		}
	}
	cols := make([]solver.Col, len(p.Second))
	for k := range p.Second {
		c := &p.Second[k]
		cols[k] = m.Var(c.Name, c.Low, c.Up, c.Cost)
	}
	rows := make([]solver.Row, len(p.Links))
	for i := range p.Links {
		l := &p.Links[i]
		low, up := y.sides(l, i)
		rows[i] = m.Row(l.Name, low-given[i], up-given[i])
		for _, t := range l.Terms {
			m.Set(rows[i], cols[t.At], t.Value)
		}
	}
	sol, err := solver.Solve(ctx, m, solver.Options{})
	if err != nil {
		return err
	}
	if sol.Status != solver.Optimal {
		return fmt.Errorf("%s, year %s: %v", p.Name, y.Name, sol.Status)
	}
	second, price := make([]float64, len(cols)), make([]float64, len(rows))
	for k, c := range cols {
		second[k] = sol.X[c]
	}
	for i, r := range rows {
		price[i] = sol.Dual[r]
	}
	out.Cost[s], out.Second[s], out.Price[s] = cost+sol.Objective, second, price
	out.cuts[s] = p.learnOf(x, y, sol.Objective, price)
	out.cuts[s].year = s
	return nil
}

// learnOf makes a cut of a year's recourse and its prices.
func (p *Program) learnOf(x []float64, y *Scenario, recourse float64, price []float64) cut {
	c := cut{least: recourse, slope: make([]float64, len(p.First))}
	for j, terms := range y.Tech {
		for _, t := range terms {
			c.slope[j] -= price[t.At] * t.Value
		}
		c.least -= c.slope[j] * x[j]
	}
	return c
}

// Foresight is what the years would cost on average could each be known beforehand:
// a bound that no plan is below. Parts of whole decisions are allowed in it.
func (p *Program) Foresight(ctx context.Context) (float64, error) {
	best := make([]float64, len(p.Years))
	work, ctx := crew.Of(ctx, solvers)
	for s := range p.Years {
		work.Go(func() error {
			one := *p
			one.Risk.Weight = 0
			year := p.Years[s]
			year.Weight = 1
			one.Years = []Scenario{year}
			r, err := one.relax(ctx, one.apart(), nil, 0)
			if err != nil {
				return err
			}
			best[s] = r.bound
			return nil
		})
	}
	if err := work.Wait(); err != nil {
		return 0, err
	}
	return mean(best, p.weights()), nil
}

// Value is what it is worth to think about the years at all.
type Value struct {
	Recourse  float64 // expected cost of the best choice (RP)
	Foresight float64 // could each year be known (WS)
	OfMean    float64 // of the choice that is best for the mean year, over all years (EEV)
	Knowing   float64 // value of perfect information (EVPI): Recourse - Foresight
	Thinking  float64 // value of the stochastic solution (VSS): OfMean - Recourse
}

// Worth compares the choice for all years with that for their mean and with
// foresight (Birge & Louveaux, chapter 4). Costs are expected ones: risk is left out.
func (p *Program) Worth(ctx context.Context, set Settings) (Value, error) {
	plain := *p
	plain.Risk.Weight = 0
	var v Value
	c, err := plain.Solve(ctx, set)
	if err != nil {
		return v, err
	}
	v.Recourse = c.Objective
	if v.Foresight, err = plain.Foresight(ctx); err != nil {
		return v, err
	}
	usual, err := plain.solve(ctx, plain.together(), nil, nil, set)
	if err != nil {
		return v, err
	}
	j, err := plain.Judge(ctx, usual.X)
	if err != nil {
		return v, err
	}
	v.OfMean = j.Expected
	v.Knowing, v.Thinking = v.Recourse-v.Foresight, v.OfMean-v.Recourse
	return v, nil
}
