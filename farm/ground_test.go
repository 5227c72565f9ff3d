package farm_test

import (
	"testing"

	"rowen/farm"
	"rowen/quantity"
)

// What parts of a field leave is what a sowing of the whole field takes: no ground is
// sown twice.
func TestGroundOfWholeAndPart(t *testing.T) {
	f := &farm.Farm{Fields: []farm.Field{{Name: "Flat", Area: 24}, {Name: "Six", Area: 16}}}
	f.Plan.Sowings = []farm.Sowing{{Field: 0}, {Field: 0, Area: 11}, {Field: 1, Area: 5}}
	for i, want := range []quantity.Area{13, 11, 5} {
		if got := f.Ground(&f.Plan.Sowings[i]); got != want {
			t.Errorf("sowing %d takes %v of the ground, want %v", i, got, want)
		}
	}
	f.Plan.Sowings = f.Plan.Sowings[:1]
	if got := f.Ground(&f.Plan.Sowings[0]); got != 24 {
		t.Errorf("alone it takes %v", got)
	}
}
