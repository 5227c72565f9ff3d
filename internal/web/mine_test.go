package web

import (
	"testing"

	"rowen/quantity"
)

func TestMine(t *testing.T) {
	for _, c := range []struct {
		text string
		u    quantity.System
		want string
	}{
		{"1,300 lb", quantity.Metric, "589.7 kg"}, {"48 lb/d", quantity.Metric, "21.77 kg/d"}, {"45 ac", quantity.Metric, "18.21 ha"}, {"590 kg", quantity.US, "1,301 lb"},
		{"1,300 lb", quantity.US, ""}, {"30,000 lb", quantity.US, ""}, {"45 ha", quantity.Metric, ""},
		{"Barn Pasture", quantity.Metric, ""}, {"12 %", quantity.Metric, ""}, {"62", quantity.Metric, ""}, {"much lb", quantity.Metric, ""}, {"", quantity.US, ""}, {"1 Nov", quantity.US, ""},
	} {
		if got := mine(c.text, c.u); got != c.want {
			t.Errorf("%q in %v is %q, want %q", c.text, c.u, got, c.want)
		}
	}
}
