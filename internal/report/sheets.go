package report

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"rowen/quantity"
)

// WriteLedger writes the ledger of the three years as CSV, kg DM.
func WriteLedger(w io.Writer, p *Plan) error {
	c := csv.NewWriter(w)
	rows := [][]string{{"year", "weather_year", "half_month_from", "demand_kg", "grazed_kg", "stored_kg", "bought_forage_kg", "grain_protein_kg", "short_kg", "gap_kg", "harvested_kg", "left_standing_kg", "in_store_kg", "held_kg", "energy_ratio", "protein_ratio"}}
	kg := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	for _, o := range []struct {
		name string
		o    *Outcome
	}{{"middle", &p.Middle}, {"bad", &p.Bad}, {"worst", &p.Worst}} {
		for _, r := range o.o.Rows {
			rows = append(rows, []string{o.name, strconv.Itoa(o.o.Year), r.Name, kg(r.Demand), kg(r.Pasture), kg(r.Stored), kg(r.Bought), kg(r.Grain), kg(r.Short), kg(r.Gap), kg(r.Harvested), kg(r.Left), kg(r.Store), kg(r.Held),
				strconv.FormatFloat(r.Energy, 'f', 3, 64), strconv.FormatFloat(r.Protein, 'f', 3, 64)})
		}
	}
	return c.WriteAll(rows)
}

// WriteSeed writes the seed order as CSV, a line for each product.
func WriteSeed(w io.Writer, p *Plan, u quantity.System) error {
	rows := [][]string{{"supplier", "seed", "product", "maturity_days", "area", "rate", "rate_from", "pure_live_percent", "order", "bags", "bag", "organic_seed", "for_certified_ground", "inoculant", "substitute", "sow_by", "cost_" + p.Farm.Currency}}
	for _, s := range p.Seed {
		from := "document or catalogue"
		if s.FromPlants {
			from = "target plants"
		}
		days := ""
		if s.Maturity > 0 {
			days = strconv.Itoa(s.Maturity)
		}
		rows = append(rows, []string{s.Supplier, s.Crop, s.Product, days, area(s.Area, u), quantity.MassPerArea(s.Rate).RateIn(u), from, strconv.FormatFloat(100*s.PureLive, 'f', 1, 64),
			quantity.Mass(s.Mass).In(u), strconv.Itoa(s.Bags), quantity.Mass(s.Bag).In(u), yesNo(s.Organic), yesNo(s.Certified), s.Inoculant, s.Substitute, s.Latest, strconv.FormatFloat(s.Cost, 'f', 2, 64)})
	}
	return writeCSV(w, rows)
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// WriteLots writes the year's lots as CSV, best first, kg DM.
func WriteLots(w io.Writer, p *Plan) error {
	rows := [][]string{{"lot", "feed", "stored", "dm_kg", "moisture_percent", "cp_percent", "ndf_percent", "effective_fibre_percent", "nel_mcal_per_kg", "ca_percent", "p_percent", "mg_percent", "k_percent", "for", "why", "gate_cattle", "gate_horses_and_sheep"}}
	f := func(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }
	for _, l := range p.Account.Lots {
		rows = append(rows, []string{l.Name, l.Feed, l.Day, f(l.Mass, 0), f(100*l.Moisture, 0), f(l.CP, 1), f(l.NDF, 1), f(l.Fibre, 1), f(l.NEL, 2), f(l.Ca, 2), f(l.P, 2), f(l.Mg, 2), f(l.K, 2), l.For, l.Why, l.Cattle.Answer, l.Strict.Answer})
	}
	return writeCSV(w, rows)
}

// WriteNutrients writes fields, manure loads and cuts as one long CSV, kg.
func WriteNutrients(w io.Writer, p *Plan) error {
	kg := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	rows := [][]string{{"what", "field", "date", "mass_kg", "n_kg", "p2o5_kg", "k2o_kg", "note"}}
	n := &p.Account.Nutrients
	for _, x := range n.Fields {
		for _, line := range []struct {
			what string
			v    float64
		}{{"nitrogen wanted", x.Wants}, {"nitrogen from sod and past manure", x.Credit}, {"nitrogen from manure", x.Manure}, {"nitrogen bought", x.Bought}, {"nitrogen short", x.Short}, {"nitrogen fixed by legumes", x.Fixed}} {
			rows = append(rows, []string{line.what, x.Field, "", "", kg(line.v), "", "", ""})
		}
		rows = append(rows, []string{"balance", x.Field, "", "", kg(x.Balance.N), kg(x.Balance.P), kg(x.Balance.K), x.Soil}, []string{"lime", x.Field, "", kg(x.Lime * x.Area), "", "", "", x.NoLime})
	}
	for _, note := range n.Notes {
		rows = append(rows, []string{"note", note.Fields, "", "", "", "", "", note.Text})
	}
	for _, l := range n.Loads {
		rows = append(rows, []string{"manure", l.Field, l.Day, kg(l.Mass), kg(l.Gives), "", "", l.Source + ", " + l.Why})
	}
	for _, c := range n.Cuts {
		rows = append(rows, []string{"cut takes off", c.Field, c.Day, kg(c.Mass), kg(c.Taken.N), kg(c.Taken.P), kg(c.Taken.K), ""})
	}
	rows = append(rows, []string{"farm balance", "", "", "", kg(n.Balance.N), kg(n.Balance.P), kg(n.Balance.K), n.Defers})
	return writeCSV(w, rows)
}

// WriteMoney writes payments by month as CSV.
func WriteMoney(w io.Writer, p *Plan) error {
	f := func(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }
	rows := [][]string{{"month", "seed_" + p.Farm.Currency, "work", "bought_feed", "nitrogen"}}
	for _, m := range p.Account.Cash {
		rows = append(rows, []string{m.Name, f(m.Seed), f(m.Work), f(m.Bought), f(m.N)})
	}
	return writeCSV(w, append(rows, []string{"without a date of its own", "", f(p.Account.Undated), "", ""}))
}

// writeCSV writes rows so that no cell is read as a formula by a spreadsheet.
func writeCSV(w io.Writer, rows [][]string) error {
	for _, row := range rows {
		for i, cell := range row {
			if cell != "" && strings.ContainsRune("=+-@", rune(cell[0])) {
				if _, err := strconv.ParseFloat(cell, 64); err != nil {
					row[i] = "'" + cell
				}
			}
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}
