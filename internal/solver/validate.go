package solver

import (
	"errors"
	"fmt"
	"math"
)

// most of the problems that Validate writes out; the rest are counted.
const mostProblems = 50

// What HiGHS takes: coefficients above the first are refused, and costs and bounds
// from the second on are infinite to it.
const (
	largestCoefficient = 1e15
	boundless          = 1e20
)

// Validate checks what the solver would take without a word: numbers that are not
// numbers, infinite costs and coefficients, bounds that cross, entries outside the
// model. The error holds every problem by the names of its row and column, up to
// fifty. A model without an error can still be infeasible or unbounded.
func (m *Model) Validate() error {
	var problems []error
	count := 0
	say := func(format string, a ...any) {
		if count++; count <= mostProblems {
			problems = append(problems, fmt.Errorf("solver: model %q: "+format, append([]any{m.name}, a...)...))
		}
	}
	if !finite(m.offset) {
		say("the offset is %g; give a finite number", m.offset)
	}
	for c := range m.colNames {
		if !(math.Abs(m.cost[c]) < boundless) {
			say("column %q: the cost is %g; give a number within %g", m.colNames[c], m.cost[c], boundless)
		}
		if why := badBounds(m.colLo[c], m.colUp[c]); why != "" {
			say("column %q: %s", m.colNames[c], why)
		}
	}
	for r := range m.rowNames {
		if why := badBounds(m.rowLo[r], m.rowUp[r]); why != "" {
			say("row %q: %s", m.rowNames[r], why)
		}
	}
	for i, e := range m.entries {
		inRow, inCol := e.row >= 0 && int(e.row) < m.Rows(), e.col >= 0 && int(e.col) < m.Cols()
		switch {
		case !inRow && !inCol:
			say("entry %d (%g) is in a row and a column that the model does not have", i, e.value)
		case !inRow:
			say("column %q: a coefficient (%g) is in a row that the model does not have", m.colNames[e.col], e.value)
		case !inCol:
			say("row %q: a coefficient (%g) is in a column that the model does not have", m.rowNames[e.row], e.value)
		case !(math.Abs(e.value) <= largestCoefficient):
			say("row %q, column %q: the coefficient is %g; give a number within %g", m.rowNames[e.row], m.colNames[e.col], e.value, largestCoefficient)
		}
	}
	if len(m.entries) > math.MaxInt32 || m.Cols() > math.MaxInt32 || m.Rows() > math.MaxInt32 {
		say("it is too large: at most %d columns, rows and coefficients", math.MaxInt32)
	}
	if count > mostProblems {
		problems = append(problems, fmt.Errorf("solver: model %q: and %d problems more", m.name, count-mostProblems))
	}
	return errors.Join(problems...)
}

// badBounds says what is wrong with a pair of bounds, or nothing.
func badBounds(lo, up float64) string {
	switch {
	case math.IsNaN(lo) || math.IsNaN(up):
		return fmt.Sprintf("the bounds are %g to %g; give numbers, or math.Inf for a free side", lo, up)
	case lo > up:
		return fmt.Sprintf("the lower bound %g is above the upper bound %g", lo, up)
	case lo >= boundless || up <= -boundless:
		return fmt.Sprintf("the bounds are %g to %g; no value lies between", lo, up)
	}
	return ""
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
