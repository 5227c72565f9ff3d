package solver_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"rowen/internal/solver"
)

func rowNames(m *solver.Model, rows []solver.Row) string {
	var names []string
	for _, r := range rows {
		names = append(names, m.RowName(r))
	}
	slices.Sort(names)
	return strings.Join(names, ", ")
}

func TestConflictNamesTheRows(t *testing.T) {
	needSolver(t)
	// Hay for the herd needs more land than there is once the orchard is kept;
	// what the barn holds does not matter.
	plan := func(whole bool) *solver.Model {
		m := solver.NewModel("land")
		add := m.Var
		if whole {
			add = m.Int
		}
		hay, orchard, store := add("hay", 0, inf, 1), m.Var("orchard", 0, inf, -5), m.Var("store", 0, inf, 2)
		land, feed, keep, barn := m.Row("land", -inf, 30), m.Row("feed", 100, inf), m.Row("keep orchard", 6, inf), m.Row("barn", -inf, 500)
		m.Set(land, hay, 1)
		m.Set(land, orchard, 1)
		m.Set(feed, hay, 4)
		m.Set(keep, orchard, 1)
		m.Set(barn, hay, 4)
		m.Set(barn, store, 1)
		m.Row("nothing", -inf, inf)
		return m
	}
	for _, whole := range []bool{false, true} {
		m := plan(whole)
		rows, err := solver.Conflict(context.Background(), m, solver.Options{})
		if got, want := rowNames(m, rows), "feed, keep orchard, land"; err != nil || got != want {
			t.Errorf("whole %v: %s, %v; want %s", whole, got, err, want)
		}
	}

	odd := solver.NewModel("only whole numbers conflict")
	a, b := odd.Int("a", 0, 10, 1), odd.Int("b", 0, 10, 1)
	sum, other := odd.Row("odd", 5, 5), odd.Row("loose", 0, 12)
	odd.Set(sum, a, 2)
	odd.Set(sum, b, 2)
	odd.Set(other, a, 1)
	odd.Set(other, b, 1)
	rows, err := solver.Conflict(context.Background(), odd, solver.Options{})
	if got := rowNames(odd, rows); err != nil || got != "odd" {
		t.Errorf("got %q, %v; want odd", got, err)
	}

	bounds := solver.NewModel("no row is to blame")
	bounds.Set(bounds.Row("r", 0, 5), bounds.Int("n", 0.2, 0.8, 1), 1)
	if rows, err := solver.Conflict(context.Background(), bounds, solver.Options{}); err != nil || len(rows) != 0 {
		t.Errorf("got %v, %v; want no rows", rows, err)
	}

	if _, err := solver.Conflict(context.Background(), knapsack(), solver.Options{}); err == nil || !strings.Contains(err.Error(), `model "knapsack" was not found to be infeasible`) {
		t.Errorf("a feasible model: %v", err)
	}
}

// In a plan of some size one period of one scenario asks for more than all the
// land together can give.
func TestConflictIsIrreducible(t *testing.T) {
	needSolver(t)
	m := twoStage(12, 6, 6)
	for c := range m.Cols() {
		if name := m.ColName(solver.Col(c)); strings.HasPrefix(name, "buy 3 ") || strings.HasPrefix(name, "keep 3 ") {
			m.SetBounds(solver.Col(c), 0, 1)
		}
	}
	for r := range m.Rows() {
		if m.RowName(solver.Row(r)) == "need 3 7" {
			m.SetRowBounds(solver.Row(r), 180, inf)
		}
	}
	rows, err := solver.Conflict(context.Background(), m, solver.Options{})
	if err != nil || len(rows) < 5 || len(rows) > 40 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	feasible := func(without int) bool {
		part := m.Clone()
		for r := range m.Rows() {
			if i := slices.Index(rows, solver.Row(r)); i < 0 || i == without {
				part.SetRowBounds(solver.Row(r), -inf, inf)
			}
		}
		s, err := solver.Solve(context.Background(), part, solver.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return s.Feasible()
	}
	if feasible(-1) {
		t.Errorf("the rows can hold together: %s", rowNames(m, rows))
	}
	for i, r := range rows {
		if !feasible(i) {
			t.Errorf("without %s the others still conflict", m.RowName(r))
		}
	}
	t.Logf("%d of %d rows: %s", len(rows), m.Rows(), rowNames(m, rows))
}
