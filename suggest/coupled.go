package suggest

import (
	"context"
	"math"

	"rowen/farm"
	"rowen/feed"
	"rowen/internal/document"
	"rowen/season"
	"rowen/weather"
)

// Run is what the coupled daily season makes of a plan: the judge that counts. Costs are
// in the same terms as the program's.
type Run struct {
	Result   season.Result
	Cost     []float64 // by weather year, money
	Expected float64
	Bad      float64 // mean cost of the worst tail of years
	// Objective weighs the two as the request asks.
	Objective float64
	// Shortage is home-grown feed short of demand, kg DM, in the middle and in the
	// 1-in-5 year by shortage.
	Middle, Shortage float64
}

// credit is what a plan that renews swards is credited with: what later years gain.
func (s *search) credit(at []int) (sum float64) {
	for i, j := range at {
		sum += s.fields[i][j].Credit * float64(s.farm.Fields[i].Area) / 1e4
	}
	return sum
}

// run plays a plan through weather years in the coupled season.
func (p *program) run(ctx context.Context, plan *farm.Plan, credit float64, years []weather.Year) (*Run, error) {
	f := *p.s.farm
	f.Plan = *plan
	m, problems := season.Compile(&f, plan, years)
	if len(problems) > 0 {
		return nil, document.Problems(problems)
	}
	opening, err := m.SpunUp(ctx)
	if err != nil {
		return nil, err
	}
	out := &Run{}
	if out.Result, err = m.Run(ctx, opening, m.Years()); err != nil {
		return nil, err
	}
	eaters := m.Eaters()
	for y := range out.Result.Years {
		out.Cost = append(out.Cost, p.costOf(&out.Result.Years[y], eaters)-credit)
	}
	weight := make([]float64, len(out.Cost))
	for i := range weight {
		weight[i] = 1 / float64(len(weight))
	}
	out.Expected, out.Bad, out.Objective = mean(out.Cost, weight), p.Risk.Bad(out.Cost, weight), p.Risk.Of(out.Cost, weight)
	out.Middle, out.Shortage = out.Result.Years[out.Result.Middle].Shortage, out.Result.Years[out.Result.Bad].Shortage
	return out, nil
}

// costOf is a coupled year's cost in the program's terms.
func (p *program) costOf(y *season.YearResult, eaters []season.Eater) float64 {
	m, t := &y.Money, &p.terms
	cost := m.Seed + m.Work + m.Nitrogen + m.Reseeding + m.BoughtForage + m.Grain + m.Protein
	for g := range y.Groups {
		e := &eaters[g]
		wanted := 0.0
		for h := range y.Groups[g].Ledger {
			l, d := &y.Groups[g].Ledger[h], &e.Demand[h]
			cost += t.short * l.Short
			if d.DM <= 0 {
				continue
			}
			cost += t.energy[d.System] * d.Energy * max(0, 1-l.Energy)
			cost += t.protein * d.CP * max(0, 1-l.CP)
			cost += t.forage * d.MaxNDF * max(0, l.Fill-1)
			wanted += d.DM * min(1, e.Grazing[h]/max(d.Days, 1))
		}
		if e.Share > 0 {
			cost += t.rule * wanted * max(0, e.Share-y.Groups[g].PastureShare)
		}
	}
	opening, closing := 0.0, 0.0
	for k := range y.Pools {
		if feed.Kind(k).HomeGrown() {
			opening += y.Pools[k].Opening
			closing += y.Pools[k].Closing
		}
	}
	return cost + t.closing*(opening-closing) + max(0, t.forage-t.closing)*max(0, opening-closing)
}

// eaten is what is grazed, kg by half-month, and brought into store, kg, on average
// over the years: as the program reckons a choice, and as the coupled run has it.
func (p *program) eaten(j *Judgement, at []int) (pasture [season.HalfMonths]float64, stored float64) {
	n := float64(len(p.Years))
	for y := range j.Second {
		for h := range pasture {
			for g := range p.eaters {
				for k, col := range p.cols.eat[h][g] {
					if col >= 0 && p.classes.list[k].kind == feed.Pasture {
						pasture[h] += j.Second[y][col] / n
					}
				}
			}
			for _, col := range p.cols.save[h] {
				if col >= 0 {
					stored += saving * j.Second[y][col] / n
				}
			}
		}
	}
	for i, c := range at {
		for y := range p.s.years {
			for _, t := range p.s.fields[i][c].Supply[y].Takes {
				if t.Kind != feed.Pasture {
					stored += t.DM * p.relief.stored * float64(p.s.farm.Fields[i].Area) / 1e4 / n
				}
			}
		}
	}
	return pasture, stored
}

func eatenOnFarm(r *season.Result) (pasture [season.HalfMonths]float64, stored float64) {
	n := float64(len(r.Years))
	for y := range r.Years {
		for h := range r.Years[y].Ledger {
			pasture[h] += r.Years[y].Ledger[h].Fed[feed.Pasture] / n
			stored += r.Years[y].Ledger[h].Harvested / n
		}
	}
	return pasture, stored
}

// Leap bounds of one correction: nothing is believed to be half or double at once.
const (
	leastRelief = 0.5
	mostRelief  = 1.5
)

// towards moves the scales half way to what the coupled run made of the choice: pasture
// by season of three months, so that a growth grazed a fortnight later counts.
func (r relief) towards(p *program, j *Judgement, at []int, run *Run) relief {
	plan, planStored := p.eaten(j, at)
	farm, farmStored := eatenOnFarm(&run.Result)
	out := r
	half := func(scale, planned, got float64) float64 {
		if planned <= 0 {
			return scale
		}
		ratio := math.Max(leastRelief, math.Min(mostRelief, got/planned))
		return scale * (1 + ratio) / 2
	}
	const rows = season.HalfMonths / 4
	for q := range 4 {
		var planned, got float64
		for h := q * rows; h < (q+1)*rows; h++ {
			planned += plan[h]
			got += farm[h]
		}
		for h := q * rows; h < (q+1)*rows; h++ {
			out.pasture[h] = half(r.pasture[h], planned, got)
		}
	}
	out.stored = half(r.stored, planStored, farmStored)
	return out
}
