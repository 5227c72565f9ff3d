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
	const wide, high = 400.0, 202.0
	plot := yearPlot{left: 34, above: 20, high: high - 40, step: (wide - 36) / float64(len(o.Rows)), top: top * 1.05}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="yearchart" viewBox="0 0 %.0f %.0f" role="img" aria-label="%s">`, wide, high, label(in, "Weather year %d: feed eaten against need by half-month; %s short or bought", o.Year, mass(o.Gap, u)))
	unit := "t"
	if u == quantity.US {
		unit = "ton"
	}
	fmt.Fprintf(&b, `<text class="axis unit" x="0" y="11">%s</text>`, label(in, "%s of dry matter in half a month", unit))
	for i := range 3 {
		v := top * float64(i) / 2
		fmt.Fprintf(&b, `<path class="grid" d="M%.0f %.1fH%.0f"/><text class="axis end" x="%.0f" y="%.1f">%s</text>`, plot.left, plot.y(v), wide, plot.left-4, plot.y(v)+4, shortMass(v, u))
	}
	plot.draw(&b, o)
	for i := range o.Rows {
		r := &o.Rows[i]
		fmt.Fprintf(&b, `<path class="hit" d="M%.1f %.0fh%.1fv%.0fh-%.1fz"><title>%s</title></path>`,
			plot.left+plot.step*float64(i), plot.above, plot.step, plot.high, plot.step, label(in, "%s: need %s; grazed %s, from store %s, grain %s, bought %s, short %s", r.Name, mass(r.Demand, u), mass(r.Pasture, u), mass(r.Stored, u), mass(r.Grain, u), mass(r.Bought, u), mass(r.Short, u)))
		if i%4 == 0 {
			_, month, _ := strings.Cut(r.Name, " ")
			fmt.Fprintf(&b, `<text class="axis" x="%.1f" y="%.0f">%s</text>`, plot.left+plot.step*float64(i), high-5, label(in, "%s", month))
		}
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) //nolint:gosec // numbers and our own words
}

// YearStrip is the same low and without a word, for a page that says them elsewhere: it
// is seen from the corner of the eye while a plan is worked on.
func YearStrip(o *Outcome, top float64) template.HTML {
	var b strings.Builder
	b.WriteString(`<svg class="yearstrip" viewBox="0 0 240 44" preserveAspectRatio="none">`)
	plot := yearPlot{high: 44, step: 240 / float64(len(o.Rows)), top: top * 1.05}
	plot.draw(&b, o)
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) //nolint:gosec // numbers alone
}

// yearPlot is the space in which a year is drawn: its corner, its height, the width of a
// half-month, all in the drawing's own units, and the feed at its top, kg.
type yearPlot struct{ left, above, high, step, top float64 }

func (p yearPlot) y(v float64) float64 { return p.above + p.high*(1-v/p.top) }

// draw draws what is fed, layer on layer, and the need over it.
func (p yearPlot) draw(b *strings.Builder, o *Outcome) {
	base := make([]float64, len(o.Rows))
	for _, l := range yearLayers {
		var d strings.Builder
		for i := range o.Rows {
			v := l.of(&o.Rows[i])
			if v <= 0 {
				continue
			}
			fmt.Fprintf(&d, "M%.1f %.1fh%.1fv%.1fh-%.1fz", p.left+p.step*float64(i)+1, p.y(base[i]), p.step-2, p.y(base[i]+v)-p.y(base[i]), p.step-2)
			base[i] += v
		}
		if d.Len() > 0 {
			fmt.Fprintf(b, `<path class="layer %s" d="%s"/>`, l.class, d.String())
			if l.hatch != "" {
				fmt.Fprintf(b, `<path fill="url(#%s)" d="%s"/>`, l.hatch, d.String())
			}
		}
	}
	fmt.Fprintf(b, `<path class="need" d="M%.1f %.1f`, p.left, p.y(o.Rows[0].Demand))
	for i := range o.Rows {
		fmt.Fprintf(b, "V%.1fh%.1f", p.y(o.Rows[i].Demand), p.step)
	}
	b.WriteString(`"/>`)
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
