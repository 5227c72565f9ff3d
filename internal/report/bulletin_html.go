package report

import (
	_ "embed"
	"io"

	"rowen/quantity"
)

//go:embed bulletin.tmpl.html
var bulletinTemplate string

//go:embed visit.tmpl.html
var visitTemplate string

// WriteBulletin writes the bulletin as one self-contained page.
func WriteBulletin(w io.Writer, b *Bulletin) error {
	return executePage(w, "bulletin", bulletinTemplate, b)
}

// WriteVisit writes a visit sheet as one page of paper.
func WriteVisit(w io.Writer, v *Visit) error { return executePage(w, "visit", visitTemplate, v) }

// Totals are the seed of all farms in lines by currency.
func (b *Bulletin) Totals() (out []string) {
	for _, x := range seedTotals(b.Seed) {
		out = append(out, counted(x.Lines, "line")+", "+counted(x.Bags, "whole bag")+", "+quantity.Grouped(x.Cost, 0)+" "+x.Currency)
	}
	return out
}

// SeedRows are the seed order as a page shows it.
func (b *Bulletin) SeedRows() (out [][]string) {
	for i := range b.Seed {
		x := &b.Seed[i]
		supplier, product := x.Supplier, x.Crop
		if supplier == "" {
			supplier = "no supplier named"
		}
		if x.Product != "" {
			product += ", " + x.Product
		}
		kind := "any"
		switch {
		case x.Organic:
			kind = "organic"
		case x.Untreated:
			kind = "untreated"
		}
		mass := quantity.Mass(x.Pounds * kgPerLb)
		out = append(out, []string{supplier, product, kind, mass.In(b.Units), quantity.Grouped(float64(x.Bags), 0) + " of " + quantity.Mass(x.Bag*kgPerLb).In(b.Units), quantity.Grouped(x.Cost, 0) + " " + x.Currency, quantity.Grouped(float64(x.Farms), 0)})
	}
	return out
}

// NotForecast is the sentence beside shares.
func (b *Bulletin) NotForecast() string { return NotForecast }
