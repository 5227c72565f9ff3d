package suggest

import (
	"context"
	"slices"

	"rowen/farm"
	"rowen/internal/document"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

// Change is one thing that may turn out otherwise. Factors of 0 change nothing.
type Change struct {
	Name   string
	Forage float64 // price of bought hay and forage, times
	Grain  float64 // price of grain and protein, times
	Head   float64 // heads of every group, times
	Rain   float64 // rain and snow of every day, times
	Hold   []Hold
	Avoid  []string
}

// WhatIf is what the first plan becomes under a change.
type WhatIf struct {
	Change
	// Kept is the program's cost of the plan as suggested; Best of the plan that would
	// then be chosen. Both are what the request's risk weighs.
	Kept, Best float64
	Gap        float64
	At         []int
	Moves      []Move // where the two plans differ
}

// Move is a field that would carry something else.
type Move struct {
	Field    int
	Was, Now string
}

// Again chooses again under a change, beginning from the first plan. Only what the
// change touches is made anew: programmes are grown again for other rain alone.
func (out *Suggestion) Again(ctx context.Context, c Change) (*WhatIf, error) {
	r := *out.Request
	first := &out.Plans[0]
	f := changed(r.Farm, &c)
	r.Farm = f
	r.Hold, r.Avoid = slices.Concat(r.Hold, c.Hold), slices.Concat(r.Avoid, c.Avoid)
	if err := r.Check(); err != nil {
		return nil, err
	}
	s := out.search
	if c.Rain > 0 && c.Rain != 1 {
		r.Years = rained(r.Years, c.Rain)
		again, err := newSearch(ctx, &r)
		if err != nil {
			return nil, err
		}
		s = again
	} else {
		again := *s
		again.farm = f
		again.fields = slices.Clone(s.fields)
		again.present = slices.Clone(s.present)
		m, problems := season.Compile(f, &farm.Plan{}, s.years[:1])
		if len(problems) > 0 {
			return nil, document.Problems(problems)
		}
		again.model = m
		if err := again.restrict(&r); err != nil {
			return nil, err
		}
		s = &again
	}
	p := newProgram(s, &r, first.p.relief)
	w := &WhatIf{Change: c}
	start := make([]int, len(first.At))
	allowed := true
	for i, j := range first.At {
		name := out.search.fields[i][j].Name()
		start[i] = slices.IndexFunc(s.fields[i], func(k Candidate) bool { return k.Name() == name })
		if start[i] < 0 {
			start[i], allowed = 0, false
		}
	}
	j, err := p.Judge(ctx, p.point(start))
	if err != nil {
		return nil, err
	}
	if allowed {
		w.Kept = j.Objective
	}
	choice, err := p.choose(ctx, &r, p.point(start), r.brisk(j))
	if err != nil {
		return nil, err
	}
	w.Best, w.Gap, w.At = choice.Objective, choice.Gap(), choice.At
	for i, j := range choice.At {
		was, now := out.search.fields[i][first.At[i]].Name(), s.fields[i][j].Name()
		if was != now {
			w.Moves = append(w.Moves, Move{i, was, now})
		}
	}
	return w, nil
}

// changed is a farm with a change made.
func changed(f *farm.Farm, c *Change) *farm.Farm {
	g := *f
	scale := func(price *quantity.MoneyPerMass, factor float64) {
		if factor > 0 {
			*price *= quantity.MoneyPerMass(factor)
		}
	}
	scale(&g.Prices.BoughtForage, c.Forage)
	scale(&g.Prices.BoughtHay, c.Forage)
	scale(&g.Prices.Grain, c.Grain)
	scale(&g.Prices.Protein, c.Grain)
	if c.Head > 0 {
		g.Groups = slices.Clone(f.Groups)
		for i := range g.Groups {
			g.Groups[i].Periods = slices.Clone(g.Groups[i].Periods)
			for k := range g.Groups[i].Periods {
				g.Groups[i].Periods[k].Head *= c.Head
			}
		}
	}
	return &g
}

// rained is weather with more rain or less on every day that had some.
func rained(years []weather.Year, factor float64) []weather.Year {
	out := slices.Clone(years)
	for i := range out {
		out[i].Days = slices.Clone(out[i].Days)
		for d := range out[i].Days {
			out[i].Days[d].Rain *= factor
		}
	}
	return out
}
