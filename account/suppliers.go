package account

import (
	"cmp"
	"slices"
)

// SupplierLine is the seed of one product from one supplier over several farms.
// Each farm takes its own whole bags: bags and money are the sums of the farms'.
type SupplierLine struct {
	Supplier, Product, Crop string
	Organic                 bool
	Untreated               bool // must be: it goes on certified or transition land
	Currency                string
	Bag                     float64 // lb
	Farms                   int
	Acres                   float64
	Pounds                  float64
	Bags                    int
	Cost                    float64
}

// FarmSeed is a farm's part of a line.
type FarmSeed struct {
	Farm     int // tells farms of one name apart
	Name     string
	Currency string
	Order    SeedOrder
}

// BySupplier adds farms' seed orders up by supplier, product, bag and what the
// ground asks of the seed, in that order; seed without a supplier comes last.
func BySupplier(seeds []FarmSeed) []SupplierLine {
	var out []SupplierLine
	index := map[SupplierLine]int{}
	counted := map[SupplierLine]map[int]bool{}
	for i := range seeds {
		o := &seeds[i].Order
		key := SupplierLine{Supplier: o.Supplier, Product: o.Product, Crop: o.Crop, Organic: o.Organic, Untreated: o.Untreated, Currency: seeds[i].Currency, Bag: o.Bag}
		at, ok := index[key]
		if !ok {
			at = len(out)
			index[key], counted[key] = at, map[int]bool{}
			out = append(out, key)
		}
		x := &out[at]
		if !counted[key][seeds[i].Farm] {
			counted[key][seeds[i].Farm] = true
			x.Farms++
		}
		x.Acres += o.Acres
		x.Pounds += o.Pounds
		x.Bags += o.Bags
		x.Cost += o.Cost
	}
	slices.SortStableFunc(out, func(a, b SupplierLine) int {
		return cmp.Or(
			cmp.Compare(unnamed(a.Supplier), unnamed(b.Supplier)), cmp.Compare(a.Supplier, b.Supplier), cmp.Compare(a.Crop, b.Crop), cmp.Compare(a.Product, b.Product),
			cmp.Compare(a.Currency, b.Currency), cmp.Compare(b2i(a.Organic), b2i(b.Organic)), cmp.Compare(b2i(a.Untreated), b2i(b.Untreated)), cmp.Compare(a.Bag, b.Bag))
	})
	return out
}

func unnamed(s string) int { return b2i(s == "") }

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}
