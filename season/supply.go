package season

import (
	"fmt"
	"math"

	"rowen/crop"
	"rowen/feed"
	"rowen/handbook"
	"rowen/stand"
	"rowen/weather"
)

// Supply is what one field gives in a year when nothing but its own programme
// decides: what suggestions are chosen by, before the coupled run says what the
// animals make of it.
type Supply struct {
	Grazed [HalfMonths]float64 // kg DM eaten at the utilisation of strip grazing
	Mown   [HalfMonths]float64 // kg DM cut, before field losses
	Stored float64             // kg DM that would reach a store without limit
}

// Supply grows one field of the model alone through one weather year: every
// growth is taken whole on the day that its rule and the gates allow, grazing in
// the grazing season only. No animal waits for it and no store is full. It
// returns ErrYear for a year the model does not hold.
func (m *Model) Supply(opening Opening, field int, id weather.YearID) (Supply, error) {
	var s Supply
	index := m.yearIndex(id)
	if index < 0 {
		return s, fmt.Errorf("%w: %d", ErrYear, id)
	}
	if field < 0 || field >= len(m.farm.Fields) {
		return s, fmt.Errorf("season: the farm has no field %d", field)
	}
	if err := m.fits(&opening); err != nil {
		return s, err
	}
	alone := *m
	alone.groups, alone.plots = nil, nil
	alone.stores = []store{{kind: feed.Bunker, capacity: math.Inf(1)}, {kind: feed.WrappedBales, capacity: math.Inf(1)}, {kind: feed.Barn, capacity: math.Inf(1)}}
	from := Snapshot{Engine: Engine}
	for i := range m.plots {
		if m.plots[i].field == field {
			alone.plots = append(alone.plots, m.plots[i])
			from.Plots = append(from.Plots, opening.Plots[i])
		}
	}
	var out YearResult
	r := newRunner(&alone, index, &from, &out)
	for r.now.Day < r.y.days {
		r.morning()
		r.takeReady()
		r.cut()
		r.now.Day++
	}
	x := &out.Fields[field]
	for h := range x.Ledger {
		s.Grazed[h], s.Mown[h] = x.Ledger[h].Grazed, x.Ledger[h].Harvested
	}
	s.Stored = x.Stored
	return s, nil
}

// takeReady grazes every plot that is ready and that no gate holds.
func (r *runner) takeReady() {
	if !r.grazing() {
		return
	}
	for i := range r.now.Plots {
		if !r.grazeable(i) || max(r.today[i].prussic.Answer, r.today[i].nitrate.Answer) == handbook.Hold {
			continue
		}
		p, ps, ph := &r.m.plots[i], &r.now.Plots[i], r.phase(i)
		taken := ph.stand.Remove(&ps.Stand, stand.Removal{Residual: ph.rules[crop.Graze].residual, Share: 1, Grazed: true}).DM * p.area / 1000
		ph.stand.Used(&ps.Stand, true)
		r.stale(i)
		r.used(i)
		ps.Uses++
		ps.Rest = 0
		fy := r.field(i)
		fy.Grazed += taken * utilisation
		fy.Trampled += taken * (1 - utilisation)
		fy.Ledger[r.row].Grazed += taken * utilisation
	}
}
