package season_test

import (
	"context"
	"errors"
	"testing"

	"rowen/season"
)

// A field alone gives something each year, its pastures in the grazing season
// only, and at most what it grew.
func TestSupply(t *testing.T) {
	f := load(t, "dairy")
	m, r := run(t, f, 8, 0)
	open, err := m.SpunUp(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for i := range f.Fields {
		sum := 0.0
		for k, id := range m.Years() {
			s, err := m.Supply(open, i, id)
			if err != nil {
				t.Fatal(err)
			}
			year := 0.0
			for h := range season.HalfMonths {
				if s.Grazed[h] > 0 && h < 12 { // before 1 May
					t.Errorf("%s is grazed in half-month %d", f.Fields[i].Name, h)
				}
				year += s.Grazed[h] + s.Mown[h]
			}
			// Alone a field is cut back at its best, so it may outgrow the coupled
			// run, never by half.
			if year > 1.5*r.Years[k].Fields[i].Grown+1 {
				t.Errorf("%s %d gives %.0f alone, the coupled run grew %.0f", f.Fields[i].Name, id, year, r.Years[k].Fields[i].Grown)
			}
			sum += year
		}
		if sum == 0 {
			t.Errorf("%s never gives anything", f.Fields[i].Name)
		}
	}
	if _, err := m.Supply(open, 0, 1); !errors.Is(err, season.ErrYear) {
		t.Errorf("an unknown year: %v", err)
	}
	if _, err := m.Supply(open, 99, m.Years()[0]); err == nil {
		t.Error("an unknown field was grown")
	}
}
