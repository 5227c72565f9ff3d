package season

import (
	"rowen/crop"
	"rowen/feed"
	"rowen/handbook"
	"rowen/handbook/comfort"
	"rowen/handbook/grazing"
	"rowen/herd"
	"rowen/stand"
)

const (
	// firstRound is the share of the ready height at which the first grazing of
	// a perennial sward may begin in spring: a farm that waits for full height
	// everywhere is overrun in May (common practice: start early, so that the
	// fields come ready one after another).
	firstRound = 0.75
	// firstRoundDays is how long after turn-out that holds.
	firstRoundDays = 21
	// worthGrazing is the least herbage above the residual for which animals
	// are moved, g DM/m² (about 200 lb/ac; common practice).
	worthGrazing = 22
	// tooWetRain is the rain of a day, mm, that keeps heavy animals off open
	// soil (common practice).
	tooWetRain = 20
	// maxPlots is how many plots a group may graze in one day.
	maxPlots = 3
	// longestGrazing is how many days a group stays on a paddock: by then the
	// first regrowth is being bitten (Penn State Agronomy Guide, Table 1.8-9, ends
	// at seven days).
	longestGrazing = 7
)

// utilisation is the share of the herbage taken off that is eaten when a field
// lasts a group two or three days; the rest is trampled and fouled.
var utilisation = grazing.Utilisation(2)

// grazing tells whether today lies in the farm's grazing season.
func (r *runner) grazing() bool {
	turnout, housing := r.dayOfRule(r.m.farm.Turnout), r.dayOfRule(r.m.farm.Housing)
	if housing < turnout { // housing falls into the next feed year
		return r.day >= turnout || r.day < housing
	}
	return r.day >= turnout && r.day < housing
}

// readyHeight is the height at which a group may enter a plot today.
func (r *runner) readyHeight(i int) float64 {
	ph := r.phase(i)
	ready := ph.rules[crop.Graze].ready
	if ph.annual || r.now.Plots[i].Uses > 0 {
		return ready
	}
	if r.day < r.dayOfRule(r.m.farm.Turnout)+firstRoundDays {
		return ready * firstRound
	}
	return ready
}

// grazeable tells whether a plot could feed animals today, gates apart: it is
// meant for grazing, tall enough and rested.
func (r *runner) grazeable(i int) bool {
	p, ps, ph := &r.m.plots[i], &r.now.Plots[i], r.phase(i)
	if !p.grazeable || ps.Swath.DM > 0 || ps.Group >= 0 || r.today[i].busy || r.use(i) != crop.Graze {
		return false
	}
	rule := &ph.rules[crop.Graze]
	if ph.sowing != nil && ph.sowing.Before.GrazeAfter != 0 && r.day < r.dayOf(ph.sowing.Before.GrazeAfter) {
		return false // the label's wait, as the farm entered it
	}
	if !rule.allowed || rule.resting(ps) {
		return false
	}
	if ph.stand.Height(&ps.Stand) < r.readyHeight(i) {
		return false
	}
	return r.above(i, rule.residual).DM >= worthGrazing
}

// choose picks the plot a group moves to: by gate, then annuals before swards
// (they go over faster), then by readiness in steps of a tenth of the ready
// height, then by document order. It returns -1 if none may be grazed; held is
// the herbage, kg DM, on plots that only a Hold keeps shut.
func (r *runner) choose(g int) (plot int, held float64) {
	plot = -1
	var best int
	for i := range r.now.Plots {
		if !r.grazeable(i) || !r.mayUse(g, i) {
			continue
		}
		ph := r.phase(i)
		if answer := r.gate(i, g); answer == handbook.Hold {
			held += r.above(i, ph.rules[crop.Graze].residual).DM * r.m.plots[i].area / 1000
			continue
		} else if score := r.score(i, answer); plot < 0 || score > best {
			plot, best = i, score
		}
	}
	return plot, held
}

// score ranks an open plot: more is grazed sooner.
func (r *runner) score(i int, answer handbook.Answer) int {
	ph := r.phase(i)
	readiness := int(10 * ph.stand.Height(&r.now.Plots[i].Stand) / max(r.readyHeight(i), 1))
	score := min(readiness, 99)
	if ph.annual {
		score += 100
	}
	if answer == handbook.Clear {
		score += 1000
	}
	return score
}

// stays tells whether a group goes on grazing the plot it is on.
func (r *runner) stays(g, i int) bool {
	ps, ph := &r.now.Plots[i], r.phase(i)
	if ps.Swath.DM > 0 || r.today[i].busy || !ph.rules[crop.Graze].allowed {
		return false
	}
	if r.gate(i, g) == handbook.Hold || r.now.Groups[g].OnPlot >= longestGrazing {
		return false
	}
	return r.above(i, ph.rules[crop.Graze].residual).DM >= worthGrazing/4
}

// leave ends a group's grazing of its plot.
func (r *runner) leave(g int) {
	gs := &r.now.Groups[g]
	if gs.Plot < 0 {
		return
	}
	i := int(gs.Plot)
	ps := &r.now.Plots[i]
	r.phase(i).stand.Used(&ps.Stand, true)
	r.stale(i)
	ps.Uses++
	ps.Rest = 0
	ps.Group = -1
	r.used(i)
	r.note(i, Event{Kind: GrazingEnded, Group: int16(g), Use: crop.Graze, After: r.phase(i).stand.Height(&ps.Stand)})
	gs.Plot, gs.OnPlot = -1, 0
}

// enter begins a group's grazing of a plot.
func (r *runner) enter(g, i int) {
	ps, ph := &r.now.Plots[i], r.phase(i)
	r.now.Groups[g] = GroupState{Plot: int16(i)}
	ps.Group = int16(g)
	h := r.above(i, ph.rules[crop.Graze].residual)
	e := r.note(i, Event{
		Kind: GrazingStarted, Group: int16(g), Use: crop.Graze,
		Height: ph.stand.Height(&ps.Stand), DM: h.DM * r.m.plots[i].area / 1000, DMShare: h.DMShare,
		CP: h.Analysis.CP, NDF: h.Analysis.NDF,
	})
	r.verdict(i, e)
	r.firstUse(i, true) // shorter, animals do not go in
	if ph.annual {
		r.work(i, float64(r.m.farm.Custom.Fencing)*r.m.plots[i].area)
	}
}

// pastures offers what a group may graze today: the plot it is on, then as
// many more as it takes to meet what it wants. Herbage is offered at the
// utilisation that strip grazing reaches; the rest of what is taken off is
// trampled and fouled. Nothing is moved yet: the ration decides what is eaten.
func (r *runner) pastures(g int, wanted float64) {
	if !r.m.groups[g].grazes || !r.grazing() || r.y.forcing.Day(r.day).Rain > tooWetRain {
		return
	}
	gs := &r.now.Groups[g]
	if gs.Plot >= 0 && !r.stays(g, int(gs.Plot)) {
		r.leave(g)
	}
	need := wanted
	if gs.Plot >= 0 {
		need -= r.offerPlot(int(gs.Plot))
	}
	for len(r.offers) < maxPlots && need > 0 {
		i, held := r.choose(g)
		if i < 0 {
			if refused := min(held*utilisation, need); refused > 0 {
				r.out.Ledger[r.row].Held += refused
				r.refuse(g)
			}
			return
		}
		need -= r.offerPlot(i)
	}
}

// offerPlot puts a plot's herbage on offer and gives its amount, kg DM.
func (r *runner) offerPlot(i int) float64 {
	r.today[i].busy = true
	h := r.above(i, r.phase(i).rules[crop.Graze].residual)
	have := h.DM * r.m.plots[i].area / 1000 * utilisation
	r.offers = append(r.offers, offer{from: fromPlot, index: i})
	r.feeds = append(r.feeds, feed.Offer{Kind: feed.Pasture, DM: have, Analysis: h.Analysis})
	return have
}

// graze takes what a group ate off a plot, moving the group there first if it
// stood elsewhere.
func (r *runner) graze(i, g int, eaten float64) {
	p, ps, ph := &r.m.plots[i], &r.now.Plots[i], r.phase(i)
	rule := &ph.rules[crop.Graze]
	standing := r.above(i, rule.residual).DM * p.area / 1000
	if eaten <= 0 || standing <= 0 {
		return
	}
	if int(r.now.Groups[g].Plot) != i {
		r.leave(g)
		r.enter(g, i)
	}
	share := min(eaten/utilisation/standing, 1)
	taken := ph.stand.Remove(&ps.Stand, stand.Removal{Residual: rule.residual, Share: share, Grazed: true}).DM * p.area / 1000
	r.stale(i)
	fy := r.field(i)
	fy.Grazed += eaten
	fy.Trampled += taken - eaten
	if r.m.groups[g].class == herd.DairyLactating && hot(&r.y.weather[r.day]) >= comfort.Moderate && !r.m.farm.Fields[p.field].Ground.Shade {
		r.out.Groups[g].NightDays++
	}
	fy.Ledger[r.row].Grazed += eaten
	if s := r.sowing(i); s != nil {
		s.Grazed += eaten
	}
	r.now.Groups[g].OnPlot++
}

// refuse notes that a Hold kept a group off ground that was ready.
func (r *runner) refuse(g int) {
	for i := range r.now.Plots {
		if !r.grazeable(i) || r.gate(i, g) != handbook.Hold {
			continue
		}
		r.field(i).Holds++
		if s := r.sowing(i); s != nil {
			s.Holds++
		}
		if int(r.now.Plots[i].HeldSince) == r.now.Day {
			continue
		}
		// One event opens a spell of Hold; further days count in Holds.
		if int(r.now.Plots[i].HeldSince) < r.now.Day-1 {
			r.verdict(i, r.note(i, Event{Kind: Held, Group: int16(g), Use: crop.Graze,
				Height: r.phase(i).stand.Height(&r.now.Plots[i].Stand)}))
		}
		r.now.Plots[i].HeldSince = int16(r.now.Day)
	}
}

// home ends grazing outside the grazing season.
func (r *runner) home() {
	if r.grazing() {
		return
	}
	for g := range r.now.Groups {
		r.leave(g)
	}
}
