package steer_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rowen/crop"
	"rowen/quantity"
	"rowen/stand"
	"rowen/steer"
	"rowen/weather"
)

var conserved = []crop.Use{crop.Wrap, crop.Chop, crop.Hay}

// drawMaking and drawDays are any swath under any weather.
func drawMaking(t *rapid.T) steer.Making {
	return steer.Making{
		Yield: rapid.Float64Range(50, 900).Draw(t, "yield"), Width: rapid.Float64Range(0.2, 1).Draw(t, "width"),
		Moisture: rapid.Float64Range(0.6, 0.9).Draw(t, "moisture"), Use: rapid.SampledFrom(conserved).Draw(t, "use"),
		Rate: rapid.Float64Range(0.5, 1.2).Draw(t, "rate"), Conditioned: rapid.Bool().Draw(t, "conditioned"),
		Legume: rapid.Bool().Draw(t, "legume"), Damage: rapid.Float64Range(0, 1).Draw(t, "damage"),
	}
}

func drawDays(t *rapid.T, rain bool) []steer.CureDay {
	days := make([]steer.CureDay, 10)
	for i := range days {
		days[i] = steer.CureDay{Sun: rapid.Float64Range(50, 800).Draw(t, "sun"), Deficit: rapid.Float64Range(0.2, 3).Draw(t, "deficit"), Soil: rapid.Float64Range(10, 25).Draw(t, "soil")}
		if rain && rapid.Bool().Draw(t, "wet") {
			days[i].Rain = rapid.Float64Range(0, 40).Draw(t, "rain")
		}
	}
	return days
}

// clock is how long a swath lay; one never brought in lay for ever.
func clock(l steer.Laid) float64 {
	if !l.In {
		return math.Inf(1)
	}
	return l.Clock
}

const dot = 1e-9

func TestCureMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, days := drawMaking(t), drawDays(t, true)
		was := steer.Lay(&m, days)
		changed := func(f func(d *steer.CureDay)) steer.Laid {
			out := append([]steer.CureDay(nil), days...)
			f(&out[rapid.IntRange(0, len(out)-1).Draw(t, "day")])
			return steer.Lay(&m, out)
		}
		more := rapid.Float64Range(0, 30).Draw(t, "more")
		if now := changed(func(d *steer.CureDay) { d.Sun += 10 * more }); clock(now) > clock(was)+dot {
			t.Fatalf("more sun is slower: %v after %v", now, was)
		}
		if now := changed(func(d *steer.CureDay) { d.Soil += more }); clock(now) < clock(was)-dot {
			t.Fatalf("wetter soil is faster: %v after %v", now, was)
		}
		now := changed(func(d *steer.CureDay) { d.Rain += more })
		if now.Kept > was.Kept+dot || clock(now) < clock(was)-dot || now.Dry && !was.Dry {
			t.Fatalf("more rain leaves more, or sooner: %+v after %+v", now, was)
		}
		if was.Kept < 0 || was.Kept > 1 || was.In && math.Abs(was.Kept-(1-was.Respired)*(1-was.Leached)*(1-was.Gathered)) > dot {
			t.Fatalf("the losses do not add up: %+v", was)
		}
	})
}

// Without rain a wider swath and a crimped one are never slower; a heavier crop is
// never faster. (Rain on a wide swath wets more of it.)
func TestCureWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, days := drawMaking(t), drawDays(t, false)
		was := clock(steer.Lay(&m, days))
		wider, crimped, heavier := m, m, m
		wider.Width += rapid.Float64Range(0, 1-m.Width).Draw(t, "wider")
		crimped.Conditioned = true
		heavier.Yield += 100
		switch {
		case clock(steer.Lay(&wider, days)) > was+dot:
			t.Fatal("a wider swath is slower")
		case clock(steer.Lay(&crimped, days)) > was+dot:
			t.Fatal("a crimped swath is slower")
		case clock(steer.Lay(&heavier, days)) < was-dot:
			t.Fatal("a heavier crop is faster")
		}
	})
}

// A good June week: haylage in the day, bales by the next, hay on the third day; and a
// day of which nothing is known ends what is promised.
func TestCureGoodWeek(t *testing.T) {
	days := make([]steer.CureDay, 10)
	for i := range days {
		days[i] = steer.CureDay{Sun: 600, Deficit: 1.5, Soil: 17}
	}
	for use, want := range map[crop.Use]int{crop.Chop: 0, crop.Wrap: 1, crop.Hay: 2} {
		m := steer.Making{Yield: 350, Width: 0.7, Moisture: 0.80, Use: use, Rate: 1, Conditioned: true}
		l := steer.Lay(&m, days)
		if !l.In || !l.Dry || l.Days > want {
			t.Errorf("%s: %+v, want it in after at most %d days", use, l, want)
		}
		holed := append([]steer.CureDay(nil), days...)
		holed[0].Rain = math.NaN()
		if l := steer.Lay(&m, holed); l.In || l.Dry || l.Kept != 0 {
			t.Errorf("%s: a hole promises %+v", use, l)
		}
	}
	m := steer.Making{Yield: 350, Width: 0.7, Moisture: 0.80, Use: crop.Hay, Rate: 1, Conditioned: true, Legume: true, Damage: 1}
	dry := steer.Lay(&m, days)
	days[1].Rain = 25.4
	wet := steer.Lay(&m, days)
	// Collins, Wisconsin: an inch a day after mowing took 22 instead of 6.3 %, raking and
	// baling not counted.
	if lost := dry.Kept - wet.Kept; wet.Dry || lost < 0.08 || lost > 0.20 {
		t.Errorf("an inch on the second day takes %.3f of the hay", lost)
	}
	if wet.Eve < 0.30 || wet.Eve > 0.60 {
		t.Errorf("it stood at %.2f when the rain came", wet.Eve)
	}
}

// A day of rain dries a third as long, wets the swath, and a swath that never dries is
// worth nothing.
func TestCureRainyDays(t *testing.T) {
	days := make([]steer.CureDay, 12)
	for i := range days {
		days[i] = steer.CureDay{Sun: 150, Deficit: 0.3, Soil: 25, Rain: 6}
	}
	m := steer.Making{Yield: 350, Width: 0.7, Moisture: 0.80, Use: crop.Hay, Rate: 1, Conditioned: true}
	if l := steer.Lay(&m, days); l.In || l.Kept != 0 || math.Abs(l.Hours-30) > dot || math.Abs(l.Rain-60) > dot {
		t.Errorf("ten days of rain: %+v", l)
	}
	// Half a millimetre is no rain that ends a dry spell, though it wets.
	for i := range days {
		days[i] = steer.CureDay{Sun: 600, Deficit: 1.5, Soil: 17}
	}
	fine := steer.Lay(&m, days)
	days[0].Rain = 0.5
	if l := steer.Lay(&m, days); !l.Dry || l.Hours <= fine.Hours || l.Leached <= 0 {
		t.Errorf("half a millimetre: %+v after %+v", l, fine)
	}
}

// No use is gathered wetter than bales may be wrapped.
func TestTargetMoisture(t *testing.T) {
	for _, use := range conserved {
		if target, wettest := steer.TargetMoisture(use); target > 0.65 || wettest > 0.65 || target > wettest {
			t.Errorf("%s: %v to %v", use, target, wettest)
		}
	}
}

// Over real-like years: a forecast of a week of sun makes today certain, one of rain
// makes it hopeless, and shares are shares.
func TestCureWindows(t *testing.T) {
	s := weather.Valley(14, 2025)
	s.Prepare()
	today, _ := quantity.ParseDate("2025-06-10")
	years, known, err := s.Present(quantity.MonthDay{Month: 11, Day: 1}, today)
	if err != nil {
		t.Fatal(err)
	}
	swath := steer.Swath{Use: crop.Wrap, Yield: steer.Spread{Low: 250, Middle: 320, High: 400}, Moisture: steer.Spread{Low: 0.76, Middle: 0.79, High: 0.82}, Width: 0.7, Conditioned: true, Water: -20}
	windows := func(rain float64, days int) []steer.Window {
		var forecast []weather.Day
		for range days {
			forecast = append(forecast, weather.Day{TMin: 12, TMax: 27, Rain: rain, Solar: 24, Vapour: 1.4, Wind: 2})
		}
		sky := steer.Futures(years, 0, known, forecast)
		return steer.Cure(&swath, sky, years[0].First, known+1, known+1+days, 7)
	}
	for _, w := range windows(0, 0) {
		if w.Dry < 0 || w.Dry+w.Rescue > w.Mown+dot || w.Mown > 1 || w.Dry == 0 || w.Forecast != 0 {
			t.Errorf("%s: %+v", w.Mow, w)
		}
		if w.Hours.Low > w.Hours.Middle || w.Hours.Middle > w.Hours.High || w.In.Middle < w.Mow {
			t.Errorf("%s: spreads out of order: %+v", w.Mow, w)
		}
	}
	if w := windows(0, 10); w[0].Dry < 0.999 || steer.BestWindow(w) != 0 || w[0].Forecast != 10 || w[0].KeptDry.Middle < 0.85 {
		t.Errorf("ten fine days: %+v", w[0])
	}
	wet := windows(12, 3)
	if wet[0].Mown != 0 || wet[0].Dry != 0 || steer.BestWindow(wet) < 3 {
		t.Errorf("three days of rain: best day %d, %+v", steer.BestWindow(wet), wet[0])
	}
	if steer.BestWindow(windows(12, 10)) != -1 {
		t.Error("ten days of rain, and a day is chosen")
	}
	if len(steer.Cure(&swath, []*stand.Forcing{}, 0, 0, 0, 3)) != 3 {
		t.Error("no years: three empty days are wanted")
	}
	thick := swath
	thick.Thick = true
	sky := steer.Futures(years, 0, known, nil)
	fine, coarse := steer.Cure(&swath, sky, years[0].First, known+1, 0, 1)[0], steer.Cure(&thick, sky, years[0].First, known+1, 0, 1)[0]
	if coarse.Hours.High-coarse.Hours.Low <= fine.Hours.High-fine.Hours.Low || coarse.Dry > fine.Dry {
		t.Errorf("thick stems are not slower and wider: %+v, %+v", fine.Hours, coarse.Hours)
	}
}

// Numbers done by hand: 10 acres at 300 g/m² are 12,141 kg; a 4 × 4 ft bale at 11 lb
// has 553 lb (250.8 kg) dry, 557.3 kg at 55 %.
func TestPutUp(t *testing.T) {
	stored := steer.Spread{Low: 250, Middle: 300, High: 350}
	p := steer.PutUpOf(stored, 10*quantity.Acre, crop.Wrap, false, steer.UsualBale(crop.Wrap), steer.UsualLoad)
	near := func(name string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 0.005*want {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
	near("DM", p.DM.Middle, 12141)
	near("bale dry", p.EachDry, 250.8)
	near("bale", p.EachFresh, 557.3)
	near("bales", p.Count.Middle, 49)
	near("layers", p.Layers, 6)
	near("bales a roll", p.PerRoll, 1500/(4*1.2192*24/1.6))
	near("rolls", p.Rolls, 3)
	if p.Count.Low >= p.Count.Middle || p.Count.High <= p.Count.Middle {
		t.Errorf("bales %+v", p.Count)
	}
	chop := steer.PutUpOf(stored, 10*quantity.Acre, crop.Chop, false, steer.Bale{}, steer.UsualLoad)
	near("loads", chop.Count.Middle, math.Ceil(12141/(8*907.185*0.375)))
	near("space", chop.Space, 12141/240.3)
	if chop.Bales || chop.Rolls != 0 || p.Ground == 0 {
		t.Errorf("%+v", chop)
	}
}
