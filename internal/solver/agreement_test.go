package solver_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"rowen/internal/solver"
)

// random makes a program that may well be infeasible or unbounded: rows of every
// kind, bounds of every kind, degenerate on purpose by small whole coefficients.
func random(seed uint64, whole bool) *solver.Model {
	r := rand.New(rand.NewPCG(seed, 99))
	m := solver.NewModel(fmt.Sprintf("random %d", seed))
	cols, rows := 3+r.IntN(12), 2+r.IntN(10)
	for c := range cols {
		lo, up := 0.0, inf
		switch r.IntN(6) {
		case 0:
			lo = float64(r.IntN(7) - 10)
		case 1:
			lo, up = -inf, float64(r.IntN(20))
		case 2:
			lo, up = float64(-r.IntN(3)), float64(1+r.IntN(20))
		case 3:
			up = float64(r.IntN(4))
		}
		cost := float64(r.IntN(21) - 4)
		if lo == -inf {
			cost = -cost
		}
		if name := fmt.Sprintf("x%d", c); whole && r.IntN(2) == 0 {
			m.Int(name, max(lo, -50), min(up, 50), cost)
		} else {
			m.Var(name, lo, up, cost)
		}
	}
	for i := range rows {
		at, lo, up := float64(r.IntN(30)-5), -inf, inf
		switch r.IntN(5) {
		case 0:
			lo = at
		case 1:
			lo, up = at, at
		case 2:
			lo, up = at, at+float64(r.IntN(9))
		default:
			up = at + 10
		}
		row := m.Row(fmt.Sprintf("r%d", i), lo, up)
		for c := range cols {
			if r.IntN(3) > 0 {
				m.Set(row, solver.Col(c), float64(r.IntN(15)-4))
			}
		}
	}
	m.Offset(float64(r.IntN(100)))
	return m
}

// outside is another solver's verdict on a model: "optimal" with its objective,
// "none" for infeasible or unbounded, or "?" where it does not say.
type outside func(t *testing.T, path, answer string) (verdict string, objective float64)

func others(t *testing.T) map[string]outside {
	found := map[string]outside{}
	if _, err := exec.LookPath("glpsol"); err == nil {
		found["glpsol"] = glpsol
	} else {
		t.Log("glpsol is not on this machine: not compared with it")
	}
	if _, err := exec.LookPath("cbc"); err == nil {
		found["cbc"] = cbc
	} else {
		t.Log("cbc is not on this machine: not compared with it")
	}
	if len(found) == 0 {
		t.Skip("no other solver on this machine: nothing was compared")
	}
	return found
}

func glpsol(t *testing.T, path, answer string) (string, float64) {
	out, err := exec.Command("glpsol", "--freemps", path, "--tmlim", "30", "-o", answer).CombinedOutput()
	if err != nil {
		t.Fatalf("glpsol: %v\n%s", err, out)
	}
	text, err := os.ReadFile(answer)
	if err != nil {
		t.Fatal(err)
	}
	verdict, objective := "?", math.NaN()
	for line := range strings.Lines(string(text)) {
		if after, ok := strings.CutPrefix(line, "Status:"); ok {
			switch strings.TrimSpace(after) {
			case "OPTIMAL", "INTEGER OPTIMAL":
				verdict = "optimal"
			case "INFEASIBLE (FINAL)", "UNBOUNDED", "INTEGER EMPTY", "INFEASIBLE (INTERMEDIATE)":
				verdict = "none"
			case "UNDEFINED", "INTEGER UNDEFINED":
				// The presolver found it out and left no status.
				if strings.Contains(string(out), "NO PRIMAL FEASIBLE") || strings.Contains(string(out), "NO DUAL FEASIBLE") || strings.Contains(string(out), "NO FEASIBLE") {
					verdict = "none"
				}
			}
		}
		if after, ok := strings.CutPrefix(line, "Objective:"); ok {
			fields := strings.Fields(after)
			objective, _ = strconv.ParseFloat(fields[2], 64)
		}
	}
	return verdict, objective
}

func cbc(t *testing.T, path, answer string) (string, float64) {
	out, err := exec.Command("cbc", path, "ratio", "0", "allow", "0", "sec", "30", "solve", "solution", answer).CombinedOutput()
	if err != nil {
		t.Fatalf("cbc: %v\n%s", err, out)
	}
	text, err := os.ReadFile(answer)
	if err != nil {
		t.Fatal(err)
	}
	first, _, _ := strings.Cut(string(text), "\n")
	switch {
	case strings.HasPrefix(first, "Optimal"):
		_, value, _ := strings.Cut(first, "objective value")
		objective, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
		if err != nil {
			t.Fatalf("cbc: %q", first)
		}
		return "optimal", objective
	case strings.HasPrefix(first, "Infeasible"), strings.HasPrefix(first, "Integer infeasible"), strings.HasPrefix(first, "Unbounded"):
		return "none", math.NaN()
	}
	return "?", math.NaN()
}

func TestAgreesWithOtherSolvers(t *testing.T) {
	needSolver(t)
	dir := t.TempDir()
	const each = 30
	for name, ask := range others(t) {
		for _, whole := range []bool{false, true} {
			compared, optimal := 0, 0
			for seed := range uint64(each) {
				m := random(seed, whole)
				if name == "glpsol" {
					m.Offset(0) // GLPK alone takes a constant with the other sign
				}
				path := filepath.Join(dir, "model.mps")
				var text bytes.Buffer
				if err := m.WriteMPS(&text); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, text.Bytes(), 0o600); err != nil {
					t.Fatal(err)
				}
				answer := filepath.Join(dir, fmt.Sprintf("answer %s %v %d", name, whole, seed))
				verdict, objective := ask(t, path, answer)
				s, err := solver.Solve(context.Background(), m, solver.Options{Gap: 1e-9})
				if err != nil {
					t.Fatal(err)
				}
				ours := "none"
				if s.Status == solver.Optimal {
					ours = "optimal"
				}
				switch {
				case verdict == "?":
				case verdict != ours, ours == "optimal" && !near(s.Objective, objective, 1e-5):
					t.Errorf("%s, whole numbers %v, seed %d: %s says %s, %v; here %v, %v\n%s", m.Name(), whole, seed, name, verdict, objective, s.Status, s.Objective, text.String())
				default:
					compared++
					if ours == "optimal" {
						optimal++
					}
				}
			}
			t.Logf("%s, whole numbers %v: %d of %d compared, %d with an optimum", name, whole, compared, each, optimal)
			if compared < each*9/10 || optimal < each/4 {
				t.Errorf("%s, whole numbers %v: %d of %d compared, %d with an optimum: too few", name, whole, compared, each, optimal)
			}
		}
	}
}

// glpkExamples are models that come with GLPK, many of them published, and that it
// solves within seconds.
var glpkExamples = []string{
	"alloy.mps", "assign.mod", "bpp.mod", "cal.mod", "crypto.mod", "dea.mod", "diet.mod", "dist.mod", "egypt.mod", "fctp.mod", "furnace.mps",
	"gap.mod", "graceful.mod", "icecream.mps", "jssp.mod", "maxcut.mod", "maxflow.mod", "min01ks.mod", "misp.mod", "money.mod", "plan.mod",
	"plan.mps", "powplant.mod", "prod.mod", "queens.mod", "samp1.mps", "samp2.mps", "shiftcov.mod", "spp.mod", "stigler.mod", "todd.mod",
	"train.mod", "transp.mod", "zebra.mod",
}

// Stigler's diet and Dantzig's transport are among them.
func TestGLPKExamples(t *testing.T) {
	needSolver(t)
	if _, err := exec.LookPath("glpsol"); err != nil {
		t.Skip("glpsol is not on this machine: its examples were not solved")
	}
	const folder = "/usr/share/doc/glpk-utils/examples"
	if _, err := os.Stat(folder); err != nil {
		t.Skip("GLPK's examples are not on this machine")
	}
	dir, solved := t.TempDir(), 0
	for _, base := range glpkExamples {
		name := filepath.Join(folder, base)
		t.Run(base, func(t *testing.T) {
			path, answer := filepath.Join(dir, "model.mps"), filepath.Join(dir, "answer")
			how := "--model"
			if strings.HasSuffix(name, ".mps") {
				how = "--mps"
			}
			convert := exec.Command("glpsol", how, name, "--check", "--wfreemps", path)
			convert.Dir = dir
			if out, err := convert.CombinedOutput(); err != nil {
				t.Skipf("GLPK does not write it as MPS: %v\n%s", err, out[max(0, len(out)-300):])
			}
			text, err := os.ReadFile(path)
			if err != nil {
				t.Skip(err)
			}
			m, err := solver.ReadMPS(bytes.NewReader(text))
			if err != nil {
				t.Fatal(err)
			}
			verdict, objective := glpsol(t, path, answer)
			if verdict == "?" {
				t.Skip("GLPK does not finish it in its time")
			}
			s, err := solver.Solve(context.Background(), m, solver.Options{Gap: 1e-9})
			if err != nil {
				t.Fatal(err)
			}
			switch {
			case verdict == "optimal" && (s.Status != solver.Optimal || !near(s.Objective, objective, 1e-5)):
				t.Errorf("%v, %v; GLPK finds %v", s.Status, s.Objective, objective)
			case verdict == "none" && s.Feasible():
				t.Errorf("%v, %v; GLPK finds no point", s.Status, s.Objective)
			}
			solved++
		})
	}
	if solved < len(glpkExamples)*9/10 {
		t.Errorf("only %d of %d examples were compared", solved, len(glpkExamples))
	}
	t.Logf("%d of %d examples compared", solved, len(glpkExamples))
}

// At the optimum of a linear program prices prove it: reduced cost is cost less
// priced coefficients, a price is there only where its bound holds and has the
// bound's sign, and the priced bounds sum to the objective.
func TestPricesProveTheOptimum(t *testing.T) {
	needSolver(t)
	proved := 0
	for seed := range uint64(150) {
		m := random(1000+seed, false)
		s, err := solver.Solve(context.Background(), m, solver.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if s.Status != solver.Optimal {
			continue
		}
		sum := 0.0
		check := func(what string, price, at, lo, up float64) {
			const small = 1e-6
			switch {
			case price > small && near(at, lo, small):
				sum += price * lo
			case price < -small && near(at, up, small):
				sum += price * up
			case math.Abs(price) > small:
				t.Errorf("seed %d: %s has price %v at %v, between %v and %v", seed, what, price, at, lo, up)
			}
		}
		for r, at := range s.Activity {
			lo, up := m.RowBounds(solver.Row(r))
			check(m.RowName(solver.Row(r)), s.Dual[r], at, lo, up)
		}
		for c, at := range s.X {
			lo, up := m.Bounds(solver.Col(c))
			check(m.ColName(solver.Col(c)), s.Reduced[c], at, lo, up)
		}
		offset := s.Objective
		for c, at := range s.X {
			offset -= m.Cost(solver.Col(c)) * at
		}
		if !near(sum+offset, s.Objective, 1e-6) {
			t.Errorf("seed %d: priced bounds sum to %v, the objective is %v", seed, sum+offset, s.Objective)
		}
		proved++
	}
	if proved < 50 {
		t.Errorf("only %d of 150 had an optimum", proved)
	}
}
