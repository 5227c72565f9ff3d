package web

import (
	"testing"

	"rowen/internal/report"
	"rowen/quantity"
)

// What a year is ranked by is said beside what is bought in it: a year may be worse and
// buy less, since it eats its stores.
func TestShortageSaysWhatTheStoresGive(t *testing.T) {
	p, err := newPages(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		shortage, gap float64
		want          string
	}{
		{41334, 3768, "home-grown feed 46 ton under need: 41 ton of it from what lay in store"},
		{4905, 7410, "home-grown feed 5.4 ton under need"},
		{-141176, 804, "home-grown feed 156 ton over need"},
	} {
		if got := p.shortage(&report.Outcome{Shortage: c.shortage, Gap: c.gap}, quantity.US); got != c.want {
			t.Errorf("%v short, %v bought: %q, want %q", c.shortage, c.gap, got, c.want)
		}
	}
}
