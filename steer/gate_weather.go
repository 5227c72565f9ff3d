package steer

import (
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/weather"
)

// droughtShare is the share of members short of water from which a stand counts as
// drought-stressed: on the safe side of the middle.
const droughtShare = 0.25

// tonight is the lowest temperature of the coming night: a forecast's, else the
// coldest of the other years' nights within three days of it, which no night here is
// likely to pass.
func (r *Request) tonight() (quantity.Temperature, bool) {
	at := int(r.Today - r.Years[0].First + 1)
	if k := at - r.Known - 1; k >= 0 && k < len(r.Forecast) {
		return quantity.Temperature(r.Forecast[k].TMin), true
	}
	coldest := quantity.Temperature(60)
	for j := 1; j < len(r.Years); j++ {
		for d := max(0, at-3); d <= at+3 && d < len(r.Years[j].Days); d++ {
			coldest = min(coldest, quantity.Temperature(r.Years[j].Days[d].TMin))
		}
	}
	return coldest, false
}

// dull tells whether the last week had less than 60 % of the light that the other
// years have then.
func dull(sky *Sky) bool {
	var here, there float64
	for d := max(0, sky.Today-6); d <= sky.Today; d++ {
		here += sky.Forcing.Day(d).Solar
	}
	n := 0
	for _, y := range sky.Years {
		// Those share the days so far; a fortnight on they are their own.
		for d := sky.Today + 1; d <= sky.Today+14 && d < y.Days(); d++ {
			there += y.Day(d).Solar
			n++
		}
	}
	return n > 0 && here/float64(min(7, sky.Today+1)) < 0.6*there/float64(n)
}

// killingFrost is the days to the day by which half of the futures have had 28 °F.
func (s *Sky) killingFrost() int {
	var days []float64
	for _, y := range s.Years {
		for d := s.Today + 1; d < y.Days(); d++ {
			if f := y.Day(d); f.YearDay > 200 && f.TMin <= -2.2 {
				days = append(days, float64(d-s.Today))
				break
			}
		}
	}
	if 2*len(days) < len(s.Years) {
		return 365
	}
	return int(spreadOf(days).Middle)
}

// frostDays is the days since the last frost, by the station and by whoever saw one.
func (g *gated) frostDays(f *Field) int {
	days := f.Now.Frost
	if days < hazard.Never {
		days += g.gap()
	}
	if f.History.Frost != 0 {
		days = min(days, int(g.r.Today-f.History.Frost))
	}
	return days
}

// gap is the days since the last weather.
func (g *gated) gap() int { return int(g.r.Today-g.r.Years[0].First) - g.r.Known }

// since is the days since a date, Never without one.
func (g *gated) since(d quantity.Date) int {
	if d == 0 {
		return hazard.Never
	}
	return int(g.r.Today - d)
}

// filledWithin is for how many days a missing day of weather leaves frost or rain open:
// the longest of the waits.
const filledWithin = 35

// filled tells which of the last weeks' weather was missing and made up.
func (g *gated) filled() (frost, rain bool) {
	y := &g.r.Years[0]
	for d := max(0, g.r.Known-filledWithin); d <= g.r.Known; d++ {
		frost = frost || y.Days[d].Marks&weather.TMinFilled != 0
		rain = rain || y.Days[d].Marks&weather.RainFilled != 0
	}
	return frost, rain
}

// weathered fills in what weather and eyes tell, where the weather is known to
// yesterday at least.
func (g *gated) weathered(f *Field, facts *hazard.PrussicSteerFacts) {
	facts.Frost, facts.Watch, facts.Rain = g.frostDays(f), hazard.Never, hazard.Never
	if f.Now.Watch < hazard.Never {
		facts.Watch = f.Now.Watch + g.gap()
	}
	if f.Now.Relief < hazard.Never {
		facts.Rain = f.Now.Relief + g.gap()
	}
	facts.Rain = min(facts.Rain, g.since(f.History.Relief))
	facts.Stressed = f.History.Drought || f.Now.Drought >= droughtShare
	facts.Watch = min(facts.Watch, g.since(f.History.Watch))
	if g.gap() > 1 {
		return
	}
	noFrost, noRain := g.filled()
	if !noFrost || !g.frostPossible() {
		facts.Known |= hazard.KnowFrost
	}
	facts.Known |= hazard.KnowDrought
	if !noRain {
		facts.Known |= hazard.KnowRain
	}
}

// frostPossible tells whether any of the years at hand had a frost in the weeks that
// count: in July a missing reading hides none.
func (g *gated) frostPossible() bool {
	for j := 1; j < len(g.r.Years); j++ {
		for d := max(0, g.r.Known-filledWithin); d <= g.r.Known && d < len(g.r.Years[j].Days); d++ {
			if g.r.Years[j].Days[d].TMin <= hazard.FrostOpens {
				return true
			}
		}
	}
	return false
}
