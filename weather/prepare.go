package weather

import (
	"fmt"
	"math"

	"rowen/handbook/evapo"
	"rowen/quantity"
	"rowen/say"
)

// longestFill is the longest gap, in days, that is filled; a longer one makes
// its year unusable.
const longestFill = 5

// Prepare fills short gaps and estimates radiation, humidity and wind where they
// were not measured, by FAO-56's rules, marking every value it made. What it
// could not fill stays missing, and FeedYears leaves those years out.
func (s *Series) Prepare() {
	s.fill()
	var solar, vapour, wind int
	for i := range s.Days {
		d := &s.Days[i]
		if math.IsNaN(d.TMin + d.TMax) {
			continue
		}
		if math.IsNaN(d.Solar) {
			ra := evapo.ExtraterrestrialRadiation(s.Station.Latitude, (s.First + quantity.Date(i)).YearDay())
			d.Solar = evapo.SolarFromTemperature(s.kRs(d.Rain), d.TMin, d.TMax, ra)
			d.Marks |= SolarEstimated
			solar++
		}
		if math.IsNaN(d.Vapour) {
			// Humid summers run a little above e°(Tmin): 1.1 measured near
			// Ithaca, New York, from April to October.
			d.Vapour = min(1.1*evapo.VapourFromMinimum(d.TMin), 0.95*evapo.MeanSaturationPressure(d.TMin, d.TMax))
			d.Marks |= VapourEstimated
			vapour++
		}
		if math.IsNaN(d.Wind) {
			d.Wind = assumedWind
			d.Marks |= WindAssumed
			wind++
		}
	}
	s.made(solar, "solar", "radiation of %d days was estimated from the day's range of temperature (FAO-56 eq 50, kRs %.3f on a dry day, %.3f on a wet one)", s.kRs(0), s.kRs(10))
	s.made(vapour, "vapour", "humidity of %d days was estimated from the minimum (FAO-56 eq 48 × 1.1, at most 95 %%)")
	s.made(wind, "wind", "wind of %d days was taken as %.1f m/s at 2 m", assumedWind)
}

// kRs is the radiation coefficient for a day with so much rain, mm.
func (s *Series) kRs(rain float64) float64 {
	switch {
	case s.Station.Coastal:
		return evapo.KRsCoastal
	case rain > 1:
		return evapo.KRsWet
	case rain <= 1:
		return evapo.KRsDry
	}
	return evapo.KRsHumid // rain unknown
}

// assumedWind is the wind at 2 m where none was measured, m/s: sheltered inland
// farm land (FAO-56 takes 2 m/s for the world; 1.5 is common practice here).
const assumedWind = 1.5

func (s *Series) made(n int, kind, pattern string, args ...any) {
	if n > 0 {
		s.Notices = append(s.Notices, Notice{Kind: kind, Text: say.That(pattern, append([]any{n}, args...)...)})
	}
}

// fill closes gaps of up to longestFill days: temperatures by a straight line
// between their neighbours, rain by the usual rain of that time of year.
//
//say:words
func (s *Series) fill() {
	usual := s.usualRain()
	for _, c := range []struct {
		get  func(*Day) *float64
		mark Mark
		kind string
		how  string
	}{
		{func(d *Day) *float64 { return &d.TMax }, TMaxFilled, "filled", "%d missing maxima were filled by a straight line between their neighbours"},
		{func(d *Day) *float64 { return &d.TMin }, TMinFilled, "filled", "%d missing minima were filled by a straight line between their neighbours"},
		{func(d *Day) *float64 { return &d.Rain }, RainFilled, "filled", "%d missing rain amounts were filled with the usual rain of that time of year"},
	} {
		filled := 0
		for i := 0; i < len(s.Days); i++ {
			if !math.IsNaN(*c.get(&s.Days[i])) {
				continue
			}
			j := i
			for j < len(s.Days) && math.IsNaN(*c.get(&s.Days[j])) {
				j++
			}
			if n := j - i; n <= longestFill && i > 0 && j < len(s.Days) {
				a, b := *c.get(&s.Days[i-1]), *c.get(&s.Days[j])
				for k := i; k < j; k++ {
					v := a + (b-a)*float64(k-i+1)/float64(n+1)
					if c.mark == RainFilled {
						v = usual[(s.First + quantity.Date(k)).HalfMonth()]
					}
					*c.get(&s.Days[k]) = v
					s.Days[k].Marks |= c.mark
					filled++
				}
			} else {
				s.gap(i, j, c.mark)
			}
			i = j - 1
		}
		s.made(filled, c.kind, c.how)
	}
	for i := range s.Days {
		if d := &s.Days[i]; d.TMin > d.TMax {
			d.TMin = d.TMax // a filled value may cross a measured one
		}
	}
}

// gap notes what stays missing.
//
//say:words
func (s *Series) gap(from, to int, mark Mark) {
	what := map[Mark]string{TMaxFilled: "maximum", TMinFilled: "minimum", RainFilled: "rain"}[mark]
	s.Notices = append(s.Notices, Notice{
		From: s.First + quantity.Date(from), To: s.First + quantity.Date(to-1), Kind: "gap",
		Text: say.That("%s is missing on %d days from %s to %s: too long to fill", what, to-from, s.First+quantity.Date(from), s.First+quantity.Date(to-1)),
	})
}

// usualRain is the mean daily rain by half-month of the calendar year, mm.
func (s *Series) usualRain() (mean [24]float64) {
	var n [24]float64
	for i := range s.Days {
		if r := s.Days[i].Rain; !math.IsNaN(r) {
			h := (s.First + quantity.Date(i)).HalfMonth()
			mean[h] += r
			n[h]++
		}
	}
	for h := range mean {
		mean[h] /= max(n[h], 1)
	}
	return mean
}

// FeedYears cuts a prepared record into feed years that begin at a day of the
// year, the latest count of them (0: all), oldest first; and tells which could
// not be used, and why.
func (s *Series) FeedYears(start quantity.MonthDay, count int) (years []Year, skipped []Skipped) {
	end := s.First + quantity.Date(len(s.Days))
	for first := start.OnOrAfter(s.First); ; {
		next := start.In(first.Year() + 1)
		if next > end {
			break
		}
		id := YearID((next - 1).Year())
		from, to := int(first-s.First), int(next-s.First)
		if reason := unusable(s.Days[from:to], first); reason != "" {
			skipped = append(skipped, Skipped{ID: id, Reason: reason})
		} else {
			before := s.Days[max(0, from-366):from]
			for i := len(before) - 1; i >= 0; i-- {
				if math.IsNaN(before[i].TMin + before[i].TMax + before[i].Rain) {
					before = before[i+1:]
					break
				}
			}
			years = append(years, Year{ID: id, Station: &s.Station, First: first, Before: before, Days: s.Days[from:to]})
		}
		first = next
	}
	if count > 0 && len(years) > count {
		years = years[len(years)-count:]
	}
	return years, skipped
}

// unusable tells why a year cannot be used; empty if it can.
func unusable(days []Day, first quantity.Date) string {
	var gaps span
	for i := range days {
		if math.IsNaN(days[i].TMin + days[i].TMax + days[i].Rain) {
			gaps.add(first + quantity.Date(i))
		}
	}
	if gaps.n == 0 {
		return ""
	}
	return fmt.Sprintf("%d days without temperature or rain between %v and %v, too many together to fill", gaps.n, gaps.from, gaps.to)
}
