package report

import (
	"fmt"
	"html/template"
	"strings"

	"rowen/quantity"
	"rowen/say"
)

// Outcomes are the plan's three years, in the order in which they are shown.
func (p *Plan) Outcomes() []*Outcome { return []*Outcome{&p.Middle, &p.Bad, &p.Worst} }

// Top is the largest half-month of feed in any of the three years: one scale for all,
// so that they can be held against each other by eye.
func (p *Plan) Top() float64 {
	top := 1.0
	for _, o := range p.Outcomes() {
		for i := range o.Rows {
			r := &o.Rows[i]
			top = max(top, r.Demand, r.Pasture+r.Stored+r.Grain+r.Bought+r.Short)
		}
	}
	return top
}

// YearChart draws what is fed in a year against demand, for a page with a style sheet
// of its own: colours are the page's, by class; what is bought and what is short are
// hatched too, so that colour is never alone. The page holds Hatches once.
func YearChart(o *Outcome, top float64, u quantity.System, in say.Tongue) template.HTML {
	const wide, high, left, above, below = 400.0, 190.0, 34.0, 8.0, 20.0
	plot := high - above - below
	top *= 1.05
	y := func(v float64) float64 { return above + plot*(1-v/top) }
	step := (wide - left - 2) / float64(len(o.Rows))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="yearchart" viewBox="0 0 %.0f %.0f" role="img" aria-label="%s">`, wide, high, label(in, "Weather year %d: feed eaten against need by half-month; %s short or bought", o.Year, mass(o.Gap, u)))
	for i := range 3 {
		v := top / 1.05 * float64(i) / 2
		fmt.Fprintf(&b, `<path class="grid" d="M%.0f %.1fH%.0f"/><text class="axis end" x="%.0f" y="%.1f">%s</text>`, left, y(v), wide, left-4, y(v)+4, shortMass(v, u))
	}
	base := make([]float64, len(o.Rows))
	for _, l := range yearLayers {
		var d strings.Builder
		for i := range o.Rows {
			v := l.of(&o.Rows[i])
			if v <= 0 {
				continue
			}
			fmt.Fprintf(&d, "M%.1f %.1fh%.1fv%.1fh-%.1fz", left+step*float64(i)+1, y(base[i]), step-2, y(base[i]+v)-y(base[i]), step-2)
			base[i] += v
		}
		if d.Len() > 0 {
			fmt.Fprintf(&b, `<path class="layer %s" d="%s"/>`, l.class, d.String())
			if l.hatch != "" {
				fmt.Fprintf(&b, `<path fill="url(#%s)" d="%s"/>`, l.hatch, d.String())
			}
		}
	}
	fmt.Fprintf(&b, `<path class="need" d="M%.1f %.1f`, left, y(o.Rows[0].Demand))
	for i := range o.Rows {
		fmt.Fprintf(&b, "V%.1fh%.1f", y(o.Rows[i].Demand), step)
	}
	b.WriteString(`"/>`)
	for i := range o.Rows {
		r := &o.Rows[i]
		fmt.Fprintf(&b, `<path class="hit" d="M%.1f %.0fh%.1fV%.0fh-%.1fz"><title>%s</title></path>`,
			left+step*float64(i), above, step, high-below, step, label(in, "%s: need %s; grazed %s, from store %s, grain %s, bought %s, short %s", r.Name, mass(r.Demand, u), mass(r.Pasture, u), mass(r.Stored, u), mass(r.Grain, u), mass(r.Bought, u), mass(r.Short, u)))
		if i%4 == 0 {
			_, month, _ := strings.Cut(r.Name, " ")
			fmt.Fprintf(&b, `<text class="axis" x="%.1f" y="%.0f">%s</text>`, left+step*float64(i), high-5, label(in, "%s", month))
		}
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) //nolint:gosec // numbers and our own words
}

// label is a text of a drawing, in a language.
func label(in say.Tongue, pattern string, args ...any) string {
	return template.HTMLEscapeString(say.That(pattern, args...).In(in))
}

// yearLayers are the layers of a year's chart from the ground up.
//
//say:words
var yearLayers = []struct {
	class, name, hatch string
	of                 func(*Row) float64
}{
	{"l-graze", "grazed", "", func(r *Row) float64 { return r.Pasture }},
	{"l-store", "from store", "", func(r *Row) float64 { return r.Stored }},
	{"l-grain", "grain, protein", "", func(r *Row) float64 { return r.Grain }},
	{"l-bought", "bought forage", "hatch-bought", func(r *Row) float64 { return r.Bought }},
	{"l-short", "short", "hatch-short", func(r *Row) float64 { return r.Short }},
}

// Hatches are the patterns that YearChart names; a page holds them once.
const Hatches = template.HTML(`<svg class="defs" width="0" height="0" aria-hidden="true"><defs><pattern id="hatch-bought" width="4" height="4" patternUnits="userSpaceOnUse"><path class="hatch" d="M0 4L4 0"/></pattern><pattern id="hatch-short" width="4" height="4" patternUnits="userSpaceOnUse"><path class="hatch" d="M0 0L4 4M0 4L4 0"/></pattern></defs></svg>`)
