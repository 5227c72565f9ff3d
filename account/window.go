package account

import (
	"rowen/farm"
	"rowen/quantity"
)

// Window is a sowing's window in the year of a date, and what the soil says.
type Window struct {
	Sowing        int
	Opens, Closes quantity.Date
	Open          bool // on the date
	Watched       bool // open, or opening within two weeks
	Fixed         bool // the plan names a day; the soil is not asked
	Celsius       float64
	Days          int  // so long the soil must hold it
	Held          Held // since two weeks before it opens; nothing before
}

// patience is how long a sowing with a fixed day waits for ground that carries a
// drill, days, as the season runs it.
const patience = 21

// soilLead is how long before a window opens the soil is already watched, days.
const soilLead = 14

// WindowOf is a sowing's window around a date: the plan's own days, else the
// catalogue's, carried to the year of the date. The soil is watched from two weeks
// before the window opens.
func WindowOf(f *farm.Farm, w *Weeks, s int, on quantity.Date) Window {
	sow := &f.Plan.Sowings[s]
	rule := &sow.Mix.Parts[0].Crop.Sowing
	out := Window{Sowing: s, Fixed: sow.On != 0, Celsius: float64(rule.SoilTemperature), Days: rule.HoldDays}
	opens, closes := rule.Earliest, rule.Latest
	switch {
	case sow.On != 0:
		opens, closes = sow.On.MonthDay(), (sow.On + patience).MonthDay()
	case sow.From != 0:
		opens = sow.From.MonthDay()
	}
	if sow.By != 0 {
		closes = sow.By.MonthDay()
	}
	// The last opening before the date, unless the next comes sooner.
	out.Opens = opens.In(on.Year())
	if back := opens.In(on.Year() - 1); out.Opens > on && closes.OnOrAfter(back) >= on {
		out.Opens = back
	}
	out.Closes = closes.OnOrAfter(out.Opens)
	delay := quantity.Date(sow.Delay)
	out.Opens, out.Closes = out.Opens+delay, out.Closes+delay
	out.Open = on >= out.Opens && on <= out.Closes
	if from := out.Opens - soilLead; on >= from && on <= out.Closes {
		out.Watched = true
		out.Held = w.Held(from, on, out.Celsius, out.Days)
	}
	return out
}
