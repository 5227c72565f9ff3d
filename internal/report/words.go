package report

import (
	"fmt"

	"rowen/farm"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/season"
)

// shortDate is a date as people say it, in English: 9 Jun.
func shortDate(d quantity.Date) string { return d.MonthDay().String() }

// eventLine puts a season's event into words.
func eventLine(f *farm.Farm, e *season.Event) EventLine {
	l := EventLine{Date: e.Date.String(), DM: e.DM}
	if e.Field >= 0 {
		l.Field = f.Fields[e.Field].Name
	}
	group := ""
	if e.Group >= 0 {
		group = f.Groups[e.Group].Name
	}
	height := func(cm float64) string { return (quantity.Length(cm) * quantity.Centimetre).In(f.Units) }
	switch e.Kind {
	case season.Sown:
		l.Text = "sown for " + useWords(e.Use)
	case season.SowingDropped:
		l.Text = "sowing given up: the ground was never ready in time"
	case season.Emerged:
		l.Text = "up"
	case season.GrazingStarted:
		l.Text = fmt.Sprintf("%s go in at %s", group, height(e.Height))
	case season.GrazingEnded:
		l.Text = fmt.Sprintf("%s leave at %s", group, height(e.After))
	case season.Cut:
		l.Text = fmt.Sprintf("mown for %s at %s, moisture %.0f %%", useWords(e.Use), height(e.Height), 100*(1-e.DMShare))
	case season.Stored:
		l.Text = fmt.Sprintf("in store as %s at %.0f %% moisture, CP %.0f %%, NDF %.0f %%", useWords(e.Use), 100*(1-e.DMShare), e.CP, e.NDF)
	case season.FrostKilled:
		l.Text = "killed by frost"
	case season.Held:
		l.Text = "ready but held: " + firstReason(e)
	case season.StoreFull:
		l.Text = "no room left in store"
	case season.Spoilt:
		l.Text = "swath never dried and was left"
	case season.EstablishmentFailed:
		l.Text = "did not establish"
	case season.Dressed:
		l.Text = "nitrogen given"
	case season.WinterKilled:
		l.Text = "killed by the winter"
	case season.Laid:
		l.Text = "laid by a storm"
	case season.Wintered:
		l.Text = "wintered"
	}
	return l
}

func firstReason(e *season.Event) string {
	name := "nitrate"
	if e.Prussic {
		name = "prussic acid"
	}
	if g := hazard.Words(name, e.Verdict); len(g.Reasons) > 0 {
		return g.Reasons[0].Text
	}
	return name
}

// Nothing is the mass below which a table shows a dash, kg.
const Nothing = 45

// mass writes a farm-sized mass of dry matter: tons or tonnes, without decimals
// above ten.
func mass(kg float64, u quantity.System) string {
	if kg > -Nothing && kg < Nothing {
		return "–"
	}
	v, unit := kg/1000, "t"
	if u == quantity.US {
		v, unit = quantity.Mass(kg).Tons(), "ton"
	}
	return number(v) + " " + unit
}

func number(v float64) string {
	switch {
	case v < 10 && v > -10 && v != 0:
		return quantity.Grouped(v, 1)
	default:
		return quantity.Grouped(v, 0)
	}
}

// yield writes dry matter per area.
func yield(kgPerM2 float64, u quantity.System) string {
	if u == quantity.US {
		return quantity.Grouped(quantity.MassPerArea(kgPerM2).TonsPerAcre(), 1) + " ton/ac"
	}
	return quantity.Grouped(10*kgPerM2, 1) + " t/ha"
}

// yieldIf writes a yield, or that there was no sowing to give one.
//
//say:words
func yieldIf(kgPerM2 float64, sown bool, u quantity.System) string {
	if !sown {
		return "not sown"
	}
	return yield(kgPerM2, u)
}

// perTon writes a cost per mass.
func perTon(perKg float64, currency string, u quantity.System) string {
	if u == quantity.US {
		return quantity.Grouped(perKg*float64(quantity.Ton), 0) + " " + currency + "/ton"
	}
	return quantity.Grouped(perKg*1000, 0) + " " + currency + "/t"
}

func area(m2 float64, u quantity.System) string {
	if u == quantity.US {
		return quantity.Grouped(quantity.Area(m2).Acres(), 1) + " ac"
	}
	return quantity.Grouped(quantity.Area(m2).Hectares(), 1) + " ha"
}

// depth writes a sowing depth as a drill is set.
func depth(l quantity.Length, u quantity.System) string {
	if u == quantity.Metric {
		return quantity.Digits(l.Centimetres(), 2) + " cm"
	}
	return quantity.Digits(l.Inches(), 3) + " in"
}

// seedRate writes a rate as seed is bought.
func seedRate(r quantity.MassPerArea, u quantity.System) string {
	if u == quantity.Metric {
		return quantity.Digits(r.KilogramsPerHectare(), 2) + " kg/ha"
	}
	return quantity.Digits(r.PoundsPerAcre(), 2) + " lb/ac"
}

// Mass writes a farm-sized mass of dry matter, kg, in the reader's units.
func Mass(kg float64, u quantity.System) string { return mass(kg, u) }

// Area writes an area, m², in the reader's units.
func Area(m2 float64, u quantity.System) string { return area(m2, u) }

// PerTon writes a cost of a kilogram as one of a ton, or of a tonne.
func PerTon(perKg float64, currency string, u quantity.System) string {
	return perTon(perKg, currency, u)
}
