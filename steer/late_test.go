package steer_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"rowen/crop"
	"rowen/farm"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
	"rowen/stand"
	"rowen/steer"
)

// stubble is October's farm with a field that nobody planned for.
func stubble(t *testing.T, on string) (*steer.Request, *steer.Day, *steer.Sky) {
	t.Helper()
	o := newOctober(t, "", nil)
	f, err := farm.Parse("stubble.toml", []byte(fmt.Sprintf(octoberFarm, "")+`
[[field]]
name = "Stubble"
area = "15 ac"
soil = { texture = "silt loam", drainage = "well drained", pH = 6.4 }
`), catalogue)
	if err != nil {
		t.Fatal(err)
	}
	day := o.at(on)
	years, known, err := o.series.Present(f.FeedYear, day)
	if err != nil {
		t.Fatal(err)
	}
	q := &steer.Request{Farm: f, Catalogue: catalogue, Entries: journal.Standing(o.entries), Years: years, Known: known, Today: day, Seed: 1}
	d, err := steer.Read(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return q, d, &steer.Sky{First: years[0].First, Today: known, Forcing: stand.NewForcing(&years[0]), Years: steer.Futures(years, 0, known, nil)}
}

// Oats fill this autumn while there is time for them; rye fills next spring.
func TestLateSowings(t *testing.T) {
	late := func(on string) (oats, rye steer.Late) {
		q, d, sky := stubble(t, on)
		got, err := steer.LateSowings(q, d, sky)
		if err != nil || len(got) != 2 {
			t.Fatalf("%s: %d late sowings, %v", on, len(got), err)
		}
		for _, l := range got {
			if a := l.Bare.Acres(); a < 14.9 || a > 15.1 {
				t.Errorf("%s: %.1f ac bare, want the stubble's 15", on, a)
			}
			if y := (quantity.MassPerArea(l.Yield.Middle / 1000)).TonsPerAcre(); len(l.Refused) == 0 && (y < 0.5 || y > 3.5 || l.Yield.Low > l.Yield.Middle) {
				t.Errorf("%s: %s gives %.2f t/ac, %v", on, l.Mix.Name, y, l.Yield)
			}
		}
		return got[0], got[1]
	}
	oats, rye := late("2025-08-01")
	if len(oats.Refused) > 0 || oats.Spring || oats.Use != crop.Wrap {
		t.Errorf("oats on 1 August: %q, spring %v", oats.Refused, oats.Spring)
	}
	if rye.Refused.String() != "" || !rye.Spring || rye.Sow <= oats.Sow {
		t.Errorf("rye on 1 August: %q, spring %v, sown %s", rye.Refused, rye.Spring, rye.Sow)
	}
	later, _ := late("2025-08-16")
	if later.Refused.String() == "" && later.Yield.Middle >= oats.Yield.Middle {
		t.Errorf("oats sown on 16 August give %v, on 1 August %v", later.Yield, oats.Yield)
	}
	if oats, rye = late("2025-09-20"); !strings.Contains(oats.Refused.String(), "too late") || rye.Refused.String() != "" {
		t.Errorf("20 September: oats %q, rye %q", oats.Refused, rye.Refused)
	}
	if _, rye = late("2025-10-28"); !strings.Contains(rye.Refused.String(), "20 Oct") {
		t.Errorf("28 October: rye %q", rye.Refused)
	}
}

// The outlook of a farm that is short offers them with ground and cost, and says what
// came too late.
func TestStockOffersLateSowings(t *testing.T) {
	find := func(on, words string) (closer steer.Closer, notes string) {
		q, d, _ := stubble(t, on)
		s, err := steer.StockOf(context.Background(), q, d)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range s.Closers {
			if strings.Contains(c.What.String(), words) {
				closer = c
			}
		}
		return closer, say.Join("\n", s.Assumed...).String()
	}
	if c, _ := find("2025-08-01", "Oats"); !strings.Contains(c.What.String(), "this autumn") || c.Cost < 15*60 || c.Cost > 15*400 {
		t.Errorf("1 August: %q at %.0f", c.What, c.Cost)
	}
	if c, notes := find("2025-09-20", "rye"); len(c.What) > 0 || !strings.Contains(notes, "next spring") {
		t.Errorf("20 September: %q closes no gap of this winter; notes %q", c.What, notes)
	}
	if c, notes := find("2025-09-20", "Oats"); len(c.What) > 0 || !strings.Contains(notes, "Oats, sown in late summer: too late") {
		t.Errorf("20 September: %q, notes %q", c.What, notes)
	}
}
