package solver_test

import (
	"os"
	"testing"

	"rowen/internal/solver"
)

func TestMain(m *testing.M) {
	if solver.IsChild() {
		os.Exit(solver.RunChild())
	}
	os.Exit(m.Run())
}
