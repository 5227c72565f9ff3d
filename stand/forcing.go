package stand

import (
	"math"

	"rowen/crop"
	"rowen/handbook/evapo"
	"rowen/handbook/growth"
	"rowen/weather"
)

// Forcing is what a year's weather does to any stand: computed once for a
// station and year and shared by all fields.
type Forcing struct {
	days []ForcingDay
}

// ForcingDay is one day of it.
type ForcingDay struct {
	TMin, TMax float64 // air, °C
	Solar      float64 // global radiation, MJ/m²
	ET0        float64 // reference evapotranspiration, mm
	VPD        float64 // daytime vapour pressure deficit, kPa
	Daylight   float64 // h
	SoilTemp   float64 // at 10 cm, °C
	Rain       float64 // as measured, mm
	Liquid     float64 // rain and melt that reach the ground, mm
	Snow       float64 // lying at the day's end, mm of water
	YearDay    int
	shortening bool
}

const (
	snowBelow = 0.5 // °C, mean; below it falls as snow (common practice)
	melt      = 3.0 // mm per °C and day above it (common practice)
)

// NewForcing works a feed year's weather into forcing.
func NewForcing(y *weather.Year) *Forcing {
	f := &Forcing{days: make([]ForcingDay, len(y.Days))}
	lat, z := y.Station.Latitude, y.Station.Elevation.Metres()
	soil, snow := 5.0, 0.0
	if len(y.Before) > 0 {
		soil = (y.Before[0].TMin + y.Before[0].TMax) / 2
	}
	for i := range y.Before {
		d := &y.Before[i]
		mean := (d.TMin + d.TMax) / 2
		soil = evapo.SoilTemperature(soil, mean)
		_, snow = thaw(snow, mean, d.Rain)
	}
	for i := range y.Days {
		d, out := &y.Days[i], &f.days[i]
		yearDay := (y.First + dateOf(i)).YearDay()
		mean := (d.TMin + d.TMax) / 2
		ra := evapo.ExtraterrestrialRadiation(lat, yearDay)
		soil = evapo.SoilTemperature(soil, mean)
		var liquid float64
		liquid, snow = thaw(snow, mean, d.Rain)
		*out = ForcingDay{
			TMin: d.TMin, TMax: d.TMax, Solar: d.Solar,
			ET0:      evapo.Daily(d.TMin, d.TMax, d.Solar, d.Vapour, d.Wind, z, ra),
			VPD:      max(0.2, growth.DaytimeDeficit(evapo.SaturationPressure(d.TMax), evapo.SaturationPressure(d.TMin))),
			Daylight: evapo.Daylight(lat, yearDay), SoilTemp: soil,
			Rain: d.Rain, Liquid: liquid, Snow: snow, YearDay: yearDay,
		}
		// Snow on the ground neither warms nor evaporates as grass does.
		if snow > 0 {
			out.ET0 *= 0.3
			out.SoilTemp = max(soil, 0)
		}
		out.shortening = (yearDay > 172) == (lat > 0)
	}
	return f
}

// thaw splits a day's precipitation and the lying snow, mm of water.
func thaw(snow, mean, rain float64) (liquid, left float64) {
	if mean < snowBelow {
		return 0, snow + rain
	}
	m := min(snow, melt*(mean-snowBelow))
	return rain + m, snow - m
}

// Days is the length of the year.
func (f *Forcing) Days() int { return len(f.days) }

// Day is one day of the year.
func (f *Forcing) Day(i int) *ForcingDay { return &f.days[i] }

// Climate is a year's forcing as the crops of one mixture feel it: thermal time
// and the response to temperature, dearer than all else of the daily step, so
// computed once and shared by every field that carries the mixture.
type Climate struct {
	forcing *Forcing
	days    []climateDay // parts of day 0, of day 1, ...
	parts   int
}

type climateDay struct {
	warmth float64 // thermal time, °Cd
	rate   float64 // response of growth to temperature, 0..1
	root   float64 // share of growth to roots of a perennial in leaf
}

// quarters are eight points of the day's temperature between minimum and
// maximum, on a sinusoid.
var quarters = func() (q [8]float64) {
	for i := range q {
		q[i] = (1 + math.Sin(2*math.Pi*(float64(i)+0.5)/8)) / 2
	}
	return q
}()

// daylit are six points while the sun shines.
var daylit = func() (q [6]float64) {
	for i := range q {
		q[i] = 0.35 + 0.65*math.Sin(math.Pi*(float64(i)+1)/7.5)
	}
	return q
}()

// Climate works a year's forcing for the stand's crops.
func (s *Stand) Climate(f *Forcing) *Climate {
	c := &Climate{forcing: f, parts: len(s.parts), days: make([]climateDay, len(f.days)*len(s.parts))}
	for i := range f.days {
		d := &f.days[i]
		for k := range s.parts {
			c.days[i*c.parts+k] = s.parts[k].climate(d)
		}
	}
	return c
}

func (p *params) climate(d *ForcingDay) climateDay {
	var warmth, rate float64
	spread := d.TMax - d.TMin
	for _, q := range quarters {
		warmth += max(0, min(d.TMin+q*spread, p.ceiling)-p.base)
	}
	for _, q := range daylit {
		rate += growth.Response(d.TMin+q*spread, p.cardinal)
	}
	out := climateDay{warmth: warmth / float64(len(quarters)), rate: rate / float64(len(daylit)), root: p.rootOld}
	out.rate *= ramp(d.TMin, p.chillLow, p.chillHigh)
	if p.life == crop.Perennial {
		// The sward starts when the ground has warmed, and in shortening days it
		// fills its roots.
		out.rate *= ramp(d.SoilTemp, 3, 9)
		if d.shortening {
			out.root += (p.rootShort - p.rootOld) * ramp(14-d.Daylight, 0, 3.5)
		}
	}
	if p.dayLong > 0 && d.YearDay < 200 {
		out.warmth *= ramp(d.Daylight, p.dayShort, p.dayLong)
	}
	if d.Snow > 0 {
		out.rate = 0
	}
	return out
}

// ramp rises from 0 at low to 1 at high.
func ramp(x, low, high float64) float64 {
	return max(0, min(1, (x-low)/(high-low)))
}

// Days is the length of the year.
func (c *Climate) Days() int { return c.forcing.Days() }
