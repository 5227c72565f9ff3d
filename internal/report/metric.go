package report

import (
	"fmt"
	"regexp"
	"strconv"

	"rowen/quantity"
)

// The rules of hazards are printed as their sources print them, in inches, degrees
// Fahrenheit and pounds an acre. These are the forms that occur.
var (
	inInches     = regexp.MustCompile(`(\d+)(?: to (\d+))? in([:,;.]| for | tall|$)`)
	inFahrenheit = regexp.MustCompile(`(\d+)(?: to (\d+))? °F`)
	inPounds     = regexp.MustCompile(`(\d+)(?: to (\d+))? lb N/ac`)
)

// ruled is a rule's text in the reader's units: what its source prints stands behind the
// metric figure, since the rule is drawn at the printed one.
func ruled(text string, u quantity.System) string {
	if u != quantity.Metric {
		return text
	}
	text = turned(text, inInches, "cm", " in", func(v float64) float64 { return v * 2.54 })
	text = turned(text, inFahrenheit, "°C", " °F", func(v float64) float64 { return (v - 32) / 1.8 })
	return turned(text, inPounds, "kg N/ha", " lb N/ac", func(v float64) float64 {
		return (quantity.MassPerArea(v) * quantity.PoundPerAcre).KilogramsPerHectare()
	})
}

// turned writes every figure of a form in another unit, with the printed one behind it.
func turned(text string, form *regexp.Regexp, unit, was string, to func(float64) float64) string {
	return form.ReplaceAllStringFunc(text, func(found string) string {
		m := form.FindStringSubmatch(found)
		low, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			return found
		}
		metric, printed := fmt.Sprintf("%.0f", to(low)), m[1]
		if m[2] != "" {
			high, err := strconv.ParseFloat(m[2], 64)
			if err != nil {
				return found
			}
			metric, printed = fmt.Sprintf("%s to %.0f", metric, to(high)), m[1]+" to "+m[2]
		}
		end := ""
		if len(m) > 3 {
			end = m[3]
		}
		return fmt.Sprintf("%s %s (%s%s)%s", metric, unit, printed, was, end)
	})
}
