package stand

import "rowen/handbook/growth"

// shadeStep and shadeMost bound the table of light caught, by extinction times leaf
// area: the exponential is the dearest thing of a day, and is asked several times.
// Between its steps the table is off by less than a millionth of full light.
const (
	shadeStep = 1.0 / 256
	shadeMost = 16
)

var shades = func() (t [shadeMost*256 + 2]float64) {
	for i := range t {
		t[i] = growth.Interception(1, float64(i)*shadeStep)
	}
	return t
}()

// caught is the share of light that a canopy catches, by extinction times leaf area; all
// of it beyond the table, and of what is no number.
func caught(x float64) float64 {
	if !(x < shadeMost) {
		return 1
	}
	at := max(0, x) / shadeStep
	i := int(at)
	return shades[i] + (shades[i+1]-shades[i])*(at-float64(i))
}
