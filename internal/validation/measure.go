package validation

import (
	"math"
	"sort"
	"strconv"
	"strings"

	"rowen/quantity"
	"rowen/stand"
	"rowen/weather"
)

// meter watches a stand through a year and tells what a trial measured.
type meter struct {
	measure    string
	sow        int
	first      quantity.Date // of the feed year
	forcing    *stand.Forcing
	uses       []stand.Used
	early, all float64 // growth of 20 April to 20 June, and to 20 October
	months     [13]float64
}

func (m *meter) day(day int, _ *stand.State, d *stand.Day) {
	if _, month, _ := (m.first + dateOf(day)).Civil(); month >= 4 && month <= 10 {
		m.months[month] += d.Growth
		m.months[0] += d.Growth
	}
	switch n := m.forcing.Day(day).YearDay; {
	case n >= 110 && n <= 171:
		m.early += d.Growth
		m.all += d.Growth
	case n > 171 && n <= 293:
		m.all += d.Growth
	}
}

// value is the measure of the year: yields in g/m², days, or per cent.
func (m *meter) value() float64 {
	total := 0.0
	for _, u := range m.uses {
		total += u.Herbage.DM
	}
	switch m.measure {
	case "yield", "ratio", "gain", "dry":
		return total
	case "uses":
		return float64(len(m.uses))
	case "early":
		return 100 * m.early / m.all
	}
	if month, ok := strings.CutPrefix(m.measure, "month"); ok {
		n, _ := strconv.Atoi(month)
		return 100 * m.months[n] / m.months[0]
	}
	if len(m.uses) == 0 {
		return math.NaN()
	}
	first, last := &m.uses[0], &m.uses[len(m.uses)-1]
	switch m.measure {
	case "cut1":
		return first.Herbage.DM
	case "last":
		return last.Herbage.DM
	case "first":
		return float64(first.Day - m.sow)
	case "date":
		return float64(m.forcing.Day(first.Day).YearDay)
	case "height":
		return first.Height / 2.54
	case "share1":
		return 100 * first.Herbage.DM / total
	case "rest":
		return m.rest(0, 366)
	case "restmay":
		return m.rest(121, 161)
	case "restsummer":
		return m.rest(190, 245)
	case "ndf1":
		return first.Herbage.Analysis.NDF
	}
	return m.quality(total)
}

// rest is the mean days between uses of those that end between two days of the
// year.
func (m *meter) rest(from, to int) float64 {
	s, n := 0.0, 0.0
	for _, u := range m.uses[1:] {
		if d := m.forcing.Day(u.Day).YearDay; d >= from && d <= to {
			s, n = s+float64(u.Rest), n+1
		}
	}
	return s / n
}

// quality is the mean analysis of all uses, weighed by dry matter.
func (m *meter) quality(total float64) float64 {
	s := 0.0
	for i := range m.uses {
		h := &m.uses[i].Herbage
		a := &h.Analysis
		v := math.NaN()
		switch m.measure {
		case "cp":
			v = a.CP
		case "ndf":
			v = a.NDF
		case "ndfd48":
			v = a.NDFD
		case "starch":
			v = a.Starch
		case "moisture":
			v = 100 * (1 - h.DMShare)
		}
		s += v * h.DM
	}
	return s / total
}

// dryOverWet is the mean yield of the three driest summers, 15 May to 31 August,
// over that of the wetter half.
func dryOverWet(years []weather.Year, yields []float64) float64 {
	type pair struct{ rain, yield float64 }
	var all []pair
	for i := range years {
		if i >= len(yields) || math.IsNaN(yields[i]) {
			continue
		}
		rain := 0.0
		for d := range years[i].Days {
			if n := (years[i].First + dateOf(d)).YearDay(); n >= 135 && n <= 243 {
				rain += years[i].Days[d].Rain
			}
		}
		all = append(all, pair{rain, yields[i]})
	}
	if len(all) < 8 {
		return math.NaN()
	}
	sort.Slice(all, func(a, b int) bool { return all[a].rain < all[b].rain })
	var dry, wet float64
	half := all[len(all)/2:]
	for _, p := range all[:3] {
		dry += p.yield / 3
	}
	for _, p := range half {
		wet += p.yield / float64(len(half))
	}
	return dry / wet
}
