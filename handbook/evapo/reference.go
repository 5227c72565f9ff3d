package evapo

import "math"

// Pressure is P, kPa, at an elevation z in metres.
//
// Source: FAO-56, eq 7 (from memory).
func Pressure(z float64) float64 {
	return 101.3 * math.Pow((293-0.0065*z)/293, 5.26)
}

// Psychrometric is γ, kPa/°C, at a pressure in kPa.
//
// Source: FAO-56, eq 8 (from memory).
func Psychrometric(pressure float64) float64 { return 0.665e-3 * pressure }

// SaturationPressure is e°(T), kPa, over water at T °C.
//
// Source: FAO-56, eq 11 (from memory).
func SaturationPressure(t float64) float64 {
	return 0.6108 * math.Exp(17.27*t/(t+237.3))
}

// MeanSaturationPressure is es, kPa: the mean of e° at the day's two extremes,
// not e° of the mean.
//
// Source: FAO-56, eq 12 (from memory).
func MeanSaturationPressure(tmin, tmax float64) float64 {
	return (SaturationPressure(tmax) + SaturationPressure(tmin)) / 2
}

// Slope is Δ, kPa/°C, the slope of e° at T °C.
//
// Source: FAO-56, eq 13 (from memory).
func Slope(t float64) float64 {
	return 4098 * SaturationPressure(t) / ((t + 237.3) * (t + 237.3))
}

// VapourFromHumidity is ea, kPa, from the day's extremes of relative humidity
// in per cent.
//
// Source: FAO-56, eq 17 (from memory).
func VapourFromHumidity(tmin, tmax, rhMin, rhMax float64) float64 {
	return (SaturationPressure(tmin)*rhMax + SaturationPressure(tmax)*rhMin) / 200
}

// VapourFromMeanHumidity is ea, kPa, where only the day's mean relative
// humidity in per cent is known.
//
// Source: FAO-56, eq 19 (from memory).
func VapourFromMeanHumidity(tmin, tmax, rhMean float64) float64 {
	return rhMean / 100 * MeanSaturationPressure(tmin, tmax)
}

// VapourFromMinimum is ea, kPa, where no humidity was measured: e°(Tmin), the
// dew point of a humid, well-watered place. A dry place lies about 2 °C lower.
//
// Source: FAO-56, eq 48 (from memory).
func VapourFromMinimum(tmin float64) float64 { return SaturationPressure(tmin) }

// WindAt2m brings a wind measured at z metres to 2 m above short grass. Valid
// for z from 0.5 m.
//
// Source: FAO-56, eq 47 (from memory).
func WindAt2m(speed, z float64) float64 { return speed * 4.87 / math.Log(67.8*z-5.42) }

// NetShortwave is Rns, MJ/m²/d, for the grass reference's albedo of 0.23.
//
// Source: FAO-56, eq 38 (from memory).
func NetShortwave(rs float64) float64 { return 0.77 * rs }

// NetLongwave is Rnl, MJ/m²/d. Temperatures °C, ea kPa; Rs/Rso is held at most 1.
//
// Source: FAO-56, eq 39 (from memory).
func NetLongwave(tmin, tmax, ea, rs, rso float64) float64 {
	cloud := 1.0
	if rso > 0 {
		cloud = min(rs/rso, 1)
	}
	a, b := tmax+273.16, tmin+273.16
	return 4.903e-9 * (a*a*a*a + b*b*b*b) / 2 * (0.34 - 0.14*math.Sqrt(ea)) * (1.35*cloud - 0.35)
}

// SoilHeatMonthly is G, MJ/m²/d, of a month from its mean temperature and the
// month before's. The daily G is nothing (eq 42).
//
// Source: FAO-56, eq 44 (from memory).
func SoilHeatMonthly(before, month float64) float64 { return 0.14 * (month - before) }

// Reference is ET0, mm/d, by Penman-Monteith. Rn and G in MJ/m²/d, t the mean
// of the extremes in °C, u2 m/s at 2 m, es and ea kPa, γ kPa/°C.
//
// Source: FAO-56, eq 6 (from memory).
func Reference(rn, g, t, u2, es, ea, gamma float64) float64 {
	slope := Slope(t)
	return (0.408*slope*(rn-g) + gamma*900/(t+273)*u2*(es-ea)) / (slope + gamma*(1+0.34*u2))
}

// Daily is ET0, mm/d, of one day from what a Day of weather holds, never less
// than nothing: temperatures °C, Rs MJ/m²/d, ea kPa, u2 m/s, elevation z m, Ra
// MJ/m²/d.
//
// Source: FAO-56, eqs 6, 37-40 (from memory).
func Daily(tmin, tmax, rs, ea, u2, z, ra float64) float64 {
	rn := NetShortwave(rs) - NetLongwave(tmin, tmax, ea, rs, ClearSky(z, ra))
	t := (tmin + tmax) / 2
	return max(0, Reference(rn, 0, t, u2, MeanSaturationPressure(tmin, tmax), ea, Psychrometric(Pressure(z))))
}

// Hargreaves is ET0, mm/d, from temperatures in °C alone; ra is in mm/d (0.408
// times MJ/m²/d). It runs high in humid, calm summers and wants local
// calibration, as the paper says.
//
// Source: FAO-56, eq 52 (from memory).
func Hargreaves(tmin, tmax, raMillimetres float64) float64 {
	return 0.0023 * ((tmin+tmax)/2 + 17.8) * math.Sqrt(max(0, tmax-tmin)) * raMillimetres
}
