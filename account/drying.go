package account

import (
	"math"

	"rowen/handbook/conserve"
	"rowen/handbook/evapo"
	"rowen/handbook/growth"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/weather"
)

// Cutting is what the coming ten days gave to dry a cut in, in the other years.
type Cutting struct {
	Rainless  [4]Share // years with at least 1, 2, 3 and 4 rainless days in a row
	Wrap, Hay Hours
}

// Hours is the time in a drying swath, hours of the day's drying time, over the
// years that had a rainless day: median, 10 and 90 %.
type Hours struct {
	Usual, Low, High float64
	Years            int
}

// cuttingDays is how far ahead a cut is looked at.
const cuttingDays = 10

// What a cut is dried from and to, as the season dries it.
const (
	rainlessDay  = 1.0  // mm at most on a day called dry
	freshCut     = 0.80 // moisture as mown, wet basis (Rotz & Chen's fit begins there)
	wrapMoisture = 0.55 // middle of the range for wrapped bales, wet basis
	usualSwath   = 450  // g DM/m², 2 ton/ac (common practice)
	drySoil      = 15   // % of dry soil under the swath
	dryingHours  = 9    // a day, from when the dew is off (common practice)
	daySun       = 1.2  // insolation of those hours over the whole day's mean
)

func (w *Weeks) cutting(on quantity.Date) Cutting {
	var out Cutting
	var wrap, hay []float64
	known := func(d *weather.Day) bool { return !math.IsNaN(d.TMin + d.TMax + d.Rain + d.Solar) }
	_, hayMoisture := conserve.Moisture(conserve.LargeBaleHay)
	w.others(on, func(d quantity.Date) {
		days := w.coming(d, cuttingDays, known)
		if days == nil {
			return
		}
		longest := longestDry(days)
		for k := range out.Rainless {
			out.Rainless[k].add(longest > k)
		}
		if sun, deficit, ok := w.dryAir(days, d+1); ok {
			wrap = append(wrap, hoursTo(wrapMoisture, sun, deficit))
			hay = append(hay, hoursTo(hayMoisture, sun, deficit))
		}
	})
	out.Wrap, out.Hay = hoursOver(wrap), hoursOver(hay)
	return out
}

func longestDry(days []weather.Day) (longest int) {
	run := 0
	for k := range days {
		if run++; days[k].Rain > rainlessDay {
			run = 0
		}
		longest = max(longest, run)
	}
	return longest
}

// dryAir is the sun, W/m² of the drying hours, and the vapour pressure deficit,
// kPa, of the mean rainless day; not ok where every day was wet.
func (w *Weeks) dryAir(days []weather.Day, first quantity.Date) (sun, deficit float64, ok bool) {
	n := 0.0
	for k := range days {
		d := &days[k]
		if d.Rain > rainlessDay {
			continue
		}
		n++
		daylight := evapo.Daylight(w.series.Station.Latitude, (first + quantity.Date(k)).YearDay())
		sun += daySun * d.Solar * 1e6 / (daylight * 3600)
		deficit += max(0.2, growth.DaytimeDeficit(evapo.SaturationPressure(d.TMax), evapo.SaturationPressure(d.TMin)))
	}
	return sun / max(n, 1), deficit / max(n, 1), n > 0
}

// hoursTo is how long a usual swath lies in drying hours until it is down to a
// moisture, wet basis, by Rotz & Chen's equation: the mowing day, then the others.
func hoursTo(moisture, sun, deficit float64) float64 {
	mown := conserve.DryingRate(sun, deficit, drySoil, usualSwath, 1)
	if h := conserve.HoursToReach(freshCut, moisture, mown); h <= dryingHours {
		return h
	}
	left := conserve.WetBasis(conserve.MoistureAfter(conserve.DryBasis(freshCut), mown, dryingHours))
	return dryingHours + conserve.HoursToReach(left, moisture, conserve.DryingRate(sun, deficit, drySoil, usualSwath, 0))
}

func hoursOver(x []float64) Hours {
	return Hours{Usual: stats.Percentile(x, 0.5), Low: stats.Percentile(x, 0.1), High: stats.Percentile(x, 0.9), Years: len(x)}
}
