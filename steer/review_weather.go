package steer

import (
	"math"
	"slices"

	"rowen/quantity"
	"rowen/weather"
)

// Ranked is what of a year's weather is held against the other years.
type Ranked uint8

// What is ranked.
const (
	RainYear    Ranked = iota // mm since the feed year began
	RainGrowth                // mm since 1 April
	Warmth                    // mean temperature since 1 April, °C
	SpringFrost               // last night at or below freezing before July, a day of the feed year
	AutumnFrost               // first after July
)

// YearRank is one figure of the year among the same days of the other years.
type YearRank struct {
	What  Ranked
	Value float64
	Usual float64       // middle of the other years
	On    quantity.Date // of a frost
	Known bool          // false where the days looked at do not tell, or no year has it
	Rank  int           // 1 the least (driest, coolest, earliest)
	Of    int           // years ranked, this one among them
}

// The days on which growth is taken to begin, and spring and autumn to part.
var (
	growthFrom = quantity.MonthDay{Month: 4, Day: 1}
	midsummer  = quantity.MonthDay{Month: 7, Day: 1}
)

// weather ranks the year as far as it is known against the same days of the others.
func (v *Review) weather(r *Request) {
	for what := RainYear; what <= AutumnFrost; what++ {
		x, known := YearRank{What: what}, r.Known
		if what >= SpringFrost {
			known = 366 // the other years' frosts are all known
		}
		here, ok := v.figure(what, &r.Years[0], r.Known)
		var others []float64
		for j := 1; j < len(r.Years); j++ {
			if there, ok := v.figure(what, &r.Years[j], known); ok {
				others = append(others, there)
			}
		}
		if ok && len(others) > 0 {
			x.Known, x.Value, x.Usual, x.Rank, x.Of = true, here, spreadOf(others).Middle, 1, 1+len(others)
			for _, o := range others {
				if o < here {
					x.Rank++
				}
			}
			if what >= SpringFrost {
				x.On = v.First + quantity.Date(here)
			}
		}
		v.Weather = append(v.Weather, x)
	}
}

// figure is one figure of a year's days up to a day of the feed year; ok is false
// where those days do not tell it. Days count from each year's own first.
func (v *Review) figure(what Ranked, y *weather.Year, known int) (value float64, ok bool) {
	growth, turn := int(growthFrom.OnOrAfter(y.First)-y.First), int(midsummer.OnOrAfter(y.First)-y.First)
	days := y.Days[:min(known+1, len(y.Days))]
	switch what {
	case RainYear:
		return rainOf(days), len(days) > 0
	case RainGrowth:
		return rainOf(days[min(growth, len(days)):]), len(days) > growth
	case Warmth:
		sum, n := 0.0, 0
		for d := growth; d < len(days); d++ {
			sum += (days[d].TMin + days[d].TMax) / 2
			n++
		}
		return sum / math.Max(1, float64(n)), n > 0
	case SpringFrost:
		// The frosts before the feed year's midsummer, once that has come.
		if len(days) <= turn {
			return 0, false
		}
		for d := turn - 1; d >= 0; d-- {
			if days[d].TMin <= 0 {
				return float64(d), true
			}
		}
	case AutumnFrost:
		at := -1
		if turn < len(days) {
			at = slices.IndexFunc(days[turn:], func(d weather.Day) bool { return d.TMin <= 0 })
		}
		return float64(turn + at), at >= 0
	}
	return 0, false
}

func rainOf(days []weather.Day) (mm float64) {
	for i := range days {
		mm += days[i].Rain
	}
	return mm
}

// dry tells whether the growing season so far is among the driest fifth.
func (v *Review) dry() (x YearRank, ok bool) {
	x = v.Weather[RainGrowth]
	return x, x.Known && x.Of >= 10 && 5*x.Rank <= x.Of
}
