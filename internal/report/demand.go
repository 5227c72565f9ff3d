package report

import (
	"fmt"
	"html/template"
	"strings"

	"rowen/farm"
	"rowen/quantity"
	"rowen/say"
	"rowen/season"
)

// Demand is what the groups of a farm need through the feed year.
type Demand struct {
	Names  []string // of the half-months
	Groups []GroupDemand
}

// GroupDemand is one group's need, kg of dry matter by half-month, and over the year.
type GroupDemand struct {
	Name string
	Rows []float64
	Year float64
}

// BuildDemand takes the need of each group from a year's run.
func BuildDemand(f *farm.Farm, y *season.YearResult) *Demand {
	d := &Demand{Names: rowNames(y)}
	for i := range y.Groups {
		g := GroupDemand{Name: f.Groups[i].Name}
		for h := range y.Groups[i].Ledger {
			v := y.Groups[i].Ledger[h].Demand
			g.Rows, g.Year = append(g.Rows, v), g.Year+v
		}
		d.Groups = append(d.Groups, g)
	}
	return d
}

// Year is the need of all groups, kg of dry matter.
func (d *Demand) Year() (sum float64) {
	for i := range d.Groups {
		sum += d.Groups[i].Year
	}
	return sum
}

// Chart draws the groups' needs on one another. A group is told by its place, its class
// (g0, g1, ...) and its name at the right-hand end.
func (d *Demand) Chart(u quantity.System, in say.Tongue) template.HTML {
	const wide, high, left, right, above, below = 800.0, 240.0, 34.0, 130.0, 8.0, 20.0
	top, plot := 1.0, high-above-below
	for h := range d.Names {
		sum := 0.0
		for i := range d.Groups {
			sum += d.Groups[i].Rows[h]
		}
		top = max(top, sum*1.05)
	}
	y := func(v float64) float64 { return above + plot*(1-v/top) }
	step := (wide - left - right) / float64(len(d.Names))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="demandchart" viewBox="0 0 %.0f %.0f" role="img" aria-label="%s">`, wide, high, label(in, "Need of dry matter by half-month: %s in the year", mass(d.Year(), u)))
	for i := range 3 {
		v := top / 1.05 * float64(i) / 2
		fmt.Fprintf(&b, `<path class="grid" d="M%.0f %.1fH%.0f"/><text class="axis end" x="%.0f" y="%.1f">%s</text>`, left, y(v), wide-right, left-4, y(v)+4, shortMass(v, u))
	}
	base := make([]float64, len(d.Names))
	lastLabel := high
	for i := range d.Groups {
		g := &d.Groups[i]
		fmt.Fprintf(&b, `<path class="layer g%d" d="`, i%6)
		for h, v := range g.Rows {
			if v > 0 {
				fmt.Fprintf(&b, "M%.1f %.1fh%.1fv%.1fh-%.1fz", left+step*float64(h)+1, y(base[h]), step-2, y(base[h]+v)-y(base[h]), step-2)
			}
			base[h] += v
		}
		b.WriteString(`"/>`)
		end := len(base) - 1
		at := min(lastLabel-15, y(base[end]-g.Rows[end]/2)+4)
		lastLabel = at
		fmt.Fprintf(&b, `<text class="label" x="%.0f" y="%.1f">%s</text>`, wide-right+8, at, template.HTMLEscapeString(clip(g.Name, 18)))
	}
	for h, name := range d.Names {
		fmt.Fprintf(&b, `<path class="hit" d="M%.1f %.0fh%.1fV%.0fh-%.1fz"><title>%s</title></path>`, left+step*float64(h), above, step, high-below, step, label(in, "%s: %s", name, mass(base[h], u)))
		if h%2 == 0 {
			_, month, _ := strings.Cut(name, " ")
			fmt.Fprintf(&b, `<text class="axis" x="%.1f" y="%.0f">%s</text>`, left+step*float64(h), high-5, label(in, "%s", month))
		}
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) //nolint:gosec // numbers and escaped names
}
