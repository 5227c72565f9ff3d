// Package conserve holds the equations of hay and silage making: drying in the
// swath, moistures to store at, losses on the way, the volume of stores, and
// what to do when hay heats.
package conserve

import "math"

// DryBasis turns a moisture on the wet basis (0 to below 1) into one on the dry.
//
// Source: definition.
func DryBasis(wet float64) float64 { return wet / (1 - wet) }

// WetBasis turns a moisture on the dry basis into one on the wet.
//
// Source: definition.
func WetBasis(dry float64) float64 { return dry / (1 + dry) }

// DryingRate is k, 1/h, of a swath: insolation SI W/m², vapour pressure deficit
// kPa, soil moisture % of dry soil, swath density g DM/m², day 1 on the day of
// mowing else 0, no drying agent. Fitted to alfalfa from 80 to 20 % moisture,
// East Lansing 1977-84; r² 0.64.
//
// Source: Rotz & Chen 1985, Trans. ASAE 28(5):1686-1691 (abstract read;
// coefficients from memory, supported by the paper's temperature form, which
// agrees within 1 %).
func DryingRate(insolation, deficit, soilMoisture, density, mowingDay float64) float64 {
	return (insolation + 43.8*deficit) / (61.4*soilMoisture + density*(1.82-0.83*mowingDay)*1.68 + 2767)
}

// DryingRateByTemperature is the same from air temperature, °C, instead of the
// deficit.
//
// Source: as DryingRate.
func DryingRateByTemperature(insolation, temperature, soilMoisture, density, mowingDay float64) float64 {
	return (insolation + 5.42*temperature) / (66.4*soilMoisture + density*(2.06-0.97*mowingDay)*1.55 + 3037)
}

// MoistureAfter is the moisture, dry basis, after so many hours at a rate k.
//
// Source: as DryingRate: M = M0 exp(-k t).
func MoistureAfter(dry, k, hours float64) float64 { return dry * math.Exp(-k*hours) }

// HoursToReach is how long drying takes from one moisture to a lower, both wet
// basis, at a rate k.
//
// Source: as DryingRate.
func HoursToReach(from, to, k float64) float64 {
	return math.Log(DryBasis(from)/DryBasis(to)) / k
}

// RainHeld is the water a swath keeps of a rain, in kg per m², from rain in mm:
// all of a shower, 2.5 mm of more.
//
// Source: the rain held by a swath, 2 to 3 mm (from memory).
func RainHeld(rain float64) float64 { return min(max(0, rain), 2.5) }

// Respired is the share of dry matter that a swath burns in a day at a moisture,
// wet basis: 2 % above 60 %, falling to nothing at 35 %.
//
// Source: MacDonald & Clark, review of hay losses: 2 to 8 % of dry matter in
// good drying, ending below 30 to 40 % moisture (read); the daily split is ours.
func Respired(moisture float64) float64 {
	return 0.02 * max(0, min(1, (moisture-0.35)/0.25))
}

// Leached is the further share of dry matter that rain washes out of a swath, by
// mm of rain and moisture, wet basis: drier hay loses more.
//
// Source: Rotz & Muck 1994 in Forage Quality, Evaluation, and Utilization, about
// 1 % per 2.5 mm on wilted legume (from memory).
func Leached(rain, moisture float64) float64 {
	return min(0.30, 0.004*max(0, rain)*max(0.25, 1-moisture))
}
