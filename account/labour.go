package account

import (
	"rowen/crop"
	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
)

// Hours of one person and machine by work: for an acre, a bale and a day that a group
// is moved (common practice for 10-ft machines and strip grazing; a farm's own are
// what it writes in its diary).
const (
	hoursTillage  = 0.45
	hoursDrilling = 0.20
	hoursNoTill   = 0.05 // of spraying or rolling, besides the drill
	hoursMowing   = 0.20
	hoursRaking   = 0.15
	hoursChopping = 0.40 // with two wagons and the packing
	hoursBale     = 0.04
	hoursWrap     = 0.04 // a bale
	hoursMove     = 0.75 // a group and day
)

// Labour is what a year asks of people, hours.
type Labour struct {
	Field float64 // tillage, drilling, mowing, gathering
	Stock float64 // moving groups on pasture
}

// LabourOf counts a year's hours by what was done in it. Where custom work is hired
// the field hours are in its rates already. Feeding in winter, milking and repairs are
// not in it.
func LabourOf(f *farm.Farm, y *season.YearResult) (l Labour) {
	for i := range y.Events {
		e := &y.Events[i]
		if e.Field < 0 {
			continue
		}
		noTill := false
		if e.Kind == season.Sown {
			at := standOn(f, y, e)
			noTill = at != nil && at.sowing >= 0 && f.Plan.Sowings[at.sowing].NoTill
		}
		l.Field += HoursOf(f, e, f.Fields[e.Field].Area/quantity.Area(pieces(y, int(e.Field))), noTill)
	}
	for g := range y.Groups {
		l.Stock += hoursMove * float64(y.Groups[g].GrazingDays)
	}
	return l
}

// HoursOf are the hours of field work of one event, a sowing, a cut or a bringing in,
// on the ground that it concerned.
func HoursOf(f *farm.Farm, e *season.Event, ground quantity.Area, noTill bool) float64 {
	acres := ground.Acres()
	switch e.Kind {
	case season.Sown:
		if noTill {
			return acres * (hoursDrilling + hoursNoTill)
		}
		return acres * (hoursDrilling + hoursTillage)
	case season.Cut:
		return acres * hoursMowing
	case season.Stored:
		return gatherHours(f, e, acres)
	}
	return 0
}

// gatherHours are the hours of bringing a cut in.
func gatherHours(f *farm.Farm, e *season.Event, acres float64) float64 {
	bales := 0.0
	if f.Custom.BaleMass > 0 {
		bales = e.DM / float64(f.Custom.BaleMass)
	}
	switch e.Use {
	case crop.Wrap:
		return acres*hoursRaking + bales*(hoursBale+hoursWrap)
	case crop.Hay:
		return acres*2*hoursRaking + bales*hoursBale
	case crop.Chop:
		return acres * (hoursRaking + hoursChopping)
	}
	return acres * hoursChopping
}

// LandOf is a year's rent of all ground, 0 where the document gives none.
func LandOf(f *farm.Farm) float64 {
	var area quantity.Area
	for i := range f.Fields {
		area += f.Fields[i].Area
	}
	return float64(area) * float64(f.Prices.Land)
}
