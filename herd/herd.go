// Package herd tells what animals need, by class and day: dry matter, energy,
// protein and fibre bounds. It knows animals; it may not know farms, fields or
// plans.
package herd

import "rowen/handbook/nutrition"

// Class is a class of animal, as the pasture rule and the requirement tables
// tell them apart.
type Class uint8

// The classes.
const (
	DairyLactating Class = iota
	DairyDry
	DairyHeifer
	BeefCow // with or without calf at foot
	BeefGrowing
	Bull
	Ewe // with or without lambs at foot
	LambGrowing
	Ram
	Horse
	Classes = 10 // number of classes
)

// Animal is one animal of a group as it stands on one day. Fields that do not
// apply to its class are zero.
type Animal struct {
	Class      Class
	Weight     float64 // live weight, kg
	Mature     float64 // mature weight, kg; 0 takes Weight
	Milk       float64 // kg/d
	Fat        float64 // milk fat, %
	Protein    float64 // milk true protein, %
	DaysInMilk float64 // group mean; 0 means unknown, taken as mid-lactation
	Gain       float64 // kg/d
	Gestation  float64 // day of gestation, 0 if not pregnant or unknown
	Young      float64 // suckling young per head
	Walk       float64 // km walked a day beyond the pasture itself
	Hilly      bool    // up and down hills
}

// Need is what one animal needs in a day.
type Need struct {
	DM     float64          // intake expected, kg DM
	Energy float64          // Mcal, in System
	System nutrition.System // NEL for dairy cattle, ME for the others
	CP     float64          // crude protein, kg
	MinNDF float64          // least fibre, kg NDF
	MaxNDF float64          // fibre that fills the rumen, kg NDF; 0 where none is published: sheep and horses
}
