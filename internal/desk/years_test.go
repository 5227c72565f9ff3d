package desk_test

import (
	"cmp"
	"testing"

	"rowen/internal/desk"
)

// The years of a plan are a span, how many of the latest, or the usual thirty; what cannot
// be read is refused.
func TestYears(t *testing.T) {
	farm := source(t, "sheep.toml").Name
	for _, x := range []struct {
		years       string
		first, last int
	}{{"", 1996, 2025}, {"40", 1986, 2025}, {"5", 2021, 2025}, {"1990-1993", 1990, 1993}, {"2001", 2001, 2001}} {
		p, _, err := desk.Plan(t.Context(), desk.Request{Farm: farm, Years: x.years})
		if err != nil {
			t.Errorf("%q: %v", x.years, err)
			continue
		}
		if m := p.Manifest; m.FirstYear != x.first || m.LastYear != x.last || m.YearCount != x.last-x.first+1 {
			t.Errorf("%q: %d to %d, %d years", x.years, m.FirstYear, m.LastYear, m.YearCount)
		}
	}
	for _, bad := range []string{"x", "2001-1999", "-3", "0", "2030-2031"} {
		if p, _, err := desk.Plan(t.Context(), desk.Request{Farm: farm, Years: bad}); err == nil {
			t.Errorf("%q gave a plan over %d years", bad, p.Manifest.YearCount)
		}
	}
}

// A desk plans over as many of the latest years as it is told, and is asked for.
func TestDeskYears(t *testing.T) {
	c, err := desk.Catalogue(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{0, 40, 3} {
		d := desk.NewDesk(c)
		d.Years = n
		p, err := d.Plan(t.Context(), source(t, "sheep.toml"))
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Plan.Manifest.YearCount; got != cmp.Or(n, desk.DefaultYears) {
			t.Errorf("%d years asked, %d planned over", n, got)
		}
	}
}
