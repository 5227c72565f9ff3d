package fertility

import (
	"fmt"
	"strings"
)

// Band is how a soil test reads.
type Band uint8

// The bands. Unknown is no test or a method whose bands are not known: never read
// as enough.
const (
	Unknown Band = iota
	Low
	Optimum
	High
)

// String is the band's word.
func (b Band) String() string { return [...]string{"not tested", "low", "optimum", "high"}[b] }

// bands are where optimum begins and ends, ppm: of phosphorus and potassium.
// Pennsylvania State University for Mehlich 3 (30 to 50; 100 to 200), New York and
// New England practice for Modified Morgan (4 to 7; 100 to 160); from memory. A
// laboratory's own words go before them.
var bands = map[string]struct{ p, k [2]float64 }{
	"mehlich 3":       {[2]float64{30, 50}, [2]float64{100, 200}},
	"modified morgan": {[2]float64{4, 7}, [2]float64{100, 160}},
}

// ReadTest gives the bands of phosphorus and potassium, ppm, by a laboratory's
// method; a value of 0 or a method that is not known is Unknown.
//
// Source: Penn State Agronomy Guide and University of Vermont nutrient
// recommendations (from memory).
func ReadTest(method string, p, k float64) (phosphorus, potassium Band) {
	b, ok := bands[strings.ToLower(strings.TrimSpace(method))]
	if !ok {
		return Unknown, Unknown
	}
	return band(p, b.p), band(k, b.k)
}

func band(v float64, optimum [2]float64) Band {
	switch {
	case v <= 0:
		return Unknown
	case v < optimum[0]:
		return Low
	case v <= optimum[1]:
		return Optimum
	}
	return High
}

// LimeNeed is the ground lime, ton/ac of full neutralising value, that takes a
// soil from its pH to a target, by the Mehlich buffer's pH; nothing where it is
// there already. The error names a buffer or pH the method does not know.
//
// Source: North Carolina Department of Agriculture, Mehlich buffer (read): acidity
// is 4 (6.6 - buffer pH) meq/100 cm³, lime acidity × (target - pH)/(6.6 - pH).
func LimeNeed(pH, bufferPH, target float64) (float64, error) {
	switch {
	case !(pH >= 3.5 && pH <= 9):
		return 0, fmt.Errorf("pH %g is no soil's", pH)
	case pH >= target:
		return 0, nil
	case !(bufferPH >= 4 && bufferPH <= 6.6):
		return 0, fmt.Errorf("buffer pH %g is no reading of the Mehlich buffer, which begins at 6.6", bufferPH)
	case target >= 6.6:
		target = 6.59 // the buffer's own pH: the method goes no further
	}
	return 4 * (6.6 - bufferPH) * (target - pH) / (6.6 - pH), nil
}
