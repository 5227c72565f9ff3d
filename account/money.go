package account

import (
	"fmt"

	"rowen/farm"
	"rowen/handbook/economics"
	"rowen/quantity"
	"rowen/season"
)

// Budget is a plan held against another, one weather year each: what is added and
// saved, what is spent and lost.
type Budget struct {
	Added, Saved, Spent, Lost float64
	Net                       float64
	Lines                     []string
}

// BudgetOf holds a plan's year against the same year under another plan. Prices are
// the farm's; stock left at the year's end is valued on both sides. What a sward that
// was given up would have yielded, and what its sod fed, is in it already: both years
// were lived through, and less forage is left or more bought. Its sowing again is not.
func BudgetOf(f *farm.Farm, now, plan *season.YearResult) Budget {
	var b Budget
	say := func(format string, args ...any) { b.Lines = append(b.Lines, fmt.Sprintf(format, args...)) }
	stock := (plan.Money.ClosingStock - plan.Money.OpeningStock) - (now.Money.ClosingStock - now.Money.OpeningStock)
	split := func(name string, gain float64) {
		switch {
		case gain > 0:
			b.Added += gain
			say("more %s: %s", name, quantity.Grouped(gain, 0))
		case gain < 0:
			b.Lost -= gain
			say("less %s: %s", name, quantity.Grouped(-gain, 0))
		}
	}
	split("forage in store at the year's end", stock)
	pay := func(name string, before, after float64) {
		switch d := after - before; {
		case d > 0:
			b.Spent += d
			say("more spent on %s: %s", name, quantity.Grouped(d, 0))
		case d < 0:
			b.Saved -= d
			say("saved on %s: %s", name, quantity.Grouped(-d, 0))
		}
	}
	pay("bought forage", now.Money.BoughtForage, plan.Money.BoughtForage)
	pay("grain", now.Money.Grain, plan.Money.Grain)
	pay("protein", now.Money.Protein, plan.Money.Protein)
	pay("seed", now.Money.Seed, plan.Money.Seed)
	pay("field work", now.Money.Work, plan.Money.Work)
	pay("nitrogen", now.Money.Nitrogen, plan.Money.Nitrogen)
	pay("sowing again the swards given up", now.Money.Reseeding, plan.Money.Reseeding)
	b.Net = economics.PartialBudget(b.Added, b.Saved, b.Spent, b.Lost)
	return b
}

// Sensitivity is what the year's feed cost becomes when one thing changes.
type Sensitivity struct {
	What string
	Cost float64
}

// SensitivityOf changes one thing at a time: prices by a fifth, and home yields by a
// fifth, the difference bought or saved at the price of bought forage.
func SensitivityOf(f *farm.Farm, y *season.YearResult) []Sensitivity {
	base := UnitCostsOf(f, y).FeedCost
	m := &y.Money
	// A fifth of what was grown: lost, it is first missed in the store and then bought;
	// gained, it is first not bought and then stored.
	fifth := 0.2 * m.GrownDM
	kept, bought := float64(f.Prices.ClosingForage), float64(f.Prices.BoughtForage)
	surplus := max(0, m.ClosingStock-m.OpeningStock) / max(kept, 1e-9)
	lower := min(fifth, surplus)*kept + max(0, fifth-surplus)*bought
	saved := min(m.BoughtForage, fifth*bought)
	higher := saved + max(0, fifth-saved/max(bought, 1e-9))*kept
	return []Sensitivity{
		{"as planned", base},
		{"home yields a fifth lower, made up from store, then bought", base + lower},
		{"home yields a fifth higher, stored where nothing is bought", base - higher},
		{"bought forage a fifth dearer", base + 0.2*m.BoughtForage},
		{"grain and protein a fifth dearer", base + 0.2*(m.Grain+m.Protein)},
		{"custom work and seed a fifth dearer", base + 0.2*(m.Work+m.Seed)},
	}
}
