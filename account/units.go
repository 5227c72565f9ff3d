package account

import (
	"fmt"

	"rowen/farm"
	"rowen/herd"
	"rowen/quantity"
	"rowen/season"
)

// UnitCosts are what feed costs by what it makes.
type UnitCosts struct {
	PerTonGrown, PerTonFed float64 // ton DM
	FeedCost               float64 // all feed of the year
	PerHundredMilk         float64 // money per hundredweight of milk; 0 without
	PerPoundGain           float64 // money per lb of gain; 0 without
	MilkShare              float64 // of the feed cost that is put to milk, 0 to 1
	Split                  string  // how it was divided
}

// UnitCostsOf divides a year's feed cost by the milk and gain of its animals. The
// year's feed cost is what was bought and what the home-grown feed that was fed cost.
// Where there are milk and gain, each bears the dry matter that its animals needed:
// cows in milk and dry are milk's, all others gain's, and those without either are
// borne with gain.
func UnitCostsOf(f *farm.Farm, y *season.YearResult) UnitCosts {
	m := &y.Money
	u := UnitCosts{PerTonGrown: m.CostGrown * kgPerTon, PerTonFed: m.CostFed * kgPerTon}
	u.FeedCost = m.BoughtForage + m.Grain + m.Protein + m.CostFed*m.FedDM
	var milk, gain, milkDM, allDM float64 // kg a year
	for i := range f.Groups {
		g := &f.Groups[i]
		demand := 0.0
		for row := range y.Groups[i].Ledger {
			demand += y.Groups[i].Ledger[row].Demand
		}
		allDM += demand
		given := perYear(f, g, func(p *farm.Period) float64 { return p.Head * p.Milk.KilogramsPerDay() * 365 })
		milk += given
		if class, err := herd.ParseClass(g.Class); given > 0 || err == nil && (class == herd.DairyLactating || class == herd.DairyDry) {
			milkDM += demand
			continue
		}
		gain += perYear(f, g, func(p *farm.Period) float64 { return p.Head * p.Gain.KilogramsPerDay() * 365 })
	}
	switch {
	case milk > 0 && gain > 0 && allDM > 0:
		u.MilkShare = milkDM / allDM
		u.Split = fmt.Sprintf("cows in milk and dry needed %.0f %% of the dry matter and bear as much of the feed cost; growing and other stock bear the rest", 100*u.MilkShare)
	case milk > 0:
		u.MilkShare = 1
		u.Split = "milk bears the feed of all stock"
	case gain > 0:
		u.Split = "gain bears the feed of all stock, of breeding stock too"
	}
	if milk > 0 {
		u.PerHundredMilk = u.MilkShare * u.FeedCost / (milk / (100 * float64(quantity.Pound)))
	}
	if gain > 0 {
		u.PerPoundGain = (1 - u.MilkShare) * u.FeedCost / (gain / float64(quantity.Pound))
	}
	return u
}
