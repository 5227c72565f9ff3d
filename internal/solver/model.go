package solver

import (
	"math"
	"slices"
)

// Col is the number of a column (a variable) in its Model, from 0.
type Col int

// Row is the number of a row (a constraint) in its Model, from 0.
type Row int

// Model is a linear or mixed-integer program: the best cost over columns within
// their bounds and rows within theirs. Build it with NewModel. Methods that take a
// Col or Row panic on one the model does not have, save Set, whose entries
// Validate checks. A model may be solved by several goroutines at once, but not
// while one of them changes it.
type Model struct {
	name     string
	maximise bool
	offset   float64

	colNames       []string
	cost           []float64
	colLo, colUp   []float64
	integer        []bool
	rowNames       []string
	rowLo, rowUp   []float64
	entries        []entry
	integerColumns int
}

// entry is one coefficient as it was set.
type entry struct {
	row, col int32
	value    float64
}

// NewModel makes an empty model that minimises.
func NewModel(name string) *Model { return &Model{name: name} }

// Name is the name the model was made with.
func (m *Model) Name() string { return m.name }

// Minimise asks for the least cost: a new model does.
func (m *Model) Minimise() { m.maximise = false }

// Maximise asks for the greatest cost.
func (m *Model) Maximise() { m.maximise = true }

// Maximises says whether the greatest cost is asked for.
func (m *Model) Maximises() bool { return m.maximise }

// Offset sets a constant that is added to the objective.
func (m *Model) Offset(v float64) { m.offset = v }

// Var adds a continuous column between lo and up, which may be infinite.
func (m *Model) Var(name string, lo, up, cost float64) Col { return m.add(name, lo, up, cost, false) }

// Int adds a column that takes whole numbers only.
func (m *Model) Int(name string, lo, up, cost float64) Col { return m.add(name, lo, up, cost, true) }

// Binary adds a column that is 0 or 1.
func (m *Model) Binary(name string, cost float64) Col { return m.add(name, 0, 1, cost, true) }

func (m *Model) add(name string, lo, up, cost float64, integer bool) Col {
	m.colNames = append(m.colNames, name)
	m.colLo = append(m.colLo, lo)
	m.colUp = append(m.colUp, up)
	m.cost = append(m.cost, cost)
	m.integer = append(m.integer, integer)
	if integer {
		m.integerColumns++
	}
	return Col(len(m.colNames) - 1)
}

// Row adds a row whose activity lies between lo and up: equal for an equation,
// infinite for a side that is free.
func (m *Model) Row(name string, lo, up float64) Row {
	m.rowNames = append(m.rowNames, name)
	m.rowLo = append(m.rowLo, lo)
	m.rowUp = append(m.rowUp, up)
	return Row(len(m.rowNames) - 1)
}

// Set adds v to the coefficient of a column in a row: what is set twice is summed.
func (m *Model) Set(r Row, c Col, v float64) {
	m.entries = append(m.entries, entry{clampIndex(int(r)), clampIndex(int(c)), v})
}

// clampIndex keeps an index that does not fit out of range, for Validate to find.
func clampIndex(i int) int32 {
	if i < 0 || i > math.MaxInt32 {
		return -1
	}
	return int32(i)
}

// SetCost replaces the cost of a column.
func (m *Model) SetCost(c Col, v float64) { m.cost[c] = v }

// SetBounds replaces the bounds of a column.
func (m *Model) SetBounds(c Col, lo, up float64) { m.colLo[c], m.colUp[c] = lo, up }

// SetRowBounds replaces the bounds of a row.
func (m *Model) SetRowBounds(r Row, lo, up float64) { m.rowLo[r], m.rowUp[r] = lo, up }

// Cost is the cost of a column.
func (m *Model) Cost(c Col) float64 { return m.cost[c] }

// Bounds are the least and greatest value of a column.
func (m *Model) Bounds(c Col) (lo, up float64) { return m.colLo[c], m.colUp[c] }

// RowBounds are the least and greatest activity of a row.
func (m *Model) RowBounds(r Row) (lo, up float64) { return m.rowLo[r], m.rowUp[r] }

// Integer says whether a column takes whole numbers only.
func (m *Model) Integer(c Col) bool { return m.integer[c] }

// Cols is the number of columns.
func (m *Model) Cols() int { return len(m.colNames) }

// Rows is the number of rows.
func (m *Model) Rows() int { return len(m.rowNames) }

// NonZeros is the number of coefficients other than 0, once repeats are summed.
func (m *Model) NonZeros() int { return len(m.columns().index) }

// ColName is the name of a column.
func (m *Model) ColName(c Col) string { return m.colNames[c] }

// RowName is the name of a row.
func (m *Model) RowName(r Row) string { return m.rowNames[r] }

// Clone is a copy that can be changed apart.
func (m *Model) Clone() *Model {
	c := *m
	c.colNames, c.rowNames = slices.Clone(m.colNames), slices.Clone(m.rowNames)
	c.cost, c.integer = slices.Clone(m.cost), slices.Clone(m.integer)
	c.colLo, c.colUp = slices.Clone(m.colLo), slices.Clone(m.colUp)
	c.rowLo, c.rowUp = slices.Clone(m.rowLo), slices.Clone(m.rowUp)
	c.entries = slices.Clone(m.entries)
	return &c
}

// Relax is a copy in which every column is continuous.
func (m *Model) Relax() *Model {
	c := m.Clone()
	clear(c.integer)
	c.integerColumns = 0
	return c
}

// matrix is the coefficients column by column: those of column c are at
// start[c] to start[c+1], their rows rising.
type matrix struct {
	start, index []int32
	value        []float64
}

// columns gathers the entries by column and sums repeats. Entries outside the
// model are left out; Validate names them.
func (m *Model) columns() matrix {
	byRow := m.sorted(len(m.rowNames), m.entries, func(e entry) int32 { return e.row })
	byCol := m.sorted(len(m.colNames), byRow, func(e entry) int32 { return e.col })
	a := matrix{start: make([]int32, m.Cols()+1), index: make([]int32, 0, len(byCol)), value: make([]float64, 0, len(byCol))}
	for i := 0; i < len(byCol); {
		e := byCol[i]
		for i++; i < len(byCol) && byCol[i].col == e.col && byCol[i].row == e.row; i++ {
			e.value += byCol[i].value
		}
		if e.value != 0 {
			a.index, a.value = append(a.index, e.row), append(a.value, e.value)
			a.start[e.col+1]++
		}
	}
	for c := range m.Cols() {
		a.start[c+1] += a.start[c]
	}
	return a
}

// sorted counts entries into n places by key, keeping the order within a place.
func (m *Model) sorted(n int, entries []entry, key func(entry) int32) []entry {
	next := make([]int, n+1)
	for _, e := range entries {
		if k := key(e); k >= 0 && int(k) < n {
			next[k+1]++
		}
	}
	for i := range n {
		next[i+1] += next[i]
	}
	out := make([]entry, next[n])
	for _, e := range entries {
		if k := key(e); k >= 0 && int(k) < n {
			out[next[k]] = e
			next[k]++
		}
	}
	return out
}
