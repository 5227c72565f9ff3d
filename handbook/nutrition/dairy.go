package nutrition

import "math"

// FatCorrectedMilk is milk at 4 % fat, kg/d, from milk in kg/d and its fat, %.
//
// Source: Gaines 1928, as NRC 2001 uses it (from memory).
func FatCorrectedMilk(milk, fat float64) float64 { return milk * (0.4 + 0.15*fat) }

// IntakeDairy is the dry matter a Holstein cow in milk takes, kg/d, from 4 %
// fat-corrected milk kg/d, body weight kg, and weeks of lactation. The printed
// table of the source stands 0.3 kg below the equation at every yield; the
// reason is unknown.
//
// Source: NRC 2001, Nutrient Requirements of Dairy Cattle, 7th ed., eq 1-2
// (from memory).
func IntakeDairy(fcm, weight, weeks float64) float64 {
	return (0.372*fcm + 0.0968*math.Pow(weight, 0.75)) * (1 - math.Exp(-0.192*(weeks+3.67)))
}

// MilkEnergy is the net energy of lactation in a kg of milk, Mcal, from fat,
// crude protein and lactose, %.
//
// Source: NRC 2001, eq 2-15 (from memory).
func MilkEnergy(fat, crudeProtein, lactose float64) float64 {
	return 0.0929*fat + 0.0547*crudeProtein + 0.0395*lactose
}

// MaintenanceNEL is the net energy a dairy cow needs for maintenance, Mcal/d,
// with the little walking of a barn included.
//
// Source: NRC 2001, eq 2-12 (from memory).
func MaintenanceNEL(weight float64) float64 { return 0.080 * math.Pow(weight, 0.75) }

// GrazingNEL is the further net energy of a grazing dairy cow of a weight, kg,
// Mcal/d: walking km/d in all, eating a share of her dry matter on pasture, 0 to 1,
// and climbing where the ground is hilly.
//
// Source: NRC 2001, chapter 2: 0.00045 Mcal per kg and km walked, 0.002 per kg for
// all of it grazed, 0.006 per kg on hills (coefficients from memory), against the
// table of Gamroth, Oregon State University 2010 (read).
func GrazingNEL(weight, walked, pasture float64, hilly bool) float64 {
	e := weight * (0.00045*walked + 0.002*pasture)
	if hilly {
		e += 0.006 * weight
	}
	return e
}

// PregnancyNEL is the net energy a cow needs for her calf, Mcal/d, on a day of
// gestation for a calf of so many kg at birth; nothing before day 190.
//
// Source: NRC 2001, eq 2-19 (from memory).
func PregnancyNEL(day, calf float64) float64 {
	if day < 190 {
		return 0
	}
	return (0.00318*min(day, 279) - 0.0352) * (calf / 45) / 0.218
}

// MilkEnergy2021 is the energy of a day's milk, Mcal, from milk kg/d, fat, true
// protein and lactose, %.
//
// Source: NASEM 2021, Nutrient Requirements of Dairy Cattle, 8th ed. (from
// memory).
func MilkEnergy2021(milk, fat, trueProtein, lactose float64) float64 {
	return milk * (9.29*fat + 5.85*trueProtein + 3.95*lactose) / 100
}

// IntakeDairy2021 is the dry matter a cow in milk takes, kg/d: parity 1 for a
// cow that has calved more than once, else 0; condition score 1 to 5.
//
// Source: NASEM 2021, eq 2-1 (from memory).
func IntakeDairy2021(parity, milkEnergy, weight, condition, daysInMilk float64) float64 {
	return (3.7 + 5.7*parity + 0.305*milkEnergy + 0.022*weight + (-0.689-1.87*parity)*condition) *
		(1 - (0.212+0.136*parity)*math.Exp(-0.053*daysInMilk))
}

// IntakeFromRation is the dry matter a cow in milk takes of a ration, kg/d:
// forage NDF, % of dry matter (9.9 to 39.3), ADF over NDF, in-vitro digestibility
// of forage NDF, %, and milk, kg/d (20 to 51). Root mean square error 1.55 kg.
//
// Source: Allen, Sousa & VandeHaar 2019, J. Dairy Sci. 102:7961 (read); NASEM
// 2021 eq 2-2.
func IntakeFromRation(forageNDF, adfOverNDF, forageNDFD, milk float64) float64 {
	return 12.0 - 0.107*forageNDF + 8.17*adfOverNDF + 0.0253*forageNDFD -
		0.328*(adfOverNDF-0.602)*(forageNDFD-48.3) + 0.225*milk + 0.00390*(forageNDFD-48.3)*(milk-33.1)
}

// IntakeHeifer is the dry matter a growing dairy heifer takes, kg/d, from her
// weight and her weight when mature, kg.
//
// Source: NASEM 2021, chapter 2 (from memory).
func IntakeHeifer(weight, mature float64) float64 {
	return 0.022 * mature * (1 - math.Exp(-1.54*weight/mature))
}

// ProteinDairy is the crude protein a cow in milk needs, % of dry matter, at so
// many kg of milk: through the published rows 25 kg 14.1, 35 kg 15.2, 45 kg
// 16.0 %, held within 12 and 17.
//
// Source: NRC 2001, Table 14-7 (from memory).
func ProteinDairy(milk float64) float64 {
	var p float64
	switch {
	case milk <= 35:
		p = 15.2 + (milk-35)*0.11
	default:
		p = 15.2 + (milk-35)*0.08
	}
	return max(12, min(17, p))
}

// FibreCapacity is the most neutral detergent fibre an animal can hold, kg/d:
// 1.2 % of body weight.
//
// Source: Mertens 1987, J. Anim. Sci. 64:1548-1558 (1.2 %; from memory);
// University of Wisconsin course page, 1.1 to 1.2 % (read).
func FibreCapacity(weight float64) float64 { return 0.012 * weight }

// LeastFibre is the share of neutral detergent fibre below which a dairy
// ration's dry matter must not fall: a quarter.
//
// Source: NRC 2001, Table 4-3 (from memory).
func LeastFibre() float64 { return 0.25 }
