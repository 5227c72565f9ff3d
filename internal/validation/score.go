package validation

import (
	"math"
	"sort"
	"strings"
)

// Grade is how one result stands.
type Grade uint8

// The grades.
const (
	Unscored Grade = iota
	Hit
	Miss
)

// kind sorts measures by how they are scored.
func (r *Result) kind() string {
	if strings.HasPrefix(r.Measure, "month") {
		return "share"
	}
	switch r.Measure {
	case "yield", "cut1", "last":
		return "yield"
	case "first", "date", "rest", "restmay", "restsummer":
		return "date"
	case "share1", "early":
		return "share"
	case "ratio", "gain", "dry":
		return "response"
	case "height", "uses":
		return "other"
	}
	return "quality"
}

// Grade scores a result by what it measures: yields of a site within a quarter,
// wider ones within a factor 0.6 to 1.67; dates within 7 days; shares within 8
// points; responses of the right sign and within a factor 2; quality inside the
// printed range, or a tenth where none is printed; all inside a printed range of
// dates and shares too.
func (r *Result) Grade() Grade {
	if !r.OK {
		return Unscored
	}
	good := false
	inside := r.High > 0 && r.Simulated >= r.Low && r.Simulated <= r.High
	switch r.kind() {
	case "yield":
		q := r.Simulated / r.Value
		good = q >= 0.6 && q <= 1.67
		if r.Site {
			good = q >= 0.75 && q <= 1.25
		}
	case "date":
		good = inside || math.Abs(r.Simulated-r.Value) <= 7
	case "share":
		good = inside || math.Abs(r.Simulated-r.Value) <= 8
	case "response":
		good = inside || responseRight(r)
	default:
		good = inside || math.Abs(r.Simulated/r.Value-1) <= 0.10
	}
	if good {
		return Hit
	}
	return Miss
}

// responseRight asks a response for its sign and size within a factor 2; where
// none was found, for less than a fifth.
func responseRight(r *Result) bool {
	if r.Measure == "gain" {
		q := r.Simulated / r.Value
		return q >= 0.5 && q <= 2
	}
	seen, made := math.Log(r.Value), math.Log(r.Simulated)
	if math.Abs(seen) < 0.1 {
		return math.Abs(made) < 0.2
	}
	q := made / seen
	return q >= 0.5 && q <= 2
}

// Score is a line of the summary.
type Score struct {
	What      string
	Hits, Of  int
	Want      float64 // least share of hits
	Bias      float64 // median log of simulated over observed; NaN where not asked
	BiasBound float64
}

// Met tells whether the line reaches what was asked.
func (s Score) Met() bool {
	if s.Of > 0 && float64(s.Hits) < s.Want*float64(s.Of) {
		return false
	}
	return math.IsNaN(s.Bias) || math.Abs(s.Bias) <= s.BiasBound
}

// Scores sums the results up.
func Scores(results []Result) []Score {
	count := func(what string, want float64, in func(*Result) bool) Score {
		s := Score{What: what, Want: want, Bias: math.NaN()}
		for i := range results {
			if r := &results[i]; r.OK && in(r) {
				s.Of++
				if r.Grade() == Hit {
					s.Hits++
				}
			}
		}
		return s
	}
	kind := func(k string) func(*Result) bool { return func(r *Result) bool { return r.kind() == k } }
	out := []Score{
		count("yields of sites within 25 %", 0.60, func(r *Result) bool { return r.kind() == "yield" && r.Site }),
		count("wider yields within a factor 0.6-1.67", 0.75, func(r *Result) bool { return r.kind() == "yield" && !r.Site }),
		count("first use, stage and rest within 7 days or the printed range", 0.70, kind("date")),
		count("seasonal shares within 8 points", 0.70, kind("share")),
		count("responses of the right sign, within a factor 2", 0.70, kind("response")),
		count("quality in the printed range or within 10 %", 0.70, kind("quality")),
		count("heights and numbers of uses", 0.70, kind("other")),
	}
	out = append(out, coverage(results))
	out = append(out, bias(results, "", 0.15))
	for _, c := range classes(results) {
		out = append(out, bias(results, c, 0.30))
	}
	return out
}

func coverage(results []Result) Score {
	s := Score{What: "yields inside their 80 % range (65-92 % wanted)", Want: 0.65, Bias: math.NaN()}
	for i := range results {
		r := &results[i]
		if r.OK && r.kind() == "yield" {
			s.Of++
			if r.Value >= r.P10 && r.Value <= r.P90 {
				s.Hits++
			}
		}
	}
	return s
}

func classes(results []Result) (out []string) {
	seen := map[string]bool{}
	for i := range results {
		if c := results[i].Class; !seen[c] {
			seen[c] = true
			out = append(out, c)
		}
	}
	sort.Strings(out)
	return out
}

func bias(results []Result, class string, bound float64) Score {
	var logs []float64
	for i := range results {
		r := &results[i]
		if r.OK && r.kind() == "yield" && (class == "" || r.Class == class) && r.Simulated > 0 {
			logs = append(logs, math.Log(r.Simulated/r.Value))
		}
	}
	name := "median log bias of yield, " + class
	if class == "" {
		name = "median log bias of yield, all"
	}
	return Score{What: name, Bias: median(logs), BiasBound: bound, Want: 0}
}

func median(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	s := append([]float64(nil), x...)
	sort.Float64s(s)
	if n := len(s); n%2 == 0 {
		return (s[n/2-1] + s[n/2]) / 2
	}
	return s[len(s)/2]
}

// Ranks is Spearman's rank correlation of the mean yield of species, observed and
// simulated, and how many species it speaks of.
func Ranks(results []Result) (rho float64, species int) {
	seen, made := map[string][]float64{}, map[string][]float64{}
	var names []string
	for i := range results {
		r := &results[i]
		if !r.OK || r.Measure != "yield" {
			continue
		}
		name := strings.TrimSuffix(r.Crop, "-bmr")
		if len(seen[name]) == 0 {
			names = append(names, name)
		}
		u := unitOf(r.Unit)
		seen[name] = append(seen[name], r.Value/u)
		made[name] = append(made[name], r.Simulated/u)
	}
	var a, b []float64
	for _, n := range names {
		a, b = append(a, median(seen[n])), append(b, median(made[n]))
	}
	return spearman(a, b), len(names)
}

func spearman(a, b []float64) float64 {
	ra, rb := ranks(a), ranks(b)
	n := float64(len(a))
	if n < 3 {
		return math.NaN()
	}
	m := (n + 1) / 2
	var xy, xx, yy float64
	for i := range ra {
		xy += (ra[i] - m) * (rb[i] - m)
		xx += (ra[i] - m) * (ra[i] - m)
		yy += (rb[i] - m) * (rb[i] - m)
	}
	return xy / math.Sqrt(xx*yy)
}

// ranks are the ranks of values, ties sharing theirs.
func ranks(x []float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		below, same := 0.0, 0.0
		for j := range x {
			if x[j] < x[i] {
				below++
			} else if x[j] == x[i] {
				same++
			}
		}
		out[i] = below + (same+1)/2
	}
	return out
}
