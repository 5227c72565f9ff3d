package report

import (
	"regexp"
	"strconv"
	"strings"

	"rowen/quantity"
	"rowen/say"
)

// The rules of hazards are printed as their sources print them, in inches, degrees
// Fahrenheit, pounds an acre and, of rain and soil water, millimetres. This is the form in which a measure occurs in them.
var inRules = regexp.MustCompile(`(\d+)(?: to (\d+))? (?:(in)([:,;.]| for | tall|$)|(°F)|(lb N/ac)|(mm)\b)`)

// Ruled is a rule's text with its measures in the reader's units: what its source prints
// stands behind a figure that was turned, since the rule is drawn at the printed one. A measure
// is an argument of the line, so that a language keeps one text for all units.
func Ruled(text string, u quantity.System) say.Line {
	var pattern strings.Builder
	var args []any
	at := 0
	for _, m := range inRules.FindAllStringSubmatchIndex(text, -1) {
		group := func(i int) string {
			if m[2*i] < 0 {
				return ""
			}
			return text[m[2*i]:m[2*i+1]]
		}
		pattern.WriteString(escaped(text[at:m[0]]) + "%s" + escaped(group(4)))
		at = m[1]
		args = append(args, measured(group(1), group(2), group(3)+group(5)+group(6)+group(7), u))
	}
	pattern.WriteString(escaped(text[at:]))
	return say.That(pattern.String(), args...)
}

func escaped(text string) string { return strings.ReplaceAll(text, "%", "%%") }

// measured is a printed measure, from low to high where it has both, in the reader's
// units.
func measured(low, high, unit string, u quantity.System) say.Line {
	printed := say.That("%s %s", span(low, high), unit)
	if (u == quantity.Metric) == (unit == "mm") {
		return printed
	}
	to, own := func(v float64) float64 { return v * 2.54 }, "cm"
	switch unit {
	case "mm":
		to, own = func(v float64) float64 { return v / 25.4 }, "in"
	case "°F":
		to, own = func(v float64) float64 { return (v - 32) / 1.8 }, "°C"
	case "lb N/ac":
		to, own = func(v float64) float64 {
			return (quantity.MassPerArea(v) * quantity.PoundPerAcre).KilogramsPerHectare()
		}, "kg N/ha"
	}
	return say.That("%s %s (%s)", span(turned(low, to), turned(high, to)), own, printed)
}

func span(low, high string) say.Line {
	if high == "" {
		return say.Name(low)
	}
	return say.That("%s to %s", low, high)
}

func turned(figure string, to func(float64) float64) string {
	v, err := strconv.ParseFloat(figure, 64)
	if err != nil {
		return ""
	}
	if v = to(v); v < 1 { // a few millimetres, in inches
		return quantity.Digits(v, 1)
	}
	return strconv.FormatFloat(v, 'f', 0, 64)
}

// allRuled are several rules' texts.
func allRuled(texts []string, u quantity.System) (out []say.Line) {
	for _, t := range texts {
		out = append(out, Ruled(t, u))
	}
	return out
}
