// Package growth holds published equations of plant growth: thermal time,
// responses to temperature, light and water, and nitrogen dilution. Pure
// functions; degrees are Celsius or Fahrenheit as the caller's thresholds are,
// where a function only takes differences.
package growth

import "math"

// DegreeDays is thermal time by averaging: the mean of the day's extremes above
// a base, never less than nothing. Any degree, all alike.
//
// Source: common practice; Iowa State University, Agronomy 541, lesson 2b.
func DegreeDays(tmin, tmax, base float64) float64 {
	return max(0, (tmin+tmax)/2-base)
}

// CappedDegreeDays is thermal time by the "86/50" rule: the maximum held at the
// cap and the minimum at the base before averaging.
//
// Source: Iowa State University, Agronomy 541, lesson 2b (read); University of
// Wisconsin Extension column, 2018, for the example.
func CappedDegreeDays(tmin, tmax, base, ceiling float64) float64 {
	hi, lo := max(base, min(tmax, ceiling)), max(base, min(tmin, ceiling))
	return (hi+lo)/2 - base
}

// SineDegreeDays is thermal time by a single sine through the day's extremes
// above a base, without upper threshold.
//
// Source: Baskerville & Emin 1969, Ecology 50:514-517 (from memory).
func SineDegreeDays(tmin, tmax, base float64) float64 {
	m, w := (tmax+tmin)/2, (tmax-tmin)/2
	switch {
	case tmin >= base:
		return m - base
	case tmax <= base:
		return 0
	}
	theta := math.Asin((base - m) / w)
	return ((m-base)*(math.Pi/2-theta) + w*math.Cos(theta)) / math.Pi
}

// SineDegreeDaysCut is thermal time by a single sine with a horizontal cut-off:
// above the upper threshold warmth counts no more.
//
// Source: Baskerville & Emin 1969, Ecology 50:514-517 (from memory); the
// cut-off as UC IPM names it.
func SineDegreeDaysCut(tmin, tmax, base, upper float64) float64 {
	return SineDegreeDays(tmin, tmax, base) - SineDegreeDays(tmin, tmax, upper)
}

// Cardinal holds the temperatures at which a rate begins, reaches its best,
// leaves it and ends, °C.
type Cardinal struct{ Base, Low, High, End float64 }

// Response is the share of the best rate, 0 to 1, at a temperature: a trapezoid
// over the cardinal temperatures.
//
// Source: the trapezoid is common practice; cardinal temperatures after
// Ramirez-Villegas et al. 2020, Scientific Reports 10:18013, Table 3 (read).
func Response(t float64, c Cardinal) float64 {
	switch {
	case t <= c.Base || t >= c.End:
		return 0
	case t < c.Low:
		return (t - c.Base) / (c.Low - c.Base)
	case t > c.High:
		return (c.End - t) / (c.End - c.High)
	}
	return 1
}
