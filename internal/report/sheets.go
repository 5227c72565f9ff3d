package report

import (
	"encoding/csv"
	"io"
	"strconv"

	ics "github.com/arran4/golang-ical"

	"rowen/quantity"
)

// WriteLedger writes the ledger of the three years as CSV, kg DM.
func WriteLedger(w io.Writer, p *Plan) error {
	c := csv.NewWriter(w)
	rows := [][]string{{"year", "weather_year", "half_month_from", "demand_kg", "grazed_kg", "stored_kg", "bought_forage_kg", "grain_protein_kg", "short_kg", "gap_kg", "harvested_kg", "left_standing_kg", "in_store_kg", "held_kg", "energy_ratio", "protein_ratio"}}
	kg := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	for _, o := range []struct {
		name string
		o    *Outcome
	}{{"middle", &p.Middle}, {"bad", &p.Bad}, {"worst", &p.Worst}} {
		for _, r := range o.o.Rows {
			rows = append(rows, []string{o.name, strconv.Itoa(o.o.Year), r.Name, kg(r.Demand), kg(r.Pasture), kg(r.Stored), kg(r.Bought), kg(r.Grain), kg(r.Short), kg(r.Gap), kg(r.Harvested), kg(r.Left), kg(r.Store), kg(r.Held),
				strconv.FormatFloat(r.Energy, 'f', 3, 64), strconv.FormatFloat(r.Protein, 'f', 3, 64)})
		}
	}
	return c.WriteAll(rows)
}

// WriteSeed writes the seed order as CSV.
func WriteSeed(w io.Writer, p *Plan, u quantity.System) error {
	c := csv.NewWriter(w)
	rows := [][]string{{"seed", "area", "rate", "order", "cost_" + p.Farm.Currency}}
	for _, s := range p.Seed {
		rows = append(rows, []string{s.Crop, area(s.Area, u), quantity.MassPerArea(s.Rate).RateIn(u), quantity.Mass(s.Mass).In(u), strconv.FormatFloat(s.Cost, 'f', 2, 64)})
	}
	return c.WriteAll(rows)
}

// WriteCalendar writes the calendar as iCalendar (RFC 5545), all-day events with
// an alarm the evening before. The stamp is the farm's own feed year, so that the
// same plan gives the same bytes.
func WriteCalendar(w io.Writer, p *Plan) error {
	cal := ics.NewCalendarFor("Rowen")
	cal.SetMethod(ics.MethodPublish)
	cal.SetName(p.Farm.Name + ": season")
	stamp, err := quantity.ParseDate(p.Farm.First)
	if err != nil {
		return err
	}
	for i, e := range p.Calendar {
		ev := cal.AddEvent(slug(p.Farm.Name) + "-" + e.Day + "-" + strconv.Itoa(i) + "@rowen")
		ev.SetDtStampTime(stamp.Time())
		ev.SetAllDayStartAt(e.Date.Time())
		ev.SetAllDayEndAt((e.Date + 1).Time())
		ev.SetSummary(e.Text)
		if e.More != "" {
			ev.SetDescription(e.More)
		}
		a := ev.AddAlarm()
		a.SetAction(ics.ActionDisplay)
		a.SetTrigger("-PT6H")
		a.SetProperty(ics.ComponentPropertyDescription, e.Text)
	}
	return cal.SerializeTo(w, ics.WithNewLine("\r\n"))
}
