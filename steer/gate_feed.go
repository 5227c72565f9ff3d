package steer

import (
	"slices"
	"strings"

	"rowen/crop"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/weather"
)

// dormant tells whether this autumn has had its killing frost, 28 °F, or it is winter.
func (g *gated) dormant() bool {
	for d := g.sky.Today; d >= 0; d-- {
		day := g.sky.Forcing.Day(d)
		if day.YearDay <= 240 {
			return false
		}
		if day.TMin <= weather.HardFreeze {
			return true
		}
	}
	return false
}

// The days of the calendar year between which cool-season grass grows lush in spring,
// and from which again in autumn: April to mid-June, September on (common practice).
const lushFrom, lushTo, lushAgain = 91, 165, 244

// tetany asks for grass tetany where animals in milk graze cool-season grass in the
// seasons in which it grows lush; at other times the question is not asked.
func (g *gated) tetany(f *Field) (v hazard.Verdict, asked bool) {
	lactating := false
	for _, a := range g.kinds {
		lactating = lactating || a.Lactating
	}
	lead := f.History.Course.Mix.Parts[0].Crop
	day := g.sky.Forcing.Day(g.sky.Today).YearDay
	season := day >= lushFrom && day <= lushTo || day >= lushAgain
	if !lactating || !lead.Life.Winters() || lead.Legume || lead.Brassica || legumes(f.History.Course.Mix) >= hazard.BloatLegume || !season || f.Now.Stage.Middle >= 1 {
		return v, false
	}
	facts := hazard.TetanyFacts{Lush: true, Magnesium: g.r.Farm.Magnesium, Known: hazard.KnowLush | hazard.KnowPotash}
	for i := range f.History.Course.Deeds {
		facts.Dressed = facts.Dressed || f.History.Course.Deeds[i].Nitrogen > 0
	}
	return g.worst(func(a hazard.Animals) hazard.Verdict {
		facts.Animals = a
		return hazard.Tetany(facts)
	}), true
}

// lightPlants are the plants of a mixture that sensitise skin to light.
func lightPlants(m *crop.Mix) (p hazard.LightPlants) {
	for i := range m.Parts {
		switch name := m.Parts[i].Crop.Name; {
		case m.Parts[i].Crop.Brassica && (strings.Contains(name, "rape") || strings.Contains(name, "kale")):
			p |= hazard.RapeKale
		case strings.Contains(name, "alsike"):
			p |= hazard.Alsike
		case strings.Contains(name, "buckwheat"):
			p |= hazard.Buckwheat
		}
	}
	return p
}

// heads tells whether ergot grows in a mixture's heads: rye, triticale, ryegrasses,
// fescues, brome and timothy.
func heads(m *crop.Mix) bool {
	return has(m, func(c *crop.Crop) bool {
		return slices.ContainsFunc([]string{"rye", "triticale", "fescue", "timothy", "orchardgrass"}, func(s string) bool { return strings.Contains(c.Name, s) })
	})
}

func risky(m *crop.Mix) bool {
	return has(m, func(c *crop.Crop) bool { return c.Prussic != hazard.NoPrussic })
}
func gathers(m *crop.Mix) bool  { return has(m, func(c *crop.Crop) bool { return c.Nitrate }) }
func brassica(m *crop.Mix) bool { return has(m, func(c *crop.Crop) bool { return c.Brassica }) }

func has(m *crop.Mix, is func(*crop.Crop) bool) bool {
	for i := range m.Parts {
		if is(m.Parts[i].Crop) {
			return true
		}
	}
	return false
}

func legumes(m *crop.Mix) (share float64) {
	for _, p := range m.Parts {
		if p.Crop.Legume {
			share += p.Share
		}
	}
	return share
}

// brassica gathers the facts of a growth with brassica: its share of what stands
// there, how long the animals that are on it have been, and whether it is ripe.
func (g *gated) brassica(f *Field, a hazard.Animals) hazard.BrassicaFacts {
	c := &f.History.Course
	facts := hazard.BrassicaFacts{Animals: a, Ripeness: hazard.Unripe, Known: hazard.KnowShare | hazard.KnowAdapted}
	var mine, all float64
	for i, p := range c.Mix.Parts {
		dm := f.State.Parts[i].Leaf + f.State.Parts[i].Stem
		all += dm
		if p.Crop.Brassica {
			mine += dm
		}
	}
	facts.Share = 1
	if all > 0 {
		facts.Share = quantity.Fraction(mine / all)
	}
	if f.History.GrazingIn != 0 {
		facts.Days = g.since(f.History.GrazingIn)
	}
	if f.usedBefore() || g.sky.Today-c.Sow >= int(c.rule().First.Days()) {
		facts.Ripeness = hazard.Ripe
	}
	return facts
}
