// Package fertility holds what crops take off a field and what sods, manure and
// grazing give back. Units are US, as the sources'. Soil tests and local
// recommendations go before any of it.
package fertility

// RemovalPerTon is the nitrogen, phosphate (P2O5) and potash (K2O) taken off by
// a ton (2,000 lb) of dry hay, lb.
type RemovalPerTon struct{ N, P2O5, K2O float64 }

// Removals of the forages.
var (
	AlfalfaRemoval = RemovalPerTon{50, 14, 55} // University of Kentucky (read)
	GrassRemoval   = RemovalPerTon{50, 15, 50} // Penn State (read)
	SorghumRemoval = RemovalPerTon{45, 14, 58} // middle of 40-50, 12-16, 45-70, per ton DM (from memory)
)

// Removed is what a yield in tons takes off, lb.
//
// Source: University of Kentucky and Penn State Extension removal tables (read).
func Removed(r RemovalPerTon, tons float64) RemovalPerTon {
	return RemovalPerTon{r.N * tons, r.P2O5 * tons, r.K2O * tons}
}

// sodShare is what a killed sod gives up of its pool in the first three years.
var sodShare = [3]float64{0.55, 0.12, 0.05}

// SodPool is the nitrogen a killed sod holds, lb/ac, by its share of legumes, 0
// to 1. The source has rows for none, up to a quarter, and half or more; between
// a quarter and a half the lower row is kept.
//
// Source: Cornell University, nitrogen from sods (read).
func SodPool(legume float64) float64 {
	switch {
	case legume >= 0.5:
		return 300
	case legume > 0:
		return 200
	}
	return 150
}

// SodCredit is the nitrogen a killed sod gives, lb/ac, in its first, second or
// third year (1, 2, 3); nothing after.
//
// Source: Cornell University, nitrogen from sods (read).
func SodCredit(legume float64, year int) float64 {
	if year < 1 || year > len(sodShare) {
		return 0
	}
	return SodPool(legume) * sodShare[year-1]
}

// ManureNitrogen is what manure gives in its first year, lb, from its ammonium
// and organic nitrogen, lb, and the days until it is worked in (0: within
// hours).
//
// Source: Cornell University: ammonium kept 65 % within hours (read), then 53,
// 41, 29, 17 and 0 % (from memory); organic 35 % in the first year (read).
func ManureNitrogen(ammonium, organic float64, days int) float64 {
	kept := [...]float64{0.65, 0.65, 0.53, 0.41, 0.29, 0.17}
	share := 0.0
	if days >= 0 && days < len(kept) {
		share = kept[days]
	}
	return ammonium*share + organic*0.35
}

// GrazingReturn is the share of eaten nitrogen that dairy or beef animals leave
// on the pasture.
//
// Source: University of Kentucky: beef keep about 25 %, dairy 35 % (read).
func GrazingReturn(dairy bool) float64 {
	if dairy {
		return 0.65
	}
	return 0.75
}

// SeedRate is the seed to sow, lb/ac: living plants wanted per acre over seeds
// per lb × germination × emergence, both 0 to 1.
//
// Source: common practice; targets by University of Vermont Extension 2022.
func SeedRate(plants, seedsPerPound, germination, emergence float64) float64 {
	return plants / (seedsPerPound * germination * emergence)
}
