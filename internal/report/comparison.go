package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"

	"rowen/account"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/say"
)

//go:embed comparison.tmpl.html
var comparisonTemplate string

// Anonymous is a comparison between farms without their names: a letter each, in
// an order that follows neither names nor files. Where Withheld is not empty
// there is nothing else in it.
type Anonymous struct {
	Day      string
	Withheld string
	Columns  []string   // heads, after the letter
	Keys     []string   // the same for a spreadsheet
	Rows     [][]string // letter first
	Middle   []string   // the column medians
	Letters  []string   // by farm, for that farm alone
	Left     []string   // what is not shown, and why
}

// anonymousColumn is one column: its value for a farm, and how it is written.
type anonymousColumn struct {
	head, key string
	of        func(*account.Compared) float64
	write     func(float64) string
}

// anonymous sets farms side by side under letters.
func anonymous(on quantity.Date, farms []*FarmWeek, u quantity.System) Anonymous {
	a := Anonymous{Day: on.Time().Format("2 January 2006")}
	if len(farms) < account.LeastCompared {
		a.Withheld = fmt.Sprintf("The comparison between farms is withheld: it needs %d farms that consent, and there are %d. Among fewer, neighbours could tell who is who.", account.LeastCompared, len(farms))
		return a
	}
	documents := make([][]byte, len(farms))
	for i, f := range farms {
		documents[i] = f.Document
	}
	a.Letters = make([]string, len(farms))
	order := account.Letters(on, documents)
	columns := a.columns(farms, u)
	for k, i := range order {
		a.Letters[i] = account.Letter(k)
		row := []string{a.Letters[i]}
		for _, c := range columns {
			row = append(row, orDash(c.of(&farms[i].Compared), c.write))
		}
		a.Rows = append(a.Rows, row)
	}
	for _, c := range columns {
		var all []float64
		for _, f := range farms {
			if v := c.of(&f.Compared); !math.IsNaN(v) {
				all = append(all, v)
			}
		}
		a.Columns, a.Keys = append(a.Columns, c.head), append(a.Keys, c.key)
		a.Middle = append(a.Middle, orDash(stats.Percentile(all, 0.5), c.write))
	}
	return a
}

func orDash(v float64, write func(float64) string) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	return write(v)
}

// columns are what is shown: money only in one currency, a class of stand only
// where enough farms have it.
func (a *Anonymous) columns(farms []*FarmWeek, u quantity.System) []anonymousColumn {
	percent := func(v float64) string { return strconv.FormatFloat(100*v, 'f', 0, 64) }
	tenth := func(v float64) string { return quantity.Grouped(v, 1) }
	out := []anonymousColumn{
		{"Home-grown share of forage, %", "home_grown_share_percent", func(c *account.Compared) float64 { return c.HomeShare }, percent},
		{"Gap per 100 needed, middle year", "gap_per_100_middle", func(c *account.Compared) float64 { return c.GapMiddle }, tenth},
		{"Gap per 100 needed, bad year", "gap_per_100_bad", func(c *account.Compared) float64 { return c.GapBad }, tenth},
		{"From pasture, %", "pasture_share_percent", func(c *account.Compared) float64 { return c.Pasture }, percent},
	}
	perMass, massName, perGround, groundName := float64(quantity.Ton), "ton", 1/m2PerAcre, "ac"
	nitrogen := 1.0
	if u == quantity.Metric {
		perMass, massName, perGround, groundName = 1000, "t", 1e-4, "ha"
		nitrogen = float64(quantity.PoundPerAcre / quantity.KilogramPerHectare)
	}
	currency := farms[0].Compared.Currency
	one := true
	for _, f := range farms {
		one = one && f.Compared.Currency == currency
	}
	if one {
		out = append(out, anonymousColumn{fmt.Sprintf("Cost of all feed, %s per %s eaten", currency, massName), "feed_cost_" + currency + "_per_" + massName,
			func(c *account.Compared) float64 { return c.Cost * perMass }, func(v float64) string { return strconv.FormatFloat(v, 'f', 0, 64) }})
	} else {
		a.Left = append(a.Left, "the cost of feed, since the farms account in different currencies")
	}
	var rare []string
	for k, class := range account.StandClasses {
		n := 0
		for _, f := range farms {
			if !math.IsNaN(f.Compared.Yield[k]) {
				n++
			}
		}
		switch {
		case n >= account.LeastCompared:
			out = append(out, anonymousColumn{fmt.Sprintf("Yield of %s, %s/%s", class, massName, groundName), "yield_" + slug(class) + "_" + massName + "_per_" + groundName,
				func(c *account.Compared) float64 { return c.Yield[k] / perMass / perGround }, tenth})
		case n > 0:
			rare = append(rare, class)
		}
	}
	if len(rare) > 0 {
		a.Left = append(a.Left, fmt.Sprintf("the yield of %s, which fewer than %d farms grow", joinAnd(rare), account.LeastCompared))
	}
	unit := "lb/ac"
	if u == quantity.Metric {
		unit = "kg/ha"
	}
	return append(out, anonymousColumn{"Nitrogen applied less taken off, " + unit, "nitrogen_balance_" + slug(unit),
		func(c *account.Compared) float64 { return c.Nitrogen * nitrogen }, func(v float64) string { return quantity.Grouped(v, 0) }})
}

// WriteAnonymous writes the comparison as a page; where it is withheld, the page
// says that alone, so that no older figures stay in the folder.
func WriteAnonymous(w io.Writer, b *Bulletin) error {
	return executePage(w, "comparison", comparisonTemplate, b)
}

// WriteAnonymousCSV writes it for a spreadsheet.
func WriteAnonymousCSV(w io.Writer, b *Bulletin) error {
	a := &b.Compared
	if a.Withheld != "" {
		return writeCSV(w, [][]string{{"withheld"}, {a.Withheld}})
	}
	rows := [][]string{append([]string{"farm"}, a.Keys...)}
	for _, row := range a.Rows {
		plain := make([]string, len(row))
		for i, cell := range row {
			if cell != "–" {
				plain[i] = cell
			}
		}
		rows = append(rows, plain)
	}
	return writeCSV(w, rows)
}

// executePage writes one of the pages of a bulletin.
func executePage(w io.Writer, name, text string, data any) error {
	t, err := template.New(name).Funcs(template.FuncMap{
		"style": func() template.CSS { return template.CSS(style) }, //nolint:gosec // our own file
		"join":  joinAnd,
		"add":   func(a, b int) int { return a + b },
	}).Parse(text)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return t.Execute(w, data)
}

// joinAnd writes a list as people say it.
func joinAnd(items []string) string {
	var lines []say.Line
	for _, item := range items {
		lines = append(lines, say.Name(item))
	}
	return say.And(lines...).String()
}
