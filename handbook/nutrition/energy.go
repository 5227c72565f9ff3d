package nutrition

import "math"

// SummativeTDN is TDN at maintenance, % of dry matter, from an analysis: NDICP
// and ADICP are protein bound in fibre, lignin L, all % of dry matter; paf is
// the processing adjustment factor, 1 for hay.
//
// Source: NRC 2001, Nutrient Requirements of Dairy Cattle, 7th ed., eqs 2-4 to
// 2-5 (structure read in University of Wisconsin course notes; coefficients
// from memory).
func SummativeTDN(cp, ndf, ndicp, adicp, lignin, fat, ash, paf float64) float64 {
	nfc, p, fa, fibre := summative(cp, ndf, ndicp, adicp, lignin, fat, ash, paf)
	return nfc + p + 2.25*fa + fibre - 7
}

func summative(cp, ndf, ndicp, adicp, lignin, fat, ash, paf float64) (nfc, p, fa, fibre float64) {
	nfc = 0.98 * (100 - ((ndf - ndicp) + cp + fat + ash)) * paf
	p = cp * math.Exp(-1.2*adicp/cp)
	fa = max(0, fat-1)
	ndfn := ndf - ndicp
	fibre = 0.75 * (ndfn - lignin) * (1 - math.Pow(lignin/ndfn, 0.667))
	return nfc, p, fa, fibre
}

// DigestibleEnergy is DE at maintenance, Mcal/kg, from the same analysis as
// SummativeTDN.
//
// Source: as SummativeTDN, eq 2-8.
func DigestibleEnergy(cp, ndf, ndicp, adicp, lignin, fat, ash, paf float64) float64 {
	nfc, p, fa, fibre := summative(cp, ndf, ndicp, adicp, lignin, fat, ash, paf)
	return 0.042*nfc + 0.042*fibre + 0.056*p + 0.094*fa - 0.3
}

// Discount is the share of digestibility kept at an intake of so many times
// maintenance (1 to 4).
//
// Source: as SummativeTDN, eq 2-9.
func Discount(tdn, multiple float64) float64 {
	return (tdn - (0.18*tdn-10.3)*(multiple-1)) / tdn
}

// MetabolisableEnergy is ME, Mcal/kg, of dairy cattle from digestible energy,
// Mcal/kg, and fat, % of dry matter.
//
// Source: as SummativeTDN, eq 2-10.
func MetabolisableEnergy(de, fat float64) float64 {
	return 1.01*de - 0.45 + 0.0046*max(0, fat-3)
}

// NetEnergyLactation is NEL, Mcal/kg, from ME, Mcal/kg; feeds up to 3 % fat.
//
// Source: as SummativeTDN, eq 2-11.
func NetEnergyLactation(me float64) float64 { return 0.703*me - 0.19 }

// NELFromTDN is NEL, Mcal/kg, from TDN, % of dry matter.
//
// Source: NRC 1989, Nutrient Requirements of Dairy Cattle, 6th ed. (from
// memory); the National Forage Testing Association appendix prints the same in
// Mcal/lb, 0.01114 TDN - 0.054 (read).
func NELFromTDN(tdn float64) float64 { return 0.0245*tdn - 0.12 }

// MEFromTDN is ME of cattle and sheep, Mcal/kg, from TDN, % of dry matter: 4.409
// Mcal of digestible energy in a kg of TDN, 0.82 of it metabolisable.
//
// Source: NRC 1996, Nutrient Requirements of Beef Cattle, 7th ed. (from memory).
func MEFromTDN(tdn float64) float64 { return 0.04409 * tdn * 0.82 }

// CornSilageTDN is TDN, % of dry matter, of corn silage from ADF, %.
//
// Source: National Forage Testing Association, appendix (read).
func CornSilageTDN(adf float64) float64 { return 87.84 - 0.70*adf }

// Complete fills an analysis's TDN, NEL and ME from its composition: a share
// (0 to 1) of the legume's equation and the rest of the grass's. Starch counts
// as the non-fibre carbohydrate that it is.
//
// Source: LegumeTDN, GrassTDN, NELFromTDN, MEFromTDN.
func (a *Analysis) Complete(legume float64) {
	a.TDN = legume*LegumeTDN(a.CP, a.NDF, a.Fat, a.Ash, a.NDFD) + (1-legume)*GrassTDN(a.CP, a.NDF, a.Fat, a.Ash, a.NDFD)
	a.NEL, a.ME = NELFromTDN(a.TDN), MEFromTDN(a.TDN)
}
