package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"rowen/quantity"
)

//go:embed plan.tmpl.html
var planTemplate string

// WriteHTML writes the plan as one self-contained page, for a screen, a phone and
// a printer.
func WriteHTML(w io.Writer, p *Plan, u quantity.System) error {
	t, err := template.New("plan").Funcs(template.FuncMap{
		"mass":    func(kg float64) string { return mass(kg, u) },
		"area":    func(m2 float64) string { return area(m2, u) },
		"yield":   func(v float64) string { return yield(v, u) },
		"yieldIf": func(v float64, sown bool) string { return yieldIf(v, sown, u) },
		"per":     func(kg, m2 float64) string { return yield(kg/m2, u) },
		"perTon":  func(v float64) string { return perTon(v, p.Farm.Currency, u) },
		"money":   func(v float64) string { return quantity.Grouped(v, 0) },
		"pct":     func(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) },
		"seed":    func(kg float64) string { return quantity.Mass(kg).In(u) },
		"rate":    func(v float64) string { return quantity.MassPerArea(v).RateIn(u) },
		"chart":   func(o *Outcome) template.HTML { return SupplyChart(o, nil, u) },
		"banded":  func(o *Outcome) template.HTML { return SupplyChart(o, p.Bands, u) },
		"season":  SeasonChart,
		"legend":  Legend,
		"add":     func(a, b float64) float64 { return a + b },
	}).Parse(planTemplate)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return t.Execute(w, p)
}
