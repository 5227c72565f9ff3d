package report

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"rowen/quantity"
)

// chart is the size of a supply chart, in SVG units.
const (
	chartWide, chartHigh        = 720.0, 250.0
	chartLeft, chartTop, footer = 44.0, 12.0, 30.0
)

// layers are what is stacked, from the ground up, with colours that also differ
// in grey.
var layers = []struct {
	name, colour string
	of           func(*Row) float64
}{
	{"grazed", "#5d8a4a", func(r *Row) float64 { return r.Pasture }},
	{"from store", "#c2a15a", func(r *Row) float64 { return r.Stored }},
	{"grain, protein", "#e8dcc0", func(r *Row) float64 { return r.Grain }},
	{"bought forage", "#9a5a46", func(r *Row) float64 { return r.Bought }},
	{"short", "#2f2a28", func(r *Row) float64 { return r.Short }},
}

// SupplyChart draws what was fed in a year against demand; with bands, the spread
// of home-grown feed over all years is drawn as bars of its range.
func SupplyChart(o *Outcome, bands []Band, u quantity.System) template.HTML {
	top := 1.0
	for i := range o.Rows {
		top = max(top, o.Rows[i].Demand)
	}
	for _, b := range bands {
		top = max(top, b.High)
	}
	top *= 1.06
	plotHigh := chartHigh - chartTop - footer
	y := func(v float64) float64 { return chartTop + plotHigh*(1-v/top) }
	step := (chartWide - chartLeft - 6) / float64(len(o.Rows))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %.0f %.0f" role="img" aria-label="Feed eaten against demand by half-month, weather year %d">`, chartWide, chartHigh, o.Year)
	for i := range 5 {
		v := top / 1.06 * float64(i) / 4
		fmt.Fprintf(&b, `<line x1="%.1f" x2="%.1f" y1="%.1f" y2="%.1f" stroke="#ddd6c8" stroke-width="1"/><text x="%.1f" y="%.1f" font-size="11" text-anchor="end" fill="#5b5348">%s</text>`,
			chartLeft, chartWide-6, y(v), y(v), chartLeft-5, y(v)+4, shortMass(v, u))
	}
	for i := range o.Rows {
		r := &o.Rows[i]
		x := chartLeft + step*float64(i)
		base := 0.0
		for _, l := range layers {
			v := l.of(r)
			if v <= 0 {
				continue
			}
			fmt.Fprintf(&b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="%s"><title>%s, %s: %s</title></rect>`,
				x+1.5, y(base+v), step-3, y(base)-y(base+v), l.colour, r.Name, l.name, mass(v, u))
			base += v
		}
		fmt.Fprintf(&b, `<line x1="%.1f" x2="%.1f" y1="%.1f" y2="%.1f" stroke="#1f1b18" stroke-width="2"/>`, x, x+step, y(r.Demand), y(r.Demand))
		if len(bands) == len(o.Rows) {
			band := bands[i]
			fmt.Fprintf(&b, `<line x1="%.1f" x2="%.1f" y1="%.1f" y2="%.1f" stroke="#1f1b18" stroke-width="1" stroke-dasharray="2 2"><title>home-grown, one year in ten below %s, one above %s</title></line>`,
				x+step/2, x+step/2, y(band.Low), y(band.High), mass(band.Low, u), mass(band.High, u))
		}
		if i%2 == 0 {
			fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" font-size="11" fill="#5b5348">%s</text>`, x, chartHigh-12, r.Name)
		}
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) //nolint:gosec // made of numbers and our own names
}

func shortMass(kg float64, u quantity.System) string {
	v := kg / 1000
	if u == quantity.US {
		v = quantity.Mass(kg).Tons()
	}
	return quantity.Grouped(v, 0)
}

// Legend is the key of the supply charts.
func Legend() template.HTML {
	var b strings.Builder
	for _, l := range layers {
		fmt.Fprintf(&b, `<span class="key"><i style="background:%s"></i>%s</span> `, l.colour, l.name)
	}
	b.WriteString(`<span class="key"><i class="line"></i>what the animals need</span> <span class="key"><i class="dots"></i>home-grown, 1 year in 10 below to 1 in 10 above (never to be summed)</span>`)
	return template.HTML(b.String()) //nolint:gosec // our own words
}

// SeasonChart draws the fields' season: a row a field, darker where more was
// taken, grazed apart from mown.
func SeasonChart(o *Outcome) template.HTML {
	const left, rowHigh, head = 150.0, 24.0, 20.0
	step := (chartWide - left - 6) / float64(len(o.Rows))
	high := head + rowHigh*float64(len(o.Fields)) + 6
	most := 1e-9
	for _, f := range o.Fields {
		for _, v := range f.ByRow {
			most = max(most, v/f.Area)
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %.0f %.0f" role="img" aria-label="What was taken from each field by half-month">`, chartWide, high)
	for i := range o.Rows {
		if i%2 == 0 {
			fmt.Fprintf(&b, `<text x="%.1f" y="13" font-size="11" fill="#5b5348">%s</text>`, left+step*float64(i), o.Rows[i].Name)
		}
	}
	for k, f := range o.Fields {
		y := head + rowHigh*float64(k)
		fmt.Fprintf(&b, `<text x="0" y="%.1f" font-size="13" fill="#1f1b18">%s</text><line x1="%.1f" x2="%.1f" y1="%.1f" y2="%.1f" stroke="#ddd6c8"/>`,
			y+16, template.HTMLEscapeString(clip(f.Name, 20)), left, chartWide-6, y+rowHigh-1, y+rowHigh-1)
		for i, v := range f.ByRow {
			if v <= 0 {
				continue
			}
			h := max(2, (rowHigh-6)*math.Sqrt(v/f.Area/most))
			colour := "#c2a15a"
			if f.GrazedBy[i] > v/2 {
				colour = "#5d8a4a"
			}
			fmt.Fprintf(&b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="%s"/>`, left+step*float64(i)+1, y+rowHigh-2-h, step-2, h, colour)
		}
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) //nolint:gosec // numbers and escaped names
}

func clip(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-1]) + "…"
}
