// Package seed holds the arithmetic of ordering seed.
package seed

import "math"

// PureLive is the share of a bag that is living seed of the kind: what is not coat,
// times purity, times germination, each 0 to 1.
//
// Source: Undersander, University of Wisconsin (read): 30 % coat and 80 %
// germination leave 56 %; the Texas Department of Transportation's 85 % purity and
// 75 % germination leave 64 %.
func PureLive(coating, purity, germination float64) float64 {
	return (1 - coating) * purity * germination
}

// Bulk is the seed to weigh out for a rate of pure live seed.
//
// Source: as PureLive: 1.57 lb for each lb of pure live seed at 64 %.
func Bulk(rate, pureLive float64) float64 { return rate / pureLive }

// PerSquareFoot is the seeds that a rate, lb/ac, lays on a square foot.
//
// Source: arithmetic; alfalfa at 227,000 seeds/lb lays about 5 for each lb/ac
// (extension tables, read).
func PerSquareFoot(rate, seedsPerPound float64) float64 { return rate * seedsPerPound / 43560 }

// Bags is the whole bags that hold an amount of seed, both in one unit.
//
// Source: arithmetic: part bags are not sold.
func Bags(amount, bag float64) int { return int(math.Ceil(amount/bag - 1e-9)) }

// FieldEmergence is the share of germinable seed that usually comes up, by how fine it
// is: 0.90 of seeds as large as corn's, 0.75 of those of sorghums and cereals, 0.55 of
// clovers, grasses, millets and teff. A farm's own counts go before it.
//
// Source: common practice; extension leaflets print 0.85 to 0.95, 0.65 to 0.80 and 0.40
// to 0.60 (from memory).
func FieldEmergence(seedsPerPound float64) float64 {
	switch {
	case seedsPerPound < 5000:
		return 0.90
	case seedsPerPound < 60000:
		return 0.75
	}
	return 0.55
}
