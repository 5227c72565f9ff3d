package steer_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/farm"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
	"rowen/steer"
)

// wintering is October's farm with baleage left at the feed year's start and a shed of
// hay of which nobody writes anything.
const wintering = `
[[stock]]
store = "Row"
feed = "baleage"
amount = "40 ton"

[[store]]
name = "Shed"
kind = "barn"
capacity = "100 ton"
`

func newWintering(t *testing.T) *october {
	t.Helper()
	o := newOctober(t, "", nil)
	f, err := farm.Parse("wintering.toml", []byte(fmt.Sprintf(octoberFarm, "")+wintering), catalogue)
	if err != nil {
		t.Fatal(err)
	}
	o.farm, o.entries = f, nil
	return o
}

func (o *october) stock(on string) *steer.Stock {
	o.t.Helper()
	d := o.read(on)
	years, known, err := o.series.Present(o.farm.FeedYear, d.Today)
	if err != nil {
		o.t.Fatal(err)
	}
	q := &steer.Request{Farm: o.farm, Catalogue: catalogue, Entries: journal.Standing(o.entries), Years: years, Known: known, Today: d.Today, Seed: 1}
	s, err := steer.StockOf(context.Background(), q, d)
	if err != nil {
		o.t.Fatal(err)
	}
	lies := make([]float64, len(s.Stores))
	for _, l := range s.Lots {
		lies[l.Store] += l.DM
	}
	for i, told := range s.Stores {
		if math.Abs(lies[i]-told.DM) > 1e-6*(1+told.DM) || told.DM < 0 {
			o.t.Errorf("%s: %s is told to hold %.1f kg and the outlook begins with %.1f", on, told.Name, told.DM, lies[i])
		}
	}
	return s
}

func tons(kg float64) float64 { return quantity.Mass(kg).Tons() }

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s: %.2f, want %.2f ± %.2f", what, got, want, within)
	}
}

func notes(s *steer.Stock) string { return say.Join("\n", s.Assumed...).String() }

// Thirty cows of 1,300 lb eat about half a short ton of dry matter a day in winter.
func TestCountedStoreFalls(t *testing.T) {
	o := newWintering(t)
	o.say("2024-12-01 measured Row 100 ton dm 50 %")
	at := func(on string) steer.StoreNow { return o.stock(on).Stores[0] }
	fresh, later := at("2024-12-01"), at("2025-01-30")
	near(t, "on the day", tons(fresh.DM), 50, 1)
	near(t, "sixty days on", tons(later.DM), 20, 8)
	near(t, "told as fed", tons(later.Fed), 50-tons(later.DM), 0.1)
	if s := o.stock("2025-01-30"); !strings.Contains(notes(s), "no feeding out of Row is written down since 1 Dec") {
		t.Errorf("notes %q", notes(s))
	}
	o.say("2024-12-20 fed Row 10 ton dm 50 %", "2025-01-10 bought Row 4 ton dm 50 %", "2025-01-12 sold Row 2 ton dm 50 %")
	later = at("2025-01-30")
	near(t, "with feeding written down", tons(later.DM), 50-5+2-1, 0.01)
	if later.Fed != 0 || !later.Known {
		t.Errorf("%+v: feeding is written down", later)
	}
}

// What was written down of a store that nobody counted is not lost.
func TestUncountedStoreIsReckoned(t *testing.T) {
	o := newWintering(t)
	o.say("2024-11-05 fed Row 20 ton dm 50 %", "2025-08-20 cut Low Piece wrap 60 bales 900 lb 55 % stubble 6 in", "2025-08-21 sold Row 1 ton dm 50 %")
	s := o.stock("2025-09-15")
	row, shed := s.Stores[0], s.Stores[1]
	near(t, "by the book", tons(row.DM), 40-10+60*0.45*0.45-0.5, 0.01)
	if row.Known || !row.Written || shed.Known || shed.Written {
		t.Errorf("%+v, %+v", row, shed)
	}
	if n := notes(s); !strings.Contains(n, "Row was never counted: it is taken to hold what the document has there on 1 Nov") || !strings.Contains(n, "Shed was never counted and nothing") {
		t.Errorf("notes %q", n)
	}
	// Without feeding written down a winter empties the row; August's cut lies there.
	o.entries = nil
	o.say("2025-08-20 cut Low Piece wrap 60 bales 900 lb 55 % stubble 6 in")
	near(t, "the cut", tons(o.stock("2025-08-21").Stores[0].DM), 60*0.45*0.45, 1)
	// A count without a weight counts nothing.
	o.say("2025-08-21 measured Row 50 bales")
	if s := o.stock("2025-08-22"); s.Stores[0].Known || !strings.Contains(notes(s), "the amount of Row on 2025-08-21 is not known") {
		t.Errorf("%+v, %q", s.Stores[0], notes(s))
	}
}

// Near the feed year's end the next winter is looked at, up to turn-out.
func TestHorizon(t *testing.T) {
	o := newWintering(t)
	o.say("2024-11-20 measured Row 800 ton dm 50 %", "2024-11-20 fed Row 1 ton dm 50 %")
	s := o.stock("2024-11-21")
	if s.Horizon != o.at("2025-10-31") || s.RunsOut != 0 || s.BadOut {
		t.Errorf("in November: up to %s, %d run out", s.Horizon, s.RunsOut)
	}
	o.say("2025-10-30 measured Row 40 ton dm 50 %")
	s = o.stock("2025-10-31")
	if s.Horizon != o.at("2026-05-04") || !strings.Contains(notes(s), "looked on to the next turn-out") {
		t.Errorf("on 31 October: up to %s, %q", s.Horizon, notes(s))
	}
	// 20 tons last thirty cows into December and not to Christmas's end.
	if !s.MiddleOut || s.Middle < o.at("2025-11-20") || s.Middle > o.at("2026-01-05") {
		t.Errorf("runs out %v on %s", s.MiddleOut, s.Middle)
	}
	if len(s.Groups) != 1 || s.Groups[0].Share != 1 {
		t.Fatalf("groups %+v", s.Groups)
	}
	g := s.Groups[0]
	near(t, "days", g.Days, min(s.Stores[0].DM/g.Need+s.Stores[1].DM/g.Need, float64(s.Middle-o.at("2025-10-31"))), 0.01)
	near(t, "the gap", tons(s.Gap), tons(g.Need)*185-20, 25)
	o.say("2025-10-31 measured Row 800 ton dm 50 %")
	if s = o.stock("2025-10-31"); s.MiddleOut || s.Gap > 100 {
		t.Errorf("400 tons run out on %s, %.0f kg missing", s.Middle, s.Gap)
	}
}

// Whatever is written down, the outlook begins with what the stores are told to hold,
// and more written in never leaves less.
func TestStockAddsUp(t *testing.T) {
	o := newWintering(t)
	rapid.Check(t, func(r *rapid.T) {
		o.entries = nil
		for i := range rapid.IntRange(0, 4).Draw(r, "entries") {
			day := o.at("2024-11-02") + quantity.Date(60*i+rapid.IntRange(0, 50).Draw(r, "day"))
			verb := rapid.SampledFrom([]string{"measured", "bought", "sold", "fed"}).Draw(r, "verb")
			o.say(fmt.Sprintf("%s %s Row %d ton dm 50 %%", day, verb, rapid.IntRange(1, 80).Draw(r, "amount")))
		}
		before := o.stock("2025-07-10").Stores[0]
		if len(o.entries) == 0 {
			return
		}
		o.say("2025-07-10 bought Row 10 ton dm 50 %")
		// A day's feeding may be taken off it.
		if after := o.stock("2025-07-10").Stores[0]; tons(after.DM-before.DM) > 5.01 || tons(after.DM-before.DM) < 4 {
			r.Fatalf("%.2f tons, with 5 more %.2f", tons(before.DM), tons(after.DM))
		}
	})
}
