// Package solver finds the best point of a linear or mixed-integer program: HiGHS,
// compiled to WebAssembly, in a child process of this same binary. It knows
// columns and rows, no agronomy.
//
// A program that solves calls the hook first of all, in main and in every TestMain:
//
//	if solver.IsChild() {
//		os.Exit(solver.RunChild())
//	}
//
// What is not here: quadratic costs, special ordered sets, semi-continuous
// columns, and callbacks that add cuts or points.
package solver

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"time"
)

// ErrAbsent says that the binary was built without the solver's code.
var ErrAbsent = errors.New("solver: this binary was built without the solver; run make assets (it needs npm), then build again")

// ErrMemory says that the solver wanted more memory than Options.MemoryLimit.
var ErrMemory = errors.New("solver: the model needs more memory than Options.MemoryLimit allows; solve a smaller one or raise the limit")

// Options say how to solve. The zero value is a good start.
type Options struct {
	Gap         float64        // relative distance of the best point from the bound at which a search among whole numbers may stop; 0 for the solver's 0.01 %
	TimeLimit   time.Duration  // from when the solver has the model; 0 for none
	Start       []float64      // a point by Col to start a search among whole numbers from; NaN where not known
	Basis       *Basis         // the basis of an earlier Solution of a model of the same shape, for a linear program
	Progress    func(Progress) // called during a search among whole numbers, on the goroutine that called Solve
	MemoryLimit int64          // bytes; 0 for 1 GiB, at most 2 GiB
	Log         io.Writer      // the solver's own words
	Seed        int            // another seed takes another way through a tie
}

// Progress tells how a search among whole numbers stands.
type Progress struct {
	Elapsed               time.Duration
	Objective, Bound, Gap float64 // infinite while there is none
	Nodes                 int
	Incumbent             bool // this is a new best point
}

// Basis says which columns and rows define a vertex. It is opaque: hand it on.
type Basis struct{ Col, Row []int8 }

// Status says why a solve ended.
type Status int

const (
	Unknown Status = iota // the solver gave up: numerical trouble
	Optimal               // the best point is held, within the gap
	Infeasible
	Unbounded
	InfeasibleOrUnbounded
	TimeLimit   // Options.TimeLimit or the context's deadline passed
	Interrupted // the context was cancelled
)

func (s Status) String() string {
	switch s {
	case Optimal:
		return "optimal"
	case Infeasible:
		return "infeasible"
	case Unbounded:
		return "unbounded"
	case InfeasibleOrUnbounded:
		return "infeasible or unbounded"
	case TimeLimit:
		return "time limit"
	case Interrupted:
		return "interrupted"
	}
	return "unknown"
}

// Solution is what was found. Without a point X and Activity are nil; Reduced and
// Dual are nil where the solver has no prices to tell.
type Solution struct {
	Status    Status
	Objective float64 // at X; NaN without a point
	Bound     float64 // no point is better than this
	Gap       float64 // |Objective-Bound| / |Objective|; +Inf without a point

	X        []float64 // by Col
	Activity []float64 // by Row, at X

	// Reduced (by Col) and Dual (by Row) are the change of the objective for one
	// more of the bound that holds; 0 where none does. Where columns take whole
	// numbers, they hold with those columns fixed as they are in X, and a solve cut
	// short has none.
	Reduced, Dual []float64

	Basis      *Basis // of a linear program solved to its end
	Elapsed    time.Duration
	Iterations int // of the simplex method
	Nodes      int

	feasible bool
}

// Feasible says whether X is a point that meets every bound, row and whole number
// within 1e-6, relative to the bound where that is above 1. It is recomputed from
// the model, not taken from the solver.
func (s *Solution) Feasible() bool { return s != nil && s.feasible }

// Solve finds the best point of a model. An infeasible or unbounded model is no
// error: see Status. When the context ends, the best point so far comes back with
// status Interrupted or TimeLimit and no error; without one, the context's error.
// Errors: those of Validate, ErrAbsent, ErrMemory, and a solver that failed.
func Solve(ctx context.Context, m *Model, o Options) (*Solution, error) {
	if err := m.Validate(); err != nil {
		return nil, err
	}
	if err := m.fits(&o); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("solver: %w", err)
	}
	if m.Cols() == 0 {
		return m.withoutColumns(), nil
	}
	t := &talk{model: m, options: o, solution: newSolution(m)}
	if err := t.run(ctx); err != nil {
		return nil, err
	}
	return t.solution, nil
}

const (
	defaultMemory = 1 << 30
	mostMemory    = 2 << 30
)

// fits completes the options and holds them against the model.
func (m *Model) fits(o *Options) error {
	var problems []error
	say := func(format string, a ...any) {
		problems = append(problems, fmt.Errorf("solver: model %q: "+format, append([]any{m.name}, a...)...))
	}
	if math.IsNaN(o.Gap) || o.Gap < 0 {
		say("the gap is %g; give 0 or more, 0.01 for 1 %%", o.Gap)
	}
	if o.TimeLimit < 0 {
		say("the time limit is %v; give 0 for none", o.TimeLimit)
	}
	if o.Start != nil && len(o.Start) != m.Cols() {
		say("the point to start from has %d values; the model has %d columns", len(o.Start), m.Cols())
	}
	if b := o.Basis; b != nil && (len(b.Col) != m.Cols() || len(b.Row) != m.Rows()) {
		say("the basis is of %d columns and %d rows; the model has %d and %d", len(b.Col), len(b.Row), m.Cols(), m.Rows())
	}
	if o.MemoryLimit == 0 {
		o.MemoryLimit = defaultMemory
	}
	if o.MemoryLimit < 0 || o.MemoryLimit > mostMemory {
		say("the memory limit is %d bytes; give at most %d", o.MemoryLimit, mostMemory)
	}
	if o.Seed < 0 || o.Seed > math.MaxInt32 {
		say("the seed is %d; give 0 to %d", o.Seed, math.MaxInt32)
	}
	return errors.Join(problems...)
}

func newSolution(m *Model) *Solution {
	bound := math.Inf(-1)
	if m.maximise {
		bound = math.Inf(1)
	}
	return &Solution{Objective: math.NaN(), Bound: bound, Gap: math.Inf(1)}
}

// withoutColumns solves a model that has nothing to decide.
func (m *Model) withoutColumns() *Solution {
	s := newSolution(m)
	s.hold(m, []float64{})
	if s.Status = Infeasible; s.feasible {
		s.Status, s.Bound, s.Gap = Optimal, s.Objective, 0
		s.Reduced, s.Dual = []float64{}, make([]float64, m.Rows())
	}
	return s
}
