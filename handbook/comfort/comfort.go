// Package comfort holds what heat costs grazing animals.
package comfort

// HeatIndex is the temperature-humidity index of air at a temperature, °C, and a
// relative humidity, 0 to 1.
//
// Source: the form 0.8 T + RH (T - 14.4) + 46.4 (read); its worked value is 75.9
// at 32 °C and 22 %.
func HeatIndex(t, humidity float64) float64 { return 0.8*t + humidity*(t-14.4) + 46.4 }

// Heat is the stress that an index means for cattle in milk.
type Heat uint8

// The classes of heat stress, by the index from which they begin: 68, 72 and 80.
const (
	Cool Heat = iota
	Mild
	Moderate
	Severe
)

// String is the class's word.
func (h Heat) String() string { return [...]string{"none", "mild", "moderate", "severe"}[h] }

// Stress is the class of an index.
//
// Source: classes 68-71 mild, 72-79 moderate, 80 and above severe (read); 68 is
// the newer threshold of high-yielding cows (De Vries, University of Florida 2012,
// read).
func Stress(index float64) Heat {
	switch {
	case index >= 80:
		return Severe
	case index >= 72:
		return Moderate
	case index >= 68:
		return Mild
	}
	return Cool
}

// intakeLost is the share of intake lost for each unit of the day's mean index
// above 68, and most lost at all.
const (
	intakeLost = 0.012
	intakeMost = 0.25
)

// IntakeFactor is what a cow in milk eats on a day of a mean index, of what she
// would eat in the cool, 0.75 to 1.
//
// Source: about 0.2 to 0.25 kg of dry matter a unit above the threshold in Holsteins
// (West 2003, J. Dairy Sci. 86:2131, from memory): taken as 1.2 % a unit.
func IntakeFactor(index float64) float64 {
	return 1 - min(intakeMost, intakeLost*max(0, index-68))
}
