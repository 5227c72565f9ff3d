package stand

import (
	"math"

	"rowen/crop"
)

// Variation is how one stand differs from what the catalogue says of its kind:
// factors, 1 for the catalogue's own.
type Variation struct {
	Growth float64 // dry matter for light and for water
	Pace   float64 // thermal time to stages, and to the ageing of fibre
	Height float64 // mass per height
	Water  float64 // water that its roots reach
	Start  float64 // leaf area at emergence or in spring
}

// Same is no variation.
var Same = Variation{1, 1, 1, 1, 1}

// Spans are the least and the most that published values of the leading crop
// allow, as factors; 1 where the catalogue gives no range.
func Spans(mix *crop.Mix) (low, high Variation) {
	low, high = Same, Same
	low.Water, high.Water = soilLow, soilHigh
	if len(mix.Parts) == 0 {
		return low, high
	}
	c := mix.Parts[0].Crop
	height := "height_mass"
	if c.Life == crop.Perennial {
		height = "height_leafy"
	}
	span := func(name string) (float64, float64) {
		p, ok := c.Growth[name]
		if !ok || !(p.Value > 0 && p.Low > 0 && p.Low <= p.Value && p.High >= p.Value) {
			return 1, 1
		}
		return p.Low / p.Value, p.High / p.Value
	}
	low.Growth, high.Growth = span("rue")
	low.Pace, high.Pace = span("stage")
	low.Height, high.Height = span(height)
	low.Start, high.Start = span("leaf_area_start")
	return low, high
}

// soilLow and soilHigh are how far the water that a soil of one texture and depth
// holds is known at all: the width of the ranges in FAO-56, Table 19 (from memory),
// over their middles.
const soilLow, soilHigh = 0.75, 1.25

// Vary is the stand with other parameters. It shares the stand's climate: what
// temperature does is not varied.
func (s *Stand) Vary(v Variation) *Stand {
	c := *s
	c.parts = append([]params(nil), s.parts...)
	for i := range c.parts {
		p := &c.parts[i]
		p.rue *= v.Growth
		p.efficiency *= v.Growth
		p.stage *= v.Pace
		p.ndfTo *= v.Pace
		p.mass100 *= v.Height
		p.leafy *= v.Height
		p.heading *= v.Height
		p.taw *= v.Water
		p.start *= v.Start
	}
	return &c
}

// Ready tells whether a use's rule is met: height or stage, days since sowing or
// the last use, and enough above the residual, cm, to be worth it.
func (s *Stand) Ready(st *State, rule *crop.UseRule, rest int, residual float64, grazed bool) bool {
	return s.ready(st, rule, rest, residual, grazed)
}

// Correct brings a stand to a height that was measured, as a factor of its own,
// and gives what it gained (or lost) by that, g DM/m². Leaf, stem and nitrogen go
// with it. The factor is held between a five-hundredth and five hundred.
func (s *Stand) Correct(st *State, factor float64) (gained float64) {
	factor = math.Max(1.0/500, math.Min(500, factor))
	before := st.Mass()
	for i := range s.parts {
		p, x := &s.parts[i], &st.Parts[i]
		mass := factor
		if p.life == crop.Perennial {
			x.Tall *= factor
		} else {
			height := p.height(x)
			if height <= 0 {
				continue
			}
			mass = p.bulk(height*factor) / p.bulk(height)
			x.Bulk *= mass
		}
		x.Leaf *= mass
		x.Stem *= mass
		x.Area *= mass
		x.Nitrogen *= mass
		x.Stubble *= mass
	}
	return st.Mass() - before
}
