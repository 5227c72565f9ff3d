package solver

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"
)

// talk is one solve, seen from the parent.
type talk struct {
	model    *Model
	options  Options
	solution *Solution
}

func (t *talk) run(ctx context.Context) error {
	c, err := children.take(ctx)
	if err != nil {
		return t.without(ctx, err)
	}
	return t.with(ctx, c)
}

// with puts the model to a child, which goes back to its pool or ends.
func (t *talk) with(ctx context.Context, c *child) error {
	began := time.Now()
	defer func() { t.solution.Elapsed = time.Since(began) }()
	sent := make(chan error, 1)
	go func() { sent <- c.encoder.Encode(t.model.request(t.options)) }()

	// HiGHS looks at its clock only now and then.
	var late <-chan time.Time
	if limit := t.options.TimeLimit; limit > 0 {
		timer := time.NewTimer(limit + max(limit/20, 100*time.Millisecond))
		defer timer.Stop()
		late = timer.C
	}
	for {
		select {
		case r := <-c.replies:
			done, err := t.hear(r)
			if !done {
				continue
			}
			if err := errors.Join(err, <-sent); err != nil {
				children.drop(c)
				return err
			}
			children.give(c)
			return nil
		case <-c.dead:
			children.drop(c)
			return fmt.Errorf("solver: it ended without an answer (%s; it said: %s)", c.process.ProcessState, c.last)
		case <-late:
			children.drop(c)
			t.stop(TimeLimit)
			return nil
		case <-ctx.Done():
			children.drop(c)
			return t.without(ctx, ctx.Err())
		}
	}
}

// without ends a solve by its context: with the best point so far, if there is one.
func (t *talk) without(ctx context.Context, err error) error {
	if ctx.Err() == nil {
		return err
	}
	if !t.solution.feasible {
		return fmt.Errorf("solver: no point found before the end: %w", ctx.Err())
	}
	if errors.Is(ctx.Err(), context.DeadlineExceeded) {
		t.stop(TimeLimit)
	} else {
		t.stop(Interrupted)
	}
	return nil
}

// stop sets the status of a solve cut short, unless its answer had come and only
// the prices were waited for.
func (t *talk) stop(s Status) {
	if t.solution.Status == Unknown {
		t.solution.Status = s
	}
}

// hear takes one reply into the solution. It says whether that was the last.
func (t *talk) hear(r reply) (done bool, err error) {
	s := t.solution
	switch {
	case r.Done:
		return true, nil
	case r.NoMemory:
		return true, fmt.Errorf("%w (limit %d MiB, %d columns, %d rows, %d coefficients)", ErrMemory,
			t.options.MemoryLimit>>20, t.model.Cols(), t.model.Rows(), t.model.NonZeros())
	case r.Fault != "":
		return true, fmt.Errorf("solver: model %q: %s", t.model.name, r.Fault)
	case r.Point != nil:
		s.hold(t.model, r.Point)
	case r.Log != nil && t.options.Log != nil:
		_, err := t.options.Log.Write(r.Log)
		return err != nil, err
	case r.Progress != nil:
		t.progress(*r.Progress)
	case r.Answer != nil:
		t.answer(r.Answer)
	case r.Price != nil:
		t.price(r.Price)
	}
	return false, nil
}

func (t *talk) progress(p Progress) {
	s := t.solution
	s.Bound, s.Nodes = unlimited(p.Bound), p.Nodes
	s.measure()
	if t.options.Progress == nil {
		return
	}
	p.Bound, p.Gap = s.Bound, s.Gap
	if p.Objective = unlimited(p.Objective); s.feasible {
		p.Objective = s.Objective
	}
	t.options.Progress(p)
}

// unlimited turns HiGHS's stand-in for infinity into infinity.
func unlimited(v float64) float64 {
	if math.Abs(v) >= 1e100 {
		return math.Inf(int(math.Copysign(1, v)))
	}
	return v
}

func (t *talk) answer(a *answer) {
	s, m := t.solution, t.model
	s.Status, s.Iterations, s.Nodes = statusOf(a.Status), int(a.Iterations), int(a.Nodes)
	if a.HasPoint {
		s.hold(m, a.X)
	}
	switch {
	case s.Status == Infeasible, s.Status == Unbounded, s.Status == InfeasibleOrUnbounded:
		s.X, s.Activity, s.feasible, s.Objective = nil, nil, false, math.NaN()
	case s.Status == Optimal && !s.feasible:
		s.Status = Unknown // the solver's tolerances are not ours
	case m.integerColumns > 0:
		s.Bound = unlimited(a.Bound)
	case s.Status == Optimal:
		s.Bound = s.Objective
	}
	s.measure()
}

// price takes the dual side. The linear program that is left when whole numbers
// are fixed can have a better point than the search ended with.
func (t *talk) price(p *price) {
	s, m := t.solution, t.model
	if !s.feasible || len(p.Reduced) != m.Cols() || len(p.Dual) != m.Rows() {
		return
	}
	s.Reduced, s.Dual = p.Reduced, p.Dual
	if m.integerColumns == 0 {
		s.Basis = p.Basis
		return
	}
	better := newSolution(m)
	better.hold(m, p.X)
	if better.feasible && (m.maximise && better.Objective >= s.Objective || !m.maximise && better.Objective <= s.Objective) {
		s.X, s.Activity, s.Objective = better.X, better.Activity, better.Objective
		s.measure()
	}
}
