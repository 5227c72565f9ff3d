package validation_test

import (
	"context"
	"math"
	"reflect"
	"testing"

	"rowen/internal/validation"
	"rowen/quantity"
	"rowen/weather"
)

// A stick makes the day of a first use more certain, the ranges hold what they say,
// and the rows are the same twice.
func TestTwins(t *testing.T) {
	s := weather.Valley(8, 2025)
	s.Prepare()
	years, _ := s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, 0)
	places := []validation.Place{{Name: "valley", Years: years}}
	rows, err := validation.Twins(context.Background(), catalogue(t), places)
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 8 {
		t.Fatalf("%d rows, want first and second use of four stands", len(rows))
	}
	for _, r := range rows {
		t.Logf("%s, second %v: %+v, without %+v", r.Crop, r.Second, r.With, r.Without)
		w, n := &r.With, &r.Without
		if w.Twins < 15 || w.Twins != n.Twins || r.Second && r.Weighed.Twins != w.Twins {
			t.Errorf("%s: %d twins with, %d without, %d weighed", r.Crop, w.Twins, n.Twins, r.Weighed.Twins)
		}
		if held := (w.DayHeld + n.DayHeld) / 2; held < 0.65 || w.YieldHeld < 0.6 {
			t.Errorf("%s: the 80 %% ranges hold the day in %.0f %%, the yield in %.0f %%", r.Crop, 100*held, 100*w.YieldHeld)
		}
		if math.Abs(w.DayBias) > 2 || math.Abs(w.YieldBias) > 0.08 || !(w.DayError < 6) || !(w.YieldError < 0.25) {
			t.Errorf("%s is off: %+v", r.Crop, *w)
		}
		if sown := r.Crop == "sorghum-sudangrass" || r.Crop == "pearl-millet"; sown && !r.Second && w.DayError > 0.6*n.DayError {
			t.Errorf("%s: measuring takes the error from %.1f to only %.1f days", r.Crop, n.DayError, w.DayError)
		}
	}
	few := []validation.Place{{Name: "valley", Years: years[:2]}}
	a, _ := validation.Twins(context.Background(), catalogue(t), few)
	b, _ := validation.Twins(context.Background(), catalogue(t), few)
	if !reflect.DeepEqual(a[:2], b[:2]) {
		t.Error("the same twins score differently twice")
	}
}
