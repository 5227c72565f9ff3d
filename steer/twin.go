package steer

import (
	"math"

	"rowen/crop"
	"rowen/handbook/stats"
	"rowen/stand"
)

// Twin is one trial of the method on a truth that it cannot see.
type Twin struct {
	Day      int     // on which the forecast was made
	True     int     // day of the next use, in truth
	Yield    float64 // g DM/m² above the residual on that day, in truth
	With     Now     // told what was measured
	Without  Now     // told nothing
	Measured int     // heights taken until then
}

// every is how often a twin is measured, days, and spots with how many sticks.
const (
	every = 10
	spots = 3
)

// TwinOf hides a truth, drawn as members are but from another seed, measures its
// height every ten days with the error of three sticks, and forecasts its next use
// from a day, with the measurements and without. The sky's own year is the truth's;
// its futures must not hold that year. ok is false where the truth is used before
// the day, or never.
func TwinOf(c Course, base, bare *stand.Stand, sky *Sky, climates *Climates, seed uint64) (t Twin, ok bool) {
	hidden := c
	hidden.Field = -1 - c.Field
	ms := hidden.members(seed)[:1]
	hidden.fit(base, ms)
	rule, grazed := c.rule(), c.Use == crop.Graze
	residual := rule.Residual.Centimetres()
	noise := stats.Stream(seed, "stick", c.Field)
	start := hidden.begin(ms, climates.Past, bare)
	m := &ms[0]
	var d stand.Day
	for day := start; day < climates.days(); day++ {
		m.stand.Step(&m.state, climates.Past, day, &d)
		if day <= sky.Today && day > start && (day-start)%every == 0 && m.stand.Height(&m.state) > 5 {
			sd := ErrorOf(spots)
			c.Seen = append(c.Seen, Seen{Day: day, Trait: Height, Value: m.stand.Height(&m.state) * math.Exp(sd*stats.Draw(noise)), SD: sd})
		}
		for i := range c.Deeds {
			if c.Deeds[i].Day == day {
				hidden.do(ms, &c.Deeds[i])
			}
		}
		if m.state.Mass() > 0 && m.stand.Ready(&m.state, rule, day-m.last, residual, grazed) {
			if day <= sky.Today {
				return t, false
			}
			t.True, t.Yield = day, m.stand.Mown(&m.state, residual)
			break
		}
	}
	if t.True == 0 || len(c.Seen) == 0 {
		return t, false
	}
	t.Day, t.Measured = sky.Today, len(c.Seen)
	t.With = c.Read(base, bare, sky, climates, seed)
	c.Seen = nil
	t.Without = c.Read(base, bare, sky, climates, seed)
	return t, true
}

func (c *Climates) days() int { return c.Past.Days() }
