package account

import (
	"fmt"
	"time"

	"rowen/farm"
	"rowen/feed"
	"rowen/handbook/economics"
	"rowen/handbook/machine"
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
// the farm's; stock left at the year's end is valued on both sides.
func BudgetOf(f *farm.Farm, now, plan *season.YearResult) Budget {
	var b Budget
	say := func(format string, args ...any) { b.Lines = append(b.Lines, fmt.Sprintf(format, args...)) }
	stock := (plan.Money.ClosingStock - plan.Money.OpeningStock) - (now.Money.ClosingStock - now.Money.OpeningStock)
	split := func(name string, gain float64) {
		switch {
		case gain > 0:
			b.Added += gain
			say("more %s: %.0f", name, gain)
		case gain < 0:
			b.Lost -= gain
			say("less %s: %.0f", name, -gain)
		}
	}
	split("forage in store at the year's end", stock)
	pay := func(name string, before, after float64) {
		switch d := after - before; {
		case d > 0:
			b.Spent += d
			say("more spent on %s: %.0f", name, d)
		case d < 0:
			b.Saved -= d
			say("saved on %s: %.0f", name, -d)
		}
	}
	pay("bought forage", now.Money.BoughtForage, plan.Money.BoughtForage)
	pay("grain", now.Money.Grain, plan.Money.Grain)
	pay("protein", now.Money.Protein, plan.Money.Protein)
	pay("seed", now.Money.Seed, plan.Money.Seed)
	pay("field work", now.Money.Work, plan.Money.Work)
	pay("nitrogen", now.Money.Nitrogen, plan.Money.Nitrogen)
	pay("swards given up and sown again", now.Money.SwardGivenUp+now.Money.Reseeding, plan.Money.SwardGivenUp+plan.Money.Reseeding)
	b.Net = economics.PartialBudget(b.Added, b.Saved, b.Spent, b.Lost)
	return b
}

// Month is what a month pays out.
type Month struct {
	Name               string
	Seed, Work, Bought float64
}

// CashOf lays a year's payments out by month: bought feed when it is fed, seed and
// seedbed when sown, custom work when done. Work that has no date of its own (manure,
// fencing) is left in the last column's total.
func CashOf(f *farm.Farm, y *season.YearResult) (months [12]Month, undated float64) {
	first := f.FirstDay()
	at := func(d quantity.Date) *Month {
		_, m, _ := d.Civil()
		_, m0, _ := first.Civil()
		return &months[(int(m)-int(m0)+12)%12]
	}
	for i := range months {
		_, m0, _ := first.Civil()
		months[i].Name = ((m0-1+time.Month(i))%12 + 1).String()[:3]
	}
	var seen float64
	for s := range y.Sowings {
		if y.Sowings[s].Sown == 0 {
			continue
		}
		sow := &f.Plan.Sowings[s]
		area := float64(f.Ground(sow))
		m := at(y.Sowings[s].Sown)
		for _, p := range sow.Mix.Parts {
			m.Seed += float64(p.Rate) * area * float64(f.SeedPrice(p.Crop))
		}
		work := float64(f.Custom.Drilling)
		if sow.NoTill {
			work += float64(f.Custom.NoTill)
		} else {
			work += float64(f.Custom.Tillage)
		}
		if sow.Manure > 0 {
			work += float64(f.Custom.Spreading)
		}
		m.Work += work * area
		seen += work * area
	}
	for i := range y.Events {
		e := &y.Events[i]
		switch {
		case e.Field < 0:
		case e.Kind == season.Stored:
			// The area of a cut is not in its event; the mass is what bales cost.
			w := f.Custom.Gather(e.Use, e.DM, 0)
			at(e.Date).Work += w
			seen += w
		}
	}
	for row := range y.Ledger {
		h := &y.Ledger[row]
		d := y.First + quantity.Date(float64(row)*15.2+7)
		p := &f.Prices
		at(d).Bought += h.Fed[feed.BoughtHay]/hayDM*float64(p.BoughtHay) + h.Fed[feed.BoughtForage]*float64(p.BoughtForage) +
			h.Fed[feed.Grain]/grainDM*float64(p.Grain) + h.Fed[feed.Protein]/grainDM*float64(p.Protein)
	}
	return months, max(0, y.Money.Work-seen)
}

// Dry matter of hay and grain as bought.
const (
	hayDM   = 0.90
	grainDM = 0.89
)

// UnitCosts are what feed costs by what it makes.
type UnitCosts struct {
	PerTonGrown, PerTonFed float64 // ton DM
	FeedCost               float64 // all feed of the year
	PerHundredMilk         float64 // money per hundredweight of milk; 0 without
	PerPoundGain           float64 // money per lb of gain; 0 without
}

// UnitCostsOf divides a year's feed cost by the milk and gain of its animals.
func UnitCostsOf(f *farm.Farm, y *season.YearResult) UnitCosts {
	m := &y.Money
	u := UnitCosts{PerTonGrown: m.CostGrown * 907.18474, PerTonFed: m.CostFed * 907.18474}
	u.FeedCost = m.BoughtForage + m.Grain + m.Protein + m.CostGrown*m.FedDM
	var milk, gain float64 // kg a year
	for i := range f.Groups {
		n := float64(len(f.Groups[i].Periods))
		for _, p := range f.Groups[i].Periods {
			milk += p.Head * p.Milk.KilogramsPerDay() * 365 / n
			gain += p.Head * p.Gain.KilogramsPerDay() * 365 / n
		}
	}
	if milk > 0 {
		u.PerHundredMilk = u.FeedCost / (milk / 45.359237)
	} else if gain > 0 {
		u.PerPoundGain = u.FeedCost / (gain / 0.45359237)
	}
	return u
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
	home := y.Money.FedDM * float64(f.Prices.BoughtForage)
	m := &y.Money
	return []Sensitivity{
		{"as planned", base},
		{"home yields a fifth lower, made up by bought forage", base + 0.2*home},
		{"home yields a fifth higher", base - min(m.BoughtForage, 0.2*home)},
		{"bought forage a fifth dearer", base + 0.2*m.BoughtForage},
		{"grain and protein a fifth dearer", base + 0.2*(m.Grain+m.Protein)},
		{"custom work and seed a fifth dearer", base + 0.2*(m.Work+m.Seed)},
	}
}

// OwnMachine is a machine of the farm's own against custom work.
type OwnMachine struct {
	Name                                   string
	Work                                   string
	AcresPerHour                           float64
	Capital, Upkeep, Repairs, Fuel, Labour float64 // a year
	PerAcre, Custom                        float64 // money per acre
	Acres                                  float64 // a year, by its hours
	BreakEven                              float64 // acres a year at which both cost the same; 0 never
}

// MachinesOf works out what the farm's own machines cost an acre, by ASABE EP496.
func MachinesOf(f *farm.Farm) (out []OwnMachine) {
	for i := range f.Machines {
		out = append(out, machineCost(f, &f.Machines[i]))
	}
	return out
}

// coefficients of a work: field efficiency, repair factors and remaining
// value (ASABE D497, typical, from memory), and the custom rate that it stands
// against, money per acre.
func coefficients(f *farm.Farm, work string) (efficiency, rf1, rf2, c1, c2 float64, custom quantity.MoneyPerArea) {
	c := &f.Custom
	switch work {
	case "mowing":
		return 0.80, 0.16, 2.0, 0.756, 0.067, c.Mowing
	case "raking":
		return 0.80, 0.17, 1.4, 0.756, 0.067, c.Raking
	case "baling":
		return 0.65, 0.43, 1.8, 0.852, 0.101, quantity.MoneyPerArea(float64(c.Baling) * usualCut / float64(c.BaleMass))
	case "chopping":
		return 0.70, 0.15, 1.6, 0.791, 0.091, c.Chopping
	}
	return 0.70, 0.32, 2.1, 0.883, 0.0787, c.Drilling
}

// usualCut is a usual cut, kg DM/m², by which baling is priced by the acre (1.5
// ton/ac).
const usualCut = 0.336

func machineCost(f *farm.Farm, m *farm.Machine) OwnMachine {
	efficiency, rf1, rf2, c1, c2, custom := coefficients(f, m.Work)
	o := OwnMachine{Name: m.Name, Work: m.Work, Custom: float64(custom / quantity.PerAcreOf)}
	o.AcresPerHour = machine.FieldCapacity(float64(m.Speed)/0.44704, float64(m.Width/quantity.Foot), efficiency)
	o.Acres = m.Hours * o.AcresPerHour
	salvage := m.Price * machine.Salvage(c1, c2, 0, float64(m.Years), m.Hours) / 100
	i := float64(m.Interest)
	o.Capital = (m.Price-salvage)*machine.CapitalRecovery(i, m.Years) + salvage*i
	o.Upkeep = machine.Upkeep(m.Price, salvage)
	o.Repairs = machine.Repairs(rf1, rf2, m.Price, m.Hours*float64(m.Years)) / float64(m.Years)
	o.Fuel = machine.Fuel(m.Tractor) * 1.15 * m.Fuel * m.Hours
	o.Labour = 1.1 * m.Labour * m.Hours
	fixed := o.Capital + o.Upkeep
	running := (o.Repairs + o.Fuel + o.Labour) / o.Acres
	o.PerAcre = fixed/o.Acres + running
	if o.Custom > running {
		o.BreakEven = fixed / (o.Custom - running)
	}
	return o
}
