package stand

import (
	"rowen/crop"
	"rowen/handbook/evapo"
	"rowen/handbook/growth"
	"rowen/handbook/hazard"
)

// The step's own numbers. All are fitted to the published yields, intervals and
// shapes of docs/validation.md unless said otherwise.
const (
	coverCoefficient = 0.6 // of leaf area, for shade and transpiration
	springStart      = 60  // 1 March: a perennial's year begins
	shadeAbove       = 4.0 // leaf area index above which lower leaf dies
	droughtLeaf      = 0.015
	releaseBelow     = 1.5  // leaf area index below which reserves feed regrowth
	releaseRate      = 0.03 // of reserves a day
	releaseKept      = 0.75 // of what is released becomes leaf
	banked           = 0.30 // of root growth goes to reserves
	spareWarmth      = 250  // °Cd below which a seedling's growing point is safe
	spareShare       = 0.85 // of a seedling's leaf is burnt at most

	// A perennial's tillers: below a filling of hungry some die each day, above
	// one of filled some are made. Fitted so that a sward cut too low loses yield.
	hungry, filled      = 0.35, 0.50
	tillersDie          = 0.008 // share a day at no reserves
	tillersMade         = 0.004 // share of what is missing a day
	headingFrom         = 120   // °Cd from 1 March
	headedAt, headingTo = 640, 800

	rootsGrown  = 600  // °Cd over which an annual's root share falls
	thinUntil   = 600  // °Cd over which seedling leaf is thinner than later leaf
	thinSeed    = 0.5  // by how much at first
	shortShare  = 0.4  // of its light a part as low as the ground keeps beside a tall one
	shadeDeath  = 0.03 // share of leaf a day at twice shadeAbove
	oldFrom     = 0.35 // share of its life from which leaf begins to die
	oldTo       = 0.90 // share of its life from which it dies at its full rate
	leastSupply = 0.35 // of growth without mineral nitrogen
	feedMemory  = 0.02 // a day, of the nitrogen supply that quality remembers
	waterlogged = 20   // mm above field capacity at which ground is full of water
	soilWet     = 1.1  // evaporation of wet bare ground over reference
)

// Step lives one day: thermal time and emergence, cover, water stress and
// transpiration, growth, partition and death, height, soil water, frost. Nothing
// is allocated. The order is part of the model.
func (s *Stand) Step(st *State, c *Climate, day int, out *Day) {
	f := &c.forcing.days[day]
	*out = Day{Stress: 1, Rain: f.Rain}
	st.count()
	if f.YearDay == springStart {
		s.spring(st)
	}
	climate := c.days[day*c.parts : day*c.parts+len(s.parts)]

	// Cover from yesterday's leaf.
	var shade, leaf, tallest float64
	var heights [crop.MaxParts]float64
	growing := false
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if x.Gone {
			continue
		}
		if !x.Up {
			s.emerge(p, x, st, climate[i].warmth, out)
			continue
		}
		shade += p.k * x.Area
		leaf += x.Area
		growing = growing || climate[i].rate > 0
		if len(s.parts) > 1 {
			heights[i] = p.height(x)
			tallest = max(tallest, heights[i])
		}
	}
	cover := 0.0
	if leaf > 0 {
		cover = growth.Interception(coverCoefficient, leaf)
	}
	if growing {
		out.Ready = true
		s.grow(st, f, climate, shade, cover, &heights, tallest, out)
	}
	s.water(st, f, cover, out)
	s.mineralise(st, f, out)
	s.frost(st, f, out)
	s.establish(st, out)
}

// count moves the day counters on.
func (st *State) count() {
	for _, d := range [...]*int16{&st.Days, &st.Frost, &st.Watch, &st.Relief, &st.DoseDays} {
		if *d < hazard.Never {
			*d++
		}
	}
}

// spring begins a perennial's year: last year's height lies down under the snow.
func (s *Stand) spring(st *State) {
	if s.live == 0 {
		return
	}
	st.Uses, st.Heading = 0, true
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if p.life != crop.Perennial || x.Gone {
			continue
		}
		x.Warmth, x.Tall = 0, min(x.Tall, 5)
		x.Age = min(x.Age, 0.5*p.lifespan)
	}
}

// emerge lets seed come up: thermal time counts as the surface is moist.
func (s *Stand) emerge(p *params, x *Part, st *State, warmth float64, out *Day) {
	if p.fails {
		return
	}
	moist := ramp(s.soil.tew-st.Surface, 0, 0.6*(s.soil.tew-s.soil.rew))
	x.Sprout += warmth * moist
	if x.Sprout < p.emergence {
		return
	}
	x.Up = true
	x.Area = p.start * x.Plants
	x.Leaf = x.Area / p.sla
	x.Bulk = x.Leaf
	// The seed's own matter: counted as growth, so that balances close.
	out.Growth += x.Leaf
	out.Flags |= Emerged
}

// grow adds the day's dry matter to every part that is up.
func (s *Stand) grow(st *State, f *ForcingDay, climate []climateDay, shade, cover float64, heights *[crop.MaxParts]float64, tallest float64, out *Day) {
	intercepted := growth.Interception(1, shade) // shade is Σ k·LAI already
	canopy := f.ET0 * cover
	wet := min(1, st.Excess/waterlogged)
	fed := st.fed()
	var supply, weight float64
	var weights [crop.MaxParts]float64
	total := 0.0
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if x.Gone || !x.Up {
			continue
		}
		w := p.k * x.Area
		if tallest > 0 {
			w *= shortShare + (1-shortShare)*heights[i]/tallest
		}
		weights[i] = w
		total += w
	}
	for i := range s.parts {
		p, x, today := &s.parts[i], &st.Parts[i], &climate[i]
		if weights[i] == 0 || total == 0 {
			continue
		}
		x.Warmth += today.warmth
		share := weights[i] / total
		etc := p.kc * canopy
		ks := evapo.StressCoefficient(p.taw, evapo.DepletionFraction(p.p, etc), st.Root)
		n := fed
		if p.legume {
			n = 1
		}
		light := growth.LightLimited(p.rue, f.Solar, intercepted*share) * today.rate * p.nni * n * p.ground * (1 - p.wetHarm*wet) * ks
		drunk := etc * ks * share
		grown := min(light, growth.WaterLimited(p.efficiency, f.VPD, drunk))
		out.Transpiration += drunk
		supply += ks * share
		weight += share
		s.partition(p, x, st, today, grown, ks, n, out)
	}
	if weight > 0 {
		out.Stress = supply / weight
	}
	if out.Stress < stressed {
		st.Dry++
	} else if f.Rain < droughtEnds {
		st.Dry = max(0, st.Dry-1)
	}
	if f.Rain >= droughtEnds {
		if st.Dry >= drySpell {
			st.Relief = 0
		}
		st.Dry = 0
	}
}

// fed is the nitrogen supply of a part that cannot fix its own, 0..1.
func (st *State) fed() float64 {
	return max(leastSupply, min(1, leastSupply+(1-leastSupply)*st.Nitrogen))
}

// partition shares growth among roots, leaf and stem, moves reserves and lets
// leaf die.
func (s *Stand) partition(p *params, x *Part, st *State, today *climateDay, grown, ks, n float64, out *Day) {
	root, leafy := p.rootAndLeaf(x, st, today)
	top := grown * (1 - root)
	if p.life == crop.Perennial {
		top += p.bank(x, grown*root, today.rate)
	} else if x.Reserve > 0 {
		released := x.Reserve * 2 * releaseRate * today.rate
		x.Reserve -= released
		top += released * releaseKept
		leafy = max(leafy, p.leafYoung)
	}
	newLeaf := top * leafy
	// Seedlings spread thinner leaf.
	thin := 1 + thinSeed*sq(max(0, 1-x.Warmth/thinUntil))
	if p.life == crop.Perennial || st.Uses > 0 {
		thin = 1
	}
	x.Area += newLeaf * p.sla * thin
	if x.Leaf+newLeaf > 0 {
		x.Age = (x.Age + today.warmth) * x.Leaf / (x.Leaf + newLeaf)
	}
	x.Leaf += newLeaf
	x.Stem += top - newLeaf
	x.Bulk += top
	if p.life == crop.Perennial {
		per := p.leafy
		if st.Heading && x.Warmth > headingFrom {
			per = p.heading
		}
		x.Tall += top / (per * max(0.2, x.Plants))
	}
	x.Starved += feedMemory * (n - x.Starved)
	out.Growth += top

	lost := today.warmth / p.lifespan * ramp(x.Age/p.lifespan, oldFrom, oldTo)
	if x.Area > shadeAbove {
		lost += shadeDeath * (x.Area - shadeAbove) / shadeAbove
	}
	lost = min(0.5, lost+droughtLeaf*(1-ks))
	out.Litter += x.Leaf * lost
	x.Leaf -= x.Leaf * lost
	x.Area -= x.Area * lost
}

func sq(x float64) float64 { return x * x }

// rootAndLeaf is how today's growth is shared: to roots, and of tops to leaf.
func (p *params) rootAndLeaf(x *Part, st *State, today *climateDay) (root, leafy float64) {
	if p.life != crop.Perennial {
		root = p.rootYoung + (p.rootOld-p.rootYoung)*ramp(x.Warmth, 0, rootsGrown)
		if st.Uses > 0 {
			root = p.rootOld
		}
		if x.Warmth > p.leafEnd {
			return root, 0
		}
		return root, p.leafYoung + (p.leafOld-p.leafYoung)*ramp(x.Warmth, p.leafFrom, p.leafTo)
	}
	if st.Heading && x.Warmth > headingFrom && x.Warmth < headingTo {
		return p.rootYoung, p.headYoung + (p.headOld-p.headYoung)*ramp(x.Warmth, headingFrom, headedAt)
	}
	return today.root, p.leafYoung + (p.leafOld-p.leafYoung)*ramp(x.Warmth, p.leafFrom, p.leafTo)
}

// bank moves a perennial's reserves and tillers, and gives what reserves add to
// tops. A stand cut again before it has refilled loses tillers; that is what
// overgrazing costs. The pace is fitted.
func (p *params) bank(x *Part, roots, rate float64) (top float64) {
	full := p.reserve * max(0.05, x.Plants)
	x.Reserve = min(full, x.Reserve+banked*roots)
	if x.Area < releaseBelow*max(0.2, x.Plants) {
		r := x.Reserve * releaseRate * rate
		x.Reserve -= r
		top = r * releaseKept
	}
	switch fill := x.Reserve / full; {
	case fill < hungry:
		x.Plants -= tillersDie * (1 - fill/hungry) * rate * x.Plants
	case fill > filled:
		x.Plants += tillersMade * rate * max(0, p.share-x.Plants)
	}
	return top
}

// water moves the day's water through snow-free ground. Whatever is capped is
// taken off evaporation, so that no water appears or vanishes.
func (s *Stand) water(st *State, f *ForcingDay, cover float64, out *Day) {
	// Lying snow is outside the ground: what it holds back or gives up is rain's
	// part in the balance.
	out.Rain = f.Liquid
	kr := evapo.EvaporationReduction(s.soil.tew, s.soil.rew, st.Surface)
	evaporation := min(kr*(1-cover)*soilWet*f.ET0, max(0, s.soil.tew-st.Surface)+f.Liquid)
	limit := s.soil.water * s.soil.rootLimit()
	evaporation = max(0, min(evaporation, limit-st.Root-out.Transpiration+st.Excess+f.Liquid))
	out.Evaporation = evaporation
	if f.Liquid > 10 {
		out.Runoff = evapo.Runoff(f.Liquid, s.curve)
	}
	in := f.Liquid - out.Runoff
	st.Surface = max(0, min(s.soil.tew, st.Surface+evaporation-in))
	// Out of the ground's balance: first the excess, then the root zone.
	balance := st.Excess - st.Root + in - evaporation - out.Transpiration
	if balance <= 0 {
		st.Excess, st.Root = 0, -balance
		return
	}
	st.Root = 0
	out.Drainage = balance * s.soil.drains
	balance -= out.Drainage
	if balance > saturation {
		// What the ground cannot hold runs off its surface.
		out.Runoff += balance - saturation
		balance = saturation
	}
	st.Excess = balance
}

// saturation is the water that ground can hold above field capacity, mm (common
// practice: a tenth of half a metre of soil).
const saturation = 50

// rootLimit is the depth of ground that evaporation and roots can empty, m.
func (s Soil) rootLimit() float64 { return min(1.5, s.depth) }

// mineralise feeds the pool of mineral nitrogen and takes from it what growth
// and drainage do. The rate gives some 100 kg/ha a year at 3.5 % organic matter,
// about 20 lb/ac for each per cent and warm season (common practice).
func (s *Stand) mineralise(st *State, f *ForcingDay, out *Day) {
	if f.SoilTemp > 0 {
		st.Nitrogen += 0.0011 * s.soil.organic * f.SoilTemp
	}
	var need, fixing float64
	for i := range s.parts {
		if p := &s.parts[i]; p.legume {
			fixing += st.Parts[i].Area
		} else {
			need += st.Parts[i].Area * p.na
		}
	}
	if area := s.area(st); area > 0 {
		// A third of the critical concentration of 1 t/ha: growth to its end is that
		// much thinner (dilution taken together).
		st.Nitrogen -= out.Growth * 0.0035 * need / area
		st.Nitrogen += out.Growth * 0.008 * fixing / area // what legumes pass on
	}
	st.Nitrogen -= st.Nitrogen * min(0.3, 0.004*out.Drainage)
	st.Nitrogen = max(0, st.Nitrogen)
}

func (s *Stand) area(st *State) (a float64) {
	for i := range s.parts {
		a += st.Parts[i].Area
	}
	return a
}

// frost burns and kills.
func (s *Stand) frost(st *State, f *ForcingDay, out *Day) {
	if f.TMin <= hazard.FrostWatch {
		st.Watch = 0
	}
	if f.TMin <= hazard.FrostOpens {
		st.Frost = 0
	}
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if !x.Up || x.Gone || f.TMin > p.burn || f.Snow > 0 {
			continue
		}
		burnt := ramp(-f.TMin, -p.burn, -p.kill)
		switch {
		case p.life == crop.Perennial:
			burnt *= 0.25 // leaf, not crown
			if f.TMin < -20 {
				x.Plants -= 0.005 * x.Plants
			}
		case x.Warmth < spareWarmth && st.Uses == 0:
			burnt = min(burnt, spareShare)
		case burnt >= 1:
			x.Gone, x.Area, x.Reserve = true, 0, 0
			out.Flags |= FrostKill
			continue
		}
		// Burnt leaf of an annual stands dead and is still dry matter; a
		// perennial's is lost under the next growth.
		x.Area -= x.Area * burnt
		if p.life == crop.Perennial {
			out.Litter += x.Leaf * burnt
			x.Leaf -= x.Leaf * burnt
		}
	}
}

// establish gives seed and seedlings up that had no water, or that came up on
// ground too wet.
func (s *Stand) establish(st *State, out *Day) {
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if x.Gone || p.life == crop.Perennial && x.Up {
			continue
		}
		failed := false
		if !x.Up {
			failed = st.Days > failAfter
		} else if x.Warmth < 150 && st.Uses == 0 {
			if out.Stress < 0.05 {
				st.Parched++
			} else {
				st.Parched = 0
			}
			failed = st.Parched > 10
		}
		if failed && st.Days > 0 {
			out.Litter += x.Leaf + x.Stem
			*x = Part{Gone: true}
			out.Flags |= EstablishmentFailed
		}
	}
}

// failAfter is how many days seed may lie before it is given up (common
// practice: five weeks).
const failAfter = 35
