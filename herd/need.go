package herd

import (
	"fmt"
	"strings"

	"rowen/handbook/nutrition"
)

//say:words
var classNames = [Classes]string{
	"dairy cow in milk", "dairy cow dry", "dairy heifer", "beef cow", "growing cattle", "bull", "ewe", "growing lamb", "ram", "horse",
}

// String is the class as a document writes it.
func (c Class) String() string {
	if int(c) < len(classNames) {
		return classNames[c]
	}
	return "unknown class"
}

// ParseClass reads a class; the error lists them all.
func ParseClass(s string) (Class, error) {
	for c, name := range classNames {
		if strings.EqualFold(strings.TrimSpace(s), name) {
			return Class(c), nil
		}
	}
	return 0, fmt.Errorf("no such class of animal; write one of: %s", strings.Join(classNames[:], ", "))
}

// PastureRule tells whether the US organic pasture rule asks the class to graze:
// all ruminants over six months. Lambs on a farm are slaughter stock and mostly
// younger.
func (c Class) PastureRule() bool { return c != Horse && c != LambGrowing }

// Producing tells whether the class is fed the better forage: in milk or growing.
func (c Class) Producing() bool {
	return c == DairyLactating || c == DairyHeifer || c == BeefGrowing || c == LambGrowing
}

// Defaults of what a group's document leaves out (common practice).
const (
	calfDairy      = 43.0 // kg at birth
	calfBeef       = 38.0
	matureDairy    = 650.0
	beefMilk       = 8.0  // kg/d of a cow with her calf
	beefForageTDN  = 57.0 // % of dry matter, for the intake table
	beefForageME   = 2.1  // Mcal/kg
	growForageME   = 2.4
	midLactation   = 21.0  // weeks, where days in milk are unknown
	lactose        = 4.85  // % of milk
	lateGestation  = 200   // day
	calfWeight     = 150.0 // kg, the season's mean of a suckling calf
	calfForage     = 0.012 // of its weight eaten as forage
	grazedShare    = 0.6   // of a grazing cow's dry matter, for the energy of grazing
	forageFibreTop = 1.1   // leafy pasture lets animals hold a tenth more fibre
)

// Need is what the animal needs in a day, by the handbook's equations for its
// class.
func (a Animal) Need() Need {
	n := Need{}
	if a.Class <= Bull { // the published capacity is cattle's
		n.MaxNDF = nutrition.FibreCapacity(a.Weight) * forageFibreTop
	}
	switch a.Class {
	case DairyLactating, DairyDry:
		a.dairy(&n)
	case DairyHeifer:
		mature := a.Mature
		if mature == 0 {
			mature = matureDairy
		}
		n.System = nutrition.ME
		n.DM = nutrition.IntakeHeifer(a.Weight, mature)
		n.Energy = nutrition.MEOfBeef(nutrition.MaintenanceNE(a.Weight, false)+a.pregnancy(calfDairy), nutrition.GainNE(a.Weight, a.Gain), growForageME)
		n.CP = 0.13 * n.DM
	case BeefCow, Bull, BeefGrowing:
		a.beef(&n)
	case Ewe, Ram, LambGrowing:
		a.sheep(&n)
	case Horse:
		n.System = nutrition.ME
		n.DM, n.Energy = nutrition.HorseNeed(a.Weight)
		n.CP = 0.09 * n.DM
	}
	n.MinNDF = nutrition.LeastFibre() * n.DM
	return n
}

func (a *Animal) dairy(n *Need) {
	n.System = nutrition.NEL
	n.Energy = nutrition.MaintenanceNEL(a.Weight) + nutrition.PregnancyNEL(a.Gestation, calfDairy)
	if a.Walk > 0 {
		n.Energy += nutrition.GrazingNEL(a.Weight, a.Walk, grazedShare, a.Hilly)
	}
	if a.Class == DairyDry || a.Milk <= 0 {
		n.DM = 0.019 * a.Weight // 1.8 to 2.0 % of weight (NASEM 2021, from memory)
		n.CP = 0.12 * n.DM
		return
	}
	weeks := a.DaysInMilk / 7
	if weeks <= 0 {
		weeks = midLactation
	}
	n.DM = nutrition.IntakeDairy(nutrition.FatCorrectedMilk(a.Milk, a.Fat), a.Weight, weeks)
	// Milk protein is given as true protein, 0.93 of crude.
	n.Energy += a.Milk * nutrition.MilkEnergy(a.Fat, a.Protein/0.93, lactose)
	n.CP = nutrition.ProteinDairy(a.Milk) / 100 * n.DM
}

func (a *Animal) pregnancy(calf float64) float64 {
	if a.Gestation < lateGestation {
		return 0
	}
	return nutrition.PregnancyNE(min(a.Gestation, 283), calf)
}

func (a *Animal) beef(n *Need) {
	n.System = nutrition.ME
	if a.Class == BeefGrowing {
		n.DM = nutrition.IntakeGrowingCattle(a.Weight)
		n.Energy = nutrition.MEOfBeef(nutrition.MaintenanceNE(a.Weight, false), nutrition.GainNE(a.Weight, a.Gain), growForageME)
		n.CP = nutrition.ProteinBeef(false, false, a.Gain) / 100 * n.DM
		return
	}
	nursing := a.Young > 0
	n.DM = nutrition.IntakeBeefCow(beefForageTDN, nursing) / 100 * a.Weight
	ne := nutrition.MaintenanceNE(a.Weight, nursing) + a.pregnancy(calfBeef)
	if nursing {
		ne += beefMilk * a.Young * 0.72 // Mcal/kg of beef milk (NRC 1996, from memory)
		n.DM += a.Young * calfForage * calfWeight
	}
	n.Energy = nutrition.MEOfBeef(ne, 0, beefForageME)
	n.CP = nutrition.ProteinBeef(nursing, a.Gestation >= lateGestation, 0) / 100 * n.DM
}

func (a *Animal) sheep(n *Need) {
	n.System = nutrition.ME
	if a.Class == LambGrowing {
		n.DM, n.Energy = nutrition.LambNeed(a.Weight, a.Gain)
		n.CP = 0.145 * n.DM
		return
	}
	state := nutrition.EweMaintenance
	switch {
	case a.Class == Ewe && a.Young > 0:
		state = nutrition.EweLactating
	case a.Class == Ewe && a.Gestation >= 105:
		state = nutrition.EweLateGestation
	}
	n.DM, n.Energy = nutrition.IntakeEwe(a.Weight, state), nutrition.EweME(a.Weight, state)
	n.CP = nutrition.ProteinSheep(state) / 100 * n.DM
}
