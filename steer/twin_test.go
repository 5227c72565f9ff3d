package steer_test

import (
	"math"
	"testing"

	"rowen/crop"
	"rowen/quantity"
	"rowen/stand"
	"rowen/steer"
	"rowen/weather"
)

var catalogue = func() *crop.Catalogue {
	c, err := crop.Load()
	if err != nil {
		panic(err)
	}
	return c
}()

// valley is the invented valley's feed years.
func valley(t testing.TB, years int) []weather.Year {
	t.Helper()
	s := weather.Valley(years, 2025)
	s.Prepare()
	out, _ := s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, 0)
	if len(out) == 0 {
		t.Fatal("the valley has no year")
	}
	return out
}

// place is one stand under one year, with all the others to come after today.
type place struct {
	mix        crop.Mix
	base, bare *stand.Stand
	sky        *steer.Sky
	climates   *steer.Climates
	sow        int
}

// placed stands a mixture into year k; today is so many days after sowing, or of the
// feed year for a sward.
func placed(t testing.TB, name string, years []weather.Year, k, after int) (p place, sown bool) {
	t.Helper()
	soil, err := stand.ParseSoil("")
	if err != nil {
		t.Fatal(err)
	}
	var ok bool
	if p.mix, ok = catalogue.Mix(name); !ok {
		t.Fatalf("no crop %q", name)
	}
	if p.base, err = stand.Compile(p.mix, soil); err != nil {
		t.Fatal(err)
	}
	if p.bare, err = stand.Compile(crop.Mix{}, soil); err != nil {
		t.Fatal(err)
	}
	p.sky = &steer.Sky{First: years[k].First, Forcing: stand.NewForcing(&years[k])}
	p.sow, _ = p.base.SowingDay(&p.mix, p.sky.Forcing, &years[k], nil, nil)
	switch p.sow {
	case stand.Unsown:
		return p, false
	case stand.Standing:
		p.sky.Today = after
	default:
		p.sky.Today = p.sow + after
	}
	p.sky.Years = steer.Futures(years, k, p.sky.Today, nil)
	p.climates = p.sky.Feel(p.base)
	return p, true
}

func (p *place) course(field int64) steer.Course {
	return steer.Course{Field: field, Mix: &p.mix, Sow: p.sow, Use: crop.Graze, Deeds: []steer.Deed{{Day: max(p.sow, 166), Nitrogen: 100}}}
}

// What is measured makes the forecast better, and its ranges hold what they say.
func TestTwins(t *testing.T) {
	years := valley(t, 16)
	for _, c := range []struct {
		crop  string
		after int
	}{{"sorghum-sudangrass", 35}, {"pearl-millet", 35}, {"orchardgrass", 172}} {
		var with, without float64
		n, held := 0, 0
		for k := range years {
			p, ok := placed(t, c.crop, years, k, c.after)
			if !ok {
				continue
			}
			for f := range 4 {
				twin, ok := steer.TwinOf(p.course(int64(f)), p.base, p.bare, p.sky, p.climates, uint64(k))
				if !ok {
					continue
				}
				n++
				truth := p.sky.First + quantity.Date(twin.True)
				with += math.Pow(float64(twin.With.Ready.Middle-truth), 2)
				without += math.Pow(float64(twin.Without.Ready.Middle-truth), 2)
				if truth >= twin.With.Ready.Early && truth <= twin.With.Ready.Late {
					held++
				}
			}
		}
		if n < 15 {
			t.Fatalf("%s: only %d twins", c.crop, n)
		}
		with, without = math.Sqrt(with/float64(n)), math.Sqrt(without/float64(n))
		t.Logf("%s: %d twins, first use off by %.1f days when measured, %.1f when not; ranges held %.0f %%", c.crop, n, with, without, 100*float64(held)/float64(n))
		if with > 0.7*without {
			t.Errorf("%s: measuring takes the error from %.1f to only %.1f days", c.crop, without, with)
		}
		if share := float64(held) / float64(n); share < 0.65 {
			t.Errorf("%s: the 80 %% range holds the truth in %.0f %%", c.crop, 100*share)
		}
	}
}

// A taller stick makes a taller stand, sooner ready; the same input the same bits.
func TestHeightMovesEverything(t *testing.T) {
	years := valley(t, 12)
	p, ok := placed(t, "sorghum-sudangrass", years, 5, 32)
	if !ok {
		t.Fatal("not sown in that year")
	}
	read := func(factor float64) steer.Now {
		c := p.course(1)
		if factor > 0 {
			c.Seen = []steer.Seen{{Day: p.sky.Today, Trait: steer.Height, Value: base(&p) * factor, SD: steer.ErrorOf(3)}}
		}
		return c.Read(p.base, p.bare, p.sky, p.climates, 7)
	}
	low, none, high := read(0.7), read(0), read(1.4)
	if !(low.Height.Middle < none.Height.Middle && none.Height.Middle < high.Height.Middle) {
		t.Errorf("heights %v, %v, %v do not follow the stick", low.Height, none.Height, high.Height)
	}
	if !(low.Mass.Middle < high.Mass.Middle) || low.Ready.Middle <= high.Ready.Middle {
		t.Errorf("mass %v, %v and readiness %v, %v do not follow", low.Mass, high.Mass, low.Ready, high.Ready)
	}
	if w := none.Height.High - none.Height.Low; high.Height.High-high.Height.Low >= w {
		t.Errorf("a measurement does not narrow the height: %v, before %v", high.Height, none.Height)
	}
	// What no published parameter explains remains as a jump, and is told.
	if far := read(3); far.Correction < 5 || far.CorrectionDay != p.sky.Today {
		t.Errorf("three times the height corrects by %.1f g/m² on day %d", far.Correction, far.CorrectionDay)
	}
	if again := read(1.4); again != high {
		t.Error("the same course reads differently twice")
	}
}

// base is the middle height without any measurement.
func base(p *place) float64 {
	c := p.course(1)
	return c.Read(p.base, p.bare, p.sky, p.climates, 7).Height.Middle
}

func BenchmarkRead(b *testing.B) {
	years := valley(b, 31)
	p, ok := placed(b, "orchardgrass", years, 5, 230)
	if !ok {
		b.Fatal("not standing")
	}
	c := p.course(1)
	for day := 180; day < 230; day += 10 {
		c.Seen = append(c.Seen, steer.Seen{Day: day, Trait: steer.Height, Value: 20, SD: 0.1})
	}
	b.ReportAllocs()
	for b.Loop() {
		c.Read(p.base, p.bare, p.sky, p.climates, 7)
	}
}
