package steer

import (
	"rowen/crop"
	"rowen/handbook/stats"
	"rowen/stand"
)

// Members is how many stands are grown side by side.
const Members = 100

// A member differs in these, each a standard normal number until it is used.
const (
	zGrowth = iota
	zPace
	zHeight
	zWater
	zStart
	zLuck
	dims
)

// member is one of the stands.
type member struct {
	z     [dims]float64
	stand *stand.Stand
	state stand.State
	last  int // day of sowing or of the last use
}

// members draws the stands of a course.
func (c *Course) members(seed uint64) []member {
	out := make([]member, Members)
	for i := range out {
		r := stats.Stream(seed, "member", c.Field, int64(i))
		for k := range out[i].z {
			out[i].z[k] = stats.Draw(r)
		}
	}
	return out
}

// fit gives every member the stand that its numbers mean.
func (c *Course) fit(base *stand.Stand, ms []member) {
	low, high := stand.Spans(c.Mix)
	for i := range ms {
		ms[i].stand = base.Vary(variation(&ms[i].z, low, high))
	}
}

// variation maps a member's numbers into the published ranges: nought is the
// catalogue's own value, and the ends are never passed.
func variation(z *[dims]float64, low, high stand.Variation) stand.Variation {
	f := func(k int, low, high float64) float64 {
		p := 2*stats.Normal(z[k]) - 1
		if p >= 0 {
			return 1 + p*(high-1)
		}
		return 1 + p*(1-low)
	}
	return stand.Variation{
		Growth: f(zGrowth, low.Growth, high.Growth), Pace: f(zPace, low.Pace, high.Pace), Height: f(zHeight, low.Height, high.Height),
		Water: f(zWater, low.Water, high.Water), Start: f(zStart, low.Start, high.Start),
	}
}

// seedbed is a member's luck at sowing. What stands in the field did not fail, or
// nobody would steer it: the failing few in a hundred are left out.
func (c *Course) seedbed(m *member) stand.Seedbed {
	bed := c.Seedbed
	bed.Misfortune = 0.9 * stats.Normal(m.z[zLuck])
	return bed
}

// rule is how the next use of a course begins.
func (c *Course) rule() *crop.UseRule { return &c.Mix.Uses[c.Use] }
