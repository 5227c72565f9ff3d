package steer

import (
	"math"

	"rowen/crop"
	"rowen/feed"
	"rowen/handbook/conserve"
)

// How a swath is dried, as a season dries it.
const (
	curingHours  = 9.0  // drying hours a day, from when the dew is off (common practice)
	curingSun    = 1.2  // insolation of those hours over the whole day's mean
	curingRain   = 1.0  // mm at most on a day called dry
	curingFloor  = 0.13 // moisture that hay keeps in this climate, wet basis
	curingSoil   = 15.0 // dry ground under a swath, % of dry soil
	curingWet    = 25.0 // wet ground
	curingDays   = 10   // a swath that lies longer is worthless
	wettestSwath = 0.88 // moisture of the wettest swath, wet basis
)

// CureDay is a day as a swath feels it.
type CureDay struct {
	Rain    float64 // mm
	Sun     float64 // insolation of the drying hours, W/m²
	Deficit float64 // vapour pressure deficit, kPa
	Soil    float64 // moisture of the ground under the swath, % of dry soil
}

// known tells whether a day says all that drying asks.
func (d *CureDay) known() bool { return !math.IsNaN(d.Rain + d.Sun + d.Deficit + d.Soil) }

// Making is one swath with all its figures fixed.
type Making struct {
	Yield       float64 // g DM/m² of field that was mown
	Width       float64 // share of the cut width that the swath covers, above 0 to 1
	Moisture    float64 // as mown, wet basis
	Use         crop.Use
	Rate        float64 // share of Rotz & Chen's rate
	Conditioned bool
	Legume      bool
	Damage      float64 // where rain damage lies between its published low and high, 0 to 1
}

// Laid is what became of a swath.
type Laid struct {
	In       bool    // it was brought in
	Days     int     // after the mowing day
	Hours    float64 // drying hours it lay
	Clock    float64 // hours from mowing, nights included
	Dry      bool    // in before any day of more than a millimetre of rain
	Eve      float64 // moisture, wet basis, when the first such rain came, or when it was in
	Rain     float64 // mm that fell on it
	Kept     float64 // share of the mown dry matter that comes off the field; 0 where it was not brought in
	Respired float64 // shares lost, each of what was there
	Leached  float64 // with leaf that rain knocked off
	Gathered float64 // by raking, baling or chopping
}

// TargetMoisture is the moisture, wet basis, at which a use is gathered: the middle of
// the range for bales that are wrapped and for haylage, the highest that keeps for dry
// hay in large bales; and the wettest at which it may still be gathered to save it.
func TargetMoisture(use crop.Use) (target, wettest float64) {
	switch use {
	case crop.Hay:
		_, high := conserve.Moisture(conserve.LargeBaleHay)
		return high, high
	case crop.Chop:
		low, high := conserve.Moisture(conserve.BunkerHaylage)
		return (low + high) / 2, high
	}
	return 0.55, conserve.WettestWrapped
}

// kindOf is the feed that a use makes.
func kindOf(use crop.Use) feed.Kind {
	switch use {
	case crop.Hay:
		return feed.Hay
	case crop.Chop:
		return feed.Haylage
	}
	return feed.Baleage
}

// Lay dries a swath through days, the first of which is the day of mowing, by Rotz &
// Chen's equation. Rain wets it and washes it out; it breathes while it is wet. A day
// of which something is not known ends it: nothing is promised past it. What rain
// takes is reckoned at the moisture that the swath would have without it, since cells
// that have dried do not heal; so more rain never leaves more.
func Lay(m *Making, days []CureDay) Laid {
	target, _ := TargetMoisture(m.Use)
	density := conserve.SwathDensity(math.Max(1, m.Yield), m.Width)
	wet := conserve.DryBasis(min(0.9, m.Moisture))
	clean, goal := wet, conserve.DryBasis(target)
	out := Laid{Dry: true, Kept: 1, Eve: m.Moisture}
	for i := range days[:min(len(days), curingDays)] {
		d := &days[i]
		if !d.known() {
			break
		}
		wet = m.rain(d, &out, density, wet, clean)
		breath := conserve.Respired(conserve.WetBasis(wet))
		out.Respired = 1 - (1-out.Respired)*(1-breath)
		mowing, hours := 0.0, curingHours
		if i == 0 {
			mowing = 1
		}
		if d.Rain > curingRain {
			hours /= 3 // a wet day dries between showers
		}
		k := m.rate(d, d.Soil, density, mowing)
		if h := conserve.Until(wet, goal, k, m.Conditioned); h <= hours {
			out.In, out.Days, out.Hours, out.Clock = true, i, out.Hours+h, 24*float64(i)+h
			out.settle(target)
			out.Gathered = feed.HarvestLoss(kindOf(m.Use), target)
			out.Kept = conserve.ChainKept(out.Respired, out.Leached, out.Gathered)
			return out
		}
		out.Hours += hours
		floor := conserve.DryBasis(curingFloor)
		wet = max(min(floor, wet), conserve.Dried(wet, k, hours, m.Conditioned))
		clean = max(min(floor, clean), conserve.Dried(clean, m.rate(d, curingSoil, density, mowing), curingHours, m.Conditioned))
		out.settle(conserve.WetBasis(wet))
	}
	out.Kept, out.Dry = 0, false
	return out
}

// settle notes how far a swath had dried while no rain had come.
func (l *Laid) settle(moisture float64) {
	if l.Dry {
		l.Eve = min(l.Eve, moisture)
	}
}

// rain lets a day's rain fall on a swath and gives its moisture, dry basis.
func (m *Making) rain(d *CureDay, out *Laid, density, wet, clean float64) float64 {
	if d.Rain <= 0 {
		return wet
	}
	low, high := conserve.RainDamage(d.Rain, conserve.WetBasis(clean), m.Legume)
	lost := low + m.Damage*(high-low)
	out.Leached = 1 - (1-out.Leached)*(1-lost)
	out.Rain += d.Rain
	if d.Rain > curingRain {
		out.Dry = false
	}
	return max(wet, min(conserve.DryBasis(wettestSwath), wet+1000*conserve.RainHeld(d.Rain)/density))
}

// rate is the swath's rate of drying on a day, 1/h.
func (m *Making) rate(d *CureDay, soil, density, mowing float64) float64 {
	return m.Rate * conserve.WindrowFactor(m.Width) * conserve.DryingRate(d.Sun, d.Deficit, soil, density, mowing)
}
