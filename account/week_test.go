package account_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rowen/account"
	"rowen/quantity"
	"rowen/stand"
	"rowen/weather"
)

// dull is a prepared record in which nothing happens: 10 to 20 °C, no rain.
func dull(first, last int, change func(quantity.Date, *weather.Day)) *weather.Series {
	s := &weather.Series{Station: weather.Station{Name: "made by hand", Latitude: 43}, First: quantity.NewDate(first, 1, 1)}
	for d := s.First; d < quantity.NewDate(last+1, 1, 1); d++ {
		day := weather.Day{TMin: 10, TMax: 20, Solar: 20, Vapour: 1, Wind: 1.5}
		if change != nil {
			change(d, &day)
		}
		s.Days = append(s.Days, day)
	}
	return s
}

func ask(s *weather.Series, on quantity.Date) account.Week { return account.WeeksOf(s).Week(on) }

// Shares of freezing nights against a record made by hand: 2000 to 2009, with one
// cold night in three of the years, at a distance that tells the windows apart.
func TestFreezeShares(t *testing.T) {
	nights := map[int]struct {
		day  int
		tmin float64
	}{2001: {3, 2.0}, 2003: {10, -1}, 2005: {14, -3}, 2007: {15, -9}, 2008: {0, -9}, 2009: {2, -9}}
	s := dull(2000, 2009, func(d quantity.Date, day *weather.Day) {
		if n, ok := nights[d.Year()]; ok && d == quantity.NewDate(d.Year(), 9, 20)+quantity.Date(n.day) {
			day.TMin = n.tmin
		}
	})
	w := ask(s, quantity.NewDate(2009, 9, 20))
	// The date's own year, 2009, does not speak of its own coming days, nor does a
	// night on the date itself count as coming.
	for k, want := range []account.FreezeRisk{
		{Threshold: 2.2, Seven: account.Share{With: 1, Years: 9}, Fourteen: account.Share{With: 3, Years: 9}},
		{Threshold: 0, Seven: account.Share{With: 0, Years: 9}, Fourteen: account.Share{With: 2, Years: 9}},
		{Threshold: weather.HardFreeze, Seven: account.Share{With: 0, Years: 9}, Fourteen: account.Share{With: 1, Years: 9}},
	} {
		if w.Freeze[k] != want {
			t.Errorf("%d: %+v, want %+v", k, w.Freeze[k], want)
		}
	}
	if w.Nights != 7 || w.Lowest != 10 {
		t.Errorf("last nights: %d, lowest %g", w.Nights, w.Lowest)
	}
	// Two days on the cold night of 2009 has been measured.
	w = ask(s, quantity.NewDate(2009, 9, 22))
	if w.Lowest != -9 || w.Freeze[0].Past != 1 || w.Freeze[2].Past != 1 {
		t.Errorf("the cold night is not seen: %+v", w)
	}
}

// A year with a missing night in the window says nothing, rather than "no freeze".
func TestMissingNightSaysNothing(t *testing.T) {
	s := dull(2000, 2004, func(d quantity.Date, day *weather.Day) {
		if d == quantity.NewDate(2002, 9, 25) {
			day.TMin = math.NaN()
		}
	})
	w := ask(s, quantity.NewDate(2020, 9, 20))
	if got := w.Freeze[0].Seven; got != (account.Share{With: 0, Years: 4}) {
		t.Errorf("%+v", got)
	}
	if w.Cutting.Rainless[0].Years != 4 {
		t.Errorf("cutting: %+v", w.Cutting.Rainless)
	}
}

// Rainless days in a row by hand: every second day wet in 2001, two dry days in
// 2002, all wet in 2003, all dry otherwise.
func TestRainlessShares(t *testing.T) {
	s := dull(2000, 2004, func(d quantity.Date, day *weather.Day) {
		n := int(d - quantity.NewDate(d.Year(), 6, 10))
		switch d.Year() {
		case 2001:
			day.Rain = float64(5 * (n & 1))
		case 2002:
			if n != 4 && n != 5 {
				day.Rain = 3
			}
		case 2003:
			day.Rain = 1.1
		}
	})
	w := ask(s, quantity.NewDate(2010, 6, 10))
	want := [4]account.Share{{With: 4, Years: 5}, {With: 3, Years: 5}, {With: 2, Years: 5}, {With: 2, Years: 5}}
	if w.Cutting.Rainless != want {
		t.Errorf("%+v, want %+v", w.Cutting.Rainless, want)
	}
	if c := w.Cutting; c.Wrap.Years != 4 || !(c.Wrap.Usual > 2 && c.Wrap.Usual < c.Hay.Usual) {
		t.Errorf("drying: %+v", c)
	}
}

// A date outside the record: nothing is measured, the years speak alone; and of a
// record without the date at all nothing is told.
func TestDateOutsideTheRecord(t *testing.T) {
	s := dull(2000, 2004, nil)
	for _, on := range []quantity.Date{quantity.NewDate(2031, 6, 10), quantity.NewDate(1961, 6, 10)} {
		w := ask(s, on)
		if w.Soil.Measured || w.Nights != 0 || !math.IsNaN(w.Lowest) || w.Soil.Years != 5 || math.Abs(w.Soil.Now-15) > 1e-9 {
			t.Errorf("%v: %+v", on, w.Soil)
		}
	}
	short := dull(2000, 2000, nil)
	short.Days = short.Days[:100]
	w := ask(short, quantity.NewDate(2031, 9, 1))
	if w.Soil.Years != 0 || !math.IsNaN(w.Soil.Now) || w.Freeze[0].Seven.Years != 0 || !math.IsNaN(w.Freeze[0].Seven.Of()) {
		t.Errorf("a record without the date: %+v", w)
	}
	if w := ask(&weather.Series{}, quantity.NewDate(2031, 9, 1)); w.Soil.Years != 0 || w.Soil.Measured {
		t.Errorf("an empty record: %+v", w)
	}
}

// The soil of a bulletin is the soil that the season sows by.
func TestSoilIsTheSeasons(t *testing.T) {
	s := weather.Valley(4, 2020)
	s.Prepare()
	w := account.WeeksOf(s)
	years, _ := s.FeedYears(quantity.MonthDay{Month: time.November, Day: 1}, 1)
	f := stand.NewForcing(&years[0])
	for i := 150; i < f.Days(); i += 7 {
		on := years[0].First + quantity.Date(i)
		if got := w.Week(on).Soil; !got.Measured || math.Abs(got.Now-f.Day(i).SoilTemp) > 1e-6 {
			t.Errorf("%v: %g, the season has %g", on, got.Now, f.Day(i).SoilTemp)
		}
	}
}

// A soil that steps up is held from the day on which its memory has caught up; the
// years that never warm are counted as not met.
func TestHeld(t *testing.T) {
	s := dull(2000, 2003, func(d quantity.Date, day *weather.Day) {
		if d >= quantity.NewDate(d.Year(), 5, 10) && d.Year() != 2001 {
			day.TMin, day.TMax = 20, 30
		}
	})
	w := account.WeeksOf(s)
	opens := quantity.NewDate(2003, 5, 1)
	// From 15 °C towards 25 with a memory of seven days: 18 °C after 7·ln(10/7) = 2.5
	// days, so on the third warm day, 12 May.
	for _, c := range []struct {
		day, held int
		met       bool
	}{{11, 0, false}, {12, 1, false}, {14, 3, true}, {20, 9, true}} {
		got := w.Held(opens, quantity.NewDate(2003, 5, c.day), 18, 3)
		if !got.Measured || got.Days != c.held || got.Met != c.met {
			t.Errorf("%d May: %+v, want %d days, met %v", c.day, got, c.held, c.met)
		}
	}
	if got := w.Held(quantity.NewDate(2030, 5, 1), quantity.NewDate(2030, 5, 20), 18, 3); got.Measured || got.Usual != (account.Share{With: 3, Years: 4}) {
		t.Errorf("outside the record: %+v", got)
	}
	if got := w.Held(opens, opens-5, 18, 3); got.Measured || got.Met {
		t.Errorf("before it opens: %+v", got)
	}
}

// Whatever the nights, a colder threshold and a shorter window never have the
// larger share, and more dry days in a row never are more frequent.
func TestSharesNest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-12, 12), 37, 37).Draw(t, "nights")
		rains := rapid.SliceOfN(rapid.Float64Range(0, 3), 41, 41).Draw(t, "rains")
		i := 0
		s := dull(2000, 2005, func(_ quantity.Date, day *weather.Day) {
			day.TMin, day.Rain = values[i%len(values)], rains[i%len(rains)]
			i++
		})
		w := ask(s, quantity.NewDate(2000, 1, 1)+quantity.Date(rapid.IntRange(-400, 2900).Draw(t, "on")))
		for k, f := range w.Freeze {
			if f.Seven.With > f.Fourteen.With && f.Seven.Years == f.Fourteen.Years || k > 0 && f.Fourteen.With > w.Freeze[k-1].Fourteen.With || f.Fourteen.With > f.Fourteen.Years {
				t.Fatalf("%+v", w.Freeze)
			}
		}
		for k := 1; k < 4; k++ {
			if w.Cutting.Rainless[k].With > w.Cutting.Rainless[k-1].With {
				t.Fatalf("%+v", w.Cutting.Rainless)
			}
		}
	})
}
