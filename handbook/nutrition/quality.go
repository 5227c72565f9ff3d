package nutrition

// DigestibleDM is DDM, % of dry matter, from acid detergent fibre, %.
//
// Source: Rohweder, Barnes & Jorgensen 1978, as printed by the University of
// Wisconsin and Virginia Tech extension services (read).
func DigestibleDM(adf float64) float64 { return 88.9 - 0.779*adf }

// IntakeFromNDF is the dry matter an animal takes, % of body weight, from
// neutral detergent fibre, % (above 0).
//
// Source: as DigestibleDM.
func IntakeFromNDF(ndf float64) float64 { return 120 / ndf }

// RelativeFeedValue is RFV; full-bloom alfalfa (ADF 41, NDF 53) is 100. Not for
// corn silage: starch is not in it.
//
// Source: as DigestibleDM; divisor 1.29.
func RelativeFeedValue(adf, ndf float64) float64 {
	return DigestibleDM(adf) * IntakeFromNDF(ndf) / 1.29
}

// neutralFibre takes ash and protein bound in fibre off NDF; nfc is what is
// left of dry matter when fibre, protein, fat and ash are taken away.
func neutralFibre(cp, ndf, fat, ash float64) (ndfn, nfc, fattyAcids float64) {
	ndfn = 0.93 * ndf
	return ndfn, 100 - (ndfn + cp + fat + ash), max(0, fat-1)
}

// LegumeTDN is the total digestible nutrients of a legume forage, % of dry
// matter; all inputs % of dry matter, NDFD % of NDF at 48 h.
//
// Source: Undersander & Moore 2002, University of Wisconsin, relative forage
// quality (divisor and form read; coefficients from memory).
func LegumeTDN(cp, ndf, fat, ash, ndfd float64) float64 {
	ndfn, nfc, fa := neutralFibre(cp, ndf, fat, ash)
	return 0.98*nfc + 0.93*cp + 0.97*2.25*fa + ndfn*ndfd/100 - 7
}

// GrassTDN is the total digestible nutrients of a grass forage, % of dry matter.
//
// Source: as LegumeTDN.
func GrassTDN(cp, ndf, fat, ash, ndfd float64) float64 {
	ndfn, nfc, fa := neutralFibre(cp, ndf, fat, ash)
	return 0.98*nfc + 0.87*cp + 0.97*2.25*fa + ndfn*(22.7+0.664*ndfd)/100 - 10
}

// LegumeIntake is the dry matter taken of a legume forage, % of body weight.
//
// Source: as LegumeTDN.
func LegumeIntake(ndf, ndfd float64) float64 {
	return 120/ndf + (ndfd-45)*0.374/1350*100
}

// GrassIntake is the dry matter taken of a grass forage, % of body weight.
//
// Source: as LegumeTDN.
func GrassIntake(cp, adf, tdn float64) float64 {
	return -2.318 + 0.442*cp - 0.0100*cp*cp - 0.0638*tdn + 0.000922*tdn*tdn +
		0.180*adf - 0.00196*adf*adf - 0.00529*cp*adf
}

// RelativeForageQuality is RFQ from an intake, % of body weight, and TDN, %.
//
// Source: as LegumeTDN; divisor 1.23 (read).
func RelativeForageQuality(intake, tdn float64) float64 { return intake * tdn / 1.23 }
