package stand

import "rowen/crop"

// Nitrogen follows the critical dilution curve (Lemaire & Gastal 1997): tops that
// hold less than the critical concentration for their mass grow and spread less in
// proportion, tops that can take more hold luxury, and part of the luxury is
// nitrate.
const (
	dilutionStep  = 25 // g/m², of the table of critical concentrations
	dilutionSteps = 81 // up to 2,000 g/m²

	hungerSlope = 1.25 // loss of growth for each unit that the nutrition index falls short (fitted; Bélanger et al. 1992 found a slope near 1 for light use)
	leastFed    = 0.10 // of growth, however hungry
	luxury      = 1.0  // of the critical concentration that tops take where the ground offers it
	luxuryPool  = 12   // g/m² in the ground at which a quarter more is taken
	luxuryRich  = 0.25
	uptake      = 0.14 // share of the pool within reach that roots take in a day at most (fitted)
	leafRich    = 2.0  // nitrogen of leaf over that of stem
	fixedFirst  = 0.5  // share of a legume's need that it takes from the ground where there is enough
	passedOn    = 0.35 // share of the nitrogen in dead legume leaf that others soon find (common practice)
	recycled    = 0.10 // the same of grass
	salvaged    = 0.5  // share of a leaf's nitrogen that leaves it before it falls

	// Of total nitrogen beyond the critical, this share stands as nitrate (from
	// memory: tall fescue and sorghum work puts a third to a half there).
	asNitrate = 0.4
)

// critical is the critical nitrogen concentration of tops, share of dry matter; beyond the
// table, and of what is no number, that of its last mass.
func (p *params) critical(mass float64) float64 {
	at := max(0, mass) / dilutionStep
	if !(at < dilutionSteps-1) {
		return p.dilute[dilutionSteps-1]
	}
	i := int(at)
	return p.dilute[i] + (p.dilute[i+1]-p.dilute[i])*(at-float64(i))
}

// nutrition is a part's nitrogen nutrition index: what its tops hold over what
// they need, 1 where nothing grows yet.
func (p *params) nutrition(x *Part) float64 {
	mass := x.Leaf + x.Stem
	if mass <= 0 {
		return 1
	}
	return x.Nitrogen / (mass * p.critical(mass))
}

// fed is what a part's nitrogen lets it grow, 0..1.
func (p *params) fed(x *Part) float64 {
	if p.legume {
		return 1
	}
	return max(leastFed, min(1, 1-hungerSlope*(1-p.nutrition(x))))
}

// feedParts lets every part take the day's nitrogen: each wants what keeps its
// tops at the critical concentration, and luxury where the ground is rich; the
// ground gives a share of what it holds, divided by want. Legumes fix the rest.
func (s *Stand) feedParts(st *State) {
	var want [crop.MaxParts]float64
	total := 0.0
	most := luxury + luxuryRich*min(1, st.Nitrogen/luxuryPool)
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if x.Gone || !x.Up || x.Area <= 0 {
			continue
		}
		mass := x.Leaf + x.Stem
		need := p.critical(mass) * mass
		if p.legume {
			if short := need - x.Nitrogen; short > 0 {
				want[i] = short * fixedFirst * min(1, st.Nitrogen/4)
				x.Nitrogen += short - want[i]
			}
		} else {
			want[i] = max(0, most*need-x.Nitrogen)
		}
		total += want[i]
	}
	if total <= 0 {
		return
	}
	given := min(total, uptake*st.Nitrogen)
	st.Nitrogen -= given
	for i := range s.parts {
		st.Parts[i].Nitrogen += want[i] / total * given
	}
}

// shed takes the nitrogen of lost leaf off a part; some of it feeds the ground.
func (p *params) shed(x *Part, st *State, leaf float64) {
	mass := leafRich*x.Leaf + x.Stem
	if mass <= 0 || leaf <= 0 {
		return
	}
	gone := (1 - salvaged) * x.Nitrogen * leafRich * leaf / mass
	x.Nitrogen -= gone
	if p.legume {
		st.Nitrogen += passedOn * gone
	} else {
		st.Nitrogen += recycled * gone
	}
}

// mineralise frees nitrogen from the ground's organic matter: some 100 kg/ha a
// year at 3.5 %, about 20 lb/ac for each per cent and warm season (common
// practice), slower in dry ground, and drainage takes some of it away.
func (s *Stand) mineralise(st *State, f *ForcingDay, out *Day) {
	if f.SoilTemp > 0 {
		moist := 0.4 + 0.6*ramp(s.soil.tew-st.Surface, 0, 0.5*s.soil.tew)
		freed := mineral * s.soil.organic * f.SoilTemp * moist
		if s.live > 0 {
			freed *= underSod
		}
		st.Nitrogen += freed
	}
	st.Nitrogen -= st.Nitrogen * min(0.3, 0.004*out.Drainage)
	st.Nitrogen = max(0, st.Nitrogen)
}

const (
	mineral  = 0.0010 // g/m² for each per cent of organic matter and degree of a day
	underSod = 0.8    // a sod's roots hold some of it
)

// nitrate is an estimate of nitrate-nitrogen in herbage of a part, ppm of dry
// matter: it may raise a doubt, never settle one.
func (p *params) nitrate(x *Part, st *State) float64 {
	mass := x.Leaf + x.Stem
	if mass <= 0 {
		return 0
	}
	over := x.Nitrogen/mass - p.critical(mass)
	if st.Dry > 0 {
		// Short of water it takes nitrogen that it cannot use.
		over += 0.001 * float64(min(st.Dry, 20)) / 20 * min(1, st.Nitrogen/6)
	}
	return max(0, over) * asNitrate * 1e6
}

// protein is crude protein, % of dry matter, of leaf and stem taken from a part.
func (p *params) protein(x *Part, leaf, stem float64) float64 {
	mass := leafRich*x.Leaf + x.Stem
	if mass <= 0 || leaf+stem <= 0 {
		return 0
	}
	return 625 * x.Nitrogen * (leafRich*leaf + stem) / mass / (leaf + stem)
}

// startNitrogen gives a part that has just come up, or greens up, the nitrogen of young
// tissue.
func (p *params) startNitrogen(mass float64) float64 {
	return p.dilute[0] * mass
}
