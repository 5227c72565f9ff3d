package stand

import (
	"math"

	"rowen/crop"
	"rowen/handbook/fertility"
	"rowen/handbook/growth"
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
	DMShare  float64 // dry matter of fresh, 0..1
	Analysis nutrition.Analysis
}

// How leaf and stem stand over height: cut at a share f of its height, a sward
// keeps f^1.1 and an annual f^1.7 of its leaf, and each 1-(1-f)^1.5 of its stem.
// Fitted to the regrowth of docs/validation.md.
const (
	leafOfSward  = 1.1
	leafOfAnnual = 1.7
	stemPower    = 1.5
)

// take is the leaf and stem of a part above a residual.
func (p *params) take(x *Part, height, residual float64) (leaf, stem float64) {
	if height <= residual || x.Leaf+x.Stem <= 0 {
		return 0, 0
	}
	f := residual / height
	power := leafOfSward
	if p.life != crop.Perennial {
		power = leafOfAnnual
	}
	keepLeaf := math.Pow(f, power)
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
		leaf, stem = leaf*share, stem*share
		s.describe(st, i, leaf, stem, &h)
		if x.Leaf > 0 {
			x.Area -= x.Area * leaf / x.Leaf
		}
		x.Leaf -= leaf
		x.Stem -= stem
		after := height - (height-r.Residual)*share
		if p.life == crop.Perennial {
			x.Tall = after
		} else {
			x.Bulk = p.mass100 * math.Pow(after/100, 1/p.power)
		}
	}
	h.finish()
	if r.Grazed {
		// Dung and urine give most of it back, half of that to the air.
		st.Nitrogen += returned * h.DM * h.Analysis.CP / 625
	}
	return h
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
	st.Dosed = 0
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
	starch := p.starch * ramp(stage, 0.55, 1)
	a := nutrition.Analysis{
		CP:  p.nni * (0.7 + 0.3*x.Starved) * growth.CriticalNitrogen(p.na, p.nb, (x.Leaf+x.Stem)/100),
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
}
