package account

import (
	"math"

	"rowen/farm"
	"rowen/handbook/machine"
	"rowen/quantity"
)

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
		return 0.65, 0.43, 1.8, 0.852, 0.101, quantity.MoneyPerArea(float64(c.Baling) * usualCut / float64(max(c.BaleMass, quantity.Pound)))
	case "chopping":
		return 0.70, 0.15, 1.6, 0.791, 0.091, c.Chopping
	}
	return 0.70, 0.32, 2.1, 0.883, 0.0787, c.Drilling
}

// usualCut is a usual cut, kg DM/m², by which baling is priced by the acre (1.5
// ton/ac).
const usualCut = 0.336

// OwnMachineLeftOut is what the figures of own machines leave out.
const OwnMachineLeftOut = "the tractor's own capital and repairs are not in it; custom chopping includes hauling and packing"

func machineCost(f *farm.Farm, m *farm.Machine) OwnMachine {
	efficiency, rf1, rf2, c1, c2, custom := coefficients(f, m.Work)
	o := OwnMachine{Name: m.Name, Work: m.Work, Custom: float64(custom / quantity.PerAcreOf)}
	o.AcresPerHour = machine.FieldCapacity(float64(m.Speed)/0.44704, float64(m.Width/quantity.Foot), efficiency)
	o.Acres = m.Hours * o.AcresPerHour
	salvage := m.Price * machine.Salvage(c1, c2, 0, float64(m.Years), m.Hours) / 100
	i := float64(m.Interest)
	o.Capital = (m.Price-salvage)*machine.CapitalRecovery(i, m.Years) + salvage*i
	o.Upkeep = machine.Upkeep(m.Price, salvage)
	running := func(hours float64) (repairs, fuel, labour float64) {
		years := float64(m.Years)
		return machine.Repairs(rf1, rf2, m.Price, hours*years) / years, machine.Fuel(m.Tractor) * 1.15 * m.Fuel * hours, 1.1 * m.Labour * hours
	}
	perAcre := func(acres float64) float64 {
		repairs, fuel, labour := running(acres / o.AcresPerHour)
		return (o.Capital + o.Upkeep + repairs + fuel + labour) / acres
	}
	o.Repairs, o.Fuel, o.Labour = running(m.Hours)
	o.PerAcre = perAcre(o.Acres)
	o.BreakEven = breakEven(perAcre, o.Custom)
	return o
}

// breakEven is the fewest acres a year at which a cost per acre, which falls as
// standing costs spread and rises again as repairs grow, is down to a price; 0 where it
// never is.
func breakEven(perAcre func(float64) float64, price float64) float64 {
	low, high := 0.0, math.Log(1e6) // of acres, logarithms
	for range 200 {
		a, b := low+(high-low)/3, high-(high-low)/3
		if perAcre(math.Exp(a)) < perAcre(math.Exp(b)) {
			high = b
		} else {
			low = a
		}
	}
	cheapest := math.Exp(high)
	if !(perAcre(cheapest) <= price) {
		return 0
	}
	below, above := 1e-3, cheapest
	for range 200 {
		if mid := (below + above) / 2; perAcre(mid) > price {
			below = mid
		} else {
			above = mid
		}
	}
	return above
}
