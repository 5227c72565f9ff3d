package steer

import (
	"cmp"
	"math"
	"slices"

	"rowen/crop"
	"rowen/handbook/hazard"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/stand"
	"rowen/weather"
)

// draws is how many futures each member meets.
const draws = 3

// Sky is the weather that a course stands under: this year so far, and the years
// that could follow, each the days so far with another year's days after them.
type Sky struct {
	First   quantity.Date // day 0
	Today   int           // day whose weather is the last known
	Forcing *stand.Forcing
	Years   []*stand.Forcing
}

// Futures are the years that could follow today: the present year's days up to and
// including day today, then a forecast's days where there are any, then each other
// year's own. present indexes years; -1 where the present year is not among them is
// not allowed.
func Futures(years []weather.Year, present, today int, forecast []weather.Day) []*stand.Forcing {
	var out []*stand.Forcing
	now := &years[present]
	for j := range years {
		if j == present {
			continue
		}
		y := *now
		y.Days = append([]weather.Day(nil), now.Days[:today+1]...)
		y.Days = append(y.Days, forecast...)
		if len(y.Days) < len(years[j].Days) {
			y.Days = append(y.Days, years[j].Days[len(y.Days):]...)
		}
		out = append(out, stand.NewForcing(&y))
	}
	return out
}

// Climates is a sky as the crops of one mixture feel it; equal mixtures share it.
type Climates struct {
	Past  *stand.Climate
	Years []*stand.Climate
}

// Feel works a sky for a stand.
func (s *Sky) Feel(st *stand.Stand) *Climates {
	c := &Climates{Past: st.Climate(s.Forcing)}
	for _, f := range s.Years {
		c.Years = append(c.Years, st.Climate(f))
	}
	return c
}

// Read is a field today: its members replayed, corrected by what was seen, and sent
// into the futures. It is the same for the same seed, course and sky.
func (c *Course) Read(base, bare *stand.Stand, sky *Sky, climates *Climates, seed uint64) Now {
	ms, predicted := c.prior(base, bare, sky, climates, seed, c.lastSeen(sky.Today))
	return c.learn(ms, predicted, base, bare, sky, climates)
}

// read is Read with what it was without the last day on which anything was seen, and
// the state of the member that stands in the middle. The members before anything was
// seen serve both.
func (c *Course) read(base, bare *stand.Stand, sky *Sky, climates *Climates, seed uint64) (r reading) {
	was := c.without()
	until := c.lastSeen(sky.Today)
	if len(was.Seen) == 0 {
		until = sky.Today
	}
	ms, predicted := c.prior(base, bare, sky, climates, seed, until)
	if len(c.Seen) > 0 {
		old := slices.Clone(ms)
		expected := make([][]float64, len(was.Seen))
		for j := range expected {
			expected[j] = slices.Clone(predicted[j])
		}
		r.before = was.learn(old, expected, base, bare, sky, climates)
	}
	r.now = c.learn(ms, predicted, base, bare, sky, climates)
	if len(c.Seen) == 0 {
		r.before = r.now
	}
	r.middle = middleOf(ms)
	return r
}

// without is a course without the last day on which anything was seen.
func (c *Course) without() Course {
	was := *c
	for n := len(c.Seen); len(was.Seen) > 0 && was.Seen[len(was.Seen)-1].Day == c.Seen[n-1].Day; {
		was.Seen = was.Seen[:len(was.Seen)-1]
	}
	return was
}

// lastSeen is the last day on which anything was seen, up to today, and today where
// nothing was: so far the members must grow to say what they would have shown.
func (c *Course) lastSeen(today int) int {
	if n := len(c.Seen); n > 0 {
		return min(today, c.Seen[n-1].Day)
	}
	return today
}

// prior grows the members to a day before anything is learnt, and gives what they
// would have shown.
func (c *Course) prior(base, bare *stand.Stand, sky *Sky, climates *Climates, seed uint64, until int) ([]member, [][]float64) {
	ms := c.members(seed)
	c.fit(base, ms)
	predicted, _, _ := c.replay(ms, climates.Past, bare, until, false)
	return ms, predicted
}

// learn takes in what was seen, where anything was, and reads the members today. It
// moves the members, and the predictions with them.
func (c *Course) learn(ms []member, predicted [][]float64, base, bare *stand.Stand, sky *Sky, climates *Climates) (n Now) {
	if len(c.Seen) > 0 {
		for pass := range passes {
			smooth(ms, c.Seen, predicted)
			c.fit(base, ms)
			last, until := pass == passes-1, c.lastSeen(sky.Today)
			if last {
				until = sky.Today
			}
			predicted, n.Correction, n.CorrectionDay = c.replay(ms, climates.Past, bare, until, last)
		}
	}
	c.describe(ms, sky, &n)
	c.ahead(ms, sky, climates, &n)
	return n
}

// middleOf is the state of the member whose mass is the median.
func middleOf(ms []member) stand.State {
	order := make([]int, len(ms))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(ms[a].state.Mass(), ms[b].state.Mass()) })
	return ms[order[len(order)/2]].state
}

// describe sums the members up.
func (c *Course) describe(ms []member, sky *Sky, n *Now) {
	residual := c.rule().Residual.Centimetres()
	columns := make([][]float64, 13)
	var relief []float64
	low, high := stand.Spans(c.Mix)
	n.Frost, n.Watch = hazard.Never, hazard.Never
	for i := range ms {
		m := &ms[i]
		h := m.stand.Standing(&m.state, math.Min(residual, 0.8*m.stand.Height(&m.state)))
		v := variation(&m.z, low, high)
		for k, x := range [...]float64{m.stand.Height(&m.state), m.stand.Stage(&m.state), m.state.Mass(), m.stand.Mown(&m.state, residual), h.DMShare, h.Analysis.CP, h.Analysis.NDF, h.Analysis.NDFD, h.Analysis.NEL, h.Nitrate, m.state.Water(), v.Growth, v.Pace} {
			columns[k] = append(columns[k], x)
		}
		relief = append(relief, float64(m.state.Relief))
		if m.state.Drought() {
			n.Drought += 1.0 / Members
		}
		if m.stand.Dead(&m.state) {
			n.Dead += 1.0 / Members
		}
		n.Frost, n.Watch = min(n.Frost, int(m.state.Frost)), min(n.Watch, int(m.state.Watch))
		n.Dose = max(n.Dose, m.state.Dosed)
	}
	for k, s := range [...]*Spread{&n.Height, &n.Stage, &n.Mass, &n.Offered, &n.DryMatter, &n.CP, &n.NDF, &n.NDFD, &n.NEL, &n.Nitrate, &n.Water, &n.Growth, &n.Pace} {
		*s = spreadOf(columns[k])
	}
	slices.Sort(relief)
	n.Relief = int(stats.Percentile(relief, 0.1))
	n.Rest = sky.Today - ms[len(ms)/2].last
}

// ahead lets every member meet its futures until its next use is ready.
func (c *Course) ahead(ms []member, sky *Sky, climates *Climates, n *Now) {
	rule, grazed := c.rule(), c.Use == crop.Graze
	residual := rule.Residual.Centimetres()
	if !rule.Allowed || len(climates.Years) == 0 {
		return
	}
	var days, offered []float64
	var d stand.Day
	for i := range ms {
		m := &ms[i]
		if m.stand.Ready(&m.state, rule, sky.Today-m.last, residual, grazed) {
			n.ReadyNow += 1.0 / Members
		}
		for k := range draws {
			// Every year serves as often as every other, whatever their number.
			year := (i*draws + k) % len(climates.Years)
			st := m.state
			for day := sky.Today; day < sky.Years[year].Days(); day++ {
				if day > sky.Today {
					m.stand.Step(&st, climates.Years[year], day, &d)
				}
				if st.Mass() > 0 && m.stand.Ready(&st, rule, day-m.last, residual, grazed) {
					days = append(days, float64(day))
					offered = append(offered, m.stand.Mown(&st, residual))
					break
				}
			}
		}
	}
	n.AtReady = spreadOf(offered)
	if len(days) == 0 {
		return
	}
	s := spreadOf(days)
	at := func(x float64) quantity.Date { return sky.First + quantity.Date(math.Round(x)) }
	n.Ready = When{at(s.Low), at(s.Middle), at(s.High), float64(len(days)) / (Members * draws)}
}
