package stand

import (
	"rowen/crop"
	"rowen/handbook/hazard"
)

// Seedbed is how a stand is sown.
type Seedbed struct {
	// Misfortune is where this sowing lies among all that the weather does not
	// explain, 0 the luckiest to 1 the worst: slugs, birds, a poor seedbed. The
	// worst few in a hundred fail.
	Misfortune float64
	NoTill     bool // sown into a killed stand without tillage
	Broadcast  bool // not drilled
	Weedy      bool // ground known to be full of weed seed
}

// How seed comes up (common practice; no single source gives all of them).
const (
	failTilled    = 0.03 // share of sowings that fail for no reason of weather
	failNoTill    = 0.05
	failBroadcast = 0.04 // added
	unluckyLoss   = 0.30 // share of plants lost in the worst sowing that still stands

	crustRain    = 22   // mm in a day on unsown ground that crusts it
	crustLoss    = 0.35 // share of fine seed's plants that a crust holds down
	fineSeed     = 1.5  // cm of depth; deeper seed is strong enough to break through
	coldLoss     = 0.03 // share of plants lost a day in ground 5 °C colder than the seed wants
	dryLoss      = 0.02 // share of plants lost a day in dry ground after a week
	weedsTilled  = 0.003
	weedsNoTill  = 0.007
	weedyGround  = 3.0 // times as many
	leastPlants  = 0.08
	depthMoist   = 0.2 // share of moisture for each cm of depth in dry ground
	deepMoist    = 0.6 // and at most
	seenAfter    = 14  // days after which an empty field is seen to be one
	failAfter    = 42  // days that seed may lie before it is given up (common practice: six weeks)
	parchedAfter = 10  // days without water that kill a seedling
)

// Sow ends what stood and sows this stand: soil water and nitrogen stay.
func (s *Stand) Sow(st *State, bed Seedbed) {
	fresh := State{Root: st.Root, Surface: st.Surface, Excess: st.Excess, Nitrogen: max(st.Nitrogen, 2),
		Frost: hazard.Never, Watch: hazard.Never, Relief: hazard.Never, DoseDays: hazard.Never}
	fails := failTilled
	fresh.Weeds = weedsTilled
	if bed.NoTill {
		fails, fresh.Weeds = failNoTill, weedsNoTill
	}
	if bed.Broadcast {
		fails += failBroadcast
	}
	if bed.Weedy {
		fresh.Weeds *= weedyGround
	}
	luck := 1 - unluckyLoss*bed.Misfortune*bed.Misfortune
	if bed.Misfortune > 1-fails {
		luck = 0
	}
	for i := range s.parts {
		fresh.Parts[i] = Part{Plants: s.parts[i].share * luck}
	}
	*st = fresh
}

// emerge lets seed come up: thermal time counts as the surface is moist, and cold,
// dry or crusted ground takes plants.
func (s *Stand) emerge(p *params, x *Part, st *State, f *ForcingDay, warmth float64, out *Day) {
	if p.fails {
		return
	}
	// Deeper seed lies in moister ground than the surface tells.
	moist := max(min(deepMoist, depthMoist*p.depth), ramp(s.soil.tew-st.Surface, 0, 0.5*(s.soil.tew-s.soil.rew)))
	x.Sprout += warmth * moist
	lost := coldLoss * ramp(p.cold-f.SoilTemp, 2, 7)
	if f.Liquid >= crustRain && p.depth < fineSeed {
		lost += crustLoss * s.soil.crusts
	}
	if st.Days > 7 {
		lost += dryLoss * (1 - moist)
	}
	x.Plants -= x.Plants * min(1, lost)
	if x.Sprout < p.emergence || x.Plants < leastPlants*p.share {
		return // too thin to be called up: it is seen to have failed in a fortnight
	}
	x.Up = true
	x.Area = p.start * x.Plants
	x.Leaf = x.Area / p.sla
	x.Bulk = x.Leaf
	x.Nitrogen = p.startNitrogen(x.Leaf)
	// The seed's own matter: counted as growth, so that balances close.
	out.Growth += x.Leaf
	out.Flags |= Emerged
}

// establish gives seed and seedlings up that had no water, or that came up too
// thin to make a stand, or on ground too wet.
func (s *Stand) establish(st *State, out *Day) {
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if x.Gone || p.life == crop.Perennial && x.Up {
			continue
		}
		failed := false
		if !x.Up {
			failed = st.Days > failAfter || st.Days > seenAfter && x.Plants < leastPlants*p.share
		} else if x.Warmth < 150 && st.Uses == 0 {
			if out.Stress < 0.05 {
				st.Parched++
			} else {
				st.Parched = 0
			}
			failed = st.Parched > parchedAfter
		}
		if failed && st.Days > 0 {
			out.Litter += x.Leaf + x.Stem
			*x = Part{Gone: true}
			out.Flags |= EstablishmentFailed
		}
	}
}

// Weeds come up with the crop, take light beside it as a low canopy, and drink.
const (
	weedExtinction = 0.6
	weedSpread     = 0.022 // m² of leaf for each g grown, what goes to stem and root taken off
	weedUse        = 1.9   // g/MJ of light
	weedLow        = 0.45  // share of the light that a leaf below the crop gets
	weedMost       = 3.0
	weedDeath      = 0.02 // a day under a closed crop
	weedCut        = 0.4  // left by a use
)

// weeds grows the weeds' leaf in the share of light that is theirs, MJ/m² of
// photosynthetic radiation.
func (st *State) weeds(light, warm, supply, cover float64) {
	if st.Weeds <= 0 {
		return
	}
	st.Weeds += weedSpread * weedUse * light * warm * supply
	st.Weeds -= st.Weeds * weedDeath * cover
	st.Weeds = min(weedMost, st.Weeds)
}
