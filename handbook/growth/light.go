package growth

import "math"

// PhotosyntheticShare is the share of global radiation that plants can use.
const PhotosyntheticShare = 0.48

// Interception is fi, the fraction of light a canopy takes, for an extinction
// coefficient k (0.3 to 0.9) and a leaf area index of 0 or more.
//
// Source: Monsi & Saeki 1953 (Beer-Lambert law for canopies; from memory).
func Interception(k, leafArea float64) float64 { return 1 - math.Exp(-k*leafArea) }

// LightLimited is growth, g DM/m²/d, from a radiation-use efficiency in g/MJ of
// intercepted photosynthetic radiation, global radiation in MJ/m²/d, and the
// intercepted fraction.
//
// Source: Monteith 1977, Phil. Trans. R. Soc. B 281:277-294 (from memory).
func LightLimited(efficiency, solar, intercepted float64) float64 {
	return efficiency * PhotosyntheticShare * solar * intercepted
}

// WaterLimited is growth, g DM/m²/d, that a transpiration in mm/d pays for: K in
// Pa, the daytime vapour pressure deficit in kPa, held at least 0.2 kPa.
//
// Source: Tanner & Sinclair 1983 in Limitations to Efficient Water Use in Crop
// Production (form); K after Ehlers & Goss 2003, Table 6.4 (read).
func WaterLimited(k, deficit, transpiration float64) float64 {
	return k / max(deficit, 0.2) * transpiration
}

// DaytimeDeficit is the vapour pressure deficit while the sun shines, kPa, from
// the day's extremes in °C: 0.60 of the difference of saturation pressures e° in
// kPa at the maximum and the minimum.
//
// Source: form after Tanner & Sinclair 1983; 0.60 fitted to the US Climate
// Reference Network station near Ithaca, New York, radiation-weighted, r² 0.83.
func DaytimeDeficit(saturationMax, saturationMin float64) float64 {
	return 0.60 * (saturationMax - saturationMin)
}

// CriticalNitrogen is the nitrogen, % of dry matter, of a canopy of w t/ha that
// has just enough of it: a w^-b, w held at least 1. For C3 grass a 4.8,
// b 0.32; C4 3.6, 0.34; lucerne 4.8, 0.33.
//
// Source: Lemaire & Gastal 1997 in Diagnosis of the Nitrogen Status in Crops
// (from memory).
func CriticalNitrogen(a, b, w float64) float64 {
	return a * math.Pow(max(w, 1), -b)
}
