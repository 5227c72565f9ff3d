package solver_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"rowen/internal/solver"
)

var inf = math.Inf(1)

// published are problems with the optimum that their source prints.
var published = []struct {
	name   string
	source string
	model  func() *solver.Model
	want   float64
	duals  []float64 // by Row, where the source prints them
}{
	{"transport", "Dantzig, Linear Programming and Extensions (1963), section 3.3: two canneries, three warehouses, $90 a case and thousand miles", transport, 153.675, nil},
	{"cycling", "Beale, Cycling in the dual simplex algorithm (1955): the textbook rule never ends on it", beale, -0.05, nil},
	{"Klee-Minty, 12 dimensions", "Klee & Minty, How good is the simplex algorithm? (1972): 5^12", func() *solver.Model { return kleeMinty(12) }, math.Pow(5, 12), nil},
	{"glass works", "Hillier & Lieberman, Introduction to Operations Research, section 3.1; prices in section 4.7", glassWorks, 36, []float64{0, 1.5, 1}},
	{"paints", "Taha, Operations Research: An Introduction, section 2.1; prices in section 3.6", paints, 21, []float64{0.75, 0.5, 0, 0}},
	{"two integers", "Bradley, Hax & Magnanti, Applied Mathematical Programming (1977), section 9.5", twoIntegers, 40, nil},
	{"knapsack of ten", "Kreher & Stinson, Combinatorial Algorithms (1999), by way of Burkardt's set P01", knapsack, 309, nil},
	{"eight queens", "Bezzel (1848): eight can stand, never nine", func() *solver.Model { return queens(8) }, 8, nil},
}

func transport() *solver.Model {
	m := solver.NewModel("transport")
	supply, demand := []float64{350, 600}, []float64{325, 300, 275}
	miles := [][]float64{{2.5, 1.7, 1.8}, {2.5, 1.8, 1.4}}
	var from, to []solver.Row
	for i, s := range supply {
		from = append(from, m.Row(fmt.Sprintf("supply %d", i), -inf, s))
	}
	for j, d := range demand {
		to = append(to, m.Row(fmt.Sprintf("demand %d", j), d, inf))
	}
	for i := range supply {
		for j := range demand {
			c := m.Var(fmt.Sprintf("ship %d %d", i, j), 0, inf, 90*miles[i][j]/1000)
			m.Set(from[i], c, 1)
			m.Set(to[j], c, 1)
		}
	}
	return m
}

func beale() *solver.Model {
	m := solver.NewModel("cycling")
	costs := []float64{-0.75, 150, -0.02, 6}
	coefficients := [][]float64{{0.25, -60, -0.04, 9}, {0.5, -90, -0.02, 3}, {0, 0, 1, 0}}
	return dense(m, costs, coefficients, []float64{0, 0, 1})
}

// dense adds non-negative columns and rows that are at most their side.
func dense(m *solver.Model, costs []float64, coefficients [][]float64, sides []float64) *solver.Model {
	for c, cost := range costs {
		m.Var(fmt.Sprintf("x%d", c), 0, inf, cost)
	}
	for r, side := range sides {
		row := m.Row(fmt.Sprintf("r%d", r), -inf, side)
		for c, v := range coefficients[r] {
			m.Set(row, solver.Col(c), v)
		}
	}
	return m
}

func kleeMinty(n int) *solver.Model {
	m := solver.NewModel("Klee-Minty")
	m.Maximise()
	for j := range n {
		m.Var(fmt.Sprintf("x%d", j), 0, inf, math.Pow(2, float64(n-1-j)))
	}
	for i := range n {
		r := m.Row(fmt.Sprintf("r%d", i), -inf, math.Pow(5, float64(i+1)))
		for j := range i {
			m.Set(r, solver.Col(j), math.Pow(2, float64(i-j+1)))
		}
		m.Set(r, solver.Col(i), 1)
	}
	return m
}

func glassWorks() *solver.Model {
	m := solver.NewModel("glass works")
	m.Maximise()
	return dense(m, []float64{3, 5}, [][]float64{{1, 0}, {0, 2}, {3, 2}}, []float64{4, 12, 18})
}

func paints() *solver.Model {
	m := solver.NewModel("paints")
	m.Maximise()
	return dense(m, []float64{5, 4}, [][]float64{{6, 4}, {1, 2}, {-1, 1}, {0, 1}}, []float64{24, 6, 1, 2})
}

func twoIntegers() *solver.Model {
	m := solver.NewModel("two integers")
	m.Maximise()
	a, b := m.Int("x1", 0, inf, 5), m.Int("x2", 0, inf, 8)
	first, second := m.Row("r1", -inf, 6), m.Row("r2", -inf, 45)
	m.Set(first, a, 1)
	m.Set(first, b, 1)
	m.Set(second, a, 5)
	m.Set(second, b, 9)
	return m
}

func knapsack() *solver.Model {
	m := solver.NewModel("knapsack")
	m.Maximise()
	weights := []float64{23, 31, 29, 44, 53, 38, 63, 85, 89, 82}
	profits := []float64{92, 57, 49, 68, 60, 43, 67, 84, 87, 72}
	r := m.Row("weight", -inf, 165)
	for i, w := range weights {
		m.Set(r, m.Binary(fmt.Sprintf("item %d", i), profits[i]), w)
	}
	return m
}

func queens(n int) *solver.Model {
	m := solver.NewModel("queens")
	m.Maximise()
	lines := map[string]solver.Row{}
	for i := range n {
		for j := range n {
			c := m.Binary(fmt.Sprintf("q%d,%d", i, j), 1)
			for _, line := range []string{fmt.Sprintf("row %d", i), fmt.Sprintf("column %d", j), fmt.Sprintf("rising %d", i+j), fmt.Sprintf("falling %d", i-j)} {
				if _, ok := lines[line]; !ok {
					lines[line] = m.Row(line, -inf, 1)
				}
				m.Set(lines[line], c, 1)
			}
		}
	}
	return m
}

func TestPublishedProblems(t *testing.T) {
	needSolver(t)
	for _, p := range published {
		t.Run(p.name, func(t *testing.T) {
			m := p.model()
			s, err := solver.Solve(context.Background(), m, solver.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if s.Status != solver.Optimal || !s.Feasible() || !near(s.Objective, p.want, 1e-9) || !near(s.Bound, p.want, 1e-4) {
				t.Errorf("%v, objective %v, bound %v, feasible %v; want optimal, %v (%s)", s.Status, s.Objective, s.Bound, s.Feasible(), p.want, p.source)
			}
			for r, want := range p.duals {
				if !near(s.Dual[r], want, 1e-9) {
					t.Errorf("price of %s: got %v, want %v (%s)", m.RowName(solver.Row(r)), s.Dual[r], want, p.source)
				}
			}
		})
	}
}

// near compares with a tolerance relative to want where that is above 1.
func near(got, want, tolerance float64) bool {
	return math.Abs(got-want) <= tolerance*math.Max(1, math.Abs(want))
}
