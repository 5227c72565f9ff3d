package stand

import (
	"math"

	"rowen/crop"
	"rowen/handbook/fertility"
	"rowen/handbook/nutrition"
)

// Removal is a cut or a day's grazing.
type Removal struct {
	Residual float64 // cm to leave
	Share    float64 // of what stands above it, 0..1
	Grazed   bool
}

// Herbage is what a removal takes, or would take.
type Herbage struct {
	DM       float64 // g/m²
	Parts    [crop.MaxParts]float64
	Nitrate  float64 // NO3-N estimated, ppm of dry matter: may raise a doubt, never settle one
	DMShare  float64 // dry matter of fresh, 0..1
	Analysis nutrition.Analysis
}

// How leaf and stem stand over height: cut at a share f of its height, a sward
// keeps f^0.85 of its leaf and 1-(1-f)^2 of its stem, dense below as it is; an
// annual f^2.4 and 1-(1-f)^1.5. Fitted to the trials of docs/validation.md.
const (
	leafOfSward  = 0.85
	stemOfSward  = 2.0
	leafOfAnnual = 2.4
	stemOfAnnual = 1.5
)

// take is the leaf and stem of a part above a residual.
func (p *params) take(x *Part, height, residual float64) (leaf, stem float64) {
	if height <= residual || x.Leaf+x.Stem <= 0 {
		return 0, 0
	}
	f := residual / height
	leafPower, stemPower := leafOfSward, stemOfSward
	if p.life != crop.Perennial {
		leafPower, stemPower = leafOfAnnual, stemOfAnnual
	}
	keepLeaf := math.Pow(f, leafPower)
	keepStem := 1 - math.Pow(1-f, stemPower)
	return x.Leaf * (1 - keepLeaf), x.Stem * (1 - keepStem)
}

// Standing is what stands above a residual in cm, with its quality.
func (s *Stand) Standing(st *State, residual float64) Herbage {
	var h Herbage
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		leaf, stem := p.take(x, p.height(x), residual)
		s.describe(st, i, leaf, stem, &h)
	}
	h.finish()
	return h
}

// Mown is DM alone of what stands above a residual: cheap, for daily questions.
func (s *Stand) Mown(st *State, residual float64) float64 {
	dm := 0.0
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		leaf, stem := p.take(x, p.height(x), residual)
		dm += leaf + stem
	}
	return dm
}

// Remove takes a share of what stands above the residual. A whole removal ends
// a growth: regrowth starts from the leaf and the reserves that are left.
func (s *Stand) Remove(st *State, r Removal) Herbage {
	var h Herbage
	share := max(0, min(1, r.Share))
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		height := p.height(x)
		leaf, stem := p.take(x, height, r.Residual)
		if leaf+stem <= 0 || share == 0 {
			continue
		}
		leaf, stem = picked(leaf, stem, share, r.Grazed)
		s.describe(st, i, leaf, stem, &h)
		if x.Leaf > 0 {
			bared := p.bared(leaf / x.Leaf)
			x.Area -= x.Area * bared
			// What it leaves without light is sheath.
			sheath := x.Leaf * (bared - leaf/x.Leaf)
			x.Leaf -= sheath
			x.Stem += sheath
		}
		x.Nitrogen -= p.protein(x, leaf, stem) * (leaf + stem) / 625
		x.Leaf -= leaf
		x.Stem -= stem
		after := height - (height-r.Residual)*share
		if p.life == crop.Perennial {
			x.Tall = after
			// What a sward lives on between growths stands in its lowest stem.
			x.Reserve -= x.Reserve * share * baseReserve * max(0, 1-r.Residual/baseOfStem)
		} else {
			x.Bulk = p.bulk(after)
		}
	}
	h.finish()
	if r.Grazed {
		// Dung and urine give most of it back, half of that to the air.
		st.Nitrogen += returned * h.DM * h.Analysis.CP / 625
	}
	return h
}

// bared is the share of leaf area that goes with a share of a part's leaf: a
// sward's lowest leaf is sheath and old blade and catches little light (fitted to
// trials of stubble height and of frequent against rare cutting).
func (p *params) bared(leaf float64) float64 {
	if p.life != crop.Perennial {
		return leaf
	}
	return 1 - (1-leaf)*(1-lowLeaf*leaf)
}

// baseReserve is the share of reserves that goes with the last of the stem base,
// and baseOfStem the height under which they stand, cm (fitted, so that a sward
// grazed to an inch loses yield).
const (
	baseReserve = 0.6
	baseOfStem  = 6.0
)

const lowLeaf = 0.95

// picks is how much likelier an animal takes leaf than stem of the same reach
// (common practice: what cattle eat is leafier than what they are offered).
const picks = 2.0

// picked is what a share of the leaf and stem within reach takes of each: a
// machine takes both alike, an animal leaf first.
func picked(leaf, stem, share float64, grazed bool) (l, s float64) {
	all := share * (leaf + stem)
	if !grazed || share >= 1 || leaf+stem <= 0 {
		return leaf * share, stem * share
	}
	l = min(leaf, all*picks*leaf/(picks*leaf+stem))
	s = min(stem, all-l)
	return all - s, s
}

// returned is the share of eaten nitrogen that becomes available on the pasture
// again: half of what is dropped, the rest goes to the air (common practice). A
// stand does not know its animals; dairy animals return the least.
var returned = fertility.GrazingReturn(true) / 2

// Used ends a growth after its last removal: thermal time of the next begins,
// and what grows no head any more makes leaf.
func (s *Stand) Used(st *State, grazed bool) {
	st.Uses++
	if !grazed || st.Uses >= 3 {
		st.Heading = false
	}
	st.Dosed, st.Lodged = 0, 0
	st.Weeds *= weedCut
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		if x.Gone || !x.Up || p.life == crop.Perennial && st.Heading {
			continue
		}
		if p.life != crop.Perennial && p.reserveStem == 0 {
			x.Gone, x.Area = true, 0 // it does not come back
			continue
		}
		if p.life != crop.Perennial {
			moved := p.reserveStem * x.Stem
			x.Reserve += moved
			x.Stem -= moved
		}
		if p.life == crop.Perennial {
			x.Stubble = x.Stem
		}
		x.Warmth = 0
		x.Age *= 0.5
	}
}

// describe adds a part's removed leaf and stem to the herbage with its quality.
func (s *Stand) describe(st *State, i int, leaf, stem float64, h *Herbage) {
	dm := leaf + stem
	if dm <= 0 {
		return
	}
	p, x := &s.parts[i], &st.Parts[i]
	aged := min(1, x.Warmth/p.ndfTo)
	stage := min(1.25, x.Warmth/p.stage)
	leafShare := leaf / dm
	ndf := leafShare*(p.ndfLeaf[0]+(p.ndfLeaf[1]-p.ndfLeaf[0])*aged) + (1-leafShare)*(p.ndfStem[0]+(p.ndfStem[1]-p.ndfStem[0])*aged)
	starch := p.heads * p.starch * ramp(stage, 0.55, 1)
	a := nutrition.Analysis{
		CP:  p.protein(x, leaf, stem),
		NDF: ndf, ADF: ndf * p.adf, NDFD: p.ndfd[0] + (p.ndfd[1]-p.ndfd[0])*aged,
		Starch: starch, Fat: p.fat, Ash: p.ash,
	}
	legume := 0.0
	if p.legume {
		legume = 1
	}
	a.Complete(legume)
	dry := p.dm[0] + (p.dm[1]-p.dm[0])*stage*stage
	if x.Gone {
		dry = min(0.85, dry+0.015*float64(min(st.Frost, 40))) // killed, it dries standing
		a.CP *= 0.9
	}
	h.Parts[i] += dm
	h.Nitrate += dm * p.nitrate(x, st) // summed until finish
	h.add(dm, dry, &a)
}

// add mixes a part in by dry matter; fields hold sums until finish.
func (h *Herbage) add(dm, dry float64, a *nutrition.Analysis) {
	h.DM += dm
	h.DMShare += dm / dry // fresh mass until finish
	h.Analysis.AddScaled(a, dm)
}

func (h *Herbage) finish() {
	if h.DM <= 0 {
		return
	}
	h.DMShare = h.DM / h.DMShare
	h.Analysis.Scale(1 / h.DM)
	h.Nitrate /= h.DM
}
