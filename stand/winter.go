package stand

import (
	"math"

	"rowen/crop"
	"rowen/handbook/hazard"
)

// Winter kills crowns, not leaf: what counts is the cold that reaches them through
// snow and ground, how hardened they are and how full their reserves. The shapes
// are common practice, the pace fitted; hardiness is the crop's own.
const (
	snowDeep     = 15.0 // mm of water in snow that keeps most of the cold out
	snowKeeps    = 0.85 // share of it kept out
	airReaches   = 0.45 // share of a night's cold below the ground's that reaches a bare crown
	hardenFrom   = 10.0 // °C of the ground at which hardening begins
	hardenTo     = 2.0  // and is complete
	tender       = 0.35 // share of hardiness that an unhardened crown has
	emptyWeakens = 5.0  // °C of hardiness that empty reserves cost
	killWidth    = 6.0  // °C between the first plants lost and the last
	killPace     = 0.25 // share of plants lost in a night at the worst
	icePace      = 0.004
	iceWater     = 20 // mm of excess under which frozen ground heaves and suffocates
	perished     = 0.05

	// The spring's first leaf comes from reserves.
	springFilled = 0.75 // filling at which spring leaf is the crop's full start
	leafBorn     = 0.4  // of it without reserves

	// What roots and stubble of a full sward give back to its spring growth, g N/m²
	// (common practice: 20 to 50 kg/ha).
	rootNitrogen = 3.0
)

// winter takes what a night's cold, or ice and heaving, kills of a part's plants.
func (s *Stand) winter(p *params, x *Part, st *State, f *ForcingDay, out *Day) {
	if f.SoilTemp > hardenFrom {
		return
	}
	crown := f.SoilTemp
	if f.TMin < crown {
		kept := snowKeeps * min(1, f.Snow/snowDeep)
		crown += (f.TMin - crown) * airReaches * (1 - kept)
	}
	hardened := tender + (1-tender)*ramp(hardenFrom-f.SoilTemp, 0, hardenFrom-hardenTo)
	limit := p.hardiness * hardened
	if p.life == crop.Perennial && p.reserve > 0 && x.Plants > 0 {
		limit += emptyWeakens * (1 - min(1, x.Reserve/(p.reserve*x.Plants)))
	}
	lost := killPace * ramp(limit-crown, -killWidth/2, killWidth/2)
	if st.Excess > iceWater && f.SoilTemp < 1 {
		lost += icePace * p.wetHarm * 2
	}
	if lost <= 0 {
		return
	}
	x.Plants -= x.Plants * lost
	x.Reserve -= x.Reserve * lost
	s.lose(p, x, st, lost, out)
	if p.life == crop.Winter && x.Plants < perished*p.share {
		s.lose(p, x, st, 1, out)
		*x = Part{Gone: true}
		out.Flags |= WinterKill
	}
}

// lose drops a share of a part's tops.
func (s *Stand) lose(p *params, x *Part, st *State, share float64, out *Day) {
	p.shed(x, st, x.Leaf*share)
	out.Litter += (x.Leaf + x.Stem) * share
	x.Leaf -= x.Leaf * share
	x.Stem -= x.Stem * share
	x.Area -= x.Area * share
	x.Bulk -= x.Bulk * share
}

// spring begins a wintering stand's year: last year's height lies down, a year's
// ageing has been paid, and reserves make the first leaf.
func (s *Stand) spring(st *State, out *Day) {
	if s.live == 0 {
		return
	}
	st.Uses, st.Heading = 0, true
	open := 1.0
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if p.life != crop.Perennial || x.Gone {
			continue
		}
		x.Plants -= p.thinning * x.Plants
		st.Nitrogen += rootNitrogen * x.Plants
		open -= min(1, x.Plants)
		x.Warmth, x.Tall = 0, min(x.Tall, 5)
		x.Age = min(x.Age, 0.5*p.lifespan)
		fill := 0.0
		if x.Plants > 0 {
			fill = x.Reserve / (p.reserve * x.Plants)
		}
		want := p.start * x.Plants * (leafBorn + (1-leafBorn)*min(1, fill/springFilled))
		if born := (want - x.Area) / p.sla; born > 0 {
			born = min(born, x.Reserve)
			x.Reserve -= born
			x.Leaf += born
			x.Area += born * p.sla
			x.Nitrogen += p.startNitrogen(born)
			out.Growth += born
		}
	}
	// Ground that lost its plants is weeds' ground.
	st.Weeds = max(0, 0.15*open)
}

// Opening is the stand as a feed year begins, for one that already grows: a sward
// in late autumn, grazed down, reserves three quarters full; a winter annual sown
// in time, with the leaf of an autumn. Bare ground otherwise. Age is the years
// since a sward was sown; 0 takes a stand in its full years.
func (s *Stand) Opening(age float64) State {
	st := State{Frost: hazard.Never, Watch: hazard.Never, Relief: hazard.Never, DoseDays: hazard.Never, Nitrogen: 2}
	for i := range s.parts {
		p := &s.parts[i]
		switch p.life {
		case crop.Perennial:
			plants := p.share * math.Pow(1-p.thinning, max(0, age-1))
			area := p.start * plants
			st.Parts[i] = Part{Leaf: area / p.sla, Area: area, Stem: 15 * plants, Tall: 6,
				Reserve: 0.75 * p.reserve * plants, Plants: plants, Up: true}
		case crop.Winter:
			area := autumnLeaf * p.share
			st.Parts[i] = Part{Leaf: area / p.sla, Area: area, Bulk: area / p.sla, Warmth: 150, Plants: p.share, Up: true}
		default:
			continue
		}
		x := &st.Parts[i]
		x.Nitrogen = 0.9 * p.critical(x.Leaf+x.Stem) * (x.Leaf + x.Stem)
	}
	return st
}

// autumnLeaf is the leaf area index that a winter annual sown in September has by
// November (common practice: tillered, 4 to 6 inches).
const autumnLeaf = 0.7
