package solver

import "math"

// tolerance is how far a point may be past a bound, relative to the bound where
// that is above 1, and a whole number from whole.
const tolerance = 1e-6

// hold keeps a point if it is feasible, with its activity and objective as they
// come out of the model. Whole numbers are made quite whole where the rows bear it.
func (s *Solution) hold(m *Model, x []float64) {
	if len(x) != m.Cols() {
		return
	}
	exact := make([]float64, len(x))
	for c, v := range x {
		if m.integer[c] {
			v = math.Round(v)
		}
		exact[c] = v + 0 // no minus zero
	}
	activity := m.activity(exact)
	if m.allows(exact, activity) {
		x = exact
	} else if activity = m.activity(x); !m.allows(x, activity) {
		return
	}
	s.X, s.Activity, s.feasible = x, activity, true
	s.Objective = m.offset
	for c, v := range x {
		s.Objective += m.cost[c] * v
	}
	s.measure()
}

func (m *Model) activity(x []float64) []float64 {
	a := make([]float64, m.Rows())
	for _, e := range m.entries {
		a[e.row] += e.value * x[e.col]
	}
	return a
}

// allows checks a point and its activity.
func (m *Model) allows(x, activity []float64) bool {
	for c, v := range x {
		if !within(v, m.colLo[c], m.colUp[c]) || m.integer[c] && math.Abs(v-math.Round(v)) > tolerance {
			return false
		}
	}
	for r, v := range activity {
		if !within(v, m.rowLo[r], m.rowUp[r]) {
			return false
		}
	}
	return true
}

// within is false for what is not a finite number.
func within(v, lo, up float64) bool {
	return !math.IsInf(v, 0) && v >= lo-tolerance*math.Max(1, math.Abs(lo)) && v <= up+tolerance*math.Max(1, math.Abs(up))
}

// measure sets the gap between objective and bound.
func (s *Solution) measure() {
	switch apart := math.Abs(s.Objective - s.Bound); {
	case !s.feasible || math.IsInf(s.Bound, 0) || math.IsNaN(s.Bound):
		s.Gap = math.Inf(1)
	case apart <= 1e-9:
		s.Gap = 0
	default:
		s.Gap = apart / math.Max(math.Abs(s.Objective), 1e-9)
	}
}
