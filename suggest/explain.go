package suggest

import (
	"cmp"
	"context"
	"math"
	"slices"

	"rowen/farm"
	"rowen/season"
	"rowen/weather"
)

// Explained says why a plan is what it is, in numbers.
type Explained struct {
	Sowings []SowingWorth
	Fields  []FieldWorth
	Stores  []StoreWorth
	Limits  []LimitWorth
}

// SowingWorth is what a field's programme closes: what the coupled farm lacks without
// it, in the middle and in the bad year of the plan.
type SowingWorth struct {
	Field     int
	Programme string
	Rows      []RowWorth // half-months in which the gap is wider without it
	// Middle and Bad are the annual shortage without it less that with it, kg DM.
	Middle, Bad float64
	// Cost is what the coupled year costs more without it, on average of the two.
	Cost float64
}

// RowWorth is a half-month's gap that a programme closes, kg DM.
type RowWorth struct {
	Row         int
	Middle, Bad float64
}

// FieldWorth is what ground is worth under the plan, at the margin: for a little more or
// less of it.
type FieldWorth struct {
	Field int
	Land  float64 // money/ha: what one more hectare of it under its programme saves
	Next  []Rival
}

// Rival is another programme for a field, and what would have to be otherwise for it to
// win, as far as a little of it tells.
type Rival struct {
	Programme string
	Behind    float64 // money/ha that it is worth less; below nothing it is level: within what the proof leaves open
	Yield     float64 // times its yield at which it wins; 0 where no yield does
	Cheaper   float64 // money/ha that its cost would have to fall
	Forage    float64 // the value of feed, times, at which the two are level; 0 where none is above nothing
}

// StoreWorth is what room is worth: money for a tonne DM more of it, a year.
type StoreWorth struct {
	Store string
	Tonne float64
	Full  []int // half-months in which it is full in some years
}

// LimitWorth is what loosening one of the request's limits by one unit saves: a hectare
// of land, a unit of money, an hour of work.
type LimitWorth struct {
	Rule  string
	Worth float64
}

// rivals is how many other programmes are told of for each field.
const rivals = 2

// Explain explains a plan that the program judged.
func (out *Suggestion) Explain(ctx context.Context, x *Plan) (*Explained, error) {
	e := &Explained{}
	if x.judged == nil || x.At == nil {
		return e, nil
	}
	p := x.p
	weight := p.seen(x.judged)
	for i := range p.choice {
		e.Fields = append(e.Fields, p.fieldWorth(i, x, weight))
	}
	e.Stores = p.storeWorth(x.judged, weight)
	if x.Choice != nil {
		for i := len(p.choice); i < len(p.Rules) && i < len(x.Choice.rulePrice); i++ {
			if v := -x.Choice.rulePrice[i]; v > 1e-6 {
				e.Limits = append(e.Limits, LimitWorth{p.Rules[i].Name, v})
			}
		}
	}
	var err error
	e.Sowings, err = p.closes(ctx, x)
	return e, err
}

// seen is how much the objective sees of each year at a choice: its probability, and
// more of it in the worst.
func (p *Program) seen(j *Judgement) []float64 {
	w := p.weights()
	out := make([]float64, len(w))
	left := p.Risk.Tail
	for _, y := range worstFirst(j.Cost) {
		bad := min(left, w[y])
		left -= bad
		out[y] = (1-p.Risk.Weight)*w[y] + p.Risk.Weight*bad/p.Risk.Tail
	}
	return out
}

// margin is what a field's candidate is worth and costs at the prices of a choice, money
// for the whole field.
func (p *program) margin(j *Judgement, weight []float64, first int) (worth, cost float64) {
	for y := range p.Years {
		cost += weight[y] * (p.First[first].Cost + p.Years[y].of(first))
		worth -= weight[y] * j.cuts[y].slope[first]
	}
	return worth, cost
}

func (p *program) fieldWorth(i int, x *Plan, weight []float64) FieldWorth {
	f := FieldWorth{Field: i}
	area := float64(p.s.farm.Fields[i].Area) / 1e4
	worth, cost := p.margin(x.judged, weight, p.choice[i][x.At[i]])
	f.Land = (worth - cost) / area
	chosen := &p.s.fields[i][x.At[i]]
	lead := p.s.kind(chosen)
	best := map[string]Rival{}
	var names []string
	for j := range p.choice[i] {
		c := &p.s.fields[i][j]
		name := p.s.kind(c)
		if j == x.At[i] || name == lead {
			continue
		}
		w, k := p.margin(x.judged, weight, p.choice[i][j])
		r := Rival{Programme: c.Name(), Behind: (worth - cost - w + k) / area}
		if r.Behind > 0 {
			r.Cheaper = r.Behind
			if w > 0 {
				r.Yield = (worth - cost + k) / w
			}
			// worth·v - cost = w·v - k
			if v := (cost - k) / (worth - w); v > 0 && !math.IsInf(v, 0) && !math.IsNaN(v) {
				r.Forage = v
			}
		}
		if old, ok := best[name]; !ok || r.Behind < old.Behind {
			if !ok {
				names = append(names, name)
			}
			best[name] = r
		}
	}
	for _, n := range names {
		f.Next = append(f.Next, best[n])
	}
	slices.SortStableFunc(f.Next, func(a, b Rival) int { return cmp.Compare(a.Behind, b.Behind) })
	f.Next = f.Next[:min(rivals, len(f.Next))]
	return f
}

// storeWorth prices room in the stores. One store row is full for several half-months:
// the year's worth is their sum.
func (p *program) storeWorth(j *Judgement, weight []float64) (out []StoreWorth) {
	for st, name := range storeNames {
		w := StoreWorth{Store: name}
		for h := range season.HalfMonths {
			row := p.rows.capacity[h][st]
			if row < 0 {
				continue
			}
			full := 0.0
			for y := range p.Years {
				full -= weight[y] * j.Price[y][row]
			}
			if full > 1e-9 {
				w.Tonne += 1000 * full
				w.Full = append(w.Full, h)
			}
		}
		if w.Tonne > 0 {
			out = append(out, w)
		}
	}
	return out
}

// closes leaves out one programme after another and lets the coupled season say what the
// farm then lacks, in the plan's middle and bad year.
func (p *program) closes(ctx context.Context, x *Plan) (out []SowingWorth, err error) {
	s := p.s
	years := []weather.Year{s.years[x.Run.Result.Middle], s.years[x.Run.Result.Bad]}
	credit := s.credit(x.At)
	with, err := p.run(ctx, &x.Plan, credit, years)
	if err != nil {
		return nil, err
	}
	for i, j := range x.At {
		c := &s.fields[i][j]
		if c.Leaves() {
			continue
		}
		var left farm.Plan
		for _, w := range x.Plan.Sowings {
			if w.Field != i {
				left.Sowings = append(left.Sowings, w)
			}
		}
		without, err := p.run(ctx, &left, credit-c.Credit*float64(s.farm.Fields[i].Area)/1e4, years)
		if err != nil {
			return nil, err
		}
		a, b := &with.Result.Years, &without.Result.Years
		w := SowingWorth{
			Field: i, Programme: c.Name(), Cost: without.Expected - with.Expected,
			Middle: (*b)[0].Shortage - (*a)[0].Shortage, Bad: (*b)[1].Shortage - (*a)[1].Shortage,
		}
		for h := range season.HalfMonths {
			row := RowWorth{Row: h, Middle: (*b)[0].Ledger[h].Gap - (*a)[0].Ledger[h].Gap, Bad: (*b)[1].Ledger[h].Gap - (*a)[1].Ledger[h].Gap}
			if max(row.Middle, row.Bad) > worthTelling {
				w.Rows = append(w.Rows, row)
			}
		}
		out = append(out, w)
	}
	return out, nil
}

// worthTelling is the least gap of a half-month that is told, kg DM.
const worthTelling = 200
