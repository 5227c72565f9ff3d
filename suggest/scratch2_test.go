package suggest

import (
	"context"
	"testing"
	"time"

	"rowen/internal/solver"
)

func TestScratchLP(t *testing.T) {
	ctx := context.Background()
	r := request(t, "dairy", 30)
	r.Progress = nil
	s, err := newSearch(ctx, r)
	if err != nil {
		t.Fatal(err)
	}
	p := newProgram(s, r, noRelief())
	j, err := p.Judge(ctx, p.point(make([]int, len(s.fields))))
	if err != nil {
		t.Fatal(err)
	}
	g := clusters(5, j)
	m, _ := p.model(g, nil)
	for range 2 {
		t0 := time.Now()
		sol, err := solver.Solve(ctx, m.Relax(), solver.Options{})
		t.Log("LP no cuts", time.Since(t0), sol.Elapsed, sol.Objective, sol.Iterations, m.Rows(), m.Cols(), m.NonZeros(), err)
	}
	m, _ = p.model(g, j.cuts)
	t0 := time.Now()
	sol, _ := solver.Solve(ctx, m.Relax(), solver.Options{})
	t.Log("LP cuts", time.Since(t0), sol.Elapsed, sol.Objective, sol.Iterations, m.NonZeros())
	t0 = time.Now()
	sol, _ = solver.Solve(ctx, m, solver.Options{Gap: 0.0025})
	t.Log("MIP cuts", time.Since(t0), sol.Elapsed, sol.Objective, sol.Bound, sol.Nodes, sol.Iterations)
	m, _ = p.model(p.apart(), nil)
	t0 = time.Now()
	sol, _ = solver.Solve(ctx, m.Relax(), solver.Options{})
	t.Log("LP all years", time.Since(t0), sol.Elapsed, sol.Objective, sol.Iterations, m.NonZeros())
}
