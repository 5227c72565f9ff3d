package stand

import (
	"math"
	"testing"
)

// No number leads outside a table, nor does what is no number: a defect elsewhere must
// not end the program here.
func TestTablesHold(t *testing.T) {
	var p params
	for i := range p.dilute {
		p.dilute[i] = 0.05 - 0.0005*float64(i)
	}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1e308, -1e-320, 0, 1e-320, 15.999999, 16, 1999.99, 2000, 1e9, 1e308} {
		if c := p.critical(x); !(c >= p.dilute[dilutionSteps-1] && c <= p.dilute[0]) {
			t.Errorf("critical(%g) is %g", x, c)
		}
		if c := caught(x); !(c >= 0 && c <= 1) {
			t.Errorf("caught(%g) is %g", x, c)
		}
	}
	if got := caught(1); math.Abs(got-(1-math.Exp(-1))) > 1e-6 {
		t.Errorf("caught(1) is %g", got)
	}
}
