package steer

import (
	"slices"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/herd"
	"rowen/journal"
	"rowen/quantity"
	"rowen/weather"
)

// measuredWithin is how many days a height taken with a stick speaks for a gate: a
// week's growth is a hand (common practice).
const measuredWithin = 7

// droughtShare is the share of members short of water from which a stand counts as
// drought-stressed: on the safe side of the middle.
const droughtShare = 0.25

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

// tonight is the lowest temperature of the coming night: a forecast's, else the
// coldest of the other years' nights within three days of it, which no night here is
// likely to pass.
func (r *Request) tonight() (quantity.Temperature, bool) {
	at := int(r.Today - r.Years[0].First + 1)
	if k := at - r.Known - 1; k >= 0 && k < len(r.Forecast) {
		return quantity.Temperature(r.Forecast[k].TMin), true
	}
	coldest := quantity.Temperature(60)
	for j := 1; j < len(r.Years); j++ {
		for d := max(0, at-3); d <= at+3 && d < len(r.Years[j].Days); d++ {
			coldest = min(coldest, quantity.Temperature(r.Years[j].Days[d].TMin))
		}
	}
	return coldest, false
}

// dull tells whether the last week had less than 60 % of the light that the other
// years have then.
func dull(sky *Sky) bool {
	var here, there float64
	for d := max(0, sky.Today-6); d <= sky.Today; d++ {
		here += sky.Forcing.Day(d).Solar
	}
	n := 0
	for _, y := range sky.Years {
		// Those share the days so far; a fortnight on they are their own.
		for d := sky.Today + 1; d <= sky.Today+14 && d < y.Days(); d++ {
			there += y.Day(d).Solar
			n++
		}
	}
	return n > 0 && here/float64(min(7, sky.Today+1)) < 0.6*there/float64(n)
}

// killingFrost is the days to the day by which half of the futures have had 28 °F.
func (s *Sky) killingFrost() int {
	var days []float64
	for _, y := range s.Years {
		for d := s.Today + 1; d < y.Days(); d++ {
			if f := y.Day(d); f.YearDay > 200 && f.TMin <= -2.2 {
				days = append(days, float64(d-s.Today))
				break
			}
		}
	}
	if 2*len(days) < len(s.Years) {
		return 365
	}
	return int(spreadOf(days).Middle)
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
		out[len(out)-1].Until = "about " + f.Now.Ready.Middle.String()
	}
	add("ground", g.ground(f, grazed))
	if mix.Parts[0].Crop.Life == crop.Perennial && g.sky.Forcing.Day(g.sky.Today).YearDay > 200 {
		add("autumn rest", hazard.AutumnRest(hazard.AutumnFacts{Days: g.autumn, Dormant: g.dormant(), Known: hazard.KnowKillingFrost}))
	}
	return append(out, g.products(f, false)...)
}

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

// waitUntil is the day on which a wait after frost or after rain on drought ends, if
// neither comes again; empty where none runs.
func (g *gated) waitUntil(f *Field, frost, rain int) string {
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
		return ""
	}
	return end.String() + " at the soonest, if neither frost nor rain on drought comes again"
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

// gateUse is the use that gates are asked for: grazing while animals are there,
// whatever the growth is meant for.
func (h *History) gateUse() crop.Use {
	if h.Grazing != "" {
		return crop.Graze
	}
	return h.Course.Use
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

// frostDays is the days since the last frost, by the station and by whoever saw one.
func (g *gated) frostDays(f *Field) int {
	days := f.Now.Frost
	if days < hazard.Never {
		days += g.gap()
	}
	if f.History.Frost != 0 {
		days = min(days, int(g.r.Today-f.History.Frost))
	}
	return days
}

// gap is the days since the last weather.
func (g *gated) gap() int { return int(g.r.Today-g.r.Years[0].First) - g.r.Known }

// since is the days since a date, Never without one.
func (g *gated) since(d quantity.Date) int {
	if d == 0 {
		return hazard.Never
	}
	return int(g.r.Today - d)
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

// filledWithin is for how many days a missing day of weather leaves frost or rain open:
// the longest of the waits.
const filledWithin = 35

// filled tells which of the last weeks' weather was missing and made up.
func (g *gated) filled() (frost, rain bool) {
	y := &g.r.Years[0]
	for d := max(0, g.r.Known-filledWithin); d <= g.r.Known; d++ {
		frost = frost || y.Days[d].Marks&weather.TMinFilled != 0
		rain = rain || y.Days[d].Marks&weather.RainFilled != 0
	}
	return frost, rain
}

// weathered fills in what weather and eyes tell, where the weather is known to
// yesterday at least.
func (g *gated) weathered(f *Field, facts *hazard.PrussicSteerFacts) {
	facts.Frost, facts.Watch, facts.Rain = g.frostDays(f), hazard.Never, hazard.Never
	if f.Now.Watch < hazard.Never {
		facts.Watch = f.Now.Watch + g.gap()
	}
	if f.Now.Relief < hazard.Never {
		facts.Rain = f.Now.Relief + g.gap()
	}
	facts.Rain = min(facts.Rain, g.since(f.History.Relief))
	facts.Stressed = f.History.Drought || f.Now.Drought >= droughtShare
	facts.Watch = min(facts.Watch, g.since(f.History.Watch))
	if g.gap() > 1 {
		return
	}
	noFrost, noRain := g.filled()
	if !noFrost || !g.frostPossible() {
		facts.Known |= hazard.KnowFrost
	}
	facts.Known |= hazard.KnowDrought
	if !noRain {
		facts.Known |= hazard.KnowRain
	}
}

// frostPossible tells whether any of the years at hand had a frost in the weeks that
// count: in July a missing reading hides none.
func (g *gated) frostPossible() bool {
	for j := 1; j < len(g.r.Years); j++ {
		for d := max(0, g.r.Known-filledWithin); d <= g.r.Known && d < len(g.r.Years[j].Days); d++ {
			if g.r.Years[j].Days[d].TMin <= hazard.FrostOpens {
				return true
			}
		}
	}
	return false
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

func (f *Field) usedBefore() bool {
	for i := range f.History.Course.Deeds {
		if f.History.Course.Deeds[i].Take {
			return true
		}
	}
	return false
}

// unsprayed tells whether it is known that no herbicide was used: on certified
// ground, which allows none.
func (g *gated) unsprayed(h *History, field int) bool {
	return g.r.Farm.Fields[field].Ground.Status != farm.Conventional && len(h.Labels) == 0
}

// sample is where and when a laboratory's sample of a standing growth came from.
func (g *gated) sample(f *Field, lab *journal.Lab, basis journal.Basis) hazard.Sample {
	s := hazard.Sample{Same: true, Stress: hazard.Never, Known: hazard.KnowStress}
	switch basis {
	case journal.BasisDryMatter:
		s.Basis = hazard.DryBasis
	case journal.BasisAsFed:
		s.Basis = hazard.WetBasis
	}
	if dry, ok := lab.Dry(); ok {
		s.DryMatter = float64(dry)
	}
	if lab.Sampled != 0 {
		s.Ago = int(g.r.Today - lab.Sampled)
		s.Known |= hazard.KnowSampled
	}
	s.Stress = min(g.frostDays(f), g.since(f.History.Relief), f.Now.Rest+g.gap())
	if f.History.Drought || f.Now.Drought >= droughtShare {
		s.Stress = 0
	}
	return s
}

// prussicTest is the last prussic acid result of what stands there.
func (g *gated) prussicTest(f *Field) (tested bool, t hazard.PrussicSample) {
	for i := range f.History.Labs {
		lab := f.History.Labs[i].Fact.(journal.Lab)
		if v, ok := lab.Prussic.Get(); ok {
			tested, t = true, hazard.PrussicSample{Result: hazard.HCN(float64(v) * 1e6), Sample: g.sample(f, &lab, lab.PrussicBasis)}
		}
	}
	return tested, t
}

// nitrateTest is the last nitrate result of what stands there. A result whose
// molecule is not told is read as nitrate nitrogen, the reading under which it is
// worst.
func (g *gated) nitrateTest(f *Field) (tested bool, t hazard.NitrateSample) {
	for i := range f.History.Labs {
		lab := f.History.Labs[i].Fact.(journal.Lab)
		if result, _, ok := nitrateOf(&lab); ok {
			tested, t = true, hazard.NitrateSample{Result: result, Sample: g.sample(f, &lab, lab.NitrateBasis)}
		}
	}
	return tested, t
}

// nitrateOf is a result as nitrate nitrogen, with its basis.
func nitrateOf(lab *journal.Lab) (result hazard.NO3N, basis hazard.Basis, ok bool) {
	v, ok := lab.Nitrate.Get()
	ppm := float64(v) * 1e6
	result = hazard.NO3N(ppm)
	switch lab.NitrateAs {
	case journal.NitrateIon:
		result = hazard.NO3(ppm).NO3N()
	case journal.NitrateAsPotassiumSalts:
		result = hazard.NO3N(ppm / hazard.PotassiumNitratePerNitrogen)
	}
	switch lab.NitrateBasis {
	case journal.BasisDryMatter:
		basis = hazard.DryBasis
	case journal.BasisAsFed:
		basis = hazard.WetBasis
	}
	return result, basis, ok
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
		if told {
			facts.Interval = int(until - l.From)
			facts.Known |= hazard.KnowLabel
		}
		gate := hazard.Words(labelOf+l.Product, hazard.ProductWait(facts))
		if told && gate.Answer == handbook.Hold {
			gate.Until = until.String()
		}
		out = append(out, gate)
	}
	return out
}
