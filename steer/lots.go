package steer

import (
	"fmt"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
	"rowen/stand"
)

// Lot is a cut that somebody wrote down and that lies in store, with its gates.
type Lot struct {
	Name  string // as its laboratory entries call it: field and day
	Field int
	Cut   quantity.Date
	Use   crop.Use
	Gates []handbook.Gate

	// Of what was written down; each is 0 where nobody said it.
	Pieces   journal.Pieces
	DM       float64       // kg of dry matter, from the pieces' weight and the moisture
	Moisture float64       // share of what was put up
	CP, NDF  float64       // share of dry matter, by the laboratory
	Tested   quantity.Date // of the laboratory's latest result
}

// written fills in what was written of a lot when it was cut, and what the laboratory
// found of it; the latest result counts.
func (l *Lot) written(k *journal.Cut, labs []journal.Lab, on []quantity.Date) {
	l.Pieces = k.Pieces
	mass, weighed := k.AsFed()
	if m, ok := k.Moisture.Get(); ok {
		l.Moisture = float64(m)
		if weighed {
			l.DM = float64(mass) * (1 - l.Moisture)
		}
	}
	for i, lab := range labs {
		cp, known1 := lab.Protein.Get()
		ndf, known2 := lab.NDF.Get()
		if (known1 || known2) && on[i] >= l.Tested {
			l.CP, l.NDF, l.Tested = float64(cp), float64(ndf), on[i]
		}
	}
}

// keptLongest is how many days a cut or a count is looked for: two winters.
const keptLongest = 550

// feedYearOf is the first day of the feed year that a day lies in.
func feedYearOf(f *farm.Farm, day quantity.Date) quantity.Date {
	first := f.FeedYear.OnOrAfter(day - 366)
	for next := f.FeedYear.OnOrAfter(first + 1); next <= day; next = f.FeedYear.OnOrAfter(first + 1) {
		first = next
	}
	return first
}

// lots are the cuts that were put up and may still lie there, those of the last feed
// year too: a wait does not end with it.
func (r *Request) lots(sky *Sky, work []fieldWork) (out []Lot) {
	g := newGated(r, sky)
	for i := range r.Entries {
		e := &r.Entries[i]
		k, ok := e.Fact.(journal.Cut)
		if !ok || e.Date < r.Today-keptLongest || e.Date > r.Today || k.Use == journal.UseGreen || k.Use == journal.UseLeave {
			continue
		}
		for f := range r.Farm.Fields {
			if strings.EqualFold(r.Farm.Fields[f].Name, e.Field) {
				out = append(out, g.lot(&work[f], f, e, &k))
			}
		}
	}
	return out
}

// lot judges one cut by how its stand stood on the day.
func (g *gated) lot(w *fieldWork, field int, e *journal.Entry, k *journal.Cut) Lot {
	l := Lot{Name: lotName(e), Field: field, Cut: e.Date, Use: crop.Wrap}
	labs, on := g.testedOf(e)
	l.written(k, labs, on)
	switch k.Use {
	case journal.UseChop:
		l.Use = crop.Chop
	case journal.UseHay:
		l.Use = crop.Hay
	case journal.UseSilage:
		l.Use = crop.Silage
	}
	// What stood there is what stood before the cut.
	first := g.sky.First
	if e.Date < first {
		first = e.Date - 366 // its weather is not at hand: only what stood there counts
	}
	was := HistoryOf(g.r.Farm, g.r.Catalogue, field, g.r.Entries, first, e.Date-1)
	if was.Stands && risky(was.Course.Mix) {
		facts := g.prussicLot(w, &was, &l, e)
		gate := hazard.Words("prussic acid", hazard.PrussicLot(facts))
		wait := hazard.EnsileWaitUsual
		if facts.Stressed || facts.Known&hazard.KnowLotSource == 0 {
			wait = hazard.EnsileWait
		}
		if gate.Answer == handbook.Hold && l.Use != crop.Hay && facts.Days < wait {
			gate.Until = say.That("%s, then by its test", e.Date+quantity.Date(wait))
		}
		l.Gates = append(l.Gates, gate)
	}
	if was.Stands && gathers(was.Course.Mix) {
		l.Gates = append(l.Gates, hazard.Words("nitrate", g.worst(func(a hazard.Animals) hazard.Verdict {
			return hazard.NitrateSteer(g.nitrateLot(w, &was, &l, e, a))
		})))
	}
	l.Gates = append(l.Gates, g.people(&l, k)...)
	if l.Use == crop.Wrap {
		l.Gates = append(l.Gates, g.wrapped(e, k, false))
		if g.animals.Species != hazard.Cattle {
			l.Gates = append(l.Gates, g.wrapped(e, k, true))
		}
	}
	return l
}

// heatsAbove is the moisture from which baled hay may heat, and heatDays the days for
// which it is looked at (six weeks: the extension lists of hazard.HayHeat).
const (
	heatsAbove = 0.18
	heatDays   = 42
)

// people are the gates of those who work at a store in its first weeks.
func (g *gated) people(l *Lot, k *journal.Cut) (out []handbook.Gate) {
	days := g.since(l.Cut)
	if (l.Use == crop.Chop || l.Use == crop.Silage) && days < hazard.SiloDays {
		gate := hazard.Words("silo gas", hazard.Silo(hazard.SiloFacts{Days: days, Outside: true, Known: hazard.KnowFilled}))
		gate.Until = say.That("%s", l.Cut+hazard.SiloDays)
		out = append(out, gate)
	}
	if m, ok := k.Moisture.Get(); l.Use == crop.Hay && days < heatDays && (!ok || float64(m) > heatsAbove) {
		gate := hazard.Words("heating hay", hazard.HayHeat(0, 0))
		gate.Until = say.That("%s", l.Cut+heatDays)
		out = append(out, gate)
	}
	return out
}

func lotName(e *journal.Entry) string {
	if e.Lot != "" {
		return e.Lot
	}
	return fmt.Sprintf("%s, %s", e.Field, e.Date)
}

// labsOf are the laboratory results of a lot, by its name, taken after it was cut.
func (g *gated) labsOf(e *journal.Entry) []journal.Lab {
	out, _ := g.testedOf(e)
	return out
}

// testedOf are the same with their days.
func (g *gated) testedOf(e *journal.Entry) (out []journal.Lab, on []quantity.Date) {
	for i := range g.r.Entries {
		x := &g.r.Entries[i]
		if lab, ok := x.Fact.(journal.Lab); ok && strings.EqualFold(x.Lot, lotName(e)) && x.Date >= e.Date && x.Date <= g.r.Today {
			out, on = append(out, lab), append(on, x.Date)
		}
	}
	return out, on
}

// wrapped asks for botulism and listeria.
func (g *gated) wrapped(e *journal.Entry, k *journal.Cut, strict bool) handbook.Gate {
	facts := hazard.LotFacts{Strict: strict}
	if m, ok := k.Moisture.Get(); ok {
		facts.Moisture, facts.Known = float64(m), hazard.KnowLotMoisture
	}
	for _, lab := range g.labsOf(e) {
		if pH, ok := lab.PH.Get(); ok {
			facts.PH = pH
			facts.Known |= hazard.KnowLotPH
		}
	}
	name := "botulism and listeria"
	if strict {
		name += ", horses and sheep"
	}
	return hazard.Words(name, hazard.Wrapped(facts))
}

// prussicLot gathers the facts of a lot from a risky stand: how it stood when it was
// cut, by one stand of the catalogue's own grown to that day, by the station and by
// whoever wrote something down.
func (g *gated) prussicLot(w *fieldWork, was *History, l *Lot, e *journal.Entry) hazard.PrussicLotFacts {
	facts := hazard.PrussicLotFacts{Use: useOf(l.Use), Days: int(g.r.Today - e.Date), Animals: g.animals, Known: hazard.KnowStored}
	for _, p := range was.Course.Mix.Parts {
		facts.Risk = max(facts.Risk, p.Crop.Prussic)
	}
	day := int(e.Date - g.sky.First)
	if day < 0 || day > g.sky.Today {
		return facts // no weather here tells how it stood
	}
	s, ok := g.stood(w, was, day)
	if !ok {
		return facts
	}
	facts.Known |= hazard.KnowLotSource
	facts.Stressed = s.frost < hazard.Never || s.dry || s.relief < hazard.NitrateRainWait || was.Drought || s.height < hazard.SorghumHold ||
		was.Frost != 0 && int(was.Frost-g.sky.First) > was.lastUse() || was.Relief != 0 && e.Date-was.Relief < hazard.NitrateRainWait
	for _, lab := range g.labsOf(e) {
		if v, known := lab.Prussic.Get(); known {
			s := hazard.Sample{Same: true, Stress: hazard.Never, Known: hazard.KnowStress}
			switch lab.PrussicBasis {
			case journal.BasisDryMatter:
				s.Basis = hazard.DryBasis
			case journal.BasisAsFed:
				s.Basis = hazard.WetBasis
			}
			if dm, told := lab.Dry(); told {
				s.DryMatter = float64(dm)
			}
			if lab.Sampled != 0 {
				s.Ago, s.Known = int(g.r.Today-lab.Sampled), s.Known|hazard.KnowSampled
			}
			facts.Tested, facts.Test = true, hazard.PrussicSample{Result: hazard.HCN(float64(v) * 1e6), Sample: s}
		}
	}
	return facts
}

// nitrateLot gathers the facts of a lot from growth that gathers nitrate. What it had
// been through when it was cut stays in it; only a test of the lot speaks otherwise.
func (g *gated) nitrateLot(w *fieldWork, was *History, l *Lot, e *journal.Entry, a hazard.Animals) hazard.NitrateSteerFacts {
	n := hazard.NitrateSteerFacts{Weeds: g.r.Farm.Fields[l.Field].Weedy, Animals: a}
	n.Use, n.Rain, n.Frost = useOf(l.Use), hazard.Never, hazard.Never
	n.Known = hazard.KnowWeeds | hazard.KnowCloud
	if day := int(e.Date - g.sky.First); day >= 0 && day <= g.sky.Today {
		if s, ok := g.stood(w, was, day); ok {
			n.Stressed, n.Rain, n.Frost, n.Nitrogen = s.dry || was.Drought, s.relief, s.frost, s.dose
			if was.Relief != 0 {
				n.Rain = min(n.Rain, int(e.Date-was.Relief))
			}
			if was.Frost != 0 {
				n.Frost = min(n.Frost, int(e.Date-was.Frost))
			}
			n.Known |= hazard.KnowDrought | hazard.KnowRain | hazard.KnowFrost
			if was.Unknown == 0 || e.Date-was.Unknown > dressedBefore {
				n.Known |= hazard.KnowNitrogen
			}
		}
	}
	for _, lab := range g.labsOf(e) {
		if result, basis, ok := nitrateOf(&lab); ok {
			s := hazard.Sample{Same: true, Basis: basis, Stress: hazard.Never, Known: hazard.KnowStress}
			if dm, told := lab.Dry(); told {
				s.DryMatter = float64(dm)
			}
			if lab.Sampled != 0 {
				s.Ago, s.Known = int(g.r.Today-lab.Sampled), s.Known|hazard.KnowSampled
			}
			n.Tested, n.Test = true, hazard.NitrateSample{Result: result, Sample: s}
		}
	}
	return n
}

// lastUse is the day of the last use, or of sowing.
func (h *History) lastUse() int {
	last := max(h.Course.Sow, -400)
	for i := range h.Course.Deeds {
		if d := &h.Course.Deeds[i]; d.Take {
			last = d.Day
		}
	}
	return last
}

// stoodAs is how a stand stood on a day.
type stoodAs struct {
	height        float64 // cm
	frost, relief int     // days since
	dry           bool
	dose          float64 // kg N/ha
}

// stood grows a stand to the day of its cut.
func (g *gated) stood(w *fieldWork, was *History, day int) (s stoodAs, ok bool) {
	base, err := stand.Compile(*was.Course.Mix, w.soil)
	if err != nil {
		return s, false
	}
	climate := base.Climate(g.sky.Forcing)
	ms := []member{{stand: base}}
	c := was.Course
	c.Seen, c.Assumed = nil, false
	c.replay(ms, climate, w.bare, day, false)
	st := &ms[0].state
	s = stoodAs{height: base.Height(st), frost: int(st.Frost), relief: int(st.Relief), dry: st.Drought(), dose: st.Dosed}
	if n := len(was.Course.Seen); n > 0 && was.Course.Seen[n-1].Trait == Height {
		s.height = was.Lowest
	}
	return s, true
}
