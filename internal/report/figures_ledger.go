package report

import (
	"fmt"
	"strconv"
	"strings"

	"rowen/handbook"
	"rowen/say"
)

// The formulas behind the cells of the ledger and of the account.
//
//say:words
var (
	needCell = &handbook.Formula{
		Key: "ledger-need", Name: "demand of a half-month", Expression: "demand = Σ groups head × intake", Unit: "kg DM",
		Inputs: []handbook.Input{{Symbol: "d", Name: "demand of each group", Unit: "kg DM"}},
		Valid:  "one real weather year", Sources: demandFormula.Sources, Eval: sum,
	}
	pastureCell = &handbook.Formula{
		Key: "ledger-pasture", Name: "grazed in a half-month", Expression: "grazed = Σ fields eaten there", Unit: "kg DM",
		Inputs: []handbook.Input{{Symbol: "e", Name: "eaten on each field", Unit: "kg DM"}},
		Valid:  "one real weather year", Sources: []handbook.Source{practice}, Eval: sum,
	}
	gapCell = &handbook.Formula{
		Key: "ledger-gap", Name: "gap of a half-month", Expression: "gap = short + bought forage + concentrate beyond habit", Unit: "kg DM",
		Inputs: []handbook.Input{{Symbol: "short", Name: "need that nothing met", Unit: "kg DM"}, {Symbol: "bought", Name: "bought hay and forage eaten", Unit: "kg DM"}, {Symbol: "beyond", Name: "grain and protein beyond what is fed by habit", Unit: "kg DM"}},
		Valid:  "one real weather year", Sources: []handbook.Source{practice}, Eval: sum,
	}
	storeCell = &handbook.Formula{
		Key: "ledger-store", Name: "in store at a half-month's end", Expression: "in store = in store before + put in - fed - lost", Unit: "kg DM",
		Inputs: []handbook.Input{{Symbol: "before", Name: "in store at the end of the half-month before", Unit: "kg DM"}, {Symbol: "in", Name: "put into store, after losses on the field", Unit: "kg DM"}, {Symbol: "fed", Name: "eaten of it", Unit: "kg DM"}, {Symbol: "lost", Name: "lost while it lay and when it was fed", Unit: "kg DM"}},
		Valid:  "one real weather year", Sources: []handbook.Source{practice},
		Eval: func(in []float64) float64 { return in[0] + in[1] - in[2] - in[3] },
	}
	spentFormula = &handbook.Formula{
		Key: "spent", Name: "seed and field work", Expression: "spent = seed + work", Unit: "money",
		Inputs: []handbook.Input{{Symbol: "seed", Name: "seed by rate and price", Unit: "money"}, {Symbol: "work", Name: "field work at custom rates", Unit: "money"}},
		Valid:  "one real weather year", Sources: []handbook.Source{practice}, Eval: sum,
	}
	purchaseFormula = &handbook.Formula{
		Key: "purchases", Name: "bought feed", Expression: "cost = Σ feeds mass × price", Unit: "money",
		Inputs: []handbook.Input{{Symbol: "m, p", Name: "dry matter and price of each feed, in turn", Unit: "kg DM, money/kg DM"}},
		Valid:  "one real weather year", Sources: []handbook.Source{practice},
		Eval: func(in []float64) (cost float64) {
			for i := 0; i+1 < len(in); i += 2 {
				cost += in[i] * in[i+1]
			}
			return cost
		},
	}
)

// shown is one of the three years that a plan shows, with what it is called.
type shown struct {
	key  string
	name say.Line
	*Outcome
}

// YearKeys are how keys of figures call the three years that a plan shows, in order.
var YearKeys = [3]string{"middle", "bad", "worst"}

func (p *Plan) shown() []shown {
	return []shown{
		{YearKeys[0], say.That("the middle year"), &p.Middle},
		{YearKeys[1], say.That("the bad year"), &p.Bad},
		{YearKeys[2], say.That("the worst year"), &p.Worst},
	}
}

// LedgerCell is the key by which a cell of the ledger opens: "ledger.bad.gap.13" is the
// gap of the bad year's thirteenth half-month. The columns are need, pasture, gap and
// store.
func LedgerCell(year, column string, row int) string {
	return fmt.Sprintf("ledger.%s.%s.%d", year, column, row+1)
}

// AccountLine is the key by which a line of the account opens: spent, roughage or
// concentrate.
func AccountLine(year, line string) string { return "account." + year + "." + line }

// UnderNeed is the key by which opens how far home-grown feed stays under need in a year.
func UnderNeed(year string) string { return "under." + year }

// FigureOf is the figure of a plan that a key opens: one of Figures, a
// LedgerCell or an AccountLine. ok is false where the plan has none of this key.
func FigureOf(p *Plan, key string) (fig handbook.Figure, ok bool) {
	part := strings.Split(key, ".")
	for _, o := range p.shown() {
		switch {
		case len(part) == 4 && part[0] == "ledger" && part[1] == o.key:
			if row, err := strconv.Atoi(part[3]); err == nil && row >= 1 && row <= len(o.Rows) {
				return o.cell(key, part[2], row-1)
			}
		case len(part) == 3 && part[0] == "account" && part[1] == o.key:
			return o.account(key, part[2])
		}
	}
	for _, fig := range Figures(p) {
		if fig.Key == key {
			return fig, true
		}
	}
	return handbook.Figure{}, false
}

// cell opens a cell of the ledger.
//
//say:words
func (o *shown) cell(key, column string, i int) (handbook.Figure, bool) {
	row := &o.Rows[i]
	fig := handbook.Figure{Key: key, Unit: "kg DM"}
	put := func(label say.Line, v float64, key string) {
		fig.Inputs = append(fig.Inputs, handbook.Figure{Key: key, Label: label, Value: v, Unit: "kg DM", Origin: say.That("ledger of weather year %d", o.Year)})
	}
	what := ""
	switch column {
	case "need":
		what, fig.Formula, fig.Value = "demand", needCell, row.Demand
		for g := range o.Groups {
			put(say.Name(o.Groups[g].Name), o.Groups[g].ByRow[i], "group")
		}
	case "pasture":
		what, fig.Formula, fig.Value = "grazed", pastureCell, row.Pasture
		for f := range o.Fields {
			put(say.Name(o.Fields[f].Name), o.Fields[f].GrazedBy[i], "field")
		}
	case "gap":
		what, fig.Formula, fig.Value = "gap", gapCell, row.Gap
		put(say.That("short"), row.Short, "short")
		put(say.That("bought forage"), row.Bought, "bought")
		put(say.That("concentrate beyond habit"), row.Beyond, "beyond")
	case "store":
		what, fig.Formula, fig.Value = "in store at the end", storeCell, row.Store
		if i > 0 {
			put(say.That("in store before"), o.Rows[i-1].Store, LedgerCell(o.key, "store", i-1))
		} else {
			put(say.That("in store when the feed year began"), o.Opening, "opening")
		}
		put(say.That("put into store"), row.Harvested, "harvested")
		put(say.That("fed from store"), row.Stored, "fed")
		put(say.That("lost in store and in feeding"), row.Lost, "lost")
	default:
		return fig, false
	}
	fig.Label = say.That("%s, half-month from %s, %s", what, row.Name, o.name)
	return fig, true
}

// account opens a line of the account.
//
//say:words
func (o *shown) account(key, line string) (handbook.Figure, bool) {
	fig := handbook.Figure{Key: key, Unit: "money"}
	put := func(label say.Line, v float64, unit string) {
		fig.Inputs = append(fig.Inputs, handbook.Figure{Key: "account", Label: label, Value: v, Unit: unit, Origin: say.That("account of weather year %d", o.Year)})
	}
	what := ""
	m := &o.Money
	switch line {
	case "spent":
		what, fig.Formula, fig.Value = "seed and field work", spentFormula, m.Seed+m.Work
		put(say.That("seed"), m.Seed, "money")
		put(say.That("work"), m.Work, "money")
	case "roughage", "concentrate":
		what, fig.Formula, fig.Value = "bought forage", purchaseFormula, m.BoughtForage
		if line == "concentrate" {
			what, fig.Value = "grain and protein", m.Grain+m.Protein
		}
		for _, b := range o.Market {
			if b.Roughage == (line == "roughage") {
				put(say.Name(b.Feed), b.Mass, "kg DM")
				put(say.That("price of %s", b.Feed), b.Price, "money/kg DM")
			}
		}
	default:
		return fig, false
	}
	fig.Label = say.That("%s in %s", what, o.name)
	return fig, true
}
