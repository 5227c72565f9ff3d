package conserve

import "math"

// WideSwath is the share of the cut width from which on a swath counts as wide.
const WideSwath = 0.7

// SwathDensity is the dry matter on a m² of swath, g, from a yield in g DM/m² of
// field and the share of the cut width, above 0 to 1, that the swath covers.
//
// Source: definition.
func SwathDensity(yield, width float64) float64 { return yield / width }

// WindrowFactor is what a windrow keeps of the rate that its density alone would
// leave it, by the share of the cut width that it covers: 1 from 0.7 on. Inside a
// windrow it is dark and damp, and stomata close.
//
// Source: fitted here, together with DryingRate, to three trials of alfalfa:
// covering 70 instead of 45 % of the cut width took 25 to 40 % less time (Shinners,
// University of Wisconsin, read); 62 to 67 instead of 30 to 37 % came to 56 %
// moisture 29, 28 and 6 hours after mowing instead of 50, 54 and 25 (Kung, University
// of Delaware, read); 65 to 72 instead of 25 to 30 % to 65 % moisture 11 hours sooner,
// the mean of 14 (Undersander, University of Wisconsin 2005-07, read).
func WindrowFactor(width float64) float64 {
	return math.Pow(min(1, max(0.05, width)/WideSwath), 0.42)
}

// StemPhase is the moisture, wet basis, below which the water left is the stem's.
//
// Source: Undersander, University of Wisconsin: leaf water goes first, down to about
// 60 % (read).
const StemPhase = 0.60

// UnconditionedFactor is what a swath that no conditioner has crimped keeps of the
// rate, by moisture, wet basis: all of it above 60 %, where leaves dry, and 0.69
// below, where stems do.
//
// Source: first-day rates of whole and once-crimped alfalfa, 0.09 and 0.13 /h
// (Rennie 2012, Canadian Society for Bioengineering, read); no difference to silage
// moisture in wide swaths (Cherney & Cherney 2006, Cornell University, read).
func UnconditionedFactor(moisture float64) float64 {
	if moisture > StemPhase {
		return 1
	}
	return 0.69
}

// RateSpan is the low, middle and high of a crop's drying rate as a share of Rotz &
// Chen's, which was fitted to alfalfa. For the thick stems of sorghums, millets and
// corn the equation is stretched, and the span is wide.
//
// Source: half to all of it for thick stems, so that a large windrow of sorghum takes
// the one to two weeks of good weather that Kansas State University reports (read;
// fitted here); 20 % either way for the rest, r² being 0.64 (common practice).
func RateSpan(thick bool) (low, middle, high float64) {
	if thick {
		return 0.5, 0.75, 1
	}
	return 0.8, 1, 1.2
}

// Dried is the moisture, dry basis, of a swath after so many hours at a conditioned
// swath's rate k, 1/h; and Until tells the hours to a lower moisture. Both follow the
// slower stem phase of an unconditioned swath exactly.
//
// Source: as MoistureAfter and UnconditionedFactor.
func Dried(dry, k, hours float64, conditioned bool) float64 {
	edge := DryBasis(StemPhase)
	if conditioned || k <= 0 {
		return MoistureAfter(dry, k, hours)
	}
	if dry > edge {
		leaf := math.Log(dry/edge) / k
		if leaf >= hours {
			return MoistureAfter(dry, k, hours)
		}
		dry, hours = edge, hours-leaf
	}
	return MoistureAfter(dry, k*UnconditionedFactor(StemPhase), hours)
}

// Until is how many hours a swath takes from one moisture to a lower one, both on the
// dry basis, at a conditioned swath's rate k, 1/h; 0 where it is there already.
//
// Source: as Dried.
func Until(from, to, k float64, conditioned bool) float64 {
	if from <= to {
		return 0
	}
	edge := DryBasis(StemPhase)
	if conditioned || to >= edge {
		return math.Log(from/to) / k
	}
	leaf := max(0, math.Log(from/edge)/k)
	return leaf + math.Log(min(from, edge)/to)/(k*UnconditionedFactor(StemPhase))
}

// RainDamage is the further share of dry matter that a rain in mm takes from a swath
// at a moisture, wet basis, by leaching and by the leaf that it knocks off: low and
// high. Low is Leached. Legumes lose most, grasses least.
//
// Source: 1 in on alfalfa a day after mowing: up to 5 % (University of Kentucky) and
// 22 % against 6.3 without rain (Collins, Wisconsin); 0.7 in 4 to 13 % (Michigan); the
// most, 54 %, from 2.5 in on nearly dry hay (Wisconsin) (all read); grasses at half of
// the span (common practice).
func RainDamage(rain, moisture float64, legume bool) (low, high float64) {
	low = Leached(rain, moisture)
	factor := 2.0
	if legume {
		factor = 3.1
	}
	return low, min(0.54, factor*0.004*max(0, rain)*max(0.25, 1-moisture))
}

// Weathered is what a forage is worth after a share of its dry matter was kept from
// mower to store: points of NDF added, and the factors of protein and of digestible
// nutrients.
//
// Source: harvest adds about 2 points of NDF (Ohio State University, read); what is
// lost is the best of it (the shares are common practice; 10 to 15 % of quality is
// lost between harvest and mouth, Cornell University, read).
func Weathered(kept float64) (ndf, protein, energy float64) {
	lost := max(0, 1-kept)
	return 2 + 10*lost, 1 - 0.2*lost, 0.97 * (1 - 0.2*lost)
}
