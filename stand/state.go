package stand

import (
	"math"

	"rowen/crop"
)

// State is a stand at the end of a day with the ground it stands on. It is a
// value without pointers: assignment is the snapshot.
type State struct {
	Parts [crop.MaxParts]Part

	Root     float64 // depletion of the root zone, mm
	Surface  float64 // depletion of the surface layer, mm
	Excess   float64 // water above field capacity, mm
	Nitrogen float64 // mineral nitrogen within reach, g/m²

	Days     int16   // since sowing or the year's start
	Frost    int16   // since the last night at or below 0 °C in this growth
	Watch    int16   // since the last night at or below 2.2 °C
	Dry      int16   // days running of drought stress
	Relief   int16   // days since a rain ended a drought
	Parched  int16   // days running on which seedlings had no water
	Uses     int16   // cuts and grazings since the year's start or sowing
	Heading  bool    // a perennial's first growth, before it is cut
	Weeds    float64 // leaf area index of weeds
	Lodged   float64 // share of the stand that storms have laid, 0..1
	Dosed    float64 // largest single dressing on this growth, kg N/ha
	DoseDays int16   // since the last dressing
}

// Part is one component's state. Masses g DM/m².
type Part struct {
	Warmth   float64 // thermal time since emergence or the last use, °Cd
	Sprout   float64 // thermal time towards emergence, °Cd
	Leaf     float64
	Stem     float64
	Area     float64 // leaf area index
	Age      float64 // mean age of leaf, °Cd
	Bulk     float64 // of an annual: the mass that its height speaks of
	Tall     float64 // of a perennial: height, cm
	Reserve  float64
	Stubble  float64 // of a perennial: stem left by the last use, which dies
	Plants   float64 // share of a full stand's plants or tillers alive, 0..1
	Nitrogen float64 // in tops, g N/m²
	Up       bool    // emerged
	Gone     bool    // dead
}

// Flags is what happened to a stand on a day.
type Flags uint8

// The flags.
const (
	Emerged Flags = 1 << iota
	EstablishmentFailed
	FrostKill
	WinterKill
	Lodged
)

// Day is what a day brought. Masses g DM/m², water mm.
type Day struct {
	Growth float64 // of tops, from light and from reserves
	Litter float64 // leaf that died, and what frost burnt
	Stress float64 // water supply of growing leaf, 0..1; 1 when nothing grows
	Ready  bool    // something green grows

	Rain, Runoff, Evaporation, Transpiration, Drainage float64

	Flags Flags
}

// drySpell is how many stressed days make a drought, and droughtEnds the rain,
// mm in a day, that ends one (common practice).
const (
	drySpell    = 7
	droughtEnds = 10
	stressed    = 0.45 // supply below which a day counts as stressed
)

// Dress gives mineral nitrogen, kg/ha.
func (s *Stand) Dress(st *State, kilograms float64) {
	st.Nitrogen += kilograms / 10
	st.Dosed = max(st.Dosed, kilograms)
	st.DoseDays = 0
}

// Height is the height of the tallest part, cm.
func (s *Stand) Height(st *State) float64 {
	h := 0.0
	for i := range s.parts {
		h = max(h, s.parts[i].height(&st.Parts[i]))
	}
	return h
}

// LeadHeight is the height of the leading part, by which a mixture is mown, cm; of
// the tallest where the leading part is dead or never came up.
func (s *Stand) LeadHeight(st *State) float64 {
	if len(s.parts) == 0 || st.Parts[0].Gone || !st.Parts[0].Up {
		return s.Height(st)
	}
	return s.parts[0].height(&st.Parts[0])
}

// PartHeight is the height of one part, cm; present is false where nothing of the
// part stands and none of its seed can still come up.
func (s *Stand) PartHeight(st *State, i int) (height float64, present bool) {
	x := &st.Parts[i]
	return s.parts[i].height(x), !x.Gone || x.Leaf+x.Stem > 0
}

func (p *params) height(c *Part) float64 {
	if p.life == crop.Perennial {
		return c.Tall
	}
	if c.Bulk <= 0 {
		return 0
	}
	h := 100 * math.Pow(c.Bulk/p.mass100, p.power)
	if h < seedling {
		h = math.Sqrt(h * seedling)
	}
	return min(h, tallestAnnual)
}

// tallestAnnual is the height beyond which no annual here grows, whatever it weighs, cm
// (common practice: twelve and a half feet).
const tallestAnnual = 380

// seedling is the height below which an annual is taller than its mass would have it,
// cm: it first reaches for the light (common practice: a hand high within three weeks of
// coming up, when it weighs next to nothing).
const seedling = 25

// bulk is the mass that an annual's height speaks of, g/m².
func (p *params) bulk(height float64) float64 {
	if height < seedling {
		height *= height / seedling
	}
	return p.mass100 * math.Pow(height/100, 1/p.power)
}

// Stage is the leading part's development: 0 at emergence or after a use, 1 at
// heading, or at soft dough where grain makes the feed.
func (s *Stand) Stage(st *State) float64 {
	if len(s.parts) == 0 {
		return 0
	}
	return st.Parts[0].Warmth / s.parts[0].stage
}

// Dead tells whether nothing of the stand lives, though it stands.
func (s *Stand) Dead(st *State) bool {
	for i := range s.parts {
		if !st.Parts[i].Gone {
			return false
		}
	}
	return len(s.parts) > 0
}

// Drought tells whether the stand has been short of water for a week or more.
func (st *State) Drought() bool { return st.Dry >= drySpell }

// Water is what the ground holds against field capacity, mm: its change over a
// day is rain less runoff, evaporation, transpiration and drainage.
func (st *State) Water() float64 { return st.Excess - st.Root }

// Mass is the tops that stand, g DM/m².
func (st *State) Mass() float64 {
	m := 0.0
	for i := range st.Parts {
		m += st.Parts[i].Leaf + st.Parts[i].Stem
	}
	return m
}
