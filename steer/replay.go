package steer

import (
	"math"

	"rowen/crop"
	"rowen/stand"
)

// replay grows every member side by side from the year's start (or the sowing) to
// the end of today, doing the deeds and predicting what was seen. With correct, the
// last height seen moves the states themselves by what the parameters left.
func (c *Course) replay(ms []member, climate *stand.Climate, bare *stand.Stand, today int, correct bool) (predicted [][]float64, correction float64, on int) {
	predicted = make([][]float64, len(c.Seen))
	start := c.begin(ms, climate, bare)
	deed, seen := 0, 0
	last := c.lastHeight()
	for day := start; day <= today; day++ {
		// Between two days that matter each member grows alone.
		stop := c.stop(day, seen, deed, today)
		c.growTo(ms, climate, day, stop)
		day = stop
		for seen < len(c.Seen) && c.Seen[seen].Day < day {
			seen++ // before the stand was there
		}
		for ; seen < len(c.Seen) && c.Seen[seen].Day == day; seen++ {
			predicted[seen] = c.predict(ms, &c.Seen[seen])
			if correct && seen == last {
				correction, on = c.correct(ms, predicted[seen], &c.Seen[seen]), day
			}
		}
		for deed < len(c.Deeds) && c.Deeds[deed].Day < day {
			deed++
		}
		for ; deed < len(c.Deeds) && c.Deeds[deed].Day == day; deed++ {
			c.do(ms, &c.Deeds[deed])
		}
		if c.Assumed {
			for i := range ms {
				c.assume(&ms[i], day)
			}
		}
	}
	return predicted, correction, on
}

// stop is the next day, from one on, on which something is seen or done; the last
// where nothing is.
func (c *Course) stop(day, seen, deed, last int) int {
	for ; seen < len(c.Seen) && c.Seen[seen].Day < day; seen++ {
	}
	for ; deed < len(c.Deeds) && c.Deeds[deed].Day < day; deed++ {
	}
	if seen < len(c.Seen) {
		last = min(last, c.Seen[seen].Day)
	}
	if deed < len(c.Deeds) {
		last = min(last, c.Deeds[deed].Day)
	}
	return last
}

// growTo grows every member from a day to another, and uses it on the days between
// where nobody wrote down what was done.
func (c *Course) growTo(ms []member, climate *stand.Climate, from, to int) {
	var d stand.Day
	for i := range ms {
		m := &ms[i]
		for day := from; day <= to; day++ {
			m.stand.Step(&m.state, climate, day, &d)
			if c.Assumed && day < to {
				c.assume(m, day)
			}
		}
	}
}

// begin puts every member at the start of its growth and gives its first day.
func (c *Course) begin(ms []member, climate *stand.Climate, bare *stand.Stand) int {
	if c.Sow == stand.Standing || c.Sow < 0 {
		for i := range ms {
			ms[i].state, ms[i].last = ms[i].stand.Opening(c.Age), c.From
		}
		return c.From
	}
	// The ground alone is the same for all: its water until the sowing.
	ground := bare.Opening(0)
	var d stand.Day
	for day := range c.Sow {
		bare.Step(&ground, climate, day, &d)
	}
	for i := range ms {
		ms[i].state, ms[i].last = ground, c.Sow
		ms[i].stand.Sow(&ms[i].state, c.seedbed(&ms[i]))
	}
	return c.Sow
}

// do does a deed to every member.
func (c *Course) do(ms []member, d *Deed) {
	for i := range ms {
		m := &ms[i]
		switch {
		case d.Slow:
			m.state.Nitrogen += d.Nitrogen / 10
		case d.Nitrogen > 0:
			m.stand.Dress(&m.state, d.Nitrogen)
		}
		if d.Take {
			m.stand.Remove(&m.state, stand.Removal{Residual: d.Residual, Share: 1, Grazed: d.Grazed})
			m.stand.Used(&m.state, d.Grazed)
			m.last = d.Day
		}
	}
}

// assume uses a growth that is ready, where nobody wrote down what was done.
func (c *Course) assume(m *member, day int) {
	rule, grazed := c.rule(), c.Use == crop.Graze
	residual := rule.Residual.Centimetres()
	if m.state.Mass() > 0 && m.stand.Ready(&m.state, rule, day-m.last, residual, grazed) {
		m.stand.Remove(&m.state, stand.Removal{Residual: residual, Share: 1, Grazed: grazed})
		m.stand.Used(&m.state, grazed)
		m.last = day
	}
}

// predict is what each member would have shown.
func (c *Course) predict(ms []member, s *Seen) []float64 {
	out := make([]float64, len(ms))
	for i := range ms {
		m := &ms[i]
		switch s.Trait {
		case Height:
			out[i] = math.Log(math.Max(0.5, m.stand.Height(&m.state)))
		case Stage:
			out[i] = m.stand.Stage(&m.state)
		case Yield:
			out[i] = math.Log(math.Max(1, m.stand.Mown(&m.state, c.residualOn(s.Day))))
		}
	}
	return out
}

// residualOn is the height to which a day's cut went.
func (c *Course) residualOn(day int) float64 {
	for i := range c.Deeds {
		if d := &c.Deeds[i]; d.Day == day && d.Take {
			return d.Residual
		}
	}
	return c.rule().Residual.Centimetres()
}

// told is a value as predictions are compared with it.
func (s *Seen) told() float64 {
	switch s.Trait {
	case Height:
		return math.Log(math.Max(0.5, s.Value))
	case Yield:
		return math.Log(math.Max(1, s.Value))
	}
	return s.Value
}

// lastHeight is the last height among what was seen; -1 without one.
func (c *Course) lastHeight() int {
	for i := len(c.Seen) - 1; i >= 0; i-- {
		if c.Seen[i].Trait == Height {
			return i
		}
	}
	return -1
}

// correct moves the members to the last height by the filter's own step, and gives
// the mean jump of standing matter.
func (c *Course) correct(ms []member, predicted []float64, s *Seen) float64 {
	moved := update(predicted, s.told(), s.SD*s.SD)
	jump := 0.0
	for i := range ms {
		jump += ms[i].stand.Correct(&ms[i].state, math.Exp(moved[i]-predicted[i]))
	}
	return jump / float64(len(ms))
}
