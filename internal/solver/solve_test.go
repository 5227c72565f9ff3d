package solver_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"time"

	"rowen/internal/solver"
)

// marketSplit is a problem of Cornuéjols & Dawande (1998): a point is found at
// once, and at this size nobody proves in reasonable time how good one can be.
func marketSplit(rows, cols int) *solver.Model {
	r := rand.New(rand.NewPCG(1, 2))
	m := solver.NewModel("market split")
	for c := range cols {
		m.Binary(fmt.Sprintf("x%d", c), 0)
	}
	for i := range rows {
		sum, weights := 0, make([]int, cols)
		for c := range weights {
			weights[c] = r.IntN(100)
			sum += weights[c]
		}
		row := m.Row(fmt.Sprintf("share %d", i), float64(sum/2), float64(sum/2))
		for c, w := range weights {
			m.Set(row, solver.Col(c), float64(w))
		}
		m.Set(row, m.Var(fmt.Sprintf("over %d", i), 0, inf, 1), -1)
		m.Set(row, m.Var(fmt.Sprintf("under %d", i), 0, inf, 1), 1)
	}
	return m
}

func TestEndsWithoutAPoint(t *testing.T) {
	needSolver(t)
	x := func(m *solver.Model, lo, up, cost float64) solver.Row {
		r := m.Row("r", lo, up)
		m.Set(r, m.Var("x", 0, inf, cost), 1)
		return r
	}
	cases := []struct {
		name  string
		build func(*solver.Model)
		want  []solver.Status
	}{
		{"infeasible", func(m *solver.Model) { x(m, -inf, -1, 1) }, []solver.Status{solver.Infeasible}},
		{"unbounded", func(m *solver.Model) { x(m, 1, inf, -1) }, []solver.Status{solver.Unbounded, solver.InfeasibleOrUnbounded}},
		{"both", func(m *solver.Model) { x(m, -inf, -1, 1); m.Var("y", 0, inf, -1) }, []solver.Status{solver.Infeasible, solver.InfeasibleOrUnbounded}},
		{"no whole number", func(m *solver.Model) { m.Int("n", 0.2, 0.8, 1) }, []solver.Status{solver.Infeasible}},
		{"infeasible by whole numbers alone", func(m *solver.Model) {
			r := m.Row("odd", 3, 3)
			m.Set(r, m.Int("a", 0, 10, 0), 2)
			m.Set(r, m.Int("b", 0, 10, 0), 4)
		}, []solver.Status{solver.Infeasible}},
		{"no columns, a row that 0 does not meet", func(m *solver.Model) { m.Row("r", 1, 2) }, []solver.Status{solver.Infeasible}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := solver.NewModel(c.name)
			c.build(m)
			s, err := solver.Solve(context.Background(), m, solver.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if s.Feasible() || s.X != nil || !math.IsNaN(s.Objective) || !math.IsInf(s.Gap, 1) {
				t.Errorf("a point came back: %+v", s)
			}
			for _, want := range c.want {
				if s.Status == want {
					return
				}
			}
			t.Errorf("status %v, want one of %v", s.Status, c.want)
		})
	}
}

func TestModelsAtTheEdge(t *testing.T) {
	needSolver(t)
	solve := func(m *solver.Model) *solver.Solution {
		t.Helper()
		s, err := solver.Solve(context.Background(), m, solver.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if s.Status != solver.Optimal {
			t.Fatalf("%s: %v", m.Name(), s.Status)
		}
		return s
	}
	empty := solver.NewModel("nothing at all")
	empty.Offset(3)
	if s := solve(empty); s.Objective != 3 || !s.Feasible() {
		t.Errorf("an empty model is worth %v, want its offset 3", s.Objective)
	}
	noRows := solver.NewModel("no rows")
	noRows.Maximise()
	noRows.Offset(10)
	noRows.Var("a", -4, 4, 2)
	noRows.Var("fixed", -1.5, -1.5, 2)
	if s := solve(noRows); s.Objective != 10+8-3 || s.Reduced[0] != 2 {
		t.Errorf("no rows: objective %v and price %v, want 15 and 2", s.Objective, s.Reduced[0])
	}
	summed := solver.NewModel("summed")
	r := summed.Row("r", 6, 6)
	free := summed.Row("free", -inf, inf)
	x := summed.Var("x", 0, inf, 1)
	summed.Set(r, x, 1)
	summed.Set(free, x, 7)
	summed.Set(r, x, 2)
	if s := solve(summed); s.X[x] != 2 || s.Activity[free] != 14 || summed.NonZeros() != 2 {
		t.Errorf("coefficients set twice are not summed: x %v, activity %v, %d coefficients", s.X[x], s.Activity, summed.NonZeros())
	}
}

// Prices must say what happens: the next unit of a bound is worth its price.
func TestPricesAreTheChangeOfTheObjective(t *testing.T) {
	needSolver(t)
	for _, maximise := range []bool{false, true} {
		m := solver.NewModel("prices")
		sign := 1.0
		if maximise {
			m.Maximise()
			sign = -1
		}
		// Feed 100 kg of protein and 600 of energy from hay and barley; hay is short.
		hay, barley := m.Var("hay", 0, 300, sign*0.2), m.Var("barley", 0, inf, sign*0.35)
		protein, energy := m.Row("protein", 60, inf), m.Row("energy", 600, inf)
		m.Set(protein, hay, 0.14)
		m.Set(protein, barley, 0.12)
		m.Set(energy, hay, 1.2)
		m.Set(energy, barley, 1.8)
		solve := func(m *solver.Model) *solver.Solution {
			s, err := solver.Solve(context.Background(), m, solver.Options{})
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		base := solve(m)
		more := m.Clone()
		more.SetRowBounds(protein, 61, inf)
		if got, want := base.Dual[protein], solve(more).Objective-base.Objective; !near(got, want, 1e-9) || want == 0 {
			t.Errorf("maximise %v: price of protein %v, one more costs %v", maximise, got, want)
		}
		more = m.Clone()
		more.SetBounds(hay, 0, 301)
		if got, want := base.Reduced[hay], solve(more).Objective-base.Objective; !near(got, want, 1e-9) || want == 0 {
			t.Errorf("maximise %v: price of hay %v, one more changes %v", maximise, got, want)
		}
	}
}

func TestWholeNumbersHavePricesOfTheRest(t *testing.T) {
	needSolver(t)
	// Opening a store costs 50 and lets 100 in; feed beyond it is bought at 2.
	m := solver.NewModel("store")
	open := m.Binary("open", 50)
	kept, bought := m.Var("kept", 0, inf, 0.1), m.Var("bought", 0, inf, 2)
	need, room := m.Row("need", 150, inf), m.Row("room", -inf, 0)
	m.Set(need, kept, 1)
	m.Set(need, bought, 1)
	m.Set(room, kept, 1)
	m.Set(room, open, -100)
	s, err := solver.Solve(context.Background(), m, solver.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if s.Objective != 160 || !near(s.Dual[need], 2, 1e-9) || !near(s.Dual[room], -1.9, 1e-9) {
		t.Errorf("objective %v, prices %v; want 160, 2 for need and -1.9 for room", s.Objective, s.Dual)
	}
}

func TestCancelKeepsTheBestPoint(t *testing.T) {
	needSolver(t)
	m := marketSplit(6, 50)
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	seen := inf
	s, err := solver.Solve(ctx, m, solver.Options{Progress: func(p solver.Progress) {
		if p.Incumbent {
			seen = min(seen, p.Objective)
			cancel()
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	if s.Status != solver.Interrupted || !s.Feasible() || len(s.Activity) != m.Rows() || s.Objective > seen || s.Bound > s.Objective || s.Gap <= 0 {
		t.Errorf("got %v, feasible %v, objective %v (seen %v), bound %v, gap %v", s.Status, s.Feasible(), s.Objective, seen, s.Bound, s.Gap)
	}
	if s, err := solver.Solve(context.Background(), knapsack(), solver.Options{}); err != nil || s.Objective != 309 {
		t.Errorf("after a cancel: %v, %v", s, err)
	}
}

func TestContextThatEndsBeforeAPoint(t *testing.T) {
	needSolver(t)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if s, err := solver.Solve(ctx, knapsack(), solver.Options{}); !errors.Is(err, context.Canceled) || s != nil {
		t.Errorf("got %v, %v; want the context's error", s, err)
	}
	late, stop := context.WithDeadline(context.Background(), time.Now().Add(20*time.Millisecond))
	defer stop()
	s, err := solver.Solve(late, twoStage(40, 15, 42), solver.Options{})
	if s.Feasible() || !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("got %v, %v; want the deadline's error", s, err)
	}
}

func TestTimeLimit(t *testing.T) {
	needSolver(t)
	s, err := solver.Solve(context.Background(), marketSplit(6, 50), solver.Options{TimeLimit: time.Second})
	if err != nil {
		t.Fatal(err)
	}
	if s.Status != solver.TimeLimit || !s.Feasible() || s.Bound > s.Objective {
		t.Errorf("got %v, feasible %v, bound %v, objective %v", s.Status, s.Feasible(), s.Bound, s.Objective)
	}
	// A linear program has no point before its end, and running out of time is no error.
	s, err = solver.Solve(context.Background(), twoStage(40, 15, 42), solver.Options{TimeLimit: 20 * time.Millisecond})
	if err != nil || s.Status != solver.TimeLimit || s.Feasible() {
		t.Errorf("linear: got %+v, %v", s, err)
	}
	ctx, pass := context.WithCancel(context.Background())
	defer pass()
	s, err = solver.Solve(deadline{ctx}, marketSplit(6, 50), solver.Options{Progress: func(p solver.Progress) {
		if p.Incumbent {
			pass()
		}
	}})
	if err != nil || s.Status != solver.TimeLimit || !s.Feasible() {
		t.Errorf("deadline: got %v, %v", s, err)
	}
}

// deadline is a context whose deadline passes when it is cancelled, so that a test
// need not guess how fast the machine is.
type deadline struct{ context.Context }

func (d deadline) Err() error {
	if d.Context.Err() != nil {
		return context.DeadlineExceeded
	}
	return nil
}

func TestOutOfMemory(t *testing.T) {
	needSolver(t)
	big := twoStage(40, 15, 42)
	s, err := solver.Solve(context.Background(), big, solver.Options{MemoryLimit: 18 << 20})
	if s != nil || !errors.Is(err, solver.ErrMemory) || !strings.Contains(err.Error(), "limit 18 MiB") {
		t.Fatalf("got %v, %v; want ErrMemory with the limit", s, err)
	}
	if s, err := solver.Solve(context.Background(), knapsack(), solver.Options{}); err != nil || s.Objective != 309 {
		t.Errorf("the next solve: %v, %v", s, err)
	}
	// Less than the code itself starts with.
	if _, err := solver.Solve(context.Background(), knapsack(), solver.Options{MemoryLimit: 1 << 20}); !errors.Is(err, solver.ErrMemory) {
		t.Errorf("1 MiB: got %v, want ErrMemory", err)
	}
}

func TestGapStopsEarly(t *testing.T) {
	needSolver(t)
	m := marketSplit(2, 20)
	exact, err := solver.Solve(context.Background(), m, solver.Options{})
	if err != nil {
		t.Fatal(err)
	}
	loose, err := solver.Solve(context.Background(), m, solver.Options{Gap: 1e6})
	if err != nil {
		t.Fatal(err)
	}
	if exact.Status != solver.Optimal || loose.Status != solver.Optimal || loose.Nodes > exact.Nodes || loose.Objective < exact.Objective {
		t.Errorf("loose: %d nodes, %v; exact: %d nodes, %v", loose.Nodes, loose.Objective, exact.Nodes, exact.Objective)
	}
}

func TestStartIsTaken(t *testing.T) {
	needSolver(t)
	m := marketSplit(4, 30)
	first, err := solver.Solve(context.Background(), m, solver.Options{TimeLimit: time.Second})
	if err != nil || !first.Feasible() {
		t.Fatal(first, err)
	}
	for name, start := range map[string][]float64{"whole": first.X, "without the continuous": append([]float64(nil), first.X...)} {
		if name != "whole" {
			for c := range start {
				if !m.Integer(solver.Col(c)) {
					start[c] = math.NaN()
				}
			}
		}
		best := inf
		ctx, cancel := context.WithCancel(context.Background())
		s, err := solver.Solve(ctx, m, solver.Options{Start: start, Progress: func(p solver.Progress) {
			if best = min(best, p.Objective); p.Incumbent {
				cancel()
			}
		}})
		cancel()
		if err != nil {
			t.Fatal(name, err)
		}
		if s.Objective > first.Objective+1e-6 {
			t.Errorf("%s: the first point is worth %v, worse than the start's %v", name, s.Objective, first.Objective)
		}
	}
}

func TestBasisSavesIterations(t *testing.T) {
	needSolver(t)
	m := twoStage(20, 5, 12)
	cold, err := solver.Solve(context.Background(), m, solver.Options{})
	if err != nil || cold.Basis == nil {
		t.Fatal(cold, err)
	}
	m.SetCost(0, m.Cost(0)*1.001)
	warm, err := solver.Solve(context.Background(), m, solver.Options{Basis: cold.Basis})
	if err != nil {
		t.Fatal(err)
	}
	again, err := solver.Solve(context.Background(), m, solver.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if warm.Iterations*4 > cold.Iterations || !near(warm.Objective, again.Objective, 1e-9) {
		t.Errorf("warm: %d iterations to %v; cold: %d to %v", warm.Iterations, warm.Objective, again.Iterations, again.Objective)
	}
}

func TestLogAndProgress(t *testing.T) {
	needSolver(t)
	var log bytes.Buffer
	incumbents, calls := 0, 0
	s, err := solver.Solve(context.Background(), marketSplit(2, 20), solver.Options{Log: &log, Progress: func(p solver.Progress) {
		calls++
		if p.Incumbent {
			incumbents++
		}
		if p.Bound > p.Objective || p.Gap < 0 {
			t.Errorf("progress makes no sense: %+v", p)
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	_, err = solver.Solve(context.Background(), queens(7), solver.Options{Progress: func(p solver.Progress) {
		if p.Bound < p.Objective || p.Gap < 0 {
			t.Errorf("maximising, progress makes no sense: %+v", p)
		}
	}})
	if err != nil {
		t.Fatal(err)
	}
	if incumbents == 0 || calls == 0 || !strings.Contains(log.String(), "HiGHS") || s.Nodes == 0 {
		t.Errorf("%d calls, %d incumbents, %d nodes, log:\n%s", calls, incumbents, s.Nodes, log.String())
	}
}

func TestSolvesAtOnce(t *testing.T) {
	needSolver(t)
	var wait sync.WaitGroup
	for range 2 {
		for _, p := range published {
			wait.Go(func() {
				if s, err := solver.Solve(context.Background(), p.model(), solver.Options{}); err != nil || !near(s.Objective, p.want, 1e-9) {
					t.Errorf("%s: %v, %v", p.name, s, err)
				}
			})
		}
	}
	wait.Wait()
}

func TestRefusedBeforeSolving(t *testing.T) {
	m := solver.NewModel("bad")
	x := m.Var("grass", 2, 1, math.NaN())
	y := m.Var("clover", inf, inf, inf)
	r := m.Row("land", math.NaN(), 3)
	m.Set(r, x, math.Inf(-1))
	m.Set(r, y, math.NaN())
	m.Set(r+5, x, 1)
	m.Set(r, y+9, 1)
	m.Set(-1, -1, 1)
	m.Offset(inf)
	_, err := solver.Solve(context.Background(), m, solver.Options{})
	if err == nil {
		t.Fatal("no error")
	}
	for _, want := range []string{
		`the offset is +Inf`, `column "grass": the cost is NaN`, `column "grass": the lower bound 2 is above the upper bound 1`,
		`column "clover": the cost is +Inf`, `column "clover": the bounds are +Inf to +Inf`, `row "land": the bounds are NaN to 3`,
		`row "land", column "grass": the coefficient is -Inf`, `row "land", column "clover": the coefficient is NaN`,
		`column "grass": a coefficient (1) is in a row`, `row "land": a coefficient (1) is in a column`, `in a row and a column`,
	} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q is missing in:\n%v", want, err)
		}
	}
	_, err = solver.Solve(context.Background(), knapsack(), solver.Options{
		Gap: -1, TimeLimit: -1, Start: []float64{1}, Basis: &solver.Basis{}, MemoryLimit: 1 << 40, Seed: -1})
	for _, want := range []string{"gap", "time limit", "1 values", "basis", "memory limit", "seed"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is missing in:\n%v", want, err)
		}
	}
}
