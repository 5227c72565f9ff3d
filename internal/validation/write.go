package validation

import (
	_ "embed" // the page's own words
	"fmt"
	"io"
	"math"
	"strings"
)

// head is what stands before the tables: how to read them, and what was fitted to
// what.
//
//go:embed head.md
var head string

// Write writes the page docs/validation.md: what it is held against, scores, and
// every case, misses included. Bytes depend on nothing but the results.
func Write(w io.Writer, hourly []Measured, twins []TwinRow, results []Result) error {
	b := &strings.Builder{}
	b.WriteString(head)
	writeHourly(b, hourly)
	writeTwins(b, twins)
	b.WriteString("\n## Stands\n\n")
	writeScores(b, results)
	kinds := []struct{ kind, title string }{
		{"yield", "Yields"}, {"date", "First use, stage and rest"}, {"share", "Seasonal shares"},
		{"response", "Responses"}, {"quality", "Quality"}, {"other", "Heights and uses"},
	}
	for _, k := range kinds {
		fmt.Fprintf(b, "\n### %s\n\n| case | stand, use | grade | published (range) | simulated (80 %%) | | source |\n|---|---|---|---|---|---|---|\n", k.title)
		for i := range results {
			if r := &results[i]; r.kind() == k.kind {
				writeRow(b, r)
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// writeHourly tables estimates against an hourly station.
func writeHourly(b *strings.Builder, hourly []Measured) {
	if len(hourly) == 0 {
		return
	}
	fmt.Fprint(b, "\nEstimates against hourly measurement near Ithaca (US Climate Reference Network, April to October):\n\n| estimate | days | mean | measured | root mean square error | r |\n|---|---|---|---|---|---|\n")
	for _, m := range hourly {
		fmt.Fprintf(b, "| %s, %s | %d | %.2f | %.2f | %.2f | %.2f |\n", m.What, m.Unit, m.Days, zero(m.Estimated), zero(m.Actual), m.RMSE, m.R)
	}
}

func writeScores(b *strings.Builder, results []Result) {
	fmt.Fprint(b, "| score | got | wanted | |\n|---|---|---|---|\n")
	for _, s := range Scores(results) {
		verdict := "met"
		if !s.Met() {
			verdict = "**missed**"
		}
		switch {
		case !math.IsNaN(s.Bias):
			fmt.Fprintf(b, "| %s | %+.2f | within ±%.2f | %s |\n", s.What, s.Bias, s.BiasBound, verdict)
		case s.Of > 0:
			fmt.Fprintf(b, "| %s | %d of %d, %.0f %% | %.0f %% | %s |\n", s.What, s.Hits, s.Of, 100*float64(s.Hits)/float64(s.Of), 100*s.Want, verdict)
		}
	}
	rho, n := Ranks(results)
	verdict := "met"
	if !(rho >= 0.6) {
		verdict = "**missed**"
	}
	fmt.Fprintf(b, "| species ranked by yield, Spearman, %d species | %.2f | 0.60 | %s |\n", n, rho, verdict)
}

func writeRow(b *strings.Builder, r *Result) {
	grade := "wide"
	if r.Site {
		grade = "site"
	}
	published := figure(r.Value) + " " + r.Unit
	if r.High != 0 {
		published += fmt.Sprintf(" (%s-%s)", figure(r.Low), figure(r.High))
	}
	if r.Unit == "ratio" {
		published = strings.Replace(published, " ratio", "", 1)
	}
	simulated, mark := "-", r.Why
	if r.OK {
		simulated = figure(r.Simulated)
		if !math.IsNaN(r.P10) && r.P90 > 0 {
			simulated += fmt.Sprintf(" (%s-%s)", figure(r.P10), figure(r.P90))
		}
		mark = "hit"
		if r.Grade() == Miss {
			mark = "**miss**"
		}
	}
	source := r.Source
	if r.Reading != "read" {
		source += " [" + r.Reading + "]"
	}
	if r.Note != "" {
		source += "; " + r.Note
	}
	what := r.Measure
	if r.Against != "" {
		what += ": against " + strings.ReplaceAll(r.Against, "|", ", ")
	}
	fmt.Fprintf(b, "| %s | %s, %s; %s | %s | %s | %s | %s | %s |\n", r.Name, r.Crop, r.Use, what, grade, published, simulated, mark, source)
}

// figure prints a number with the digits it deserves.
func figure(v float64) string {
	switch a := math.Abs(v); {
	case a >= 1000:
		return fmt.Sprintf("%.0f", math.Round(v/10)*10)
	case a >= 20:
		return fmt.Sprintf("%.0f", v)
	case a >= 3:
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.2f", v)
}

// zero is a number without the sign of one that rounds to nothing.
func zero(v float64) float64 {
	if math.Abs(v) < 0.005 {
		return 0
	}
	return v
}
