package suggest

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// estimate is what a choice costs at least by what is known of the years: no solving.
func (p *program) estimate(cuts []cut, at []int) float64 {
	cost := make([]float64, len(p.Years))
	for y := range cost {
		cost[y] = math.Inf(-1)
	}
	for i := range cuts {
		c := &cuts[i]
		v := c.least
		for f, j := range at {
			v += c.slope[p.choice[f][j]]
		}
		cost[c.year] = max(cost[c.year], v)
	}
	for y := range cost {
		cost[y] += p.Fixed
		for f, j := range at {
			first := p.choice[f][j]
			cost[y] += p.First[first].Cost + p.Years[y].of(first)
		}
	}
	return p.Risk.Of(cost, p.weights())
}

// few is how many changes of one field are tried in pairs.
const few = 40

// nearby finds a choice that keeps the rules by changing one field, or else two, of one
// that does not: the one that is estimated best. It is nil where two do not do.
func (p *program) nearby(cuts []cut, at []int) []int {
	type change struct {
		field, to int
		cost      float64
	}
	var singles []change
	var best []int
	least := math.Inf(1)
	try := func(x []int, cost float64) {
		if cost < least && p.keepsRules(p.point(x)) {
			best, least = slices.Clone(x), cost
		}
	}
	x := slices.Clone(at)
	for i := range at {
		for j := range p.choice[i] {
			if j == at[i] {
				continue
			}
			x[i] = j
			c := change{i, j, p.estimate(cuts, x)}
			singles = append(singles, c)
			try(x, c.cost)
		}
		x[i] = at[i]
	}
	if best != nil {
		return best
	}
	slices.SortStableFunc(singles, func(a, b change) int { return cmp.Compare(a.cost, b.cost) })
	singles = singles[:min(few, len(singles))]
	for a := range singles {
		for b := range a {
			if singles[a].field == singles[b].field {
				continue
			}
			x[singles[a].field], x[singles[b].field] = singles[a].to, singles[b].to
			try(x, p.estimate(cuts, x))
			x[singles[a].field], x[singles[b].field] = at[singles[a].field], at[singles[b].field]
		}
	}
	return best
}

// looks is how often a choice that breaks the rules is mended and judged: what one
// judgement teaches corrects the next estimate.
const looks = 3

// mend puts a choice that keeps the rules in the place of one that breaks them, and gives
// the cuts that judging it taught beside those there were.
func (p *program) mend(ctx context.Context, c *Choice, cuts []cut) ([]cut, error) {
	if !math.IsInf(c.Objective, 1) {
		return cuts, nil
	}
	var last []int
	from := c.At
	for range looks {
		at := p.nearby(cuts, from)
		if at == nil || slices.Equal(at, last) {
			break
		}
		j, err := p.Judge(ctx, p.point(at))
		if err != nil {
			return cuts, err
		}
		cuts = append(cuts, j.cuts...)
		if j.Objective < c.Objective {
			c.At, c.Objective, c.Judged = at, j.Objective, j
		}
		last = at
	}
	return cuts, nil
}
