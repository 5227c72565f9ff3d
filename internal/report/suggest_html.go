package report

import (
	_ "embed" // the page
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"rowen/quantity"
)

//go:embed suggest.tmpl.html
var suggestTemplate string

// WriteSuggestionHTML writes suggested plans as one self-contained page.
func WriteSuggestionHTML(w io.Writer, s *Suggestion, u quantity.System) error {
	t, err := template.New("suggest").Funcs(Words(s.Farm.Currency, u)).Funcs(template.FuncMap{
		"trade":   func() template.HTML { return TradeChart(s, u) },
		"gaps":    func() template.HTML { return GapChart(s, u) },
		"mark":    s.Mark,
		"whole":   func(v float64) string { return quantity.Grouped(v, 0) },
		"percent": func(v float64) string { return fmt.Sprintf("%.2f %%", 100*v) },
		"differs": s.Differs,
	}).Parse(suggestTemplate)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return t.Execute(w, s)
}

// Differs tells whether some plan changes what a field carries.
func (s *Suggestion) Differs(field int) bool {
	for i := range s.Plans {
		if s.Plans[i].Fields[field].Programme != s.Plans[0].Fields[field].Programme {
			return true
		}
	}
	return false
}

// Percent is a share in hundredths.
func (s *Suggestion) Percent(share float64) float64 { return 100 * share }

// TradeChart draws the trade between what plans cost on average and how short they are in
// the 1-in-5 year: each a point with its mark; those suggested are filled.
func TradeChart(s *Suggestion, u quantity.System) template.HTML {
	const wide, high, left, right, top, foot = 720.0, 300.0, 66.0, 70.0, 16.0, 44.0
	lowX, highX, lowY, highY := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i := range s.Plans {
		p := &s.Plans[i]
		lowX, highX = min(lowX, p.Expected), max(highX, p.Expected)
		lowY, highY = min(lowY, p.Shortage), max(highY, p.Shortage)
	}
	spanX, spanY := max(highX-lowX, 1), max(highY-lowY, 1)
	x := func(v float64) float64 { return left + (wide-left-right)*(v-lowX+0.05*spanX)/(1.1*spanX) }
	y := func(v float64) float64 { return top + (high-top-foot)*(1-(v-lowY+0.08*spanY)/(1.16*spanY)) }
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %.0f %.0f" role="img" aria-label="Plans by cost on average and shortage in the 1-in-5 year">`, wide, high)
	for i := range 5 {
		vx, vy := lowX+spanX*float64(i)/4, lowY+spanY*float64(i)/4
		fmt.Fprintf(&b, `<line x1="%.1f" x2="%.1f" y1="%.1f" y2="%.1f" stroke="currentColor" stroke-opacity="0.2"/><text x="%.1f" y="%.1f" font-size="11" text-anchor="end" fill="currentColor" fill-opacity="0.8">%s</text>`, left, wide-right, y(vy), y(vy), left-6, y(vy)+4, shortMass(vy, u))
		fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" font-size="11" text-anchor="middle" fill="currentColor" fill-opacity="0.8">%s</text>`, x(vx), high-foot+16, quantity.Grouped(vx, 0))
	}
	fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" font-size="12" text-anchor="middle" fill="currentColor">feed cost a year on average, %s</text>`, (left+wide-right)/2, high-6, template.HTMLEscapeString(s.Farm.Currency))
	fmt.Fprintf(&b, `<text x="14" y="%.1f" font-size="12" text-anchor="middle" fill="currentColor" transform="rotate(-90 14 %.1f)">short in the 1-in-5 year, %s DM</text>`, (top+high-foot)/2, (top+high-foot)/2, tonWord(u))
	var taken [][2]float64
	for i := range s.Plans {
		p := &s.Plans[i]
		cx, cy := x(p.Expected), y(p.Shortage)
		fill := "none"
		if p.Suggested {
			fill = "#5d8a4a"
		}
		fmt.Fprintf(&b, `<circle cx="%.1f" cy="%.1f" r="7" fill="%s" stroke="currentColor" stroke-width="1.5"><title>%s: %s %s, short %s</title></circle>`,
			cx, cy, fill, template.HTMLEscapeString(p.Name), quantity.Grouped(p.Expected, 0), template.HTMLEscapeString(s.Farm.Currency), mass(p.Shortage, u))
		// Marks of points that lie on each other step down.
		ty := cy + 4
		for _, t := range taken {
			if math.Abs(t[0]-cx) < 40 && math.Abs(t[1]-ty) < 14 {
				ty = t[1] + 14
			}
		}
		taken = append(taken, [2]float64{cx, ty})
		fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" font-size="13" font-weight="600" fill="currentColor">%s</text>`, cx+12, ty, s.Mark(i))
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) //nolint:gosec // numbers and escaped names
}

func tonWord(u quantity.System) string {
	if u == quantity.US {
		return "ton"
	}
	return "t"
}

// fineMass is a mass for an axis whose steps may be less than a tonne.
func fineMass(kg float64, u quantity.System) string {
	v := kg / 1000
	if u == quantity.US {
		v = quantity.Mass(kg).Tons()
	}
	if v >= 10 {
		return quantity.Grouped(v, 0)
	}
	return quantity.Grouped(v, 1)
}

// GapChart draws the gap of the bad year by half-month before and after: the present
// plan's beside the first one suggested.
func GapChart(s *Suggestion, u quantity.System) template.HTML {
	if len(s.Plans) < 2 {
		return ""
	}
	before, after := s.Plans[0].Gaps, s.Plans[1].Gaps
	top := 1.0
	for h := range before {
		top = max(top, before[h].Bad, after[h].Bad)
	}
	top *= 1.06
	plotHigh := chartHigh - chartTop - footer
	y := func(v float64) float64 { return chartTop + plotHigh*(1-v/top) }
	step := (chartWide - chartLeft - 6) / float64(len(before))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %.0f %.0f" role="img" aria-label="Gap of the bad year by half-month, before and after">`, chartWide, chartHigh)
	for i := range 5 {
		v := top / 1.06 * float64(i) / 4
		fmt.Fprintf(&b, `<line x1="%.1f" x2="%.1f" y1="%.1f" y2="%.1f" stroke="currentColor" stroke-opacity="0.2"/><text x="%.1f" y="%.1f" font-size="11" text-anchor="end" fill="currentColor" fill-opacity="0.8">%s</text>`, chartLeft, chartWide-6, y(v), y(v), chartLeft-5, y(v)+4, fineMass(v, u))
	}
	for h := range before {
		x := chartLeft + step*float64(h)
		for k, v := range []float64{before[h].Bad, after[h].Bad} {
			style := `fill="none" stroke="#9a5a46" stroke-width="1.5"`
			name := "present plan"
			if k == 1 {
				style, name = `fill="#5d8a4a"`, "suggested plan"
			}
			if v > 0 {
				fmt.Fprintf(&b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" %s><title>%s, %s: %s</title></rect>`, x+2+float64(k)*(step-4)/2, y(v), (step-4)/2-1, y(0)-y(v), style, before[h].Name, name, mass(v, u))
			}
		}
		if h%2 == 0 {
			fmt.Fprintf(&b, `<text x="%.1f" y="%.1f" font-size="11" fill="currentColor" fill-opacity="0.8">%s</text>`, x, chartHigh-12, before[h].Name)
		}
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) //nolint:gosec // numbers and our own names
}
