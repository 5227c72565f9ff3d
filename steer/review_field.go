package steer

import (
	"math"
	"slices"
	"strings"

	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
	"rowen/season"
	"rowen/stand"
)

// FieldReview is one field's year. Masses are kg DM of the whole field.
type FieldReview struct {
	Index         int
	PlannedGrazed Pair // taken by grazing, trampled among it, up to the day looked at
	PlannedCut    Pair // that reaches the store
	Stands        []string
	Grazings      int
	Grazed        Spread // estimated: what the grazings written down took
	Cuts          int
	Weighed       int     // cuts with weight and moisture
	WeighedDM     float64 // of those
	Estimated     Spread  // of the others, 10 % lost as usual
	Unknown       int     // uses of which nothing can be said
	Heights       []HeightReview
	Growth        float64 // what all that was measured made of the last stand's growth, 1 the catalogue's; 0 nothing measured
	Reasons       []string
	Questions     []say.Line
}

// HeightReview is one measured height beside what was expected of it, cm.
type HeightReview struct {
	On       quantity.Date
	Seen     float64
	Expected Spread // by weather and deeds alone, before any look at the field
}

// Written tells whether any use of the field was written down.
func (f *FieldReview) Written() bool { return f.Grazings+f.Cuts > 0 }

// Taken is what is known and estimated to have come off the field.
func (f *FieldReview) Taken() Spread {
	at := func(g, c float64) float64 { return g + c + f.WeighedDM }
	return Spread{at(f.Grazed.Low, f.Estimated.Low), at(f.Grazed.Middle, f.Estimated.Middle), at(f.Grazed.High, f.Estimated.High)}
}

// field reviews one field: each stand that stood there in turn.
func (v *Review) field(r *Request, planned *season.Result, sky *Sky, i int) (FieldReview, error) {
	f := FieldReview{Index: i}
	f.PlannedGrazed, f.PlannedCut = v.plannedOff(planned, i)
	climates := map[string]*Climates{}
	for _, h := range r.histories(i, v.First) {
		f.Questions = append(f.Questions, h.Questions...)
		if !h.Stands || h.Course.Sow > sky.Today {
			continue
		}
		w, err := r.compile(i, h, sky, climates)
		if err != nil {
			return f, err
		}
		f.Stands = append(f.Stands, h.Course.Mix.Title)
		f.stand(r, &w, sky)
	}
	f.reasons(v, r)
	return f, nil
}

// plannedOff is what the plan takes off a field up to the day looked at, in its
// middle and its bad year.
func (v *Review) plannedOff(planned *season.Result, field int) (grazed, cut Pair) {
	off := func(y *season.YearResult) (float64, float64) {
		x := &y.Fields[field]
		days := float64(v.Until - v.First + 1)
		var g, c float64
		for h := range x.Ledger {
			share := math.Min(1, math.Max(0, (days-15.2*float64(h))/15.2))
			if v.Whole {
				share = 1
			}
			g += share * x.Ledger[h].Grazed
			c += share * x.Ledger[h].Harvested
		}
		if x.Grazed > 0 {
			g *= (x.Grazed + x.Trampled) / x.Grazed
		}
		if x.Harvested > 0 {
			c *= x.Stored / x.Harvested
		}
		return g, c
	}
	grazed.Middle, cut.Middle = off(&planned.Years[planned.Middle])
	grazed.Bad, cut.Bad = off(&planned.Years[planned.Bad])
	return grazed, cut
}

// histories are a field's histories just before each stand's end, and today.
func (r *Request) histories(field int, first quantity.Date) (out []History) {
	name := r.Farm.Fields[field].Name
	for k := range r.Entries {
		e := &r.Entries[k]
		if e.Date < first || e.Date > r.Today || !strings.EqualFold(e.Field, name) {
			continue
		}
		switch e.Fact.(type) {
		case journal.Sown, journal.Tilled, journal.Ended:
			h := HistoryOf(r.Farm, r.Catalogue, field, r.Entries[:k], first, e.Date)
			h.Questions = nil // the last history asks them all
			if len(h.Course.Deeds)+len(h.Course.Seen) > 0 {
				out = append(out, h)
			}
		}
	}
	return append(out, HistoryOf(r.Farm, r.Catalogue, field, r.Entries, first, r.Today))
}

// stand adds what one stand gave, and how its heights lay.
func (f *FieldReview) stand(r *Request, w *fieldWork, sky *Sky) {
	c := w.history.Course
	taken, expected, growth := c.review(w, sky, r.Seed)
	for j := range c.Seen {
		if s := &c.Seen[j]; s.Trait == Height && expected[j] != nil {
			e := spreadOf(expected[j])
			f.Heights = append(f.Heights, HeightReview{sky.First + quantity.Date(s.Day), s.Value, Spread{math.Exp(e.Low), math.Exp(e.Middle), math.Exp(e.High)}})
		}
	}
	if len(c.Seen) > 0 {
		f.Growth = growth
	}
	cuts := map[int]int{}
	area := float64(r.Farm.Fields[f.Index].Area)
	for d := range c.Deeds {
		deed := &c.Deeds[d]
		if !deed.Take {
			continue
		}
		if deed.Grazed {
			f.Grazings++
			f.count(&f.Grazed, taken[d], area)
			continue
		}
		cut, ok := r.cutOn(f.Index, sky.First+quantity.Date(deed.Day), cuts[deed.Day])
		cuts[deed.Day]++
		f.Cuts++
		if dm, known := weighed(&cut); ok && known {
			f.Weighed++
			f.WeighedDM += dm
		} else if cut.Use != journal.UseLeave {
			f.count(&f.Estimated, taken[d], harvested*area)
		}
	}
}

// count adds an estimate, g DM/m² of so many m², or that there is none.
func (f *FieldReview) count(to *Spread, taken []float64, area float64) {
	if taken == nil {
		f.Unknown++
		return
	}
	s := spreadOf(taken)
	for _, x := range []struct {
		to *float64
		v  float64
	}{{&to.Low, s.Low}, {&to.Middle, s.Middle}, {&to.High, s.High}} {
		*x.to += math.Exp(x.v) * area / 1000
	}
}

// cutOn is the n-th cut of a day as it was written down.
func (r *Request) cutOn(field int, on quantity.Date, n int) (journal.Cut, bool) {
	for i := range r.Entries {
		e := &r.Entries[i]
		if k, ok := e.Fact.(journal.Cut); ok && e.Date == on && strings.EqualFold(e.Field, r.Farm.Fields[field].Name) {
			if n == 0 {
				return k, true
			}
			n--
		}
	}
	return journal.Cut{}, false
}

// review replays a course twice: untold, for what was expected of everything that was
// seen; and told, for what each use took, the logarithm of g DM/m² of every member by
// the index of its deed. What lies behind the last weather is nil.
func (c *Course) review(w *fieldWork, sky *Sky, seed uint64) (taken [][]float64, expected [][]float64, growth float64) {
	ms := c.members(seed)
	c.fit(w.base, ms)
	predicted, _, _ := c.replay(ms, w.climates.Past, w.bare, sky.Today, false)
	for _, p := range predicted {
		expected = append(expected, slices.Clone(p))
	}
	if len(c.Seen) > 0 {
		for range passes - 1 {
			smooth(ms, c.Seen, predicted)
			c.fit(w.base, ms)
			predicted, _, _ = c.replay(ms, w.climates.Past, w.bare, sky.Today, false)
		}
		smooth(ms, c.Seen, predicted)
		c.fit(w.base, ms)
	}
	asked, at := c.asking()
	shown, _, _ := asked.replay(ms, w.climates.Past, w.bare, sky.Today, len(c.Seen) > 0)
	taken = make([][]float64, len(c.Deeds))
	for d := range c.Deeds {
		if at[d] >= 0 {
			taken[d] = shown[at[d]]
		}
	}
	low, high := stand.Spans(c.Mix)
	var factors []float64
	for i := range ms {
		factors = append(factors, variation(&ms[i].z, low, high).Growth)
	}
	return taken, expected, spreadOf(factors).Middle
}

// asking is a course that is asked what it would have shown on the day of each use,
// and where among what was seen each deed's question stands; -1 for none.
func (c *Course) asking() (asked Course, at []int) {
	asked = *c
	asked.Seen = slices.Clone(c.Seen)
	for d := range c.Deeds {
		if c.Deeds[d].Take {
			asked.Seen = append(asked.Seen, Seen{Day: c.Deeds[d].Day, Trait: Yield})
		}
	}
	slices.SortStableFunc(asked.Seen, func(a, b Seen) int { return a.Day - b.Day })
	for d := range c.Deeds {
		at = append(at, -1)
		if !c.Deeds[d].Take {
			continue
		}
		// A second use of one day finds nothing left, and is not asked twice.
		first := !slices.ContainsFunc(c.Deeds[:d], func(x Deed) bool { return x.Take && x.Day == c.Deeds[d].Day })
		if first {
			at[d] = slices.IndexFunc(asked.Seen, func(s Seen) bool { return s.Trait == Yield && s.SD == 0 && s.Day == c.Deeds[d].Day })
		}
	}
	return asked, at
}
