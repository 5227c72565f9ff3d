package weather_test

import (
	"math"
	"testing"

	"rowen/quantity"
	"rowen/weather"
)

// Fitted to Albany 1958-2017, 200 generated years reproduce monthly means, the
// share of wet days and freeze dates within the tolerances stated here.
func TestGeneratorAgainstAlbany(t *testing.T) {
	s := read(t, "weather-daily-albany-ny/USW00014735.csv")
	from := quantity.NewDate(1958, 1, 1)
	s.Days, s.First = s.Days[from-s.First:quantity.NewDate(2018, 1, 1)-s.First], from
	g, err := weather.Fit(s)
	if err != nil {
		t.Fatal(err)
	}
	made := g.Generate(7, quantity.NewDate(2001, 1, 1), 200)
	s.Prepare()
	made.Prepare()
	real, fake := s.Summarise(), made.Summarise()
	for m := range real.Months {
		a, b := real.Months[m], fake.Months[m]
		if math.Abs(a.TMax-b.TMax) > 0.8 || math.Abs(a.TMin-b.TMin) > 0.8 {
			t.Errorf("month %d: temperatures %.1f %.1f, generated %.1f %.1f (tolerance 0.8 °C)", m+1, a.TMax, a.TMin, b.TMax, b.TMin)
		}
		if math.Abs(a.Rain.Mean-b.Rain.Mean) > 0.1*a.Rain.Mean {
			t.Errorf("month %d: rain %.0f, generated %.0f (tolerance 10 %%)", m+1, a.Rain.Mean, b.Rain.Mean)
		}
		if math.Abs(a.WetDays-b.WetDays) > 0.12*a.WetDays {
			t.Errorf("month %d: wet days %.1f, generated %.1f (tolerance 12 %%)", m+1, a.WetDays, b.WetDays)
		}
	}
	for i, threshold := range weather.FreezeThresholds {
		for _, c := range []struct {
			name string
			a, b weather.FreezeDates
		}{{"spring", real.Spring[i], fake.Spring[i]}, {"autumn", real.Autumn[i], fake.Autumn[i]}} {
			for _, p := range []float64{0.1, 0.5, 0.9} {
				a, b := c.a.Day(p), c.b.Day(p)
				t.Logf("%s %.1f °C, %.0f %%: day %.1f, generated %.1f", c.name, threshold, 100*p, a, b)
				if math.Abs(a-b) > freezeTolerance {
					t.Errorf("%s freeze of %.1f °C at %.0f %%: day %.1f, generated %.1f (tolerance %v d)", c.name, threshold, 100*p, a, b, freezeTolerance)
				}
			}
		}
	}
}

// freezeTolerance is how far a generated freeze percentile may stand from the
// record's, days; the worst of 24 stands 5.6 off. The 10 and 90 % dates of 60 years
// are themselves known to about 2.
const freezeTolerance = 6.0

func TestGeneratorRepeats(t *testing.T) {
	a, b := weather.Valley(3, 2020), weather.Valley(3, 2020)
	for i := range a.Days {
		if a.Days[i] != b.Days[i] && !math.IsNaN(a.Days[i].Solar) {
			t.Fatalf("day %d differs", i)
		}
	}
	if a.Hash != b.Hash || a.Hash == "" {
		t.Error("hashes differ")
	}
}

// The demo's valley is what its normals say.
func TestValley(t *testing.T) {
	s := weather.Valley(120, 2020)
	s.Prepare()
	sum := s.Summarise()
	for m, n := range weather.ValleyNormals.TMax {
		if math.Abs(sum.Months[m].TMax-n) > 1.0 || math.Abs(sum.Months[m].TMin-weather.ValleyNormals.TMin[m]) > 1.0 {
			t.Errorf("month %d: %.1f/%.1f, normals %.1f/%.1f", m+1, sum.Months[m].TMax, sum.Months[m].TMin, n, weather.ValleyNormals.TMin[m])
		}
		if r := sum.Months[m].Rain.Mean; math.Abs(r-weather.ValleyNormals.Rain[m]) > 0.15*r {
			t.Errorf("month %d: rain %.0f, normal %.0f", m+1, r, weather.ValleyNormals.Rain[m])
		}
	}
	years, skipped := s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, 30)
	if len(years) != 30 || len(skipped) != 0 {
		t.Errorf("%d years, %d skipped", len(years), len(skipped))
	}
}
