package season

import (
	"slices"

	"rowen/crop"
	"rowen/feed"
	"rowen/handbook/economics"
	"rowen/handbook/grazing"
	"rowen/quantity"
	"rowen/stand"
)

func dateOf(days int) quantity.Date { return quantity.Date(days) }

// balanceSheet gathers what a year's account needs and the ledger does not keep.
type balanceSheet struct {
	water   Balance
	held    float64   // water in the ground when the year began, m³
	fields  []supply  // by field
	rations [][]ratio // by group and row
	grazed  []grazed  // by group
	planned float64   // grain fed by habit, kg DM
	opening float64   // in store when the year began, kg DM
}

type supply struct{ sum, days, uses float64 }

type ratio struct{ need, energy, cp, ndf, eaten, needEnergy, needCP, holds float64 }

// grazed is a group's pasture and demand by row, within the grazing season.
type grazed struct{ pasture, demand [HalfMonths]float64 }

// open readies the sheet.
func (r *runner) open() {
	b := &r.closing
	b.fields = make([]supply, len(r.m.farm.Fields))
	b.grazed = make([]grazed, len(r.m.groups))
	b.rations = make([][]ratio, len(r.m.groups))
	for g := range b.rations {
		b.rations[g] = make([]ratio, HalfMonths)
	}
	for i := range r.now.Plots {
		b.held += r.now.Plots[i].Stand.Water() * r.m.plots[i].area / 1000
	}
	for l := range r.now.Lots {
		lot := &r.now.Lots[l]
		r.out.Pools[lot.Kind].Opening += lot.DM
		b.opening += lot.DM
	}
	r.standing = make([]aboveCache, len(r.m.plots))
}

// add books a day's water of a plot, m³.
func (b *Balance) add(d *stand.Day, area float64) {
	b.In += d.Rain * area / 1000
	b.Out += (d.Runoff + d.Evaporation + d.Transpiration + d.Drainage) * area / 1000
}

// stress keeps a field's water supply on its growing days.
func (b *balanceSheet) stress(field int, d *stand.Day) {
	if d.Ready {
		b.fields[field].sum += d.Stress
		b.fields[field].days++
	}
}

// ration keeps what a group ate against what it needed.
func (b *balanceSheet) ration(g, row int, request *feed.Request, outcome *feed.Outcome) {
	x := &b.rations[g][row]
	x.need += request.DM
	x.eaten += outcome.DM
	x.energy += outcome.Energy
	x.cp += outcome.CP
	x.ndf += outcome.NDF
	x.needEnergy += request.Energy
	x.needCP += request.CP
	x.holds += request.MaxNDF
}

// aboveCache is what stands above a plot's residual, worked out at most once a
// day and use.
type aboveCache struct {
	day      int
	residual float64
	herbage  stand.Herbage
	known    bool
}

// above is what stands on a plot above a residual.
func (r *runner) above(i int, residual float64) *stand.Herbage {
	c := &r.standing[i]
	if !c.known || c.day != r.day || c.residual != residual {
		c.herbage = r.phase(i).stand.Standing(&r.now.Plots[i].Stand, residual)
		c.day, c.residual, c.known = r.day, residual, true
	}
	return &c.herbage
}

// stale forgets what stood on a plot, after it was used.
func (r *runner) stale(i int) { r.standing[i].known = false }

// book ends the day in the ledger: on a row's last day, what is left standing, in
// store, and how high the fields are.
func (r *runner) book() {
	tomorrow := r.date + 1
	if tomorrow.HalfMonth() == r.date.HalfMonth() && r.day+1 < r.y.days {
		return
	}
	row := &r.out.Ledger[r.row]
	for l := range r.now.Lots {
		row.Store += r.now.Lots[l].DM
	}
	for i := range r.now.Plots {
		p, ps, ph := &r.m.plots[i], &r.now.Plots[i], r.phase(i)
		if ph.bare {
			continue
		}
		line := &r.field(i).Ledger[r.row]
		line.Height = max(line.Height, ph.stand.Height(&ps.Stand))
		if r.grazeable(i) {
			row.Left += r.above(i, ph.rules[crop.Graze].residual).DM * p.area / 1000
		}
	}
}

// oneEach weighs the ledger's rows alike.
var oneEach = func() (w [HalfMonths]float64) {
	for i := range w {
		w[i] = 1
	}
	return w
}()

// close ends the year: ratios, shares, stocks, money and the balances.
func (r *runner) close() {
	b := &r.closing
	for l := range r.now.Lots {
		lot := &r.now.Lots[l]
		r.out.Pools[lot.Kind].Closing += lot.DM
	}
	r.out.Closing = append([]feed.Lot(nil), r.now.Lots...)
	for row := range HalfMonths {
		var need, energy, cp float64
		for g := range r.m.groups {
			x := &b.rations[g][row]
			line := &r.out.Groups[g].Ledger[row]
			if x.needEnergy > 0 {
				line.Energy = x.energy / x.needEnergy
				line.CP = x.cp / x.needCP
			}
			if x.eaten > 0 {
				line.NDF = 100 * x.ndf / x.eaten
				if x.holds > 0 {
					line.Fill = x.ndf / x.holds
				}
			}
			need += x.need
			energy += line.Energy * x.need
			cp += line.CP * x.need
		}
		if need > 0 {
			r.out.Ledger[row].Energy, r.out.Ledger[row].CP = energy/need, cp/need
		}
	}
	for g := range r.out.Groups {
		// Rows of days of equal weight: the sums are of kg already.
		r.out.Groups[g].PastureShare = grazing.SeasonShare(oneEach[:], b.grazed[g].pasture[:], b.grazed[g].demand[:])
	}
	for f := range r.out.Fields {
		r.out.Fields[f].Uses = int(b.fields[f].uses + 0.5)
		if s := b.fields[f]; s.days > 0 {
			r.out.Fields[f].Stress = s.sum / s.days
		} else {
			r.out.Fields[f].Stress = 1
		}
	}
	water := 0.0
	for i := range r.now.Plots {
		if sw := &r.now.Plots[i].Swath; sw.DM > 0 {
			r.field(i).Lying += sw.Herbage.DM * r.m.plots[i].area / 1000
		}
		water += r.now.Plots[i].Stand.Water() * r.m.plots[i].area / 1000
	}
	b.water.Change = water - b.held
	r.out.Water = b.water
	r.account()
	slices.SortStableFunc(r.out.Events, func(a, c Event) int { return int(a.Date - c.Date) })
}

// account closes the money and finds the shortage.
func (r *runner) account() {
	b, m := &r.closing, &r.out.Money
	var demand, home, closing float64
	for k := range r.out.Pools {
		p := &r.out.Pools[k]
		if feed.Kind(k).HomeGrown() {
			home += p.Eaten
			closing += p.Closing
			m.GrownDM += p.In
		}
	}
	for row := range r.out.Ledger {
		demand += r.out.Ledger[row].Demand
	}
	// A year that eats its stores bare is as short as one that buys.
	r.out.Shortage = demand - b.planned - home - (closing - b.opening)
	m.FedDM = home
	m.OpeningStock, m.ClosingStock = b.opening*r.m.prices.closing, closing*r.m.prices.closing
	spent := m.Seed + m.Work + m.Nitrogen
	m.CostGrown = economics.CostPerTon(spent, m.GrownDM, 0)
	m.CostFed = economics.CostPerTon(spent+m.OpeningStock-m.ClosingStock, m.FedDM, 0)
	r.opportunity()
}

// opportunity works out what an annual's ground gave up: the sward that stood
// there, at the yield of the farm's other swards and the price of stored forage;
// the nitrogen its sod gave back; and the reseeding that follows.
func (r *runner) opportunity() {
	m := &r.out.Money
	var grown, area float64
	for i := range r.m.plots {
		if p := &r.m.plots[i]; p.sward && len(p.phases) == 1 {
			// A paddock gives what its share of the field does.
			x := &r.out.Fields[p.field]
			grown += (x.Grazed + x.Stored) * p.area / float64(r.m.farm.Fields[p.field].Area)
			area += p.area
		}
	}
	for i := range r.m.plots {
		p := &r.m.plots[i]
		if !p.sward || len(p.phases) == 1 || r.now.Plots[i].Phase == 0 {
			continue
		}
		given := 0.0
		if area > 0 {
			given = grown / area * p.area * r.m.prices.closing
		}
		credit := sodCredit(&p.phases[0]) * p.area * r.m.prices.nitrogen
		reseeding := (p.phases[0].seedCost + float64(r.m.farm.Custom.Tillage+r.m.farm.Custom.Drilling)) * p.area
		m.SwardGivenUp += given
		m.NitrogenCredit += credit
		m.Reseeding += reseeding
		// The first sowing on killed sod carries what the sod gave up.
		r.out.Sowings[p.phases[1].index].Net += credit - given - reseeding
	}
	for s := range r.out.Sowings {
		x := &r.out.Sowings[s]
		x.Net += (x.Grazed+x.Stored)*r.m.prices.closing - x.Cost
	}
}
