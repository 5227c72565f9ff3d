package solver

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// Conflict finds rows of an infeasible model that cannot hold together within the
// bounds of the columns, while any of them left out lets the others hold: what to
// tell a person by RowName. There can be other such sets. No rows and no error
// mean that a column that takes whole numbers has none within its bounds.
//
// Options.TimeLimit is for each of the many solves; where one runs into it, the row
// in question stays. When the context ends, the rows so far come with its error:
// they conflict, but perhaps not all are needed.
func Conflict(ctx context.Context, m *Model, o Options) ([]Row, error) {
	o.Start, o.Basis, o.Progress = nil, nil, nil
	f := &conflictFilter{ctx: ctx, options: o, model: m.Relax()}
	f.clearCosts()
	all := make([]Row, m.Rows())
	for r := range all {
		all[r] = Row(r)
	}
	infeasible, err := f.infeasible(all)
	if err != nil {
		return nil, err
	}
	kept := all
	if infeasible {
		if kept, err = f.elastic(all); err != nil {
			return all, err
		}
	} else {
		// Only the whole numbers make it so, and those have no prices to go by.
		f.model = m.Clone()
		f.clearCosts()
		if infeasible, err = f.infeasible(all); err != nil {
			return nil, err
		} else if !infeasible {
			return nil, fmt.Errorf("solver: model %q was not found to be infeasible, so it has no conflict", m.name)
		}
	}
	return f.reduce(kept)
}

type conflictFilter struct {
	ctx     context.Context
	options Options
	model   *Model // without costs
}

func (f *conflictFilter) clearCosts() {
	clear(f.model.cost)
	f.model.offset = 0
	f.model.Minimise()
}

// only is the model with these rows alone.
func (f *conflictFilter) only(rows []Row) *Model {
	m := f.model.Clone()
	place := make([]int32, f.model.Rows())
	for i := range place {
		place[i] = -1
	}
	m.rowNames, m.rowLo, m.rowUp, m.entries = nil, nil, nil, nil
	for _, r := range rows {
		place[r] = int32(m.Row(f.model.rowNames[r], f.model.rowLo[r], f.model.rowUp[r]))
	}
	for _, e := range f.model.entries {
		if e.row = place[e.row]; e.row >= 0 {
			m.entries = append(m.entries, e)
		}
	}
	return m
}

func (f *conflictFilter) infeasible(rows []Row) (bool, error) {
	s, err := Solve(f.ctx, f.only(rows), f.options)
	if err != nil {
		return false, err
	}
	return s.Status == Infeasible || s.Status == InfeasibleOrUnbounded, nil
}

// elastic lets every row give way at a price of 1 and keeps those with a price in
// the cheapest answer: they prove that it cannot be done (Farkas). Where rounding
// has spoilt the proof, all rows are kept.
func (f *conflictFilter) elastic(rows []Row) ([]Row, error) {
	m := f.only(rows)
	for r := range rows {
		if !math.IsInf(m.rowLo[r], -1) {
			m.Set(Row(r), m.Var("", 0, math.Inf(1), 1), 1)
		}
		if !math.IsInf(m.rowUp[r], 1) {
			m.Set(Row(r), m.Var("", 0, math.Inf(1), 1), -1)
		}
	}
	s, err := Solve(f.ctx, m, f.options)
	if err != nil {
		return nil, err
	}
	if s.Status != Optimal || s.Dual == nil {
		return rows, nil
	}
	var kept []Row
	for i, r := range rows {
		if math.Abs(s.Dual[i]) > 1e-9 {
			kept = append(kept, r)
		}
	}
	proved, err := f.infeasible(kept)
	if err != nil || !proved {
		return rows, err
	}
	return kept, nil
}

// reduce leaves rows out, many at a time and in the end one by one, as long as the
// rest still conflicts.
func (f *conflictFilter) reduce(rows []Row) ([]Row, error) {
	size := max(1, len(rows)/2)
	for {
		for at := 0; at < len(rows); {
			rest := slices.Concat(rows[:at], rows[min(at+size, len(rows)):])
			still, err := f.infeasible(rest)
			if err != nil {
				return rows, err
			}
			if still {
				rows = rest
			} else {
				at += size
			}
		}
		if size == 1 {
			return rows, nil
		}
		size = max(1, min(size, len(rows))/2)
	}
}
