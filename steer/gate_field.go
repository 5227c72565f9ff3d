package steer

import (
	"rowen/crop"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/say"
)

func (f *Field) usedBefore() bool {
	for i := range f.History.Course.Deeds {
		if f.History.Course.Deeds[i].Take {
			return true
		}
	}
	return false
}

// ready asks whether the stand is fit for its use; the middle member speaks, since
// nobody is hurt by it.
func (g *gated) ready(f *Field) hazard.Verdict {
	c := &f.History.Course
	rule := c.rule()
	facts := hazard.ReadyFacts{
		Height: quantity.Length(f.Now.Height.Middle) * quantity.Centimetre, Ready: rule.Ready, TooTall: rule.TooTall, Residual: rule.Residual,
		Stage: f.Now.Stage.Middle, Latest: latest(rule, c), Rest: f.Now.Rest + g.gap(), Known: hazard.KnowHeight | hazard.KnowUseHeight | hazard.KnowStage | hazard.KnowRest,
	}
	if f.usedBefore() {
		facts.MinRest = int(rule.MinRest.Days() + 0.5)
	}
	return hazard.Readiness(facts)
}

// pastBest is how far beyond the stage at which a cut is ready it is past its best, in
// stages (common practice: two weeks after heading).
const pastBest = 0.45

// latest is the stage by which a cut should have been made; 0 where height rules.
func latest(rule *crop.UseRule, c *Course) float64 {
	if rule.ReadyAt <= 0 || c.Use == crop.Graze || c.Mix.Parts[0].Crop.Life == crop.Annual {
		return 0
	}
	return rule.ReadyAt + pastBest
}

// ground asks whether the field carries animals, or machines where it is mown.
func (g *gated) ground(f *Field, grazed bool) hazard.Verdict {
	facts := hazard.GroundFacts{Load: hazard.Machines, Drains: drains(g.r.Farm.Fields[f.Index].Soil.Drainage), Known: hazard.KnowWater}
	if grazed {
		facts.Load = hazard.Hooves
	}
	facts.Deficit = quantity.WaterDepth(-f.Now.Water.Middle) * quantity.MillimetreOfWater
	if g.gap() <= 1 {
		day := g.sky.Today
		facts.Day = quantity.WaterDepth(g.sky.Forcing.Day(day).Rain) * quantity.MillimetreOfWater
		facts.TwoDays = facts.Day
		if day > 0 {
			facts.TwoDays += quantity.WaterDepth(g.sky.Forcing.Day(day-1).Rain) * quantity.MillimetreOfWater
		}
		facts.Known |= hazard.KnowRecentRain
	}
	return hazard.Ground(facts)
}

func drains(d crop.Drainage) hazard.Drains {
	switch {
	case d <= crop.WellDrained:
		return hazard.DrainsWell
	case d <= crop.SomewhatPoorlyDrained:
		return hazard.DrainsSlowly
	}
	return hazard.DrainsPoorly
}

// labelOf begins the name of a gate of a label's wait.
const labelOf = "label of "

// products asks for the waits of labels that somebody entered; for sowing where the
// ground is bare, else for grazing.
func (g *gated) products(f *Field, sowing bool) (out []handbook.Gate) {
	for _, l := range f.History.Labels {
		facts := hazard.ProductFacts{Applied: true, Since: int(g.r.Today - l.From), Known: hazard.KnowSprayed | hazard.KnowSinceSpray}
		until, told := l.Graze, l.GrazOK
		if sowing {
			until, told = l.Plant, l.PlantOK
		}
		if !told && (l.PlantOK || l.GrazOK) {
			continue // its label was read, and asks nothing of this
		}
		if told {
			facts.Interval = int(until - l.From)
			facts.Known |= hazard.KnowLabel
		}
		gate := hazard.Words(labelOf+l.Product, hazard.ProductWait(facts))
		if told && gate.Answer == handbook.Hold {
			gate.Until = say.That("%s", until)
		}
		out = append(out, gate)
	}
	return out
}
