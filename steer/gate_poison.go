package steer

import (
	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/say"
)

// measuredWithin is how many days a height taken with a stick speaks for a gate: a
// week's growth is a hand (common practice).
const measuredWithin = 7

// waitUntil is the day on which a wait after frost or after rain on drought ends, if
// neither comes again; empty where none runs.
func (g *gated) waitUntil(f *Field, frost, rain int) say.Line {
	end := quantity.Date(0)
	if days := g.frostDays(f); days < frost {
		end = g.r.Today + quantity.Date(frost-days)
	}
	relief := g.since(f.History.Relief)
	if f.Now.Relief < hazard.Never {
		relief = min(relief, f.Now.Relief+g.gap())
	}
	if relief < rain {
		end = max(end, g.r.Today+quantity.Date(rain-relief))
	}
	if end == 0 {
		return nil
	}
	return say.That("%s at the soonest, if neither frost nor rain on drought comes again", end)
}

// heightFor is the height that a gate of safety may rely on, cm: the low end of a
// stand that somebody measured this week; of one that nobody measured only that it
// is surely too short.
func (g *gated) heightFor(f *Field, least float64) (cm float64, known bool) {
	if f.History.Blocks {
		// Which part was measured nobody can tell: the youngest is short.
		return f.Now.Height.Low, f.Now.Height.Low < least
	}
	if m := f.History.Measured; m != 0 && g.r.Today-m <= measuredWithin {
		// The shortest spot speaks, and no growth since that nobody saw.
		return min(f.Now.Height.Low, f.History.Lowest), true
	}
	if f.Now.Height.High < least {
		return f.Now.Height.High, true
	}
	return 0, false
}

// prussic asks for every part of the mixture at the height that is known of it.
func (g *gated) prussic(f *Field) hazard.Verdict {
	return g.prussicFor(f, useOf(f.History.gateUse()))
}

// ifGrazed names the gate of growth that is meant for the mower and could be grazed.
//
//say:words
const ifGrazed = "prussic acid, if it were grazed"

// prussicFor asks for a use.
func (g *gated) prussicFor(f *Field, use hazard.Use) hazard.Verdict {
	h := &f.History
	facts := hazard.PrussicSteerFacts{Tonight: g.tonight, Animals: g.animals, Age: hazard.Never}
	facts.Use = use
	facts.Horses = g.horses
	facts.Known = hazard.KnowForecast | hazard.KnowAge | g.nitrogenKnown(h)
	if f.usedBefore() {
		facts.Age = f.Now.Rest + g.gap()
	}
	facts.Nitrogen = f.Now.Dose
	g.weathered(f, &facts)
	if g.unsprayed(h, f.Index) {
		facts.Known |= hazard.KnowHerbicide
	}
	if h.Frost != 0 && (h.Killed || h.Shoots >= h.Frost) {
		facts.Known |= hazard.KnowLook
		facts.Look, facts.LookAgo = hazard.Burnt, g.since(h.Frost)
		if h.Shoots != 0 {
			facts.Look, facts.LookAgo = hazard.GreenShoots, g.since(h.Shoots)
		}
	}
	facts.Regrowing = h.Shoots != 0
	facts.Tested, facts.Test = g.prussicTest(f)
	var parts []hazard.PrussicPart
	cm, known := g.heightFor(f, hazard.SorghumHold)
	for _, p := range h.Course.Mix.Parts {
		part := hazard.PrussicPart{Risk: p.Crop.Prussic, Height: cm}
		if known {
			part.Known = hazard.KnowHeight
		}
		parts = append(parts, part)
	}
	return hazard.PrussicMixture(facts, parts)
}

// nitrogenKnown tells whether the nitrogen of this growth is known: nothing was spread
// within six weeks of which nobody wrote how much.
func (g *gated) nitrogenKnown(h *History) hazard.Known {
	if h.Unknown != 0 && g.r.Today-h.Unknown <= dressedBefore {
		return 0
	}
	return hazard.KnowNitrogen
}

// nitrate gathers the nitrate gate's facts.
func (g *gated) nitrate(f *Field, a hazard.Animals) hazard.NitrateSteerFacts {
	var p hazard.PrussicSteerFacts
	g.weathered(f, &p)
	n := hazard.NitrateSteerFacts{Cloudy: g.dull, Weeds: g.r.Farm.Fields[f.Index].Weedy, Animals: a}
	n.Use, n.Stressed, n.Rain, n.Nitrogen, n.Frost = useOf(f.History.gateUse()), p.Stressed, p.Rain, f.Now.Dose, p.Frost
	n.Known = p.Known | g.nitrogenKnown(&f.History) | hazard.KnowCloud | hazard.KnowWeeds
	n.Tested, n.Test = g.nitrateTest(f)
	return n
}

// useOf is the hazard rules' word for a use.
func useOf(u crop.Use) hazard.Use {
	switch u {
	case crop.Graze:
		return hazard.Grazing
	case crop.Hay:
		return hazard.Haying
	}
	return hazard.Ensiling
}

// unsprayed tells whether it is known that no herbicide was used: on certified
// ground, which allows none.
func (g *gated) unsprayed(h *History, field int) bool {
	return g.r.Farm.Fields[field].Ground.Status != farm.Conventional && len(h.Labels) == 0
}
