package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rowen/quantity"
)

// Paper is what is printed or put into a workbook: made once, written by WritePDF and
// WriteXLSX.
type Paper struct {
	Title, Farm, Under string
	Blocks             []Block
	Foot               string
}

// Block is a part of a paper: what it has of text, a table and charts, in this order.
type Block struct {
	Heading  string
	Text     []string
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
	Head  string
	Share float64
}

// Cell is a text, or a number with its decimals.
type Cell struct {
	Text     string
	Value    float64
	Number   bool
	Decimals int
	Strong   bool
}

func word(s string) Cell                     { return Cell{Text: s} }
func strong(s string) Cell                   { return Cell{Text: s, Strong: true} }
func figure(v float64, decimals int) Cell    { return Cell{Value: v, Number: true, Decimals: decimals} }
func words(format string, args ...any) Cell  { return Cell{Text: fmt.Sprintf(format, args...)} }
func line(format string, args ...any) string { return fmt.Sprintf(format, args...) }

// String is a cell as it is printed.
func (c Cell) String() string {
	if !c.Number {
		return c.Text
	}
	return quantity.Grouped(c.Value, c.Decimals)
}

const caution = "The veterinarian, the laboratory, the label and local rules go before this sheet. Middle, bad and worst years are real weather years of the past, not forecasts."

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
		Under: fmt.Sprintf("Season from %s. Weather: %s, %d years (%d to %d). Rowen %s, plan %.8s.", p.Farm.First, p.Farm.Station, len(p.Years), p.Manifest.FirstYear, p.Manifest.LastYear, p.Manifest.Version, p.Manifest.FarmHash),
	}
}

// PlanPaper is the farm plan: the three years, the ledger, sowings, money, what to know.
func PlanPaper(p *Plan, u quantity.System) *Paper {
	s := scalesOf(u)
	out := paperOf(p, "Farm plan")
	names := []string{"middle year", "bad year, 1 in 5", "worst year"}
	sums := &Table{Name: "Years", Columns: []Column{{"", 3}, {"Need, " + s.mass + " DM", 2}, {"Short or bought, " + s.mass, 2}, {"Home-grown under need, " + s.mass, 2}, {"Bought feed, " + p.Farm.Currency, 2}, {"Seed and work, " + p.Farm.Currency, 2}}}
	for i, o := range p.Outcomes() {
		sums.Rows = append(sums.Rows, []Cell{strong(fmt.Sprintf("%d, %s", o.Year, names[i])), figure(o.Demand*s.perMass, 0), figure(o.Gap*s.perMass, 1), figure(o.Shortage*s.perMass, 0), figure(o.Money.bought(), 0), figure(o.Money.Seed+o.Money.Work, 0)})
	}
	out.Blocks = append(out.Blocks, Block{Heading: "The answer", Text: p.Warnings, Table: sums, Years: p.Outcomes(), Top: p.Top(), Together: true})
	out.Blocks = append(out.Blocks, Block{Heading: "Sowings", Table: sowingTable(p, s), Text: sowingNotes(p)})
	ledger := &Table{Name: "Ledger", Columns: []Column{{"From", 1.2}, {"Need, " + s.mass, 1}}}
	for _, o := range p.Outcomes() {
		for _, what := range []string{"grazed", "from store", "gap"} {
			ledger.Columns = append(ledger.Columns, Column{fmt.Sprintf("%d %s", o.Year, what), 1})
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
	out.Blocks = append(out.Blocks, Block{Heading: "Ledger by half-month", Table: ledger})
	fields := &Table{Name: "Fields", Columns: []Column{{"Field", 2}, {"Stands", 4}, {"Area, " + s.area, 1}, {"Grazed, " + s.mass, 1}, {"Stored, " + s.mass, 1}, {"Uses", 1}}}
	for i := range p.Middle.Fields {
		f := &p.Middle.Fields[i]
		fields.Rows = append(fields.Rows, []Cell{strong(f.Name), word(f.Stands), figure(f.Area*s.perArea, 1), figure(f.Grazed*s.perMass, 1), figure(f.Stored*s.perMass, 1), figure(float64(f.Uses), 0)})
	}
	out.Blocks = append(out.Blocks, Block{Heading: fmt.Sprintf("Fields in the middle year, %d", p.Middle.Year), Table: fields})
	if len(p.Safety) > 0 {
		safety := &Table{Name: "Safety", Columns: []Column{{"Hazard", 1.4}, {"Rule", 4}, {"Source", 3}}}
		for _, x := range p.Safety {
			safety.Rows = append(safety.Rows, []Cell{strong(x.Hazard), word(ruled(x.Text, u)), word(x.Source)})
		}
		out.Blocks = append(out.Blocks, Block{Heading: "Safety", Table: safety})
	}
	if len(p.Assumed) > 0 {
		assumed := &Table{Name: "Assumed", Columns: []Column{{"What the document does not say", 3}, {"Taken as", 3}, {"Why", 3}}}
		for _, a := range p.Assumed {
			assumed.Rows = append(assumed.Rows, []Cell{word(a.Key), word(a.Value), word(a.Why)})
		}
		out.Blocks = append(out.Blocks, Block{Heading: "Assumed", Table: assumed})
	}
	return out
}

func sowingTable(p *Plan, s scales) *Table {
	t := &Table{Name: "Sowings", Columns: []Column{{"Field", 1.6}, {"Stand", 2.4}, {"Area, " + s.area, 0.9}, {"Rate", 2}, {"Depth", 1}, {"Sow about", 1.1}, {"Not after", 1.1}, {"Use", 1.6}}}
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
func sowingNotes(p *Plan) (out []string) {
	for i := range p.Sowings {
		s := &p.Sowings[i]
		say := func(format string, args ...any) {
			out = append(out, s.Field+", "+s.Crop+": "+fmt.Sprintf(format, args...))
		}
		if s.Dropped > 0 {
			say("not sown in %d of %d years, the ground was not ready by %s", s.Dropped, len(p.Years), s.Latest)
		}
		if s.Misses(p) {
			say("reaches %s in time in %d of the %d years in which it is sown", s.Goal, s.Reached, s.SownYears(p))
		}
		if s.Nothing > 0 {
			say("sown and come to nothing in %d of %d years", s.Nothing, len(p.Years))
		}
	}
	return out
}

// FieldPaper is the sheet for the field: what stands and is sown on each, how, when, and
// what must not be done.
func FieldPaper(p *Plan, board *Board, u quantity.System) *Paper {
	s := scalesOf(u)
	out := paperOf(p, "Field sheet")
	var sown []Block
	for i := range board.Rows {
		row := &board.Rows[i]
		t := &Table{Name: row.Field, Columns: []Column{{"What", 2.4}, {"Area, " + s.area, 0.9}, {"Rate", 2}, {"Depth", 1}, {"When", 2}, {"Use", 1.6}, {"Done on", 1.3}}}
		var cautions []string
		text := []string{line("%s. Soil: %s.", area(row.Area, u), row.Soil)}
		for _, b := range row.Bars {
			if b.Sowing < 0 {
				text = append(text, line("Stands there: %s, %s.", b.Title, b.Use))
			}
		}
		for k := range p.Sowings {
			x := &p.Sowings[k]
			if x.Field != row.Field {
				continue
			}
			t.Rows = append(t.Rows, []Cell{strong(x.Crop), figure(x.Area*s.perArea, 1), word(ratesOf(x)), word(x.Depth), words("about %s (%s to %s), not after %s", x.Usual, x.Early, x.Late, x.Latest), word(x.Use), word("")})
			for _, c := range x.Cautions {
				cautions = append(cautions, ruled(c, u))
			}
		}
		if row.Said != "" {
			text = append(text, line("Middle year, %d: %s.", board.Year, row.Said))
		}
		slices.Sort(cautions)
		b := Block{Heading: row.Field, Text: append(text, slices.Compact(cautions)...), Together: true}
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
func FeederPaper(p *Plan, t *Today, u quantity.System) *Paper {
	s := scalesOf(u)
	out := paperOf(p, "Feeder's sheet")
	if t != nil && t.Stock != nil {
		out.Under = "As of " + t.Date + ". " + out.Under
		lies := &Table{Name: "In store", Columns: []Column{{"Store", 2}, {"Feed", 2}, {"Dry matter, " + s.mass, 1.2}, {"As fed, " + s.mass, 1.2}, {"Protein, %", 1}, {"NDF, %", 1}, {"Fed on", 1.6}}}
		for _, x := range t.Stock.Stores {
			for _, l := range byFeed(x.Lots) {
				lies.Rows = append(lies.Rows, []Cell{strong(x.Name), word(l.Feed), figure(l.DM*s.perMass, 1), figure(l.AsFed*s.perMass, 1), figure(l.CP, 0), figure(l.NDF, 0), word("")})
			}
		}
		out.Blocks = append(out.Blocks, Block{Heading: "What lies in store", Table: lies, Together: true})
		days := &Table{Name: "Days", Columns: []Column{{"Group", 2}, {"Stored feed a day, " + s.small + " DM", 2}, {"Share of it, %", 1.4}, {"Days left", 1.2}}}
		for _, g := range t.Stock.Groups {
			days.Rows = append(days.Rows, []Cell{strong(g.Name), figure(g.Need*s.perUnit, 0), figure(100*g.Share, 0), figure(g.Days, 0)})
		}
		ends := []string{line("Middle year: %s. One year in five: %s.", cmp.Or(runsOut(t.Stock.Middle), "it lasts to "+t.Stock.Horizon), cmp.Or(runsOut(t.Stock.Bad), "it lasts to "+t.Stock.Horizon))}
		out.Blocks = append(out.Blocks, Block{Heading: "Feeding days left", Text: ends, Table: days, Together: true})
		var held []string
		for i := range t.Lots {
			for _, g := range t.Lots[i].Gates {
				if g.Answer != "Clear" {
					held = append(held, t.Lots[i].Name+": "+g.Answer+", "+g.Name+": "+ruled(strings.Join(g.Reasons, "; "), u))
				}
			}
		}
		if len(held) > 0 {
			out.Blocks = append(out.Blocks, Block{Heading: "Ask before feeding", Text: held, Together: true})
		}
	}
	lots := &Table{Name: "Lots", Columns: []Column{{"Lot", 2.4}, {"Feed", 1.6}, {"Dry matter, " + s.mass, 1.2}, {"Protein, %", 1}, {"NDF, %", 1}, {"For", 2.4}}}
	for i := range p.Account.Lots {
		l := &p.Account.Lots[i]
		lots.Rows = append(lots.Rows, []Cell{strong(l.Name), word(l.Feed), figure(l.Mass*s.perMass, 1), figure(l.CP, 0), figure(l.NDF, 0), word(l.For)})
	}
	if len(lots.Rows) > 0 {
		out.Blocks = append(out.Blocks, Block{Heading: "Lots of the plan, and for whom", Table: lots})
	}
	fed := &Table{Name: "Feeding", Columns: []Column{{"From", 1.4}, {"Need, " + s.mass, 1}, {"Pasture", 1}, {"Store", 1}, {"Grain, protein", 1.2}, {"Bought", 1}, {"Short", 1}, {"Left in store", 1.2}}}
	for i := range p.Middle.Rows {
		r := &p.Middle.Rows[i]
		fed.Rows = append(fed.Rows, []Cell{strong(r.Name), figure(r.Demand*s.perMass, 1), figure(r.Pasture*s.perMass, 1), figure(r.Stored*s.perMass, 1), figure(r.Grain*s.perMass, 1), figure(r.Bought*s.perMass, 1), figure(r.Short*s.perMass, 1), figure(r.Store*s.perMass, 0)})
	}
	out.Blocks = append(out.Blocks, Block{Heading: fmt.Sprintf("Feeding in the middle year, %d, %s of dry matter", p.Middle.Year, s.mass), Table: fed})
	return out
}

func runsOut(day string) string {
	if day == "" {
		return ""
	}
	return "it runs out about " + day
}

// SeedPaper is the seed order by product and supplier.
func SeedPaper(p *Plan, u quantity.System) *Paper {
	s := scalesOf(u)
	out := paperOf(p, "Seed order")
	t := &Table{Name: "Seed order", Columns: []Column{{"Seed", 2.2}, {"Product", 1.8}, {"Supplier", 1.6}, {"Area, " + s.area, 0.9}, {"Rate, " + s.rate, 1}, {"Seed, " + s.small, 1}, {"Bags", 0.7}, {"Cost, " + p.Farm.Currency, 1}, {"Sow by", 1}}}
	var text []string
	total := 0.0
	for i := range p.Seed {
		x := &p.Seed[i]
		t.Rows = append(t.Rows, []Cell{strong(x.Crop), word(x.Product), word(x.Supplier), figure(x.Area*s.perArea, 1), figure(x.Rate*s.perRate, 1), figure(x.Mass*s.perUnit, 0), figure(float64(x.Bags), 0), figure(x.Cost, 0), word(x.Latest)})
		total += x.Cost
		name := strings.TrimSpace(x.Crop + " " + x.Product)
		if x.Certified && !x.Organic {
			text = append(text, name+": for certified ground; organic if it can be had, never treated")
		}
		if x.Inoculant != "" {
			text = append(text, name+": inoculant "+x.Inoculant)
		}
		if x.Substitute != "" {
			text = append(text, name+": in its place, "+x.Substitute)
		}
	}
	if len(t.Rows) == 0 {
		text = append(text, "Nothing is sown in this plan: there is nothing to order.")
		t = nil
	} else {
		text = append(text, fmt.Sprintf("Whole bags: %s %s in all.", quantity.Grouped(total, 0), p.Farm.Currency))
	}
	out.Blocks = append(out.Blocks, Block{Heading: "To order", Table: t, Text: text})
	return out
}
