package account

import (
	"crypto/sha256"
	"math"
	"sort"

	"rowen/farm"
	"rowen/feed"
	"rowen/quantity"
	"rowen/season"
)

// StandClasses are what ground is sorted by in a comparison: the kinds of stand that
// take alike off the ground and ask alike of it.
var StandClasses = [...]string{
	grassy: "grass", legumeRich: "clover-rich", alfalfaLike: "alfalfa", sorghumLike: "sorghum and millet", cornLike: "corn", cerealLike: "cereals", brassicaLike: "brassicas",
}

// Compared is a farm as a comparison shows it: no name, no area, no animals. Of
// the middle year unless it says the bad.
type Compared struct {
	HomeShare         float64 // of forage eaten, home-grown
	GapMiddle, GapBad float64 // per 100 units of demand
	Cost              float64 // money per kg of dry matter eaten, home-grown and bought
	Currency          string
	Pasture           float64                    // share of demand
	Yield             [len(StandClasses)]float64 // kg DM/m² taken, by StandClasses; NaN where the farm has none
	Nitrogen          float64                    // applied and fixed by legumes less taken off, lb/ac
}

// CompareOf works out a farm's line.
func CompareOf(f *farm.Farm, r *season.Result) Compared {
	y, bad := &r.Years[r.Middle], &r.Years[r.Bad]
	out := Compared{Currency: f.Currency}
	var home, forage, all, demand float64
	for row := range y.Ledger {
		h := &y.Ledger[row]
		demand += h.Demand
		for k, v := range h.Fed {
			kind := feed.Kind(k)
			all += v
			if kind.Forage() {
				forage += v
			}
			if kind.HomeGrown() {
				home += v
			}
		}
		out.Pasture += h.Fed[feed.Pasture]
	}
	out.HomeShare, out.Pasture = home/forage, out.Pasture/demand
	out.GapMiddle, out.GapBad = gapPerHundred(y), gapPerHundred(bad)
	out.Cost = UnitCostsOf(f, y).FeedCost / all
	out.yields(f, y)
	acres := 0.0
	for i := range f.Fields {
		acres += f.Fields[i].Area.Acres()
	}
	out.Nitrogen = NutrientsOf(f, y).Farm.N / acres
	return out
}

func gapPerHundred(y *season.YearResult) float64 {
	var gap, demand float64
	for row := range y.Ledger {
		gap += y.Ledger[row].Gap
		demand += y.Ledger[row].Demand
	}
	return 100 * gap / demand
}

// yields adds fields up by what they carry last in the plan.
func (c *Compared) yields(f *farm.Farm, y *season.YearResult) {
	var taken, ground [len(StandClasses)]float64
	for i := range f.Fields {
		mix := &f.Fields[i].Stands
		for s := range f.Plan.Sowings {
			if f.Plan.Sowings[s].Field == i {
				mix = &f.Plan.Sowings[s].Mix
			}
		}
		if len(mix.Parts) > 0 {
			class := kindOf(mix)
			taken[class] += y.Fields[i].Grazed + y.Fields[i].Stored
			ground[class] += float64(f.Fields[i].Area)
		}
	}
	for k := range c.Yield {
		c.Yield[k] = math.NaN()
		if ground[k] > 0 {
			c.Yield[k] = taken[k] / ground[k]
		}
	}
}

// LeastCompared is the fewest farms that are compared, and the fewest that must
// share a column for it to be shown: among fewer, neighbours could tell who is who.
const LeastCompared = 4

// Letters gives the farms of a comparison their order, and so their letters: place
// k of the answer is the farm that stands k-th. The order follows a hash of the
// date and of the whole document, so that it is the same for the same documents
// and date, follows neither names nor file order, cannot be worked out by someone
// who knows the names alone, and changes from issue to issue, so that a letter
// found out once does not stay found out.
func Letters(on quantity.Date, documents [][]byte) []int {
	keys := make([][sha256.Size]byte, len(documents))
	order := make([]int, len(documents))
	for i := range documents {
		keys[i] = sha256.Sum256(append([]byte("comparison "+on.String()+" "), documents[i]...))
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool {
		return string(keys[order[a]][:]) < string(keys[order[b]][:])
	})
	return order
}

// Letter is the k-th farm's sign, from 0: A to Z, then AA, AB.
func Letter(k int) string {
	if k < 26 {
		return string(rune('A' + k))
	}
	return Letter(k/26-1) + Letter(k%26)
}
