package weather

import (
	"math"
	"time"

	"rowen/handbook/stats"
	"rowen/quantity"
)

// Freeze thresholds, °C: 36, 32, 28 and 24 °F.
//
// Source: National Weather Service, frost and freeze definitions; University of
// Nebraska 2024 for 24 °F as killing.
var FreezeThresholds = []float64{2.2, 0, HardFreeze, -4.4}

// FreezeDates is the distribution of one kind of freeze date, in two parts: the
// share of years that had one at all, and a normal distribution of the date
// among those.
//
// Source: NOAA, freeze/frost probability description (read); Thom & Shaw 1958,
// Monthly Weather Review 86 (from memory).
type FreezeDates struct {
	Threshold float64 // °C
	Years     int     // complete seasons looked at
	With      int     // seasons with such a freeze
	Mean, SD  float64 // day of the year
}

// Share is the share of years that had a freeze at the threshold.
func (f FreezeDates) Share() float64 {
	if f.Years == 0 {
		return math.NaN()
	}
	return float64(f.With) / float64(f.Years)
}

// Before is the probability of a freeze on or before a day of the year.
func (f FreezeDates) Before(yearDay float64) float64 {
	if f.SD == 0 {
		return math.NaN()
	}
	return f.Share() * stats.Normal((yearDay-f.Mean)/f.SD)
}

// Day is the day of the year by which the freeze has come with probability p;
// NaN where so many years never had one.
func (f FreezeDates) Day(p float64) float64 {
	q := f.Share()
	if f.With < 3 || p >= q {
		return math.NaN()
	}
	return f.Mean + stats.Quantile(p/q)*f.SD
}

// Freezes gives the last freeze of spring and the first of autumn at a
// threshold in °C. Seasons with more than ten missing minima are left out.
func (s *Series) Freezes(threshold float64) (spring, autumn FreezeDates) {
	season := func(from, to time.Month, last bool) FreezeDates {
		f := FreezeDates{Threshold: threshold}
		var dates []float64
		end := s.First + quantity.Date(len(s.Days))
		for year := s.First.Year(); year <= end.Year(); year++ {
			a, b := quantity.NewDate(year, from, 1), quantity.NewDate(year, to+1, 1)
			if a < s.First || b > end {
				continue
			}
			missing, found := 0, -1
			for d := a; d < b; d++ {
				switch t := s.Days[d-s.First].TMin; {
				case math.IsNaN(t):
					missing++
				case t <= threshold && (last || found < 0):
					found = d.YearDay()
				}
			}
			if missing > 10 {
				continue
			}
			f.Years++
			if found > 0 {
				f.With++
				dates = append(dates, float64(found))
			}
		}
		f.Mean, f.SD = stats.MeanSD(dates)
		return f
	}
	return season(time.January, time.July, true), season(time.August, time.December, false)
}
