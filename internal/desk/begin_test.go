package desk_test

import (
	"testing"

	"rowen/farm"
	"rowen/internal/desk"
	"rowen/quantity"
)

// A bare number takes the unit of the hint beside it, in the person's own system.
func TestBareNumbers(t *testing.T) {
	for _, c := range []struct {
		of    desk.Question
		text  string
		units quantity.System
		want  func(*farm.Eight) bool
	}{
		{desk.AskSward, "180", quantity.US, func(e *farm.Eight) bool { return e.Sward == 180*quantity.Acre }},
		{desk.AskSward, "75", quantity.Metric, func(e *farm.Eight) bool { return e.Sward == 75*quantity.Hectare }},
		{desk.AskSward, "75 ha", quantity.US, func(e *farm.Eight) bool { return e.Sward == 75*quantity.Hectare }},
		{desk.AskStored, "1,250", quantity.US, func(e *farm.Eight) bool { return e.Stored == 1250*quantity.Ton }},
		{desk.AskCropland, "0", quantity.US, func(e *farm.Eight) bool { return e.Cropland == 0 }},
		{desk.AskTurnout, "May 5", quantity.US, func(e *farm.Eight) bool { return e.Turnout.String() == "5 May" }},
	} {
		e := &farm.Eight{Units: c.units}
		if err := desk.Answer(e, c.of, c.text); err != nil || !c.want(e) {
			t.Errorf("%s %q in %v: %+v, %v", c.of, c.text, c.units, e, err)
		}
	}
	for _, c := range []struct {
		of   desk.Question
		text string
	}{{desk.AskMilk, "1300"}, {desk.AskSward, "-3"}, {desk.AskSward, "many"}, {desk.AskStored, "-1"}} {
		if err := desk.Answer(&farm.Eight{}, c.of, c.text); err == nil {
			t.Errorf("%s %q was taken", c.of, c.text)
		}
	}
}
