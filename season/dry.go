package season

import (
	"rowen/crop"
	"rowen/handbook/conserve"
	"rowen/handbook/nutrition"
)

const (
	// dryingHours is how long a day a swath dries: from when the dew is off until
	// evening (common practice).
	dryingHours = 9
	// daySun is the mean insolation of those hours over that of the whole day.
	daySun = 1.2
	// leastMoisture is what hay keeps in this climate, wet basis.
	leastMoisture = 0.13
	// drySoil and wetSoil are the moisture of the ground under a swath, % of dry
	// soil, on a dry day and on one with rain.
	drySoil, wetSoil = 15, 25
	// wettestWrapped is the most moisture at which bales are wrapped at all.
	wettestWrapped = 0.65
)

// targetMoisture is the moisture, wet basis, at which a use is brought in.
func targetMoisture(use crop.Use) float64 {
	product := conserve.CornSilage
	switch use {
	case crop.Hay:
		product = conserve.LargeBaleHay
	case crop.Wrap:
		product = conserve.WrappedBale
	case crop.Chop:
		product = conserve.BunkerHaylage
	}
	_, high := conserve.Moisture(product)
	return high
}

// dry dries a swath through a day by Rotz & Chen's equation, in steps of an hour
// gathered into one, since its rate is constant over the day; rain wets it again
// and washes it out; it breathes while it is wet.
func (r *runner) dry(i int) {
	sw := &r.now.Plots[i].Swath
	day := r.y.forcing.Day(r.day)
	if day.Rain > 0 {
		lost := conserve.Leached(day.Rain, sw.Moisture)
		sw.DM *= 1 - lost
		wet := conserve.DryBasis(min(0.9, sw.Moisture)) + 1000*conserve.RainHeld(day.Rain)/max(50, sw.DM)
		sw.Moisture = min(0.88, conserve.WetBasis(wet))
	}
	sw.DM *= 1 - conserve.Respired(sw.Moisture)
	soil, mowing := float64(drySoil), 0.0
	if day.Rain > dryDay {
		soil = wetSoil
	}
	if sw.Days == 0 {
		mowing = 1
	}
	sun := daySun * day.Solar * 1e6 / (day.Daylight * 3600)
	k := conserve.DryingRate(sun, day.VPD, soil, sw.DM, mowing)
	hours := float64(dryingHours)
	if day.Rain > dryDay {
		hours /= 3 // a wet day dries between showers
	}
	sw.Moisture = max(min(leastMoisture, sw.Moisture), conserve.WetBasis(conserve.MoistureAfter(conserve.DryBasis(sw.Moisture), k, hours)))
}

// weathered is a swath's analysis as it comes into store: harvest adds about two
// points of NDF (Ohio State University, read), and what was lost was the best of
// it (the shares are common practice: plan for 10 to 15 % of quality lost between
// harvest and mouth, Cornell, read).
func (r *runner) weathered(sw *Swath, kept float64) nutrition.Analysis {
	a := sw.Herbage.Analysis
	lost := max(0, 1-kept)
	a.NDF += 2 + 10*lost
	a.ADF += 1.2 + 6*lost
	a.CP *= 1 - 0.2*lost
	a.TDN *= 0.97 * (1 - 0.2*lost)
	a.NEL, a.ME = nutrition.NELFromTDN(a.TDN), nutrition.MEFromTDN(a.TDN)
	return a
}
