package solver_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"rowen/internal/solver"
)

// twoStage is a plan in the shape of this program's: fields choose among options
// for a share of their land, and in every scenario each period's need is met from
// what grew, what is kept and what is bought.
func twoStage(fields, options, scenarios int) *solver.Model {
	const periods = 24
	r := rand.New(rand.NewPCG(7, 11))
	m := solver.NewModel("two-stage")
	share := make([][]solver.Col, fields)
	for f := range share {
		land := m.Row(fmt.Sprintf("land %d", f), 1, 1)
		for o := range options {
			c := m.Var(fmt.Sprintf("share %d %d", f, o), 0, 1, 5+20*r.Float64())
			share[f] = append(share[f], c)
			m.Set(land, c, 1)
		}
	}
	for s := range scenarios {
		weight := 1 / float64(scenarios)
		season := 0.7 + 0.6*r.Float64()
		store := solver.Col(-1)
		for p := range periods {
			need := m.Row(fmt.Sprintf("need %d %d", s, p), 10*float64(fields)/3, inf)
			for f := range fields {
				for o := range options {
					if (p+o)%8 < 3 {
						m.Set(need, share[f][o], season*10*r.Float64())
					}
				}
			}
			buy := m.Var(fmt.Sprintf("buy %d %d", s, p), 0, inf, 3*weight)
			keep := m.Var(fmt.Sprintf("keep %d %d", s, p), 0, 200, 0.02*weight)
			spill := m.Var(fmt.Sprintf("spill %d %d", s, p), 0, inf, 0.01*weight)
			m.Set(need, buy, 1)
			m.Set(need, keep, -1)
			m.Set(need, spill, -1)
			if store >= 0 {
				m.Set(need, store, 0.97)
			}
			store = keep
			cap := m.Row(fmt.Sprintf("haul %d %d", s, p), -inf, 300)
			m.Set(cap, keep, 1)
			m.Set(cap, buy, 1)
		}
	}
	return m
}

func benchmark(b *testing.B, m *solver.Model, o solver.Options) {
	needSolver(b)
	var last *solver.Solution
	for b.Loop() {
		s, err := solver.Solve(context.Background(), m, o)
		if err != nil || s.Status != solver.Optimal {
			b.Fatal(s, err)
		}
		last = s
	}
	b.ReportMetric(float64(m.Cols()), "columns")
	b.ReportMetric(float64(m.Rows()), "rows")
	b.ReportMetric(float64(m.NonZeros()), "nonzeros")
	b.ReportMetric(float64(last.Iterations), "iterations")
}

func BenchmarkSmall(b *testing.B) { benchmark(b, paints(), solver.Options{}) }

func BenchmarkKnapsack(b *testing.B) { benchmark(b, knapsack(), solver.Options{}) }

func BenchmarkTwoStage(b *testing.B) { benchmark(b, twoStage(40, 15, 42), solver.Options{}) }

func BenchmarkTwoStageWarm(b *testing.B) {
	needSolver(b)
	m := twoStage(40, 15, 42)
	s, err := solver.Solve(context.Background(), m, solver.Options{})
	if err != nil {
		b.Fatal(err)
	}
	m.SetCost(0, m.Cost(0)*1.01)
	benchmark(b, m, solver.Options{Basis: s.Basis})
}
