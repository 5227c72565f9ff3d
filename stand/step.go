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
	droughtLeaf      = 0.010
	releaseBelow     = 1.5  // leaf area index below which reserves feed regrowth
	releaseRate      = 0.05 // of reserves a day
	stubbleFeeds     = 0.05 // of an annual's stubble reserve a day
	releaseKept      = 0.75 // of what is released becomes leaf
	banked           = 0.30 // of root growth goes to reserves
	spareWarmth      = 250  // °Cd below which a seedling's growing point is safe
	spareShare       = 0.85 // of a seedling's leaf is burnt at most

	// A perennial's tillers: below a filling of hungry some die each day, above
	// one of filled some are made. Fitted so that a sward cut too low loses yield.
	hungry, filled = 0.35, 0.50
	tillersDie     = 0.008 // share a day at no reserves
	tillersMade    = 0.004 // share of what is missing a day
	headingFrom    = 0.19  // share of the way to heading at which stems begin
	headingTo      = 1.25  // and at which the flush is over

	// tallestSward is the height beyond which a sward grows no taller, cm: it lies down
	// (common practice: four feet).
	tallestSward = 120

	airyFrom = 0.02 // by how much each cm above 15 is lighter than the sward's base
	airyTop  = 0.5

	ripened     = 1.9 // stage at which an annual that heads once is dead ripe
	thinCosts   = 0.8
	flush       = 1.4
	hangs       = 0.5  // share of a tall annual's dead leaf that stays on it
	stubbleDies = 0.07 // share of a sward's old stem that dies in a day
	rootsFirst  = 0.35
	rootsDown   = 750  // °Cd
	rootsGrown  = 600  // °Cd over which an annual's root share falls
	thinUntil   = 600  // °Cd over which seedling leaf is thinner than later leaf
	thinSeed    = 0.5  // by how much at first
	shortShare  = 0.4  // of its light a part as low as the ground keeps beside a tall one
	shadeDeath  = 0.03 // share of leaf a day at twice shadeAbove
	oldFrom     = 0.35 // share of its life from which leaf begins to die
	oldTo       = 0.90 // share of its life from which it dies at its full rate
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
	switch f.YearDay {
	case springStart:
		s.spring(st, out)
	case vernalised:
		s.newYear(st)
	}
	climate := c.days[day*c.parts : day*c.parts+len(s.parts)]

	// Cover from yesterday's leaf.
	var shade, leaf float64
	growing := false
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if x.Gone {
			continue
		}
		if !x.Up {
			s.emerge(p, x, st, f, climate[i].warmth, out)
			continue
		}
		shade += p.k * x.Area
		leaf += x.Area
		growing = growing || climate[i].rate > 0
	}
	shade += weedExtinction * st.Weeds
	leaf += st.Weeds
	cover := 0.0
	if leaf > 0 {
		cover = caught(coverCoefficient * leaf)
	}
	if growing {
		out.Ready = true
		s.grow(st, f, climate, shade, cover, out)
	}
	s.water(st, f, cover, out)
	s.mineralise(st, f, out)
	s.frost(st, f, out)
	s.storm(st, f, out)
	s.establish(st, out)
}

// autumn is the day of the year after which a winter annual stays juvenile, and
// juvenile how far it comes, °Cd.
const (
	autumn   = 200
	juvenile = 150
)

// vernalised is the day from which a winter annual counts towards heading.
const vernalised = 1

// newYear begins a winter annual's development.
func (s *Stand) newYear(st *State) {
	for i := range s.parts {
		if s.parts[i].life == crop.Winter {
			st.Parts[i].Warmth = 0
		}
	}
}

// count moves the day counters on.
func (st *State) count() {
	for _, d := range [...]*int16{&st.Days, &st.Frost, &st.Watch, &st.Relief, &st.DoseDays} {
		if *d < hazard.Never {
			*d++
		}
	}
}

// grow adds the day's dry matter to every part that is up.
func (s *Stand) grow(st *State, f *ForcingDay, climate []climateDay, shade, cover float64, out *Day) {
	intercepted := caught(shade) // shade is Σ k·LAI already
	canopy := f.ET0 * cover
	wet := min(1, st.Excess/waterlogged)
	var supply, weight float64
	var weights, heights [crop.MaxParts]float64
	total, tallest := 0.0, 0.0
	if len(s.parts) > 1 {
		for i := range s.parts {
			if x := &st.Parts[i]; x.Up && !x.Gone {
				heights[i] = s.parts[i].height(x)
				tallest = max(tallest, heights[i])
			}
		}
	}
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
	// Weeds stand beside seedlings and under a closed crop.
	weeds := weedExtinction * st.Weeds * (1 - (1-weedLow)*cover)
	total += weeds
	for i := range s.parts {
		p, x, today := &s.parts[i], &st.Parts[i], &climate[i]
		if weights[i] == 0 || total == 0 {
			continue
		}
		x.Warmth += today.warmth
		if p.life == crop.Winter && f.YearDay > autumn {
			x.Warmth = min(x.Warmth, juvenile) // no head before a winter
		}
		if p.reserveStem == 0 && p.life != crop.Perennial && x.Warmth > ripened*p.stage {
			x.Gone, x.Area = true, 0 // ripe, it dies standing
			continue
		}
		share := weights[i] / total
		etc := p.kc * canopy
		ks := evapo.StressCoefficient(p.taw*p.rooted(x, st), evapo.DepletionFraction(p.p, etc), st.Root)
		lit := intercepted * share
		if total > weights[i] {
			// Beside others no part sees more light than alone.
			lit = min(lit, caught(p.k*x.Area))
		}
		light := growth.LightLimited(p.rue, f.Solar, lit) * today.rate * p.fed(x) * p.stand(x, st) * p.ground * (1 - p.wetHarm*wet) * ks
		drunk := etc * ks * share
		grown := min(light, growth.WaterLimited(p.efficiency, f.VPD, drunk))
		out.Transpiration += drunk
		supply += ks * share
		weight += share
		s.partition(p, x, st, today, grown, ks, out)
	}
	s.feedParts(st)
	if weight > 0 {
		out.Stress = supply / weight
	}
	if weeds > 0 {
		share := weeds / total
		st.weeds(growth.LightLimited(1, f.Solar, intercepted*share), ramp((f.TMin+f.TMax)/2, 6, 20), out.Stress, cover)
		out.Transpiration += canopy * out.Stress * share
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

// rooted is the share of its full depth that a part's roots have reached (fitted).
func (p *params) rooted(x *Part, st *State) float64 {
	if p.life != crop.Annual || st.Uses > 0 {
		return 1
	}
	return rootsFirst + (1-rootsFirst)*ramp(x.Warmth, 0, rootsDown)
}

// stand is what a perennial stand grows of a full leafy one: more while it heads,
// with its leaf held up to the light, and less where plants are lost, though what
// is left makes up for a part of them (fitted to shares by month and to alfalfa by
// age).
func (p *params) stand(x *Part, st *State) float64 {
	if p.life != crop.Perennial {
		return 1
	}
	grows := 1 - thinCosts*max(0, 1-x.Plants/p.share)
	if !p.legume && st.Heading && x.Warmth < headingTo*p.stage {
		grows *= flush
	}
	return grows
}

// partition shares growth among roots, leaf and stem, moves reserves and lets
// leaf die.
func (s *Stand) partition(p *params, x *Part, st *State, today *climateDay, grown, ks float64, out *Day) {
	root, leafy := p.rootAndLeaf(x, st, today)
	top := grown * (1 - root)
	if p.life == crop.Perennial {
		top += p.bank(x, grown*root, today.rate)
	} else if x.Reserve > 0 {
		released := x.Reserve * stubbleFeeds * today.rate
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
		if st.Heading && x.Warmth > headingFrom*p.stage {
			per = p.heading
		} else {
			// The base of a sward is dense, its top airy.
			per *= max(airyTop, 1-airyFrom*max(0, x.Tall-15))
		}
		x.Tall = min(tallestSward, x.Tall+top/(per*max(0.2, x.Plants)))
	}
	out.Growth += top

	lost := today.warmth / p.lifespan * ramp(x.Age/p.lifespan, oldFrom, oldTo)
	if x.Area > shadeAbove {
		lost += shadeDeath * (x.Area - shadeAbove) / shadeAbove
	}
	lost = min(0.5, lost+droughtLeaf*(1-ks))
	dead := x.Leaf * lost
	p.shed(x, st, dead)
	if p.life != crop.Perennial {
		// Dead leaf of a tall annual hangs on its stem and is mown with it.
		x.Stem += hangs * dead
		out.Litter -= hangs * dead
	} else if x.Stubble > 0 {
		d := min(x.Stem, x.Stubble*stubbleDies)
		x.Nitrogen -= (1 - salvaged) * x.Nitrogen * d / (leafRich*x.Leaf + x.Stem)
		x.Stem -= d
		x.Stubble -= d
		out.Litter += d
	}
	out.Litter += dead
	x.Leaf -= dead
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
	if st.Heading && x.Warmth > headingFrom*p.stage && x.Warmth < headingTo*p.stage {
		return p.rootYoung, p.headYoung + (p.headOld-p.headYoung)*ramp(x.Warmth, headingFrom*p.stage, p.stage)
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
		if !x.Up || x.Gone {
			continue
		}
		if p.life.Winters() {
			s.winter(p, x, st, f, out)
		}
		if x.Gone || f.TMin > p.burn || f.Snow > 0 {
			continue
		}
		burnt := ramp(-f.TMin, -p.burn, -p.kill)
		switch {
		case p.life.Winters():
			burnt *= 0.25 // leaf; what winter does to crowns is its own matter
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
		if p.life.Winters() {
			p.shed(x, st, x.Leaf*burnt)
			out.Litter += x.Leaf * burnt
			x.Leaf -= x.Leaf * burnt
		}
	}
}

// A storm lays what is tall: a third of a metre above the height from which it
// lodges, a day's heavy rain lays half (fitted; common practice: late, heavy,
// nitrogen-rich and brown-midrib stands lodge first).
const (
	stormRain  = 25 // mm
	lodgeSpan  = 60 // cm above the lodging height at which all of it goes down
	richLodges = 20 // cm that a nutrition index of 1.2 takes off the height
)

// storm lodges: what lies is lost to the mower, less what it still picks up.
func (s *Stand) storm(st *State, f *ForcingDay, out *Day) {
	if f.Liquid < stormRain {
		return
	}
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if p.lodgeHeight == 0 || x.Gone || !x.Up {
			continue
		}
		over := p.height(x) - p.lodgeHeight
		if p.nutrition(x) > 1 {
			over += richLodges * ramp(p.nutrition(x), 1, 1.2)
		}
		laid := ramp(over, 0, lodgeSpan) * ramp(f.Liquid, 0, 2*stormRain)
		if laid <= 0 || st.Lodged >= 1 {
			continue
		}
		laid = min(laid, 1-st.Lodged)
		s.lose(p, x, st, laid*p.lodgeLoss, out)
		st.Lodged += laid
		out.Flags |= Lodged
	}
}
