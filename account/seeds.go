package account

import (
	"cmp"
	"fmt"
	"sort"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/seed"
	"rowen/quantity"
)

// usualBag is a bag where a sowing does not tell its own, lb (common practice).
const usualBag = 50

// SeedOrder is a line of the order: one product for the sowings that want it.
type SeedOrder struct {
	Crop       string // title
	Product    string
	Supplier   string
	Acres      float64
	Rate       float64 // bulk seed, lb/ac
	FromPlants bool    // the rate was worked out from target plants
	PureLive   float64 // share of the bag
	Pounds     float64
	Bag        float64 // lb
	Bags       int
	Cost       float64
	SeedsPerLb float64
	Maturity   int
	Organic    bool
	Certified  bool // it goes on certified or transition land
	Untreated  bool // it must be
	Inoculant  string
	Substitute string
	By         quantity.MonthDay // latest useful sowing
}

// SeedOrderOf is what the plan's sowings need, by product and supplier.
func SeedOrderOf(f *farm.Farm) []SeedOrder {
	var out []SeedOrder
	index := map[string]int{}
	for s := range f.Plan.Sowings {
		sow := &f.Plan.Sowings[s]
		acres := f.Ground(sow).Acres()
		certified := f.Fields[sow.Field].Ground.Status != farm.Conventional
		for p := range sow.Mix.Parts {
			part := &sow.Mix.Parts[p]
			line := lineOf(f, sow, part, acres, certified)
			// What differs in any of these is another bag.
			key := fmt.Sprint(line.Crop, "|", line.Product, "|", line.Supplier, "|", line.Certified, line.Organic, line.Bag, line.PureLive, line.Inoculant)
			at, ok := index[key]
			if !ok {
				index[key] = len(out)
				out = append(out, line)
				continue
			}
			o := &out[at]
			o.Rate = (o.Rate*o.Acres + line.Rate*acres) / (o.Acres + acres)
			o.Acres += acres
			o.Pounds += line.Pounds
			if first := f.FirstDay(); line.By.OnOrAfter(first) < o.By.OnOrAfter(first) {
				o.By = line.By // wanted for the sooner of two sowings
			}
			o.finish(f, part.Crop)
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].Supplier < out[b].Supplier })
	return out
}

// latestOf is the last day on which a sowing is useful: its own, else that of its leading
// crop, with which the rest of a mixture goes into the ground.
func latestOf(s *farm.Sowing) quantity.MonthDay {
	if s.By != 0 {
		return s.By.MonthDay()
	}
	return s.Mix.Parts[0].Crop.Sowing.Latest
}

func lineOf(f *farm.Farm, sow *farm.Sowing, part *crop.Part, acres float64, certified bool) SeedOrder {
	c, x := part.Crop, &sow.Seed
	o := SeedOrder{
		Crop: c.Title, Product: x.Product, Supplier: x.Supplier, Acres: acres,
		PureLive: x.PureLive(), Bag: cmp.Or(x.Bag.Pounds(), usualBag),
		SeedsPerLb: float64(c.Sowing.SeedsPerMass) * float64(quantity.Pound), Maturity: x.Maturity, Organic: x.Organic,
		Certified: certified, Untreated: certified, Substitute: x.Substitute, By: latestOf(sow),
	}
	o.Rate = part.Rate.PoundsPerAcre()
	o.FromPlants = x.Plants > 0
	if c.Legume {
		o.Inoculant = "inoculate with the strain for " + c.Title
		if x.Inoculant {
			o.Inoculant = "comes inoculated"
		}
	}
	o.Pounds = o.Rate * acres
	o.finish(f, c)
	return o
}

// finish counts whole bags and money.
func (o *SeedOrder) finish(f *farm.Farm, c *crop.Crop) {
	o.Bags = seed.Bags(o.Pounds, o.Bag)
	o.Cost = float64(o.Bags) * o.Bag * float64(quantity.Pound) * float64(f.SeedPrice(c))
}
