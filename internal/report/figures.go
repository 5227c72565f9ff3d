package report

import (
	"strings"

	"rowen/handbook"
	"rowen/handbook/economics"
	"rowen/quantity"
	"rowen/say"
)

var practice = handbook.Source{Title: "common practice", Reading: handbook.CommonPractice}

// The formulas behind the figures a plan shows.
//
//say:words
var (
	gapFormula = &handbook.Formula{
		Key: "gap", Name: "gap of a year", Expression: "gap = Σ half-months (short + bought forage + concentrate beyond habit)", Unit: "kg DM",
		Inputs: []handbook.Input{{Symbol: "g1..g24", Name: "gap of each half-month", Unit: "kg DM"}},
		Valid:  "one real weather year", Sources: []handbook.Source{practice}, Eval: sum,
	}
	underFormula = &handbook.Formula{
		Key: "under", Name: "home-grown feed under need of a year", Expression: "under = gap + in store at the beginning - in store at the end", Unit: "kg DM",
		Inputs: []handbook.Input{{Symbol: "gap", Name: "bought, short, and concentrate beyond habit", Unit: "kg DM"}, {Symbol: "beginning", Name: "in store when the feed year began", Unit: "kg DM"}, {Symbol: "end", Name: "in store when it ended", Unit: "kg DM"}},
		Valid:  "one real weather year; less than nothing where the stores gained more than was bought", Sources: []handbook.Source{practice},
		Eval: func(in []float64) float64 { return in[0] + in[1] - in[2] },
	}
	demandFormula = &handbook.Formula{
		Key: "demand", Name: "demand of a year", Expression: "demand = Σ half-months Σ groups head × intake", Unit: "kg DM",
		Inputs: []handbook.Input{{Symbol: "d1..d24", Name: "demand of each half-month", Unit: "kg DM"}},
		Valid:  "one real weather year", Eval: sum,
		Sources: []handbook.Source{{Author: "National Research Council", Year: 2001, Title: "Nutrient Requirements of Dairy Cattle", Place: "eq 1-2", Reading: handbook.Memory}, {Author: "Hibberd & Thrift", Year: 1992, Title: "intake of beef cows", Reading: handbook.Read}},
	}
	costFormula = &handbook.Formula{
		Key: "cost-grown", Name: "cost of a unit grown", Expression: "cost = (seed + work + nitrogen) / grown", Unit: "money/kg DM",
		Inputs: []handbook.Input{{Symbol: "seed", Name: "seed", Unit: "money"}, {Symbol: "work", Name: "field work", Unit: "money"}, {Symbol: "nitrogen", Name: "nitrogen", Unit: "money"}, {Symbol: "grown", Name: "grazed and stored", Unit: "kg DM"}},
		Valid:  "grown above nothing", Sources: []handbook.Source{practice},
		Eval: func(in []float64) float64 { return economics.CostPerTon(in[0]+in[1]+in[2], in[3], 0) },
	}
	fedFormula = &handbook.Formula{
		Key: "cost-fed", Name: "cost of a unit fed", Expression: "cost = (seed + work + nitrogen + opening stock - closing stock) / fed", Unit: "money/kg DM",
		Inputs: []handbook.Input{{Symbol: "seed", Unit: "money"}, {Symbol: "work", Unit: "money"}, {Symbol: "nitrogen", Unit: "money"}, {Symbol: "opening", Unit: "money"}, {Symbol: "closing", Unit: "money"}, {Symbol: "fed", Unit: "kg DM"}},
		Valid:  "fed above nothing", Sources: []handbook.Source{practice},
		Eval: func(in []float64) float64 { return economics.CostPerTon(in[0]+in[1]+in[2]+in[3]-in[4], in[5], 0) },
	}
	seedFormula = &handbook.Formula{
		Key: "seed", Name: "seed to order", Expression: "seed = rate × area", Unit: "kg",
		Inputs: []handbook.Input{{Symbol: "rate", Unit: "kg/m²"}, {Symbol: "area", Unit: "m²"}},
		Valid:  "all", Sources: []handbook.Source{practice},
		Eval: func(in []float64) float64 { return in[0] * in[1] },
	}
	yieldFormula = &handbook.Formula{
		Key: "yield", Name: "a field's yield", Expression: "yield = (grazed + stored) / area", Unit: "kg DM/m²",
		Inputs: []handbook.Input{{Symbol: "grazed", Unit: "kg DM"}, {Symbol: "stored", Unit: "kg DM"}, {Symbol: "area", Unit: "m²"}},
		Valid:  "area above nothing", Sources: []handbook.Source{practice},
		Eval: func(in []float64) float64 { return (in[0] + in[1]) / in[2] },
	}
)

func sum(in []float64) (s float64) {
	for _, v := range in {
		s += v
	}
	return s
}

// Figures are the plan's figures that can be opened, each with its inputs, in a
// fixed order.
func Figures(p *Plan) []handbook.Figure {
	var out []handbook.Figure
	for _, o := range p.shown() {
		gap := handbook.Figure{Key: "gap." + o.key, Label: say.That("gap in %s", o.name), Unit: "kg DM", Formula: gapFormula, Value: o.Gap}
		demand := handbook.Figure{Key: "demand." + o.key, Label: say.That("demand in %s", o.name), Unit: "kg DM", Formula: demandFormula, Value: o.Demand}
		for i, r := range o.Rows {
			origin := say.That("ledger of weather year %d", o.Year)
			gap.Inputs = append(gap.Inputs, handbook.Figure{Key: LedgerCell(o.key, "gap", i), Label: say.Name(r.Name), Value: r.Gap, Unit: "kg DM", Origin: origin})
			demand.Inputs = append(demand.Inputs, handbook.Figure{Key: LedgerCell(o.key, "need", i), Label: say.Name(r.Name), Value: r.Demand, Unit: "kg DM", Origin: origin})
		}
		last := len(o.Rows) - 1
		at := say.That("ledger of weather year %d", o.Year)
		under := handbook.Figure{Key: UnderNeed(o.key), Label: say.That("home-grown feed under need in %s", o.name), Unit: "kg DM", Formula: underFormula, Value: o.Shortage,
			Inputs: []handbook.Figure{
				{Key: gap.Key, Label: gap.Label, Value: o.Gap, Unit: "kg DM", Origin: at},
				{Key: "opening", Label: say.That("in store when the feed year began"), Value: o.Opening, Unit: "kg DM", Origin: at},
				{Key: LedgerCell(o.key, "store", last), Label: say.That("in store when it ended"), Value: o.Rows[last].Store, Unit: "kg DM", Origin: at},
			}}
		m := &o.Money
		in := func(label say.Line, v float64, unit string) handbook.Figure {
			return handbook.Figure{Key: "money", Label: label, Value: v, Unit: unit, Origin: say.That("account of weather year %d", o.Year)}
		}
		cost := handbook.Figure{Key: "cost-grown." + o.key, Label: say.That("cost of home-grown feed, of what grew, in %s", o.name), Unit: "money/kg DM", Formula: costFormula, Value: m.PerKgGrown,
			Inputs: []handbook.Figure{in(say.That("seed"), m.Seed, "money"), in(say.That("work"), m.Work, "money"), in(say.That("nitrogen"), m.Nitrogen, "money"), in(say.That("grown"), m.GrownDM, "kg DM")}}
		fed := handbook.Figure{Key: "cost-fed." + o.key, Label: say.That("cost of home-grown feed, of what was eaten, in %s", o.name), Unit: "money/kg DM", Formula: fedFormula, Value: m.PerKgFed,
			Inputs: []handbook.Figure{in(say.That("seed"), m.Seed, "money"), in(say.That("work"), m.Work, "money"), in(say.That("nitrogen"), m.Nitrogen, "money"), in(say.That("opening stock"), m.Opening, "money"), in(say.That("closing stock"), m.Closing, "money"), in(say.That("fed"), m.FedDM, "kg DM")}}
		out = append(out, gap, under, demand, cost, fed)
		for _, f := range o.Fields {
			at := say.That("field %q in weather year %d", f.Name, o.Year)
			out = append(out, handbook.Figure{Key: "yield." + slug(f.Name) + "." + o.key, Label: say.That("yield of %s in %s", f.Name, o.name), Unit: "kg DM/m²", Formula: yieldFormula,
				Value: (f.Grazed + f.Stored) / f.Area,
				Inputs: []handbook.Figure{
					{Key: "grazed", Label: say.That("grazed"), Value: f.Grazed, Unit: "kg DM", Origin: at}, {Key: "stored", Label: say.That("stored"), Value: f.Stored, Unit: "kg DM", Origin: at}, {Key: "area", Label: say.That("area"), Value: f.Area, Unit: "m²", Origin: say.Name(p.Manifest.FarmPath)},
				}})
		}
	}
	for _, s := range p.Seed {
		name := strings.TrimSpace(s.Crop + " " + s.Product)
		out = append(out, handbook.Figure{Key: "seed." + slug(name), Label: say.That("seed of %s", name), Unit: "kg", Formula: seedFormula, Value: s.Mass,
			Inputs: []handbook.Figure{{Key: "rate", Label: say.That("rate"), Value: s.Rate, Unit: "kg/m²", Origin: say.Name(p.Manifest.FarmPath)}, {Key: "area", Label: say.That("area"), Value: s.Area, Unit: "m²", Origin: say.Name(p.Manifest.FarmPath)}}})
	}
	return out
}

// slug makes a name usable on a command line.
func slug(s string) string {
	var b strings.Builder
	dash := false
	for _, c := range strings.ToLower(s) {
		if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' {
			b.WriteRune(c)
			dash = false
		} else if !dash && b.Len() > 0 {
			b.WriteByte('-')
			dash = true
		}
	}
	return strings.TrimSuffix(b.String(), "-")
}

// FigureText writes a figure's value in the reader's units and the farm's currency where its unit is one that
// has another, else as it stands.
func FigureText(v float64, unit, currency string, u quantity.System) say.Line {
	switch unit {
	case "kg DM":
		return say.That("%s DM", smallMass(v, u))
	case "kg":
		return say.Name(quantity.Mass(v).In(u))
	case "kg DM/m²":
		return say.That("%s DM", yield(v, u))
	case "kg/m²":
		return say.Name(quantity.MassPerArea(v).RateIn(u))
	case "m²":
		return say.Name(area(v, u))
	case "money":
		return say.That("%s %s", quantity.Grouped(v, 0), currency)
	case "money/kg DM":
		if u == quantity.US {
			return say.That("%s %s/ton DM", quantity.Grouped(v*float64(quantity.Ton), 0), currency)
		}
		return say.That("%s %s/t DM", quantity.Grouped(v*1000, 0), currency)
	}
	return say.That("%s %s", quantity.Digits(v, 5), unit)
}

// Slug makes a name usable as that of a file; "farm" where nothing of it can stay.
func Slug(s string) string {
	if s = slug(s); s != "" {
		return s
	}
	return "farm"
}
