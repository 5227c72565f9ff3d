// Package machine holds the arithmetic of field machines after ASABE EP496 and
// D497, in US units. Coefficients are from memory unless said otherwise.
package machine

import "math"

// FieldCapacity is the effective work rate, ac/h, from speed, mph, width, ft,
// and efficiency, 0 to 1.
//
// Source: ASABE EP496; Iowa State University PM 696 (read).
func FieldCapacity(speed, width, efficiency float64) float64 {
	return speed * width * efficiency / 8.25
}

// MaterialCapacity is the harvest rate, ton/h, at a work rate, ac/h, and a
// yield, ton/ac.
//
// Source: as FieldCapacity.
func MaterialCapacity(capacity, yield float64) float64 { return capacity * yield }

// Repairs is the cost of repairs to date from the list price and hours of use,
// by the machine's two repair factors.
//
// Source: ASABE EP496 (from memory).
func Repairs(rf1, rf2, price, hours float64) float64 {
	return rf1 * price * math.Pow(hours/1000, rf2)
}

// CapitalRecovery is the yearly share of a price paid off over n years at an
// interest i, 0 to 1.
//
// Source: ASABE EP496 (from memory).
func CapitalRecovery(i float64, n int) float64 {
	if i == 0 {
		return 1 / float64(n)
	}
	p := math.Pow(1+i, float64(n))
	return i * p / (p - 1)
}

// Salvage is what a machine is still worth after n years of h hours each, % of
// list, by its three coefficients.
//
// Source: ASABE D497 (from memory).
func Salvage(c1, c2, c3, years, hours float64) float64 {
	x := c1 - c2*math.Sqrt(years) - c3*math.Sqrt(hours)
	return 100 * x * x
}

// Fuel is diesel burnt, gal/h, by a tractor of so many PTO horsepower.
//
// Source: ASABE EP496, the average rule (from memory).
func Fuel(horsepower float64) float64 { return 0.044 * horsepower }

// Upkeep is taxes, insurance and housing a year: 1 % of the mean of what a machine
// cost and what it is worth at the end.
//
// Source: Iowa State University A3-29 calculator (read): 160,000 and 35,391 give
// 977, 32,000 and 11,852 give 219; the rate of 1 % is inferred from them.
func Upkeep(price, salvage float64) float64 { return 0.01 * (price + salvage) / 2 }
