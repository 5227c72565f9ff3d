package suggest

import (
	"context"
	"errors"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/internal/solver"
)

func TestMain(m *testing.M) {
	if solver.IsChild() {
		os.Exit(solver.RunChild())
	}
	os.Exit(m.Run())
}

// solves skips where the binary was built without the solver's file.
func solves(t testing.TB, err error) {
	t.Helper()
	if errors.Is(err, solver.ErrAbsent) {
		t.Skip("the solver's file is not there: make assets")
	}
	if err != nil {
		t.Fatal(err)
	}
}

// farmers is the farmer's problem of stochastic programming: 500 acres of wheat, corn and
// sugar beets; 200 t of wheat and 240 t of corn are needed for feed; beets beyond 6,000 t
// fetch little; yields are a fifth above, at, or a fifth below their mean.
//
// Source: Birge & Louveaux, Introduction to Stochastic Programming, section 1.1.
func farmers() *Program {
	inf := math.Inf(1)
	p := &Program{
		Name:  "the farmer",
		First: []Column{{Name: "wheat", Up: 500, Cost: 150}, {Name: "corn", Up: 500, Cost: 230}, {Name: "beets", Up: 500, Cost: 260}},
		Rules: []Constraint{{Name: "500 acres", Low: math.Inf(-1), Up: 500, Terms: []Term{{0, 1}, {1, 1}, {2, 1}}}},
		Second: []Column{
			{Name: "buys wheat", Up: inf, Cost: 238}, {Name: "sells wheat", Up: inf, Cost: -170},
			{Name: "buys corn", Up: inf, Cost: 210}, {Name: "sells corn", Up: inf, Cost: -150},
			{Name: "sells beets", Up: 6000, Cost: -36}, {Name: "sells beets beyond", Up: inf, Cost: -10},
		},
		Links: []Constraint{
			{Name: "wheat", Low: 200, Up: inf, Terms: []Term{{0, 1}, {1, -1}}},
			{Name: "corn", Low: 240, Up: inf, Terms: []Term{{2, 1}, {3, -1}}},
			{Name: "beets", Low: 0, Up: inf, Terms: []Term{{4, -1}, {5, -1}}},
		},
		Risk: Risk{Tail: 0.2},
	}
	for _, y := range []struct {
		name string
		of   float64
	}{{"above", 1.2}, {"average", 1}, {"below", 0.8}} {
		p.Years = append(p.Years, Scenario{Name: y.name, Weight: 1.0 / 3, Tech: [][]Term{{{0, 2.5 * y.of}}, {{1, 3 * y.of}}, {{2, 20 * y.of}}}})
	}
	return p
}

// The published solution: 170, 80 and 250 acres; 108,390 with recourse, 115,406 with
// perfect information, 107,240 for the plan of the mean year.
func TestFarmersProblem(t *testing.T) {
	ctx := context.Background()
	p := farmers()
	c, err := p.Solve(ctx, Settings{})
	solves(t, err)
	for j, want := range []float64{170, 80, 250} {
		if math.Abs(c.X[j]-want) > 1e-6 {
			t.Errorf("%s on %g acres, published %g", p.First[j].Name, c.X[j], want)
		}
	}
	v, err := p.Worth(ctx, Settings{})
	solves(t, err)
	for _, x := range []struct {
		what      string
		got, want float64
	}{
		{"recourse solution", -v.Recourse, 108390}, {"perfect information", -v.Foresight, 115405.56}, {"plan of the mean year", -v.OfMean, 107240},
		{"value of perfect information", v.Knowing, 7015.56}, {"value of the stochastic solution", v.Thinking, 1150},
	} {
		if math.Abs(x.got-x.want) > 0.005 {
			t.Errorf("%s is %.2f, published %.2f", x.what, x.got, x.want)
		}
	}
	j, err := p.Judge(ctx, c.X)
	solves(t, err)
	// By year in the book: profits 167,000, 109,350 and 48,820.
	for s, want := range []float64{-167000, -109350, -48820} {
		if math.Abs(j.Cost[s]-want) > 0.005 {
			t.Errorf("year %s costs %.2f, published %.2f", p.Years[s].Name, j.Cost[s], want)
		}
	}
}

// twoFields is worked out by hand. Fields A (10 ha) and B (12 ha) each carry crop 1 (300
// a hectare; 6 t/ha in the wet year, 1 in the dry) or crop 2 (420 a hectare; 4 t/ha in
// both). 60 t are needed, what lacks is bought at 200; both years are as likely.
//
//	A1 B1: 6,600; wet 132 t; dry 22 t, 38 bought for 7,600: 6,600 and 14,200, mean 10,400
//	A1 B2: 8,040; wet 108 t; dry 58 t, 2 bought for 400:    8,040 and 8,440,  mean 8,240
//	A2 B1: 7,800; wet 112 t; dry 52 t, 8 bought for 1,600:  7,800 and 9,400,  mean 8,600
//	A2 B2: 9,240; 88 t in both:                             9,240 and 9,240,  mean 9,240
//
// The best on average, and in the worse year, is A1 B2. The mean year (3.5 t/ha of crop 1)
// would choose A1 B1, 10,400 over both. Known beforehand, the wet year costs 6,600; the
// dry one, with parts of fields allowed, 6,600 + 120 on the 38/3 ha of crop 2 that bring
// 60 t: 8,120; in the mean 7,360.
func twoFields() *Program {
	inf := math.Inf(1)
	p := &Program{
		Name:   "two fields",
		First:  []Column{{Name: "A1", Up: 1, Cost: 3000, Whole: true}, {Name: "A2", Up: 1, Cost: 4200, Whole: true}, {Name: "B1", Up: 1, Cost: 3600, Whole: true}, {Name: "B2", Up: 1, Cost: 5040, Whole: true}},
		Rules:  []Constraint{{Name: "A carries one programme", Low: 1, Up: 1, Terms: []Term{{0, 1}, {1, 1}}}, {Name: "B carries one programme", Low: 1, Up: 1, Terms: []Term{{2, 1}, {3, 1}}}},
		Second: []Column{{Name: "buys", Up: inf, Cost: 200}},
		Links:  []Constraint{{Name: "feed", Low: 60, Up: inf, Terms: []Term{{0, 1}}}},
		Risk:   Risk{Tail: 0.5},
	}
	p.Years = []Scenario{
		{Name: "wet", Weight: 0.5, Tech: [][]Term{{{0, 60}}, {{0, 40}}, {{0, 72}}, {{0, 48}}}},
		{Name: "dry", Weight: 0.5, Tech: [][]Term{{{0, 10}}, {{0, 40}}, {{0, 12}}, {{0, 48}}}},
	}
	return p
}

func TestTwoFields(t *testing.T) {
	ctx := context.Background()
	for _, x := range []struct{ risk, want float64 }{{0, 8240}, {1, 8440}, {0.5, 8340}} {
		p := twoFields()
		p.Risk.Weight = x.risk
		c, err := p.Solve(ctx, Settings{})
		solves(t, err)
		if !slices.Equal(c.X, []float64{1, 0, 0, 1}) || math.Abs(c.Objective-x.want) > 1e-6 {
			t.Errorf("at risk %g: %v for %.2f, by hand A1 B2 for %.2f", x.risk, c.X, c.Objective, x.want)
		}
		if c.Bound > c.Objective+1e-6 || c.Bound < c.Objective-1e-6 {
			t.Errorf("at risk %g the bound is %.2f", x.risk, c.Bound)
		}
	}
	p := twoFields()
	v, err := p.Worth(ctx, Settings{})
	solves(t, err)
	for _, x := range []struct {
		what      string
		got, want float64
	}{{"chosen", v.Recourse, 8240}, {"known beforehand", v.Foresight, 7360}, {"of the mean year", v.OfMean, 10400}, {"worth thinking", v.Thinking, 2160}} {
		if math.Abs(x.got-x.want) > 1e-6 {
			t.Errorf("%s: %.2f, by hand %.2f", x.what, x.got, x.want)
		}
	}
	// One tonne more of feed needed costs what is bought, in the dry year alone.
	j, err := p.Judge(ctx, []float64{1, 0, 0, 1})
	solves(t, err)
	if j.Price[0][0] != 0 || math.Abs(j.Price[1][0]-200) > 1e-9 {
		t.Errorf("a tonne is worth %g in the wet year and %g in the dry, by hand 0 and 200", j.Price[0][0], j.Price[1][0])
	}
}

// The rules that cannot be kept together are named, and no others.
func TestConflictIsNamed(t *testing.T) {
	p := twoFields()
	p.Rules = append(p.Rules, Constraint{Name: "seed costs at most 6,000", Low: math.Inf(-1), Up: 6000, Terms: []Term{{0, 3000}, {1, 4200}, {2, 3600}, {3, 5040}}})
	_, err := p.Solve(context.Background(), Settings{})
	if errors.Is(err, solver.ErrAbsent) {
		solves(t, err)
	}
	var none *ErrNone
	if !errors.As(err, &none) {
		t.Fatalf("no plan is possible, and the answer is %v", err)
	}
	for _, want := range []string{"seed costs at most 6,000", "A carries one programme", "B carries one programme"} {
		if !slices.Contains(none.Rules, want) {
			t.Errorf("%v does not name %q", none.Rules, want)
		}
	}
	if slices.ContainsFunc(none.Rules, func(r string) bool { return strings.HasPrefix(r, "feed") }) {
		t.Errorf("%v names the feed, which can be bought", none.Rules)
	}
}

// drawn is a random choice of programmes for a few fields over a few years.
func drawn(t *rapid.T) *Program {
	inf := math.Inf(1)
	fields, crops, years := rapid.IntRange(1, 3).Draw(t, "fields"), rapid.IntRange(2, 3).Draw(t, "crops"), rapid.IntRange(2, 4).Draw(t, "years")
	p := &Program{
		Name:   "drawn",
		Second: []Column{{Name: "buys", Up: inf, Cost: 200}, {Name: "keeps", Up: 40, Cost: -50}, {Name: "short of summer", Up: inf, Cost: 300}},
		Links: []Constraint{
			{Name: "winter", Low: 60, Up: inf, Terms: []Term{{0, 1}, {1, -1}}},
			{Name: "summer", Low: 20, Up: inf, Terms: []Term{{2, 1}}},
		},
		Risk: Risk{Weight: rapid.SampledFrom([]float64{0, 0.3, 1}).Draw(t, "risk"), Tail: rapid.SampledFrom([]float64{0.2, 0.5, 1}).Draw(t, "tail")},
	}
	for f := range fields {
		one := Constraint{Name: "field", Low: 1, Up: 1}
		for range crops {
			one.Terms = append(one.Terms, Term{len(p.First), 1})
			p.First = append(p.First, Column{Name: "x", Up: 1, Whole: true, Cost: rapid.Float64Range(0, 5000).Draw(t, "cost")})
		}
		_ = f
		p.Rules = append(p.Rules, one)
	}
	for range years {
		s := Scenario{Weight: 1 / float64(years)}
		for range p.First {
			s.Tech = append(s.Tech, []Term{{0, rapid.Float64Range(0, 40).Draw(t, "winter")}, {1, rapid.Float64Range(0, 12).Draw(t, "summer")}})
			s.Cost = append(s.Cost, rapid.Float64Range(-100, 100).Draw(t, "extra"))
		}
		p.Years = append(p.Years, s)
	}
	return p
}

// Every bound is one: the mean of years, the relaxed whole, and each year's cut lie at or
// below what any choice costs, and the solver's own choice is the best of all.
func TestBoundsHold(t *testing.T) {
	ctx := context.Background()
	_, err := twoFields().Solve(ctx, Settings{})
	solves(t, err)
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		must := func(err error) {
			if err != nil {
				t.Fatal(err)
			}
		}
		chosen, err := p.Solve(ctx, Settings{})
		must(err)
		meant, err := p.solve(ctx, p.together(), nil, nil, Settings{})
		must(err)
		in := make([]bool, len(p.First))
		for _, r := range p.Rules {
			in[r.Terms[0].At] = true
		}
		whole, err := p.relax(ctx, p.apart(), nil, 0)
		must(err)
		part, err := p.relax(ctx, p.apart(), in, 0)
		must(err)
		best := math.Inf(1)
		crops := len(p.Rules[0].Terms)
		n := 1
		for range p.Rules {
			n *= crops
		}
		for code := range n {
			x := make([]float64, len(p.First))
			for f, k := 0, code; f < len(p.Rules); f, k = f+1, k/crops {
				x[p.Rules[f].Terms[k%crops].At] = 1
			}
			j, err := p.Judge(ctx, x)
			must(err)
			best = min(best, j.Objective)
			for _, c := range slices.Concat(whole.cuts, part.cuts) {
				v, first := c.least, 0.0
				for i := range x {
					v += c.slope[i] * x[i]
					first += (p.First[i].Cost + p.Years[c.year].of(i)) * x[i]
				}
				if v+first > j.Cost[c.year]+1e-6*(1+math.Abs(j.Cost[c.year])) {
					t.Fatalf("a cut says that a year costs %.6f at least, it costs %.6f", v+first, j.Cost[c.year])
				}
			}
		}
		slack := 1e-6 * (1 + math.Abs(best))
		if math.Abs(chosen.Objective-best) > slack {
			t.Fatalf("chosen %.6f, the best of all %d is %.6f", chosen.Objective, n, best)
		}
		for name, bound := range map[string]float64{"mean year": meant.Bound, "relaxed": whole.bound, "relaxed, most left out": part.bound} {
			if bound > best+slack {
				t.Fatalf("%s bound %.6f is above the best choice, %.6f", name, bound, best)
			}
		}
	})
}
