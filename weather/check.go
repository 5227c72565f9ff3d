package weather

import (
	"fmt"
	"math"

	"rowen/quantity"
	"rowen/say"
)

// check drops what no instrument can have read and looks for traps. What it
// does it notes.
func (s *Series) check() {
	s.dropImpossible()
	s.dropZeroRain()
	s.dropDryMonths()
	s.noticeMorning()
}

// Limits of what was ever measured at the earth's surface, rounded outwards
// (World Meteorological Organization, Weather and Climate Extremes Archive; from
// memory), and of a plausible daily wind and radiation.
const (
	hottest, coldest = 58, -90
	wettest          = 1900 // mm
	windiest         = 60   // m/s
	brightest        = 45   // MJ/m²
)

// dropImpossible makes values outside any record, and days whose minimum lies
// above their maximum, missing.
func (s *Series) dropImpossible() {
	var beyond, crossed span
	bad := func(v *float64, low, high float64, at quantity.Date) {
		if !math.IsNaN(*v) && !(*v >= low && *v <= high) {
			*v = math.NaN()
			beyond.add(at)
		}
	}
	for i := range s.Days {
		d, at := &s.Days[i], s.First+quantity.Date(i)
		bad(&d.TMax, coldest, hottest, at)
		bad(&d.TMin, coldest, hottest, at)
		bad(&d.Rain, 0, wettest, at)
		bad(&d.Solar, 0, brightest, at)
		bad(&d.Vapour, 0, 6, at)
		bad(&d.Wind, 0, windiest, at)
		if d.TMin > d.TMax {
			d.TMin, d.TMax = math.NaN(), math.NaN()
			crossed.add(at)
		}
	}
	s.notice(beyond, "range", "%d values outside anything ever measured were dropped")
	s.notice(crossed, "crossed", "%d days whose minimum lies above their maximum lost both temperatures")
}

// dropZeroRain finds records in which missing rain was stored as nothing: rain
// is never missing, yet nearly always nothing where both temperatures are.
func (s *Series) dropZeroRain() {
	var noTemps, zero, missingRain, wet, days int
	for i := range s.Days {
		d := &s.Days[i]
		days++
		if math.IsNaN(d.Rain) {
			missingRain++
			continue
		}
		if d.Rain > 0 {
			wet++
		}
		if math.IsNaN(d.TMin) && math.IsNaN(d.TMax) {
			noTemps++
			if d.Rain == 0 {
				zero++
			}
		}
	}
	// By chance a day without temperatures is dry as often as any other.
	dry := 1 - float64(wet)/float64(max(days-missingRain, 1))
	if noTemps < 5 || float64(zero) < float64(noTemps)*(dry+(1-dry)*0.6) {
		return
	}
	var dropped span
	for i := range s.Days {
		d := &s.Days[i]
		if d.Rain == 0 && math.IsNaN(d.TMin) && math.IsNaN(d.TMax) {
			d.Rain = math.NaN()
			dropped.add(s.First + quantity.Date(i))
		}
	}
	s.notice(dropped, "missing-rain", "%d days without temperatures say no rain: missing rain was stored as 0, so they were taken as missing")
}

// dropDryMonths finds calendar months without a drop at a station where such a
// month does not happen.
func (s *Series) dropDryMonths() {
	var sum float64
	var n int
	for i := range s.Days {
		if r := s.Days[i].Rain; !math.IsNaN(r) {
			sum, n = sum+r, n+1
		}
	}
	if n < 365 || sum/float64(n) < 1.5 { // a dry climate has dry months
		return
	}
	var dropped span
	for i := 0; i < len(s.Days); {
		from := i
		_, month, _ := (s.First + quantity.Date(i)).Civil()
		var rain float64
		known := 0
		for ; i < len(s.Days); i++ {
			if _, m, _ := (s.First + quantity.Date(i)).Civil(); m != month {
				break
			}
			if r := s.Days[i].Rain; !math.IsNaN(r) {
				rain, known = rain+r, known+1
			}
		}
		if known < 25 || rain > 0 {
			continue
		}
		for j := from; j < i; j++ {
			s.Days[j].Rain = math.NaN()
			dropped.add(s.First + quantity.Date(j))
		}
	}
	s.notice(dropped, "dry-month", "%d days lie in whole months without a drop at a rainy station: taken as missing")
}

// noticeMorning warns where the observer seems to have read in the morning.
func (s *Series) noticeMorning() {
	follow, lead, n := s.ObservationHabit()
	if n < 1500 || follow-lead >= 0.05 {
		return
	}
	s.Notices = append(s.Notices, Notice{Kind: "observation-day", Text: say.That(
		"maximum and rain may stand on the date after, as morning observers write them (changes of the minimum follow the maximum's with %.2f, lead with %.2f); the record alone cannot tell it year by year: give a neighbouring station that reads at midnight, and those years are moved back a day",
		follow, lead)})
}

// ObservationHabit looks whether maxima stand on the day they happened. Nights
// follow days: in a record by the calendar day the change of the maximum goes
// with the change of the minimum that comes after it (follow), and hardly with
// the one before (lead). A morning observer writes yesterday's maximum beside
// this morning's minimum, which blurs the two. Over six stations whose habit a
// neighbour tells, follow less lead was 0.08 to 0.30 by the calendar day and
// -0.06 to 0.02 in the morning; n is the pairs of days used.
func (s *Series) ObservationHabit() (follow, lead float64, n int) {
	var f, l pairs
	for k := 1; k+1 < len(s.Days); k++ {
		a, b, c := &s.Days[k-1], &s.Days[k], &s.Days[k+1]
		f.add(b.TMax-a.TMax, c.TMin-b.TMin)
		l.add(c.TMax-b.TMax, b.TMin-a.TMin)
	}
	return f.correlation(), l.correlation(), min(f.n, l.n)
}

// MoveBack puts maximum and rain on the day they happened in those years whose
// maxima, moved back a day, go better with a neighbour's that is known to read
// at midnight. It gives the years moved and notes them.
func (s *Series) MoveBack(neighbour *Series) []int {
	var years []int
	last := (s.First + quantity.Date(len(s.Days)-1)).Year()
	for year := s.First.Year(); year <= last; year++ {
		written, moved, n := s.against(neighbour, year)
		if n > 60 && moved > written {
			years = append(years, year)
		}
	}
	for _, year := range years {
		from, to := quantity.NewDate(year, 1, 1), quantity.NewDate(year, 12, 31)
		for d := max(from, s.First); d <= to && int(d-s.First)+1 < len(s.Days); d++ {
			here, next := &s.Days[d-s.First], &s.Days[d-s.First+1]
			here.TMax, here.Rain = next.TMax, next.Rain
			// The morning's minimum was still falling when it was read: the day
			// keeps what the pair can agree on.
			if here.TMin > here.TMax {
				here.TMin = here.TMax
			}
		}
	}
	if len(years) > 0 {
		// The last day's own maximum stood on a date beyond the record.
		s.Days = s.Days[:len(s.Days)-1]
		s.Notices = append(s.Notices, Notice{Kind: "moved-back", Text: say.That(
			"in %d years (%s) maximum and rain were moved back a day: so moved they go with %s, as written they do not",
			len(years), Runs(years), neighbour.Station.Name)})
	}
	return years
}

// against gives the correlation of the maximum's day-to-day changes with a
// neighbour's, as written and moved back a day.
func (s *Series) against(neighbour *Series, year int) (written, moved float64, n int) {
	var w, m pairs
	for d := quantity.NewDate(year, 1, 2); d <= quantity.NewDate(year, 12, 30); d++ {
		i, j := int(d-s.First), int(d-neighbour.First)
		if i < 1 || i+1 >= len(s.Days) || j < 1 || j >= len(neighbour.Days) {
			continue
		}
		other := neighbour.Days[j].TMax - neighbour.Days[j-1].TMax
		w.add(s.Days[i].TMax-s.Days[i-1].TMax, other)
		m.add(s.Days[i+1].TMax-s.Days[i].TMax, other)
	}
	return w.correlation(), m.correlation(), w.n
}

// pairs gathers a correlation, leaving out what is missing.
type pairs struct {
	n                   int
	x, y, xx, yy, xySum float64
}

func (p *pairs) add(x, y float64) {
	if math.IsNaN(x + y) {
		return
	}
	p.n++
	p.x, p.y, p.xx, p.yy, p.xySum = p.x+x, p.y+y, p.xx+x*x, p.yy+y*y, p.xySum+x*y
}

func (p *pairs) correlation() float64 {
	n := float64(p.n)
	v := (n*p.xx - p.x*p.x) * (n*p.yy - p.y*p.y)
	if p.n < 3 || v <= 0 {
		return 0
	}
	return (n*p.xySum - p.x*p.y) / math.Sqrt(v)
}

// span counts days and remembers the first and the last.
type span struct {
	n        int
	from, to quantity.Date
}

func (p *span) add(d quantity.Date) {
	if p.n == 0 {
		p.from = d
	}
	p.n, p.to = p.n+1, d
}

func (s *Series) notice(p span, kind, pattern string) {
	if p.n > 0 {
		s.Notices = append(s.Notices, Notice{From: p.from, To: p.to, Kind: kind, Text: say.That(pattern, p.n)})
	}
}

// Runs writes years as runs: 2000-2004, 2007.
func Runs(years []int) string {
	out := ""
	for i := 0; i < len(years); {
		j := i
		for j+1 < len(years) && years[j+1] == years[j]+1 {
			j++
		}
		if out != "" {
			out += ", "
		}
		if j > i {
			out += fmt.Sprintf("%d-%d", years[i], years[j])
		} else {
			out += fmt.Sprint(years[i])
		}
		i = j + 1
	}
	return out
}
