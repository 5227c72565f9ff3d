package steer

import (
	"math"
	"slices"

	"rowen/crop"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/stand"
)

// Twin is one trial of the method on a truth that it cannot see.
type Twin struct {
	First    quantity.Date // of the feed year, from which days count
	Day      int           // on which the forecast was made
	True     int           // day of the next use, in truth
	Yield    float64       // g DM/m² above the residual on that day, in truth
	With     Now           // told everything that was measured
	Weighed  Now           // told the weight of the first cut alone; of a second use
	Without  Now           // told nothing but the days of sowing and of use
	Measured int           // heights taken until then
}

// every is how often a twin is measured, days, and spots with how many sticks.
const (
	every = 10
	spots = 3
)

// TwinOf hides a truth, drawn as members are but from another seed, measures its
// height every ten days with the error of three sticks, and forecasts its first use
// from a day, with the measurements and without. The sky's own year is the truth's;
// its futures must not hold that year. ok is false where the truth is used before
// the day, or never.
func TwinOf(c Course, base, bare *stand.Stand, sky *Sky, climates *Climates, seed uint64) (t Twin, ok bool) {
	return c.twin(base, bare, sky, climates, seed, 0)
}

// SecondTwinOf is TwinOf for the second use: the first, when the truth is ready, is
// cut down to the residual of the course's use and weighed with the error of bales.
// ok is also false where the truth is not used once by the day.
func SecondTwinOf(c Course, base, bare *stand.Stand, sky *Sky, climates *Climates, seed uint64) (t Twin, ok bool) {
	return c.twin(base, bare, sky, climates, seed, 1)
}

// FirstUse is the day on which the truth that TwinOf hides is first used; ok is false
// where it never is.
func FirstUse(c Course, base, bare *stand.Stand, climates *Climates, seed uint64) (day int, ok bool) {
	h := c.hide(base, bare, climates, seed)
	for h.day < climates.days() {
		if h.step(climates) {
			return h.day - 1, true
		}
	}
	return 0, false
}

// hidden is a truth on its way through its year.
type hidden struct {
	c   Course
	ms  []member // one
	day int      // the next
}

// hide draws a truth and puts it at the start of its growth.
func (c *Course) hide(base, bare *stand.Stand, climates *Climates, seed uint64) *hidden {
	h := &hidden{c: *c}
	h.c.Field = -1 - c.Field
	h.c.Deeds = slices.Clone(c.Deeds)
	h.ms = h.c.members(seed)[:1]
	h.c.fit(base, h.ms)
	h.day = h.c.begin(h.ms, climates.Past, bare)
	return h
}

// step grows the truth a day and tells whether it is ready. The day's deeds are still
// to be done; see deeds.
func (h *hidden) step(climates *Climates) (ready bool) {
	var d stand.Day
	m, rule := &h.ms[0], h.c.rule()
	m.stand.Step(&m.state, climates.Past, h.day, &d)
	ready = m.state.Mass() > 0 && m.stand.Ready(&m.state, rule, h.day-m.last, rule.Residual.Centimetres(), h.c.Use == crop.Graze)
	for i := range h.c.Deeds {
		if h.c.Deeds[i].Day == h.day {
			h.c.do(h.ms, &h.c.Deeds[i])
		}
	}
	h.day++
	return ready
}

// twin is a trial of the use after so many.
func (c Course) twin(base, bare *stand.Stand, sky *Sky, climates *Climates, seed uint64, used int) (t Twin, ok bool) {
	noise := stats.Stream(seed, "stick", c.Field)
	h := c.hide(base, bare, climates, seed)
	m, residual := &h.ms[0], c.rule().Residual.Centimetres()
	c.Deeds, c.Seen = slices.Clone(c.Deeds), nil
	for start := h.day; h.day < climates.days() && t.True == 0; {
		day := h.day
		ready := h.step(climates)
		if day <= sky.Today && day > start && (day-start)%every == 0 && m.stand.Height(&m.state) > 5 {
			c.see(Seen{Day: day, Trait: Height, Value: m.stand.Height(&m.state), SD: ErrorOf(spots)}, stats.Draw(noise))
			t.Measured++
		}
		switch {
		case !ready:
		case used > 0 && day <= sky.Today:
			used--
			c.see(Seen{Day: day, Trait: Yield, Value: m.stand.Mown(&m.state, residual), SD: yieldError}, stats.Draw(noise))
			cut := Deed{Day: day, Take: true, Grazed: c.Use == crop.Graze, Residual: residual}
			h.c.do(h.ms, &cut)
			c.Deeds = append(c.Deeds, cut)
		case used > 0 || day <= sky.Today:
			return t, false
		default:
			t.True, t.Yield = day, m.stand.Mown(&m.state, residual)
		}
	}
	if t.True == 0 || t.Measured == 0 {
		return t, false
	}
	slices.SortStableFunc(c.Deeds, func(a, b Deed) int { return a.Day - b.Day })
	t.First, t.Day = sky.First, sky.Today
	seen := c.Seen
	t.With = c.Read(base, bare, sky, climates, seed)
	c.Seen = slices.DeleteFunc(slices.Clone(seen), func(s Seen) bool { return s.Trait == Height })
	weighed := len(c.Seen) > 0
	if weighed {
		t.Weighed = c.Read(base, bare, sky, climates, seed)
	}
	c.Seen = nil
	t.Without = c.Read(base, bare, sky, climates, seed)
	return t, true
}

// see notes what is measured of a truth, with its error drawn.
func (c *Course) see(s Seen, z float64) {
	s.Value *= math.Exp(s.SD * z)
	c.Seen = append(c.Seen, s)
}

func (c *Climates) days() int { return c.Past.Days() }
