package nutrition

import "math"

// IntakeBeefCow is the dry matter a beef cow takes, % of body weight, of forage
// with a TDN, %. Newer data put dry cows about 6 lb/d lower.
//
// Source: Hibberd & Thrift 1992, by way of Oklahoma State University 2024
// (read).
func IntakeBeefCow(tdn float64, lactating bool) float64 {
	row := 0
	switch {
	case tdn > 59:
		row = 2
	case tdn >= 52:
		row = 1
	}
	if lactating {
		return [3]float64{2.2, 2.5, 2.7}[row]
	}
	return [3]float64{1.8, 2.2, 2.5}[row]
}

// IntakeGrowingCattle is the dry matter growing cattle take, kg/d: 3 % of body
// weight at 700 lb, as a power of metabolic weight.
//
// Source: University of Nebraska, extension (read for 700 lb; the power is
// common practice).
func IntakeGrowingCattle(weight float64) float64 {
	return 0.03 * 317.5 * math.Pow(weight/317.5, 0.75)
}

// MaintenanceNE is the net energy for maintenance of beef cattle, Mcal/d.
//
// Source: NRC 1996, Nutrient Requirements of Beef Cattle, 7th ed.: 0.077 of
// shrunk weight (0.96 of live) to the 0.75, a fifth more in lactation (from
// memory).
func MaintenanceNE(weight float64, lactating bool) float64 {
	ne := 0.077 * math.Pow(0.96*weight, 0.75)
	if lactating {
		ne *= 1.2
	}
	return ne
}

// GainNE is the net energy of gain in beef cattle, Mcal/d, for a gain in kg/d.
//
// Source: NRC 1996, 0.0635 empty-body weight^0.75 × empty-body gain^1.097;
// empty body 0.891 of shrunk weight, 0.956 of shrunk gain (from memory).
func GainNE(weight, gain float64) float64 {
	return 0.0635 * math.Pow(0.891*0.96*weight, 0.75) * math.Pow(0.956*max(0, gain), 1.097)
}

// PregnancyNE is the net energy for maintenance that a beef cow's calf needs,
// Mcal/d, on a day of gestation for a calf of so many kg at birth.
//
// Source: NRC 1996, eq 4-1 (from memory).
func PregnancyNE(day, calf float64) float64 {
	return 0.576 * calf * (0.4504 - 0.000766*day) * math.Exp((0.03233-0.0000275*day)*day) / 1000
}

// NetEnergies are a forage's net energies for maintenance and gain, Mcal/kg,
// from its ME, Mcal/kg (1.6 to 3.3).
//
// Source: NRC 1996; Garrett 1980 (from memory).
func NetEnergies(me float64) (maintenance, gain float64) {
	return 1.37*me - 0.138*me*me + 0.0105*me*me*me - 1.12,
		1.42*me - 0.174*me*me + 0.0122*me*me*me - 1.65
}

// MEOfBeef is the metabolisable energy, Mcal/d, that pays for net energies of
// maintenance and gain, Mcal/d, on forage of an ME, Mcal/kg.
//
// Source: NRC 1996, by NetEnergies.
func MEOfBeef(maintenance, gain, me float64) float64 {
	nem, neg := NetEnergies(me)
	return maintenance*me/nem + gain*me/neg
}

// ProteinBeef is the crude protein beef cattle need, % of dry matter: a dry cow
// 7.5, one late in gestation 9, one in milk 10.5; growing cattle by gain, kg/d.
//
// Source: NRC 1996, Tables 9-1 and 10-1, rounded (from memory).
func ProteinBeef(lactating, late bool, gain float64) float64 {
	switch {
	case lactating:
		return 10.5
	case late:
		return 9
	case gain > 0:
		return min(15, 8.5+4*gain)
	}
	return 7.5
}

// SheepState is where a ewe stands in her year.
type SheepState uint8

// The states, in the order of the requirement table.
const (
	EweMaintenance SheepState = iota
	EweLateGestation
	EweLactating
)

// IntakeEwe is the dry matter a ewe takes, kg/d: the rows for a 150-lb ewe with
// twins (2.6, 4.0 and 4.4 lb), by metabolic weight.
//
// Source: North Carolina State University, by way of Ohio State University 2023
// (read); the power is common practice.
func IntakeEwe(weight float64, state SheepState) float64 {
	lb := [3]float64{2.6, 4.0, 4.4}[min(state, EweLactating)]
	return lb * 0.45359237 * math.Pow(weight/68.04, 0.75)
}

// EweME is the metabolisable energy a ewe needs, Mcal/d: 2.4, 4.0 and 4.9 for
// 70 kg at maintenance, in late gestation with twins and in milk with twins, by
// metabolic weight. The last is the table's concentration (2.4 Mcal/kg) at the
// intake of IntakeEwe, which is below the table's.
//
// Source: NRC 1985, Nutrient Requirements of Sheep, 6th ed., Table 1, rounded
// (from memory).
func EweME(weight float64, state SheepState) float64 {
	return [3]float64{2.4, 4.0, 4.9}[min(state, EweLactating)] * math.Pow(weight/70, 0.75)
}

// ProteinSheep is the crude protein sheep need, % of dry matter.
//
// Source: NRC 1985, Table 1, rounded: 9.4, 11.5 and 14.0 (from memory).
func ProteinSheep(state SheepState) float64 {
	return [3]float64{9.4, 11.5, 14.0}[min(state, EweLactating)]
}

// LambNeed is a growing lamb's dry matter, kg/d, and ME, Mcal/d, by weight, kg,
// and gain, kg/d: 4.3 % of weight at 30 kg; 0.098 Mcal per kg^0.75 for
// maintenance and 5.9 Mcal per kg gained.
//
// Source: NRC 1985, Table 1, rounded (from memory).
func LambNeed(weight, gain float64) (dm, me float64) {
	return 0.043 * 30 * math.Pow(weight/30, 0.75), 0.098*math.Pow(weight, 0.75) + 5.9*gain
}

// HorseNeed is a horse's dry matter, kg/d, 2 % of weight, and digestible energy
// taken as ME at 0.87, Mcal/d: 0.0333 Mcal DE per kg.
//
// Source: NRC 2007, Nutrient Requirements of Horses, 6th ed. (from memory).
func HorseNeed(weight float64) (dm, me float64) {
	return 0.02 * weight, 0.0333 * weight * 0.87
}
