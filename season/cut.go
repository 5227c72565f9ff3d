package season

import (
	"time"

	"rowen/crop"
	"rowen/feed"
	"rowen/handbook"
	"rowen/stand"
)

const (
	// forecastDays is how far ahead a farmer trusts the forecast when deciding
	// to mow for dry hay; for wilted silage today and tomorrow must be dry too,
	// for a direct cut today alone (common practice).
	forecastDays = 2
	// dryDay is the most rain, mm, on a day called dry.
	dryDay = 1.0
	// hayGivenUp is how many days a swath waits to become hay before it is
	// wrapped instead (common practice).
	hayGivenUp = 5
	// swathLost is how many days a swath may lie at all; then it is worthless
	// and left on the field.
	swathLost = 10
	// autumnRest is how long before the usual killing frost perennials are cut
	// for the last time, so that they can refill: five weeks (common practice,
	// four to six weeks).
	autumnRest = 35
	// lateHarvest is how long after the usual killing frost an annual that has not
	// reached its stage is waited for (common practice).
	lateHarvest = 5
)

// cut mows what is ready, wilts what lies, and brings in what is dry.
func (r *runner) cut() {
	for i := range r.now.Plots {
		if r.now.Plots[i].Swath.DM > 0 {
			r.wilt(i)
			continue
		}
		if use, ok := r.ripe(i); ok {
			r.mow(i, use)
		}
	}
}

// ripe tells whether a plot is to be mown today, and for what.
func (r *runner) ripe(i int) (crop.Use, bool) {
	ps, ph := &r.now.Plots[i], r.phase(i)
	if ps.Group >= 0 {
		return 0, false
	}
	use := r.use(i)
	switch use {
	case crop.Leave:
		return 0, false
	case crop.Graze:
		use = r.surplus(i)
		if use == crop.Leave {
			return 0, false
		}
	default:
		if !r.mature(i, use) {
			return 0, false
		}
	}
	rule := &ph.rules[use]
	if rule.resting(ps) {
		return 0, false
	}
	if !ph.annual && (r.day > r.m.lastCuts[r.yi] || r.dormant()) {
		return 0, false
	}
	if r.above(i, rule.residual).DM < rule.minYield || !r.fine(use) {
		return 0, false
	}
	if r.cutGate(i, use) == handbook.Hold {
		return 0, false
	}
	return use, true
}

// mature tells whether a growth has reached its use's height or stage, or was
// killed by frost and is to be saved.
func (r *runner) mature(i int, use crop.Use) bool {
	ps, ph := &r.now.Plots[i], r.phase(i)
	rule := &ph.rules[use]
	if !rule.allowed {
		return false
	}
	if ph.annual && (ph.stand.Dead(&ps.Stand) || r.day > r.m.lastCuts[r.yi]+autumnRest+lateHarvest) {
		return true // it grows no more: saved as it is
	}
	return r.reached(i, use)
}

// reached tells whether a growth stands at its use's height or stage.
func (r *runner) reached(i int, use crop.Use) bool {
	ps, ph := &r.now.Plots[i], r.phase(i)
	rule := &ph.rules[use]
	if rule.ready > 0 && ph.stand.LeadHeight(&ps.Stand) >= rule.ready {
		return true
	}
	return rule.readyAt > 0 && ph.stand.Stage(&ps.Stand) >= rule.readyAt
}

// surplus tells how a grazed growth that has run ahead of the animals is saved:
// past its best for grazing, it is wrapped. Leave: it is not ahead.
func (r *runner) surplus(i int) crop.Use {
	ps, ph := &r.now.Plots[i], r.phase(i)
	limit := ph.rules[crop.Graze].tooTall
	if limit <= 0 || ph.stand.Height(&ps.Stand) < limit {
		return crop.Leave
	}
	for _, use := range [...]crop.Use{crop.Wrap, crop.Chop, crop.Hay} {
		if ph.rules[use].allowed {
			return use
		}
	}
	return crop.Leave
}

// fine tells whether a farmer would mow for a use today.
func (r *runner) fine(use crop.Use) bool {
	days := forecastDays
	if use == crop.Silage {
		days = 1
	}
	for d := r.day; d < r.day+days; d++ {
		if d >= r.y.days {
			return false
		}
		if r.y.forcing.Day(d).Rain > dryDay {
			return false
		}
	}
	return r.y.forcing.Day(r.day).Snow == 0
}

// mow lays a growth down, or chops it standing.
func (r *runner) mow(i int, use crop.Use) {
	p, ps, ph := &r.m.plots[i], &r.now.Plots[i], r.phase(i)
	rule := &ph.rules[use]
	before, reached := ph.stand.Height(&ps.Stand), r.reached(i, use)
	h := ph.stand.Remove(&ps.Stand, stand.Removal{Residual: rule.residual, Share: 1})
	ph.stand.Used(&ps.Stand, false)
	r.stale(i)
	dm := h.DM * p.area / 1000
	fy := r.field(i)
	fy.Harvested += dm
	fy.Ledger[r.row].Harvested += dm
	r.used(i)
	r.firstUse(i, reached)
	e := r.note(i, Event{
		Kind: Cut, Group: -1, Use: use, DM: dm, Height: before, After: ph.stand.Height(&ps.Stand),
		DMShare: h.DMShare, CP: h.Analysis.CP, NDF: h.Analysis.NDF,
	})
	r.verdict(i, e)
	if ps.Uses == 0 && !ph.annual {
		r.spread(i)
	}
	ps.Uses++
	ps.Rest = 0
	ps.Swath = Swath{DM: h.DM, Moisture: 1 - h.DMShare, Use: uint8(use), Herbage: h, Gate: e.Verdict.Answer}
	r.work(i, float64(r.m.farm.Custom.Mowing)*p.area)
	if use == crop.Silage {
		r.gather(i, use)
	}
}

// wilt dries a swath through the day and brings it in when it has reached the
// moisture of its use.
func (r *runner) wilt(i int) {
	ps := &r.now.Plots[i]
	sw := &ps.Swath
	use := crop.Use(sw.Use)
	r.dry(i)
	sw.Days++
	target := targetMoisture(use)
	switch {
	case sw.Moisture <= target:
		r.gather(i, use)
	case use == crop.Hay && sw.Days >= hayGivenUp && sw.Moisture <= targetMoisture(crop.Wrap):
		r.gather(i, crop.Wrap)
	case sw.Days >= swathLost && sw.Moisture <= wettestWrapped:
		r.gather(i, crop.Wrap)
	case sw.Days >= 2*swathLost:
		r.abandon(i)
	}
}

// gather brings a swath in: harvest losses are taken off and the rest goes
// into store as one lot.
func (r *runner) gather(i int, use crop.Use) {
	p, ps := &r.m.plots[i], &r.now.Plots[i]
	sw := &ps.Swath
	mown := sw.Herbage.DM * p.area / 1000
	lying := sw.DM * p.area / 1000
	saved := lying * (1 - feed.HarvestLoss(Makes(use), sw.Moisture))
	lot := feed.Lot{
		Kind: Makes(use), DM: saved, DMShare: 1 - sw.Moisture, Analysis: r.weathered(sw, saved/mown),
		Stored: r.date, Ready: r.date, Field: int16(p.field),
	}
	kept := r.store(&lot, sw.Gate, r.phase(i).prussic)
	fy := r.field(i)
	fy.Stored += kept
	if s := r.sowing(i); s != nil {
		s.Stored += kept
	}
	fy.FieldLoss += mown - kept
	r.out.Ledger[r.row].Harvested += kept
	r.out.Pools[lot.Kind].In += kept
	r.note(i, Event{Kind: Stored, Group: -1, Use: use, DM: kept, DMShare: lot.DMShare, CP: lot.Analysis.CP, NDF: lot.Analysis.NDF, NEL: lot.Analysis.NEL})
	if kept < saved*(1-1e-12) {
		r.note(i, Event{Kind: StoreFull, Group: -1, Use: use, DM: saved - kept})
	}
	r.work(i, r.m.farm.Custom.Gather(use, kept, p.area))
	*sw = Swath{}
}

// abandon leaves a spoilt swath on the field.
func (r *runner) abandon(i int) {
	p, sw := &r.m.plots[i], &r.now.Plots[i].Swath
	lost := sw.Herbage.DM * p.area / 1000
	r.field(i).FieldLoss += lost
	r.note(i, Event{Kind: Spoilt, Group: -1, Use: crop.Use(sw.Use), DM: lost})
	*sw = Swath{}
}

// work books money spent on a plot's field.
func (r *runner) work(i int, money float64) {
	r.out.Money.Work += money
	r.spend(i, money)
}

// Makes is the feed that a use makes: pasture where nothing is cut.
func Makes(u crop.Use) feed.Kind {
	switch u {
	case crop.Wrap:
		return feed.Baleage
	case crop.Chop:
		return feed.Haylage
	case crop.Hay:
		return feed.Hay
	case crop.Silage:
		return feed.CropSilage
	}
	return feed.Pasture
}

// dormant tells whether it is winter, when no sward is mown whatever stands on it:
// from November to the end of February (common practice for cool-season swards).
func (r *runner) dormant() bool {
	_, m, _ := r.date.Civil()
	return m >= time.November || m <= time.February
}
