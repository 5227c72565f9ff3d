package solver_test

import (
	"context"
	"errors"
	"os"
	"testing"

	"rowen/internal/solver"
)

func TestMain(m *testing.M) {
	if solver.IsChild() {
		os.Exit(solver.RunChild())
	}
	if os.Getenv(parentMarker) != "" {
		os.Exit(runParent())
	}
	os.Exit(m.Run())
}

// needSolver skips where `make assets` has not been run.
func needSolver(tb testing.TB) {
	tb.Helper()
	m := solver.NewModel("probe")
	m.Var("x", 0, 1, 1)
	if _, err := solver.Solve(context.Background(), m, solver.Options{}); errors.Is(err, solver.ErrAbsent) {
		tb.Skip(err)
	} else if err != nil {
		tb.Fatal(err)
	}
}
