// Package grazing holds the arithmetic of rotational grazing and of the US
// organic pasture rule. Units are the source's own; a function that takes only
// ratios takes any. It follows Penn State Extension, Agronomy Facts 43, Four
// Steps to Rotational Grazing, and the University of Maine pasture course.
//
// Not here: when to move. Rest is governed by growth, not by the calendar.
package grazing

// AnimalUnit is the dry matter one animal unit eats, lb/d.
const AnimalUnit = 25.0

// Paddocks is how many paddocks a rest of so many days needs when each is grazed
// for so many (above 0).
//
// Source: Penn State Extension, Agronomy Facts 43 (read).
func Paddocks(rest, grazed float64) float64 { return rest/grazed + 1 }

// PaddockArea is the area that feeds a group for some days: animals × intake ×
// days over what is available per area at a utilisation of 0 to 1.
//
// Source: Penn State Extension, Agronomy Guide, grazing section (read).
func PaddockArea(animals, intake, days, available, utilisation float64) float64 {
	return animals * intake * days / (available * utilisation)
}

// Utilisation is the share of the herbage on offer that is eaten when a paddock
// is grazed for so many days; beyond seven the last row holds.
//
// Source: Penn State Agronomy Guide, Table 1.8-9 (read).
func Utilisation(days int) float64 {
	switch {
	case days <= 1:
		return 0.80
	case days <= 3:
		return 0.75
	case days == 4:
		return 0.70
	case days == 5:
		return 0.65
	}
	return 0.60
}

// Days is how long an area feeds a group: available per area × area × efficiency
// over weight × intake (a share of weight) × head.
//
// Source: University of Maine pasture course, equation 1 (read).
func Days(available, area, efficiency, weight, intake, head float64) float64 {
	return available * area * efficiency / (weight * intake * head)
}

// StockDensity is the live weight an area carries: available per area ×
// utilisation over intake (a share of weight) × days.
//
// Source: University of Maine pasture course, equation 2 (form read).
func StockDensity(available, utilisation, intake, days float64) float64 {
	return available * utilisation / (intake * days)
}

// MassFromHeight is the herbage between two heights, lb/ac, at a density in
// lb/ac per inch.
//
// Source: University of Maine pasture course, Appendix D, from the Cornell and
// NRCS stick (read).
func MassFromHeight(before, after, density float64) float64 { return (before - after) * density }

// The US organic pasture rule: every class of ruminant takes at least 30 % of
// its dry matter from pasture, averaged over the grazing season, and grazes at
// least 120 days of the calendar year.
const (
	OrganicPastureShare = 0.30
	OrganicGrazingDays  = 120
)

// PastureIntake is what a group must have taken from pasture: its demand less
// the dry matter it was fed, never less than nothing.
//
// Source: 7 CFR 205.237(c), 205.240 (text from memory); subtraction method as
// printed in organic record-keeping guides, 2010 (read).
func PastureIntake(demand, fed float64) float64 { return max(0, demand-fed) }

// SeasonShare is the share of dry matter from pasture over a season: the sum of
// pasture intake over the sum of demand. Each entry is a spell of days.
//
// Source: as PastureIntake.
func SeasonShare(days, pasture, demand []float64) float64 {
	var p, d float64
	for i := range days {
		p += days[i] * pasture[i]
		d += days[i] * demand[i]
	}
	if d == 0 {
		return 0
	}
	return p / d
}
