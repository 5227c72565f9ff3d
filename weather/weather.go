// Package weather reads daily weather as stations publish it, checks it, fills
// what may be filled, estimates what was not measured, and cuts it into feed
// years. It knows stations and days; it may not know growth, farms or files
// other than weather files.
package weather

import (
	"rowen/quantity"

	"rowen/say"
)

// HardFreeze is the temperature at and below which a night kills tender annuals,
// °C (28 °F).
//
// Source: National Weather Service Jackson, freeze definitions (read).
const HardFreeze = -2.2

// Mark tells which of a day's values were not simply measured.
type Mark uint16

// The marks. A filled value stands for a short gap in the record; an estimated
// one follows FAO-56's rules for data that the station does not measure.
const (
	TMaxFilled Mark = 1 << iota
	TMinFilled
	RainFilled
	SolarEstimated
	VapourEstimated
	WindAssumed
	Generated // the whole day comes from the weather generator
)

// Day is one civil day at a station. Before Prepare a missing value is NaN;
// after it none is.
type Day struct {
	TMin, TMax float64 // air temperature, °C, TMin <= TMax
	Rain       float64 // rain and melted snow, mm, >= 0
	Solar      float64 // global radiation, MJ/m²/d
	Vapour     float64 // actual vapour pressure, kPa
	Wind       float64 // wind at 2 m, m/s
	Marks      Mark
}

// Station is where a series was measured, or the valley a generator stands for.
type Station struct {
	ID        string
	Name      string
	Latitude  float64         // degrees, north positive
	Longitude float64         // degrees, east positive
	Elevation quantity.Length // above sea level
	Coastal   bool            // radiation estimate uses the coastal coefficient
}

// Series is a station's record, one Day for each civil day from First on.
type Series struct {
	Station Station
	First   quantity.Date
	Days    []Day
	Notices []Notice // what was noticed on reading: traps, fills, gaps
	Hash    string   // sha256 of the bytes read, hex; or of the generator's parameters
}

// Notice is something a person should know about a record.
type Notice struct {
	From, To quantity.Date // zero where it concerns the whole record
	Kind     string        // "observation-day", "rain-unit", "gap", ...
	Text     say.Line      // what was seen, and what was done about it
}

// YearID names a feed year by the calendar year in which it ends: the feed year
// from 1 November 2016 is 2017.
type YearID int32

// Year is the daily weather of one feed year. Before holds the days that lead
// up to it (at most a year), from which soil temperature and snow take their
// start; it may be empty.
type Year struct {
	ID      YearID
	Station *Station
	First   quantity.Date
	Before  []Day
	Days    []Day
}

// Skipped is a feed year that cannot be used, and why.
type Skipped struct {
	ID     YearID
	Reason string
}
