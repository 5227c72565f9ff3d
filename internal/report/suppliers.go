package report

import (
	"io"
	"strconv"

	"rowen/account"
	"rowen/quantity"
)

// WriteSuppliers writes the seed of all farms by supplier and product as CSV,
// without the farms' names.
func WriteSuppliers(w io.Writer, b *Bulletin) error {
	rows := [][]string{append(append([]string{"supplier", "product", "seed", "organic_seed", "must_be_untreated"}, seedHeads(b.Units)...), "cost", "currency", "farms")}
	for i := range b.Seed {
		x := &b.Seed[i]
		row := []string{x.Supplier, x.Product, x.Crop, yesNo(x.Organic), yesNo(x.Untreated)}
		row = append(row, seedCells(x.Acres, x.Pounds, x.Bag, x.Bags, b.Units)...)
		rows = append(rows, append(row, strconv.FormatFloat(x.Cost, 'f', 2, 64), x.Currency, strconv.Itoa(x.Farms)))
	}
	return writeCSV(w, rows)
}

// WriteSeedByFarm writes the same split by farm, for the adviser.
func WriteSeedByFarm(w io.Writer, b *Bulletin) error {
	rows := [][]string{append(append([]string{"farm", "supplier", "product", "seed", "organic_seed", "must_be_untreated"}, seedHeads(b.Units)...), "cost", "currency")}
	for i := range b.SeedByFarm {
		x := &b.SeedByFarm[i]
		o := &x.Order
		row := []string{x.Name, o.Supplier, o.Product, o.Crop, yesNo(o.Organic), yesNo(o.Untreated)}
		row = append(row, seedCells(o.Acres, o.Pounds, o.Bag, o.Bags, b.Units)...)
		rows = append(rows, append(row, strconv.FormatFloat(o.Cost, 'f', 2, 64), x.Currency))
	}
	return writeCSV(w, rows)
}

func seedHeads(u quantity.System) []string {
	if u == quantity.Metric {
		return []string{"area_ha", "seed_kg", "bag_kg", "bags"}
	}
	return []string{"area_ac", "seed_lb", "bag_lb", "bags"}
}

func seedCells(acres, pounds, bag float64, bags int, u quantity.System) []string {
	f := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	if u == quantity.Metric {
		acres, pounds, bag = (quantity.Area(acres) * quantity.Acre).Hectares(), pounds*kgPerLb, bag*kgPerLb
	}
	return []string{f(acres), f(pounds), f(bag), strconv.Itoa(bags)}
}

// seedTotal is the seed of all farms in one line.
type seedTotal struct {
	Currency    string
	Bags, Lines int
	Cost        float64
}

// seedTotals adds the order up by currency, in the order met.
func seedTotals(lines []account.SupplierLine) (out []seedTotal) {
	index := map[string]int{}
	for i := range lines {
		x := &lines[i]
		at, ok := index[x.Currency]
		if !ok {
			at = len(out)
			index[x.Currency] = at
			out = append(out, seedTotal{Currency: x.Currency})
		}
		out[at].Lines++
		out[at].Bags += x.Bags
		out[at].Cost += x.Cost
	}
	return out
}
