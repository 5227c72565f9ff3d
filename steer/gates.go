package steer

import (
	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/herd"
	"rowen/quantity"
	"rowen/say"
)

// gated is what the gates of all fields are asked with.
type gated struct {
	r       *Request
	sky     *Sky
	animals hazard.Animals   // the strictest of poisons: horses, where any are kept
	kinds   []hazard.Animals // each kind that is kept
	tonight quantity.Temperature
	night   bool // tonight's lowest is known: a forecast's
	dull    bool // the last week was cloudy
	autumn  int  // days to the usual killing frost
	horses  bool
}

// newGated gathers what is the same for all fields.
func newGated(r *Request, sky *Sky) *gated {
	g := &gated{r: r, sky: sky, kinds: animalsOf(r.Farm)}
	for _, a := range g.kinds {
		if a.Species >= g.animals.Species {
			g.animals = a
		}
		g.horses = g.horses || a.Species == hazard.Horses
	}
	g.tonight, g.night = r.tonight()
	g.dull = dull(sky)
	g.autumn = sky.killingFrost()
	return g
}

// animalsOf are the kinds of animal on the farm, each with the strictest of its classes:
// a rule that lets horses go may hold cows.
func animalsOf(f *farm.Farm) (out []hazard.Animals) {
	kind := func(s hazard.Species) *hazard.Animals {
		for i := range out {
			if out[i].Species == s {
				return &out[i]
			}
		}
		out = append(out, hazard.Animals{Species: s, Known: hazard.KnowLactating | hazard.KnowPregnant | hazard.KnowYoung})
		return &out[len(out)-1]
	}
	for i := range f.Groups {
		x := &f.Groups[i]
		class, err := herd.ParseClass(x.Class)
		if err != nil {
			continue
		}
		species := hazard.Cattle
		switch class {
		case herd.Ewe, herd.LambGrowing, herd.Ram:
			species = hazard.Sheep
		case herd.Horse:
			species = hazard.Horses
		}
		if x.Horses {
			kind(hazard.Horses)
		}
		a := kind(species)
		a.Lactating = a.Lactating || class == herd.DairyLactating || class == herd.Ewe || class == herd.BeefCow
		a.Young = a.Young || class.Producing() && class != herd.DairyLactating
		told := class == herd.DairyDry
		for _, p := range x.Periods {
			told = told || p.Gestation > 0
		}
		a.Pregnant = a.Pregnant || told
		if !a.Pregnant && class != herd.Ram && class != herd.LambGrowing && class != herd.BeefGrowing {
			a.Known &^= hazard.KnowPregnant // nobody wrote it down: it may be so
		}
	}
	for i := range out {
		if out[i].Pregnant {
			out[i].Known |= hazard.KnowPregnant
		}
	}
	if len(out) == 0 {
		out = []hazard.Animals{{}} // nothing is known of who will eat it
	}
	return out
}

// worst asks a gate for every kind of animal that is kept.
func (g *gated) worst(ask func(hazard.Animals) hazard.Verdict) (v hazard.Verdict) {
	for _, a := range g.kinds {
		v = v.Worse(ask(a))
	}
	return v
}

// gates asks every gate that matters for a field's next use.
func (g *gated) gates(f *Field) []handbook.Gate {
	var out []handbook.Gate
	add := func(name string, v hazard.Verdict) { out = append(out, hazard.Words(name, v)) }
	h := &f.History
	if !h.Stands {
		return g.products(f, true)
	}
	mix, grazed := h.Course.Mix, h.gateUse() == crop.Graze
	if risky(mix) {
		add("prussic acid", g.prussic(f))
		out[len(out)-1].Until = g.waitUntil(f, hazard.FrostWait, hazard.RainWaitSteer)
		if !grazed && g.r.Farm.Fields[f.Index].Grazeable {
			// Meant for bales, it may still be opened to animals.
			add(ifGrazed, g.prussicFor(f, hazard.Grazing))
			out[len(out)-1].Until = out[len(out)-2].Until
		}
	}
	if gathers(mix) {
		add("nitrate", g.worst(func(a hazard.Animals) hazard.Verdict { return hazard.NitrateSteer(g.nitrate(f, a)) }))
		out[len(out)-1].Until = g.waitUntil(f, 0, hazard.NitrateRainWait)
	}
	if grazed {
		if share := legumes(mix); share > 0 {
			add("bloat", g.worst(func(a hazard.Animals) hazard.Verdict {
				return hazard.Bloat(hazard.BloatFacts{Animals: a, Legume: quantity.Fraction(share), Frost: g.frostDays(f), Known: hazard.KnowLegume | hazard.KnowFrost})
			}))
		}
		if brassica(mix) {
			add("brassicas", g.worst(func(a hazard.Animals) hazard.Verdict { return hazard.Brassica(g.brassica(f, a)) }))
		}
		if v, asked := g.tetany(f); asked {
			add("grass tetany", v)
		}
		if plants := lightPlants(mix); plants != 0 {
			add("photosensitisation", g.worst(func(a hazard.Animals) hazard.Verdict {
				return hazard.Photosensitisation(hazard.LightFacts{Animals: a, Plants: plants, Known: hazard.KnowPlants})
			}))
		}
		if mix.Parts[0].Crop.Name == "teff" {
			add("roots", hazard.Anchorage(hazard.AnchorFacts{Sown: g.sky.Today - h.Course.Sow, Known: hazard.KnowSowing}))
		}
	}
	if heads(mix) && f.Now.Stage.Middle >= 1 && (grazed || h.Course.Use == crop.Hay) {
		add("ergot", g.worst(func(a hazard.Animals) hazard.Verdict {
			return hazard.Ergot(hazard.ErgotFacts{Animals: a, Headed: true, Known: hazard.KnowHeads})
		}))
	}
	add("readiness", g.ready(f))
	if f.Now.Ready.Share > 0 && f.Now.ReadyNow < readyShare {
		out[len(out)-1].Until = say.That("about %s", f.Now.Ready.Middle)
	}
	add("ground", g.ground(f, grazed))
	if mix.Parts[0].Crop.Life == crop.Perennial && g.sky.Forcing.Day(g.sky.Today).YearDay > 200 {
		add("autumn rest", hazard.AutumnRest(hazard.AutumnFacts{Days: g.autumn, Dormant: g.dormant(), Known: hazard.KnowKillingFrost}))
	}
	return append(out, g.products(f, false)...)
}

// gateUse is the use that gates are asked for: grazing while animals are there,
// whatever the growth is meant for.
func (h *History) gateUse() crop.Use {
	if h.Grazing != "" {
		return crop.Graze
	}
	return h.Course.Use
}
