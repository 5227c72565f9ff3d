package stand_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rowen/crop"
	"rowen/quantity"
	"rowen/stand"
	"rowen/weather"
)

var november = quantity.MonthDay{Month: 11, Day: 1}

func catalogue(t testing.TB) *crop.Catalogue {
	t.Helper()
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func compile(t testing.TB, name string) (*stand.Stand, *crop.Mix) {
	t.Helper()
	m, ok := catalogue(t).Mix(name)
	if !ok {
		t.Fatalf("no crop %s", name)
	}
	soil, err := stand.SoilOf("silt loam", crop.WellDrained, 6.4, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	s, err := stand.Compile(m, soil)
	if err != nil {
		t.Fatal(err)
	}
	return s, &m
}

func valley(years int) []weather.Year {
	s := weather.Valley(years+1, 2020)
	s.Prepare()
	y, _ := s.FeedYears(november, years)
	return y
}

// About half of the season's pasture grows in the first two months of six
// (Cornell pasture pages): the shape must come out of the weather.
func TestSpringFlush(t *testing.T) {
	s, m := compile(t, "grass-clover")
	var early, all float64
	for _, y := range valley(20) {
		f := stand.NewForcing(&y)
		s.Alone(s.Climate(f), m, stand.Schedule{Sow: stand.Standing, Use: crop.Graze}, func(d int, _ *stand.State, x *stand.Day) {
			switch day := f.Day(d).YearDay; {
			case day >= 110 && day <= 171:
				early += x.Growth
				fallthrough
			case day > 171 && day <= 293:
				all += x.Growth
			}
		})
	}
	if share := early / all; share < 0.40 || share > 0.60 {
		t.Errorf("the first two months bring %.2f of six", share)
	} else {
		t.Logf("the first two months bring %.2f of six", share)
	}
}

// Overgrazing must cost: a sward taken to an inch again and again as soon as it
// offers a bite yields less over the year than one grazed by its rule.
func TestOvergrazingCosts(t *testing.T) {
	for _, name := range []string{"grass-clover", "orchardgrass", "tall-fescue"} {
		s, m := compile(t, name)
		total := func(m *crop.Mix, residual float64) (sum float64) {
			for _, y := range valley(15) {
				for _, u := range s.Alone(s.Climate(stand.NewForcing(&y)), m, stand.Schedule{Sow: stand.Standing, Use: crop.Graze, Residual: residual, Nitrogen: []float64{50, 0, 40}}, nil) {
					sum += u.Herbage.DM
				}
			}
			return sum
		}
		hard := *m
		hard.Uses[crop.Graze].Ready, hard.Uses[crop.Graze].MinRest, hard.Uses[crop.Graze].MinYield = 4*quantity.Inch, 10*quantity.Day, 0
		share := total(&hard, 2.0) / total(m, 0)
		t.Logf("%s grazed at 4 inches to 2 cm yields %.2f of what its rule gives", name, share)
		if share > 0.90 {
			t.Errorf("%s: overgrazing costs nothing: %.2f", name, share)
		}
	}
}

// Dry matter and water close every day, bounds hold, whatever the crop, the year
// and the use.
func TestBalances(t *testing.T) {
	c := catalogue(t)
	years := valley(20)
	soils := []string{"sand", "loam", "silt loam", "clay"}
	rapid.Check(t, func(t *rapid.T) {
		m, _ := c.Mix(rapid.SampledFrom(c.Names()).Draw(t, "crop"))
		drainage := crop.Drainage(rapid.IntRange(0, 6).Draw(t, "drainage"))
		soil, err := stand.SoilOf(rapid.SampledFrom(soils).Draw(t, "texture"), drainage, rapid.Float64Range(4.5, 8.5).Draw(t, "pH"), 3, 0)
		if err != nil {
			t.Fatal(err)
		}
		s, err := stand.Compile(m, soil)
		if err != nil {
			t.Fatal(err)
		}
		f := stand.NewForcing(&years[rapid.IntRange(0, 19).Draw(t, "year")])
		climate := s.Climate(f)
		st := s.Opening(0)
		if m.Parts[0].Crop.Life != crop.Perennial {
			s.Sow(&st, stand.Seedbed{})
		}
		every := rapid.IntRange(15, 80).Draw(t, "every")
		residual := rapid.Float64Range(1, 25).Draw(t, "residual")
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		var d stand.Day
		for day := range f.Days() {
			mass, water := st.Mass(), st.Water()
			s.Step(&st, climate, day, &d)
			if e := st.Mass() - mass - d.Growth + d.Litter; math.Abs(e) > 1e-9*max(1, mass) {
				t.Fatalf("day %d: dry matter off by %g", day, e)
			}
			if e := st.Water() - water - (d.Rain - d.Runoff - d.Evaporation - d.Transpiration - d.Drainage); math.Abs(e) > 1e-9*max(1, d.Rain+100) {
				t.Fatalf("day %d: water off by %g mm", day, e)
			}
			if d.Growth < 0 || d.Litter < 0 || d.Stress < 0 || d.Stress > 1 || d.Runoff < 0 || d.Evaporation < 0 || d.Drainage < 0 || st.Nitrogen < 0 {
				t.Fatalf("day %d: %+v", day, d)
			}
			for _, p := range st.Parts {
				if p.Leaf < 0 || p.Stem < 0 || p.Area < 0 || p.Reserve < 0 || p.Plants < 0 || p.Plants > 1.2 || math.IsNaN(p.Leaf+p.Stem+p.Area) {
					t.Fatalf("day %d: %+v", day, p)
				}
			}
			if day%every == every-1 {
				before, height := st.Mass(), s.Height(&st)
				would := s.Standing(&st, residual)
				h := s.Remove(&st, stand.Removal{Residual: residual, Share: share, Grazed: day%2 == 0})
				if math.Abs(before-st.Mass()-h.DM) > 1e-9*max(1, before) || math.Abs(h.DM-share*would.DM) > 1e-9*max(1, before) {
					t.Fatalf("day %d: removal of %g leaves %g of %g", day, h.DM, st.Mass(), before)
				}
				if h.DM > 0 && (h.DMShare <= 0.05 || h.DMShare > 0.9 || h.Analysis.CP <= 0 || h.Analysis.NDF <= h.Analysis.ADF || s.Height(&st) > height+1e-6) {
					t.Fatalf("day %d: %+v", day, h)
				}
				if day%3 == 0 {
					mass = st.Mass()
					var reserve, after float64
					for _, p := range st.Parts {
						reserve += p.Reserve
					}
					s.Used(&st, true)
					for _, p := range st.Parts {
						after += p.Reserve
					}
					if e := st.Mass() + after - mass - reserve; e > 1e-9 {
						t.Fatalf("day %d: ending a growth makes %g", day, e)
					}
				}
			}
		}
	})
}

// Sour and wet ground never grow more.
func TestGroundMatters(t *testing.T) {
	m, _ := catalogue(t).Mix("pearl-millet")
	yield := func(texture string, d crop.Drainage, pH float64) (sum float64) {
		soil, err := stand.SoilOf(texture, d, pH, 0, 0)
		if err != nil {
			t.Fatal(err)
		}
		s, err := stand.Compile(m, soil)
		if err != nil {
			t.Fatal(err)
		}
		for _, y := range valley(10) {
			f := stand.NewForcing(&y)
			for _, u := range s.Alone(s.Climate(f), &m, stand.Schedule{Sow: 215, Use: crop.Graze}, nil) {
				sum += u.Herbage.DM
			}
		}
		return sum
	}
	good := yield("silt loam", crop.WellDrained, 6.4)
	if sour := yield("silt loam", crop.WellDrained, 4.8); sour >= good {
		t.Error("sour ground grows as much")
	}
	if sandy := yield("sand", crop.WellDrained, 6.4); sandy >= good {
		t.Error("sand grows as much as silt loam")
	}
	if wet := yield("silt loam", crop.PoorlyDrained, 6.4); wet != 0 {
		t.Errorf("millet on poorly drained ground established: %v", wet)
	}
}

func TestStepAllocatesNothing(t *testing.T) {
	s, _ := compile(t, "grass-clover")
	y := valley(1)
	c := s.Climate(stand.NewForcing(&y[0]))
	st := s.Opening(0)
	var d stand.Day
	day := 0
	if n := testing.AllocsPerRun(300, func() { s.Step(&st, c, day, &d); day++ }); n != 0 {
		t.Errorf("%v allocations a day", n)
	}
}

func benchmark(b *testing.B, parts int) {
	c := catalogue(b)
	var list []crop.Part
	for _, name := range []string{"sorghum-sudangrass", "pearl-millet", "forage-rape"}[:parts] {
		k := c.Find(name)
		list = append(list, crop.Part{Crop: k, Rate: k.Sowing.Drilled})
	}
	m, err := crop.Join(list)
	if err != nil {
		b.Fatal(err)
	}
	soil, _ := stand.SoilOf("silt loam", crop.WellDrained, 6.4, 0, 0)
	s, err := stand.Compile(m, soil)
	if err != nil {
		b.Fatal(err)
	}
	y := valley(1)
	climate := s.Climate(stand.NewForcing(&y[0]))
	b.ReportAllocs()
	var d stand.Day
	for b.Loop() {
		st := s.Opening(0)
		for day := range 365 {
			if day == 212 {
				s.Sow(&st, stand.Seedbed{})
			}
			s.Step(&st, climate, day, &d)
		}
	}
}

func BenchmarkFieldYear(b *testing.B) {
	for i, name := range []string{"one", "two", "three"} {
		b.Run(name, func(b *testing.B) { benchmark(b, i+1) })
	}
}

// Every stand of the catalogue, a year each.
func BenchmarkEveryStand(b *testing.B) {
	y := valley(1)
	f := stand.NewForcing(&y[0])
	for _, name := range catalogue(b).Names() {
		s, m := compile(b, name)
		climate := s.Climate(f)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			var d stand.Day
			for b.Loop() {
				st := s.Opening(0)
				for day := range 365 {
					if day == 212 && m.Parts[0].Crop.Life == crop.Annual {
						s.Sow(&st, stand.Seedbed{})
					}
					s.Step(&st, climate, day, &d)
				}
			}
		})
	}
}

// The worst sowing fails and is seen to have failed, whatever the weather: it does
// not come up as a field of nothing.
func TestWorstSowingFails(t *testing.T) {
	for _, name := range []string{"corn-silage-early", "sorghum-sudangrass", "oats"} {
		s, mix := compile(t, name)
		years := valley(2)
		f := stand.NewForcing(&years[0])
		failed, up := false, false
		s.Alone(s.Climate(f), mix, stand.Schedule{Sow: 210, Use: crop.Wrap, Seedbed: stand.Seedbed{Misfortune: 0.99}}, func(_ int, _ *stand.State, d *stand.Day) {
			failed = failed || d.Flags&stand.EstablishmentFailed != 0
			up = up || d.Flags&stand.Emerged != 0
		})
		if !failed || up {
			t.Errorf("%s: failed %v, up %v", name, failed, up)
		}
	}
}
