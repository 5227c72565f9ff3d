package season

import (
	"context"
	"fmt"
	"math"

	"rowen/crop"
	"rowen/farm"
	"rowen/feed"
	"rowen/handbook"
	"rowen/handbook/nutrition"
	"rowen/stand"
	"rowen/weather"
)

// Supply is what a hectare gives in a year when nothing but its own programme
// decides: what suggestions are chosen by, before the coupled run says what the
// animals make of it.
type Supply struct {
	Takes   []Take
	Cost    float64 // money/ha: seed, nitrogen, work, and the sowing again of a sward given up
	Sown    int     // sowings of the programme that took place
	Reached int     // of them, those first used at their rule's height or stage
	Held    int     // days on which a hazard gate alone kept animals off
	// Work is what was done, in order of date: events of the kinds Sown, Cut and
	// Stored, with masses of a hectare.
	Work []Event
}

// Take is feed taken off a hectare at once.
type Take struct {
	Row      int
	Kind     feed.Kind
	DM       float64 // kg/ha: eaten, at the utilisation of strip grazing; or brought into store
	Analysis nutrition.Analysis
}

// Alone is a programme on a field's ground, compiled to be grown apart from its
// farm: no animal waits for it and no store is full.
type Alone struct {
	m    Model
	from Snapshot
}

// hectare is the ground that a programme is grown on alone, m².
const hectare = 10000

// Alone compiles a field with sowings that take it whole, one after the other, in
// place of the plan's. The opening, of this model, says how its sward stands.
// It may be called at once from many places.
func (m *Model) Alone(opening *Opening, field int, sowings []farm.Sowing) (*Alone, error) {
	if field < 0 || field >= len(m.farm.Fields) {
		return nil, fmt.Errorf("season: the farm has no field %d", field)
	}
	if err := m.fits(opening); err != nil {
		return nil, err
	}
	at := 0
	for m.plots[at].field != field {
		at++
	}
	soil, err := soilOf(&m.farm.Fields[field])
	if err != nil {
		return nil, err
	}
	a := &Alone{m: *m, from: Snapshot{Engine: Engine, Plots: []PlotState{opening.Plots[at]}}}
	a.m.groups = nil
	a.m.stores = []store{{kind: feed.Bunker, capacity: math.Inf(1)}, {kind: feed.WrappedBales, capacity: math.Inf(1)}, {kind: feed.Barn, capacity: math.Inf(1)}}
	own := *m.farm
	own.Fields = m.farm.Fields[field : field+1]
	a.m.farm, a.m.plan = &own, &farm.Plan{Sowings: append([]farm.Sowing(nil), sowings...)}
	p := m.plots[at]
	p.field, p.area = 0, hectare
	p.phases = append([]phase(nil), p.phases[0])
	for i := range sowings {
		a.m.plan.Sowings[i].Field = 0
		ph, err := a.m.sowingPhase(i, soil)
		if err != nil {
			return nil, err
		}
		p.phases = append(p.phases, ph)
	}
	a.m.plots = []plot{p}
	return a, nil
}

// Grow grows the programme through one weather year: every growth is taken whole
// on the day that its rule and the gates allow, grazing in the grazing season only.
// It returns ErrYear for a year the model does not hold.
func (a *Alone) Grow(ctx context.Context, id weather.YearID) (Supply, error) {
	var s Supply
	index := a.m.yearIndex(id)
	if index < 0 {
		return s, fmt.Errorf("%w: %d", ErrYear, id)
	}
	if err := ctx.Err(); err != nil {
		return s, err
	}
	var out YearResult
	r := newRunner(&a.m, index, &a.from, &out)
	for r.now.Day < r.y.days {
		r.morning()
		if r.grazing() {
			r.takeReady(&s)
		}
		r.cut()
		for _, lot := range r.now.Lots {
			s.Takes = append(s.Takes, Take{Row: r.row, Kind: lot.Kind, DM: lot.DM, Analysis: lot.Analysis})
		}
		r.now.Lots = r.now.Lots[:0]
		r.now.Day++
	}
	r.opportunity()
	s.Cost = out.Fields[0].Cost + out.Money.Reseeding
	for i := range out.Sowings {
		if out.Sowings[i].Sown != 0 {
			s.Sown++
		}
		if out.Sowings[i].Reached {
			s.Reached++
		}
	}
	for i := range out.Events {
		if k := out.Events[i].Kind; k == Sown || k == Cut || k == Stored {
			s.Work = append(s.Work, out.Events[i])
		}
	}
	return s, nil
}

// takeReady grazes the plot if it is ready and no gate holds it.
func (r *runner) takeReady(s *Supply) {
	const i = 0
	if !r.grazeable(i) {
		return
	}
	if max(r.today[i].prussic.Answer, r.today[i].nitrate.Answer) == handbook.Hold {
		s.Held++
		return
	}
	p, ps, ph := &r.m.plots[i], &r.now.Plots[i], r.phase(i)
	residual := ph.rules[crop.Graze].residual
	analysis := r.above(i, residual).Analysis
	taken := ph.stand.Remove(&ps.Stand, stand.Removal{Residual: residual, Share: 1, Grazed: true}).DM * p.area / 1000
	ph.stand.Used(&ps.Stand, true)
	r.stale(i)
	r.firstUse(i, true) // shorter, animals do not go in
	if ph.annual {
		r.work(i, float64(r.m.farm.Custom.Fencing)*p.area)
	}
	ps.Uses++
	ps.Rest = 0
	s.Takes = append(s.Takes, Take{Row: r.row, Kind: feed.Pasture, DM: taken * utilisation, Analysis: analysis})
}
