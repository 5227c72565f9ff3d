package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"rowen/quantity"
	"rowen/say"
)

//go:embed plan.tmpl.html
var planTemplate string

//go:embed record.tmpl.html
var recordTemplate string

// style is the look of every page: calm, legible in sunlight, right on paper.
//
//go:embed page.css
var style string

// WriteHTML writes the plan as one self-contained page, for a screen, a phone and
// a printer.
func WriteHTML(w io.Writer, p *Plan, u quantity.System) error {
	return execute(w, "plan", planTemplate, p, u)
}

// WriteRecord writes the sheet that an organic inspector asks for; it needs a plan
// with a Record.
func WriteRecord(w io.Writer, p *Plan, u quantity.System) error {
	return execute(w, "record", recordTemplate, p, u)
}

func execute(w io.Writer, name, text string, p *Plan, u quantity.System) error {
	t, err := template.New(name).Funcs(Words(p.Farm.Currency, u)).Funcs(template.FuncMap{
		"chart":  func(o *Outcome) template.HTML { return SupplyChart(o, nil, u) },
		"banded": func(o *Outcome) template.HTML { return SupplyChart(o, p.Bands, u) },
		"season": SeasonChart,
		"legend": Legend,
	}).Parse(text)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return t.Execute(w, p)
}

// Words are the functions by which pages write figures.
//
//say:words
func Words(currency string, u quantity.System) template.FuncMap {
	metric := u == quantity.Metric
	pick := func(us, other string) string {
		if metric {
			return other
		}
		return us
	}
	return template.FuncMap{
		"style":   func() template.CSS { return template.CSS(style) }, //nolint:gosec // our own file
		"mass":    func(kg float64) string { return mass(kg, u) },
		"ruled":   func(text string) say.Line { return Ruled(text, u) },
		"kg":      func(kg float64) string { return smallMass(kg, u) },
		"area":    func(m2 float64) string { return area(m2, u) },
		"yield":   func(v float64) string { return yield(v, u) },
		"yieldIf": func(v float64, sown bool) string { return yieldIf(v, sown, u) },
		"per":     func(kg, m2 float64) string { return yield(kg/m2, u) },
		"perTon":  func(v float64) string { return perTon(v, currency, u) },
		"money":   func(v float64) string { return quantity.Grouped(v, 0) },
		"cash":    cash,
		"pct":     func(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) },
		"one":     func(v float64) string { return quantity.Grouped(v, 1) },
		"nel":     func(v float64) string { return nel(v, u) },
		"seed":    func(kg float64) string { return quantity.Mass(kg).In(u) },
		"rate":    func(v float64) string { return quantity.MassPerArea(v).RateIn(u) },
		"rate2":   func(kg, m2 float64) string { return perAreaOf(kg, m2, u) },
		"perArea": func() string { return pick("Pounds an acre", "Kilograms a hectare") },
		"perAreaMoney": func(v float64) string {
			if metric {
				return quantity.Grouped(v*1e4, 0) + " " + currency + "/ha"
			}
			return quantity.Grouped(v*m2PerAcre, 1) + " " + currency + "/ac"
		},
		"milk": func(perKg float64) string {
			if metric {
				return quantity.Grouped(perKg*100, 2) + " " + currency + "/100 kg"
			}
			return quantity.Grouped(perKg*100*kgPerLb, 2) + " " + currency + "/cwt"
		},
		"gain": func(perKg float64) string {
			if metric {
				return quantity.Grouped(perKg, 2) + " " + currency + "/kg"
			}
			return quantity.Grouped(perKg*kgPerLb, 2) + " " + currency + "/lb"
		},
		"stick":  func(cm float64) string { return stick(cm, u) },
		"byFeed": byFeed,
		"add":    func(a, b float64) float64 { return a + b },
	}
}

// cash writes money in a narrow column, nothing where there is none.
func cash(v float64) string {
	if v < 0.5 {
		return ""
	}
	return quantity.Grouped(v, 0)
}

// smallMass writes pounds or kilograms.
func smallMass(kg float64, u quantity.System) string {
	if u == quantity.US {
		return quantity.Grouped(kg/kgPerLb, 0) + " lb"
	}
	return quantity.Grouped(kg, 0) + " kg"
}

// perAreaOf writes nutrients per area as a bare number, its unit stands below the
// table.
func perAreaOf(kg, m2 float64, u quantity.System) string {
	v := kg / m2 * 1e4
	if u == quantity.US {
		v = kg / kgPerLb / m2 * m2PerAcre
	}
	if v > -0.5 && v < 0.5 {
		return "–"
	}
	return quantity.Grouped(v, 0)
}

// nel writes net energy of lactation: Mcal a pound in the US, MJ a kilogram
// elsewhere.
func nel(mcalPerKg float64, u quantity.System) string {
	if u == quantity.US {
		return quantity.Grouped(mcalPerKg*kgPerLb, 2)
	}
	return quantity.Grouped(mcalPerKg*4.184, 1)
}
