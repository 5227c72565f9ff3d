package report

import (
	"cmp"
	"slices"
	"strings"

	"rowen/quantity"
	"rowen/say"
)

// Paper is what is printed or put into a workbook: made once, written by WritePDF and
// WriteXLSX.
type Paper struct {
	Title, Farm string
	Under       say.Line
	Blocks      []Block
	Foot        string
	Tongue      say.Tongue // the language that it is written in; nil: English
}

// Block is a part of a paper: what it has of text, a table and charts, in this order.
type Block struct {
	Heading  say.Line
	Text     []say.Line
	Table    *Table
	Years    []*Outcome // charts, side by side, on one scale
	Top      float64
	Together bool // it is not broken over pages
}

// Table is a table with its units in the heads of its columns.
type Table struct {
	Name    string // of its sheet in a workbook
	Columns []Column
	Rows    [][]Cell
}

// Column is a column; Share is its part of the page's width.
type Column struct {
	Head  say.Line
	Share float64
}

// Cell is a text, or a number with its decimals.
type Cell struct {
	Text     say.Line
	Value    float64
	Number   bool
	Decimals int
	Strong   bool
}

func word(s string) Cell                  { return Cell{Text: say.Name(s)} }
func strong(s string) Cell                { return Cell{Text: say.Name(s), Strong: true} }
func figure(v float64, decimals int) Cell { return Cell{Value: v, Number: true, Decimals: decimals} }
func told(l say.Line) Cell                { return Cell{Text: l} }
func (c Cell) strong() Cell               { c.Strong = true; return c }

// headed is a column headed with a word; of, where it is not empty, is its unit.
func headed(head, of string, share float64) Column {
	if of == "" {
		return Column{say.Name(head), share}
	}
	return Column{say.That("%s, %s", head, of), share}
}

// In is a cell as it is printed in a language.
func (c Cell) In(t say.Tongue) string {
	if !c.Number {
		return c.Text.In(t)
	}
	return quantity.Grouped(c.Value, c.Decimals)
}

//say:words
const caution = "The veterinarian, the laboratory, the label and local rules go before this sheet. Middle, bad and worst years are real weather years of the past, not forecasts."

// title is the paper's name with its farm's.
func (p *Paper) title() string {
	return say.That("%s: %s", p.Farm, p.Title).In(p.Tongue)
}

// scales are the reader's units with their factors from SI.
type scales struct {
	u                         quantity.System
	mass, area, small, rate   string
	perMass, perArea, perUnit float64 // kg, m², kg to the unit
	perRate                   float64 // kg/m²
}

func scalesOf(u quantity.System) scales {
	if u == quantity.US {
		return scales{u, "ton", "ac", "lb", "lb/ac", 1 / float64(quantity.Ton), 1 / m2PerAcre, 1 / kgPerLb, m2PerAcre / kgPerLb}
	}
	return scales{u, "t", "ha", "kg", "kg/ha", 1e-3, 1e-4, 1, 1e4}
}

func paperOf(p *Plan, title string) *Paper {
	return &Paper{
		Title: title, Farm: p.Farm.Name, Foot: caution,
		Under: say.That("Season from %s. Weather: %s, %d years (%d to %d). Rowen %s, plan %.8s.", p.Farm.First, p.Farm.Station, len(p.Years), p.Manifest.FirstYear, p.Manifest.LastYear, p.Manifest.Version, p.Manifest.FarmHash),
	}
}

// PlanPaper is the farm plan: the three years, the ledger, sowings, money, what to know.
//
//say:words
func PlanPaper(p *Plan, u quantity.System) *Paper {
	s := scalesOf(u)
	out := paperOf(p, "farm plan")
	names := []string{"middle year", "bad year, 1 in 5", "worst year"}
	sums := &Table{Name: "Years", Columns: []Column{headed("", "", 3), headed("Need", s.mass+" DM", 2), headed("Short or bought", s.mass, 2), headed("Home-grown under need", s.mass, 2), headed("Bought feed", p.Farm.Currency, 2), headed("Seed and work", p.Farm.Currency, 2)}}
	for i, o := range p.Outcomes() {
		sums.Rows = append(sums.Rows, []Cell{told(say.That("%d, %s", o.Year, names[i])).strong(), figure(o.Demand*s.perMass, 0), figure(o.Gap*s.perMass, 1), figure(o.Shortage*s.perMass, 0), figure(o.Money.bought(), 0), figure(o.Money.Seed+o.Money.Work, 0)})
	}
	out.Blocks = append(out.Blocks, Block{Heading: say.That("The answer"), Text: p.Warnings, Table: sums, Years: p.Outcomes(), Top: p.Top(), Together: true})
	out.Blocks = append(out.Blocks, Block{Heading: say.That("Sowings"), Table: sowingTable(p, s), Text: sowingNotes(p)})
	ledger := &Table{Name: "Ledger", Columns: []Column{headed("From", "", 1.2), headed("Need", s.mass, 1)}}
	for _, o := range p.Outcomes() {
		for _, what := range []string{"grazed", "from store", "gap"} {
			ledger.Columns = append(ledger.Columns, Column{say.That("%d %s", o.Year, what), 1})
		}
	}
	for i := range p.Middle.Rows {
		row := []Cell{strong(p.Middle.Rows[i].Name), figure(p.Middle.Rows[i].Demand*s.perMass, 1)}
		for _, o := range p.Outcomes() {
			r := &o.Rows[i]
			row = append(row, figure(r.Pasture*s.perMass, 1), figure(r.Stored*s.perMass, 1), figure(r.Gap*s.perMass, 1))
		}
		ledger.Rows = append(ledger.Rows, row)
	}
	out.Blocks = append(out.Blocks, Block{Heading: say.That("Ledger by half-month"), Table: ledger})
	fields := &Table{Name: "Fields", Columns: []Column{headed("Field", "", 2), headed("Stands", "", 4), headed("Area", s.area, 1), headed("Grazed", s.mass, 1), headed("Stored", s.mass, 1), headed("Uses", "", 1)}}
	for i := range p.Middle.Fields {
		f := &p.Middle.Fields[i]
		fields.Rows = append(fields.Rows, []Cell{strong(f.Name), word(f.Stands), figure(f.Area*s.perArea, 1), figure(f.Grazed*s.perMass, 1), figure(f.Stored*s.perMass, 1), figure(float64(f.Uses), 0)})
	}
	out.Blocks = append(out.Blocks, Block{Heading: say.That("Fields in the middle year, %d", p.Middle.Year), Table: fields})
	if len(p.Safety) > 0 {
		safety := &Table{Name: "Safety", Columns: []Column{headed("Hazard", "", 1.4), headed("Rule", "", 4), headed("Source", "", 3)}}
		for _, x := range p.Safety {
			safety.Rows = append(safety.Rows, []Cell{strong(x.Hazard), told(Ruled(x.Text, u)), word(x.Source)})
		}
		out.Blocks = append(out.Blocks, Block{Heading: say.That("Safety"), Table: safety})
	}
	if len(p.Assumed) > 0 {
		assumed := &Table{Name: "Assumed", Columns: []Column{headed("What the document does not say", "", 3), headed("Taken as", "", 3), headed("Why", "", 3)}}
		for _, a := range p.Assumed {
			assumed.Rows = append(assumed.Rows, []Cell{word(a.Key), word(a.Value), word(a.Why)})
		}
		out.Blocks = append(out.Blocks, Block{Heading: say.That("Assumed"), Table: assumed})
	}
	return out
}

//say:words
func sowingTable(p *Plan, s scales) *Table {
	t := &Table{Name: "Sowings", Columns: []Column{headed("Field", "", 1.6), headed("Stand", "", 2.4), headed("Area", s.area, 0.9), headed("Rate", "", 2), headed("Depth", "", 1), headed("Sow about", "", 1.1), headed("Not after", "", 1.1), headed("Use", "", 1.6)}}
	for i := range p.Sowings {
		x := &p.Sowings[i]
		t.Rows = append(t.Rows, []Cell{strong(x.Field), word(x.Crop), figure(x.Area*s.perArea, 1), word(ratesOf(x)), word(x.Depth), word(x.Usual), word(x.Latest), word(x.Use)})
	}
	return t
}

// ratesOf are a sowing's rates; a stand of one crop does not name it again.
func ratesOf(x *Sowing) string {
	if len(x.Rates) == 1 {
		return strings.TrimPrefix(x.Rates[0], x.Crop+" ")
	}
	return strings.Join(x.Rates, " + ")
}

// sowingNotes are what the years say against a sowing.
func sowingNotes(p *Plan) (out []say.Line) {
	for i := range p.Sowings {
		s := &p.Sowings[i]
		tell := func(pattern string, args ...any) {
			out = append(out, say.That("%s, %s: %s", s.Field, s.Crop, say.That(pattern, args...)))
		}
		if s.Dropped > 0 {
			tell("not sown in %d of %d years, the ground was not ready by %s", s.Dropped, len(p.Years), s.Latest)
		}
		if s.Misses(p) {
			tell("reaches %s in time in %d of the %d years in which it is sown", s.Goal, s.Reached, s.SownYears(p))
		}
		if s.Nothing > 0 {
			tell("sown and come to nothing in %d of %d years", s.Nothing, len(p.Years))
		}
	}
	return out
}

// FieldPaper is the sheet for the field: what stands and is sown on each, how, when, and
// what must not be done.
//
//say:words
func FieldPaper(p *Plan, board *Board, u quantity.System) *Paper {
	s := scalesOf(u)
	out := paperOf(p, "field sheet")
	var sown []Block
	for i := range board.Rows {
		row := &board.Rows[i]
		t := &Table{Name: row.Field, Columns: []Column{headed("What", "", 2.4), headed("Area", s.area, 0.9), headed("Rate", "", 2), headed("Depth", "", 1), headed("When", "", 2), headed("Use", "", 1.6), headed("Done on", "", 1.3)}}
		var cautions []say.Line
		text := []say.Line{say.That("%s. Soil: %s.", area(row.Area, u), row.Soil)}
		for _, b := range row.Bars {
			if b.Sowing < 0 {
				text = append(text, say.That("Stands there: %s, %s.", b.Title, b.Use))
			}
		}
		for k := range p.Sowings {
			x := &p.Sowings[k]
			if x.Field != row.Field {
				continue
			}
			t.Rows = append(t.Rows, []Cell{strong(x.Crop), figure(x.Area*s.perArea, 1), word(ratesOf(x)), word(x.Depth), told(say.That("about %s (%s to %s), not after %s", x.Usual, x.Early, x.Late, x.Latest)), word(x.Use), word("")})
			for _, c := range x.Cautions {
				cautions = append(cautions, Ruled(c, u))
			}
		}
		if len(row.Said) > 0 {
			text = append(text, say.That("Middle year, %d: %s.", board.Year, row.Said))
		}
		slices.SortFunc(cautions, func(a, b say.Line) int { return cmp.Compare(a.String(), b.String()) })
		cautions = slices.CompactFunc(cautions, func(a, b say.Line) bool { return a.String() == b.String() })
		b := Block{Heading: say.Name(row.Field), Text: append(text, cautions...), Together: true}
		if len(t.Rows) > 0 {
			b.Table = t
			sown = append(sown, b)
			continue
		}
		out.Blocks = append(out.Blocks, b)
	}
	out.Blocks = append(sown, out.Blocks...) // what is to be done stands first
	return out
}

// FeederPaper is the sheet for whoever feeds: what lies in store and how good it is, who
// needs how much, and how long it lasts; and the plan's feeding by half-month.
//
//say:words
func FeederPaper(p *Plan, t *Today, u quantity.System) *Paper {
	s := scalesOf(u)
	out := paperOf(p, "feeder's sheet")
	if t != nil && t.Stock != nil {
		out.Under = say.That("As of %s. %s", t.Date, out.Under)
		lies := &Table{Name: "In store", Columns: []Column{headed("Store", "", 2), headed("Feed", "", 2), headed("Dry matter", s.mass, 1.2), headed("As fed", s.mass, 1.2), headed("Protein, %", "", 1), headed("NDF, %", "", 1), headed("Fed on", "", 1.6)}}
		for _, x := range t.Stock.Stores {
			for _, l := range byFeed(x.Lots) {
				lies.Rows = append(lies.Rows, []Cell{strong(x.Name), word(l.Feed), figure(l.DM*s.perMass, 1), figure(l.AsFed*s.perMass, 1), figure(l.CP, 0), figure(l.NDF, 0), word("")})
			}
		}
		out.Blocks = append(out.Blocks, Block{Heading: say.That("What lies in store"), Table: lies, Together: true})
		days := &Table{Name: "Days", Columns: []Column{headed("Group", "", 2), headed("Stored feed a day", s.small+" DM", 2), headed("Share of it, %", "", 1.4), headed("Days left", "", 1.2)}}
		for _, g := range t.Stock.Groups {
			days.Rows = append(days.Rows, []Cell{strong(g.Name), figure(g.Need*s.perUnit, 0), figure(100*g.Share, 0), figure(g.Days, 0)})
		}
		ends := []say.Line{say.That("Middle year: %s. One year in five: %s.", lasts(t.Stock.Middle, t.Stock.Horizon), lasts(t.Stock.Bad, t.Stock.Horizon))}
		out.Blocks = append(out.Blocks, Block{Heading: say.That("Feeding days left"), Text: ends, Table: days, Together: true})
		var held []say.Line
		for i := range t.Lots {
			for _, g := range t.Lots[i].Gates {
				if g.Answer != "Clear" {
					held = append(held, say.That("%s: %s, %s: %s", t.Lots[i].Name, g.Answer, g.Name, say.Join("; ", allRuled(g.Reasons, u)...)))
				}
			}
		}
		if len(held) > 0 {
			out.Blocks = append(out.Blocks, Block{Heading: say.That("Ask before feeding"), Text: held, Together: true})
		}
	}
	lots := &Table{Name: "Lots", Columns: []Column{headed("Lot", "", 2.4), headed("Feed", "", 1.6), headed("Dry matter", s.mass, 1.2), headed("Protein, %", "", 1), headed("NDF, %", "", 1), headed("For", "", 2.4)}}
	for i := range p.Account.Lots {
		l := &p.Account.Lots[i]
		lots.Rows = append(lots.Rows, []Cell{strong(l.Name), word(l.Feed), figure(l.Mass*s.perMass, 1), figure(l.CP, 0), figure(l.NDF, 0), word(l.For)})
	}
	if len(lots.Rows) > 0 {
		out.Blocks = append(out.Blocks, Block{Heading: say.That("Lots of the plan, and for whom"), Table: lots})
	}
	fed := &Table{Name: "Feeding", Columns: []Column{headed("From", "", 1.4), headed("Need", s.mass, 1), headed("Pasture", "", 1), headed("Store", "", 1), headed("Grain, protein", "", 1.2), headed("Bought", "", 1), headed("Short", "", 1), headed("Left in store", "", 1.2)}}
	for i := range p.Middle.Rows {
		r := &p.Middle.Rows[i]
		fed.Rows = append(fed.Rows, []Cell{strong(r.Name), figure(r.Demand*s.perMass, 1), figure(r.Pasture*s.perMass, 1), figure(r.Stored*s.perMass, 1), figure(r.Grain*s.perMass, 1), figure(r.Bought*s.perMass, 1), figure(r.Short*s.perMass, 1), figure(r.Store*s.perMass, 0)})
	}
	text := []say.Line{say.That("This is the plan's year, begun with %s in store.", mass(p.Middle.Opening, u))}
	if t != nil && t.Stock != nil {
		text = []say.Line{say.That("This is the plan's year, begun with %s in store; what lies there now, and how long it lasts, stands above.", mass(p.Middle.Opening, u))}
	}
	out.Blocks = append(out.Blocks, Block{Heading: say.That("Feeding in the middle year, %d, %s of dry matter", p.Middle.Year, s.mass), Text: text, Table: fed})
	return out
}

// lasts says when stored feed runs out; day is empty where it lasts to the horizon.
func lasts(day, horizon string) say.Line {
	if day == "" {
		return say.That("it lasts to %s", horizon)
	}
	return say.That("it runs out about %s", day)
}

// SeedPaper is the seed order by product and supplier.
//
//say:words
func SeedPaper(p *Plan, u quantity.System) *Paper {
	s := scalesOf(u)
	out := paperOf(p, "seed order")
	t := &Table{Name: "Seed order", Columns: []Column{headed("Seed", "", 2.2), headed("Product", "", 1.8), headed("Supplier", "", 1.6), headed("Area", s.area, 0.9), headed("Rate", s.rate, 1), headed("Seed", s.small, 1), headed("Bags", "", 0.9), headed("Cost", p.Farm.Currency, 1), headed("Sow by", "", 1)}}
	var text []say.Line
	total := 0.0
	for i := range p.Seed {
		x := &p.Seed[i]
		t.Rows = append(t.Rows, []Cell{strong(x.Crop), word(x.Product), word(x.Supplier), figure(x.Area*s.perArea, 1), figure(x.Rate*s.perRate, 1), figure(x.Mass*s.perUnit, 0), figure(float64(x.Bags), 0), figure(x.Cost, 0), word(x.Latest)})
		total += x.Cost
		name := strings.TrimSpace(x.Crop + " " + x.Product)
		if x.Certified && !x.Organic {
			text = append(text, say.That("%s: for certified ground; organic if it can be had, never treated", name))
		}
		if x.Inoculant != "" {
			text = append(text, say.That("%s: inoculant %s", name, x.Inoculant))
		}
		if x.Substitute != "" {
			text = append(text, say.That("%s: in its place, %s", name, x.Substitute))
		}
	}
	if len(t.Rows) == 0 {
		text = append(text, say.That("Nothing is sown in this plan: there is nothing to order."))
		t = nil
	} else {
		text = append(text, say.That("Whole bags: %s %s in all.", quantity.Grouped(total, 0), p.Farm.Currency))
	}
	out.Blocks = append(out.Blocks, Block{Heading: say.That("To order"), Table: t, Text: text})
	return out
}
