// Package validation holds the stand model against published trials: it reads the
// cases that come with the program, runs each on the weather of the nearest
// station, and scores observed against simulated in the open, misses included. It
// knows stands and weather, and how a season is read from them; it may not know farms.
package validation

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rowen/crop"
	"rowen/quantity"
	"rowen/stand"
	"rowen/weather"
)

// Case is one published observation and how to simulate it.
type Case struct {
	Name, Class, Crop, Use, Station string
	First, Last                     int // harvest years; 0 takes every year of the station
	Sown                            string
	Cuts                            []string
	Height, Stage, Residual         float64 // in, stage, in; 0 takes the catalogue's rule
	Nitrogen                        []float64
	Soil                            string
	Age                             float64
	Site                            bool // place, years and management are near the station's; otherwise climate alike or pooled
	Measure, Against                string
	Value, Low, High                float64
	Unit                            string
	Reading, Source, Note           string
}

// Result is a case simulated.
type Result struct {
	Case
	Simulated float64 // mean over the years, in the case's unit
	P10, P90  float64 // span of years widened by the model's own error
	Years     int
	OK        bool
	Why       string // why not simulated
}

// Stations gives the prepared feed years of a station, nil where it is not here.
type Stations func(id string) []weather.Year

// modelError is the standard deviation of the logarithm of yield that the model
// itself is off by, apart from the years: the spread of site cases in
// docs/validation.md (fitted).
const modelError = 0.24

// Run simulates every case.
func Run(c *crop.Catalogue, stations Stations, cases []Case) []Result {
	var out []Result
	for i := range cases {
		out = append(out, runCase(c, stations, &cases[i]))
	}
	return out
}

func runCase(c *crop.Catalogue, stations Stations, k *Case) Result {
	r := Result{Case: *k}
	years := stations(k.Station)
	if len(years) == 0 {
		r.Why = "no weather of " + k.Station
		return r
	}
	values, err := simulate(c, years, k)
	if err != nil {
		r.Why = err.Error()
		return r
	}
	if k.Against != "" {
		other := *k
		if err := other.change(k.Against); err != nil {
			r.Why = err.Error()
			return r
		}
		base, err := simulate(c, years, &other)
		if err != nil {
			r.Why = err.Error()
			return r
		}
		a, b := mean(values), mean(base)
		r.Years = len(values)
		if k.Measure == "gain" {
			r.Simulated = (a - b) * unitOf(k.Unit)
		} else {
			r.Simulated = a / b
		}
		r.OK = r.Years > 0 && !math.IsNaN(r.Simulated) && !math.IsInf(r.Simulated, 0)
		return r
	}
	if k.Measure == "dry" {
		r.Simulated, r.Years = dryOverWet(years, values), len(values)
		r.OK = r.Simulated > 0
		return r
	}
	kept := values[:0:0]
	for _, v := range values {
		if !math.IsNaN(v) {
			kept = append(kept, v*unitOf(k.Unit))
		}
	}
	if r.Years = len(kept); r.Years == 0 {
		r.Why = "never used in these years"
		return r
	}
	r.Simulated = mean(kept)
	r.P10, r.P90 = span(kept, strings.HasPrefix(k.Measure, "yield") || k.Measure == "cut1" || k.Measure == "last")
	r.OK = true
	return r
}

// span is the 80 % range of a case: the years' spread and the model's error.
func span(x []float64, yield bool) (low, high float64) {
	m, v := mean(x), 0.0
	if !yield || m <= 0 {
		return math.NaN(), math.NaN()
	}
	for _, a := range x {
		d := math.Log(max(a, 0.05*m) / m)
		v += d * d
	}
	if len(x) > 1 {
		v /= float64(len(x) - 1)
	}
	s := 1.2816 * math.Sqrt(v+modelError*modelError)
	return m * math.Exp(-s), m * math.Exp(s)
}

// unitOf is how much of a unit is one g/m²; 1 where the measure is no yield.
func unitOf(unit string) float64 {
	switch unit {
	case "t/ac":
		return quantity.MassPerArea(0.001).TonsPerAcre()
	case "Mg/ha":
		return 0.01
	case "kg/ha":
		return 10
	case "lb/ac":
		return 2000 * quantity.MassPerArea(0.001).TonsPerAcre()
	}
	return 1
}

// change applies the other side of a contrast: "nitrogen=0|residual=3".
func (k *Case) change(text string) error {
	for _, part := range strings.Split(text, "|") {
		key, value, _ := strings.Cut(part, "=")
		number := func() float64 { v, _ := strconv.ParseFloat(value, 64); return v }
		switch key {
		case "nitrogen":
			k.Nitrogen = numbers(value)
		case "residual":
			k.Residual = number()
		case "height":
			k.Height = number()
		case "stage":
			k.Stage = number()
		case "age":
			k.Age = number()
		case "sown":
			k.Sown = value
		case "cuts":
			k.Cuts = strings.Split(value, ";")
		case "crop":
			k.Crop = value
		case "use":
			k.Use = value
		default:
			return fmt.Errorf("against: no such thing as %q", key)
		}
	}
	return nil
}

// simulate runs a case's stand through its years and measures each; a year without
// a use is NaN where a use is asked, 0 where a yield is.
func simulate(c *crop.Catalogue, years []weather.Year, k *Case) ([]float64, error) {
	mix, ok := c.Mix(k.Crop)
	if !ok {
		return nil, fmt.Errorf("no crop %s", k.Crop)
	}
	use, err := crop.ParseUse(k.Use)
	if err != nil {
		return nil, err
	}
	rule := &mix.Uses[use]
	if k.Height > 0 {
		rule.Ready, rule.ReadyAt = quantity.Length(k.Height)*quantity.Inch, 0
	}
	if k.Stage > 0 {
		rule.ReadyAt, rule.Ready = k.Stage, 0
	}
	soil, err := stand.ParseSoil(k.Soil)
	if err != nil {
		return nil, err
	}
	st, err := stand.Compile(mix, soil)
	if err != nil {
		return nil, err
	}
	var out []float64
	for i := range years {
		y := &years[i]
		if k.First > 0 && (int(y.ID) < k.First || int(y.ID) > k.Last) {
			continue
		}
		var before *weather.Year
		if i > 0 && years[i-1].First+quantity.Date(len(years[i-1].Days)) == y.First {
			before = &years[i-1]
		}
		out = append(out, simulateYear(st, &mix, use, y, before, k))
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("none of the years %d-%d is whole at %s", k.First, k.Last, k.Station)
	}
	return out, nil
}

func simulateYear(st *stand.Stand, mix *crop.Mix, use crop.Use, y, before *weather.Year, k *Case) float64 {
	f := stand.NewForcing(y)
	day := func(text string) (quantity.MonthDay, int) {
		d, err := quantity.ParseDate("2001-" + text)
		if err != nil {
			return quantity.MonthDay{}, -1
		}
		_, m, n := d.Civil()
		md := quantity.MonthDay{Month: m, Day: n}
		return md, int(md.OnOrAfter(y.First) - y.First)
	}
	var on *quantity.MonthDay
	if k.Sown != "" {
		md, _ := day(k.Sown)
		on = &md
	}
	sched := stand.Schedule{Use: use, Residual: k.Residual * 2.54, Age: k.Age, Seedbed: stand.Seedbed{Misfortune: 0.5}}
	sched.Sow, sched.Before = st.SowingDay(mix, f, y, before, on)
	if sched.Sow == stand.Unsown {
		return math.NaN()
	}
	for _, t := range k.Cuts {
		_, d := day(t)
		sched.Cuts = append(sched.Cuts, d)
	}
	for _, n := range k.Nitrogen {
		sched.Nitrogen = append(sched.Nitrogen, n*1.12085)
	}
	m := meter{measure: k.Measure, sow: sched.Sow, first: y.First, forcing: f}
	m.uses = st.Alone(st.Climate(f), mix, sched, m.day)
	return m.value()
}

func mean(x []float64) float64 {
	s, n := 0.0, 0
	for _, v := range x {
		if !math.IsNaN(v) {
			s, n = s+v, n+1
		}
	}
	return s / float64(n)
}
