package solver

import (
	"errors"
	"fmt"
	"time"
)

// protocol is the version of what parent and child say to each other. The binary
// on disk may have been replaced since the parent started.
const protocol = 1

// request is one program to solve, as the child is given it. Slices are as long
// as the columns or the rows; check holds the child to that, for the solver's code
// trusts every number.
type request struct {
	Maximise                         bool
	Offset                           float64
	Cost, ColLo, ColUp, RowLo, RowUp []float64
	Integer                          []byte // 1 for whole numbers; empty where all are continuous
	Starts, Index                    []int32
	Value                            []float64

	Gap       float64
	TimeLimit time.Duration
	Memory    int64
	Seed      int32
	Log       bool
	Point     []float64 // a point to start from; NaN where it is not known
	Basis     *Basis
}

// reply is one message of the child: whichever part is set.
type reply struct {
	Hello    int
	Progress *Progress
	Point    []float64 // an incumbent
	Log      []byte
	Answer   *answer
	Price    *price
	Done     bool // the request is dealt with
	Fault    string
	NoMemory bool
}

// answer is what the solver found.
type answer struct {
	Status            int32
	HasPoint          bool
	X                 []float64
	Bound             float64
	Iterations, Nodes int64
}

// price is the dual side of a point: of a program with whole numbers, that of the
// linear program left when they are fixed.
type price struct {
	X             []float64
	Reduced, Dual []float64
	Basis         *Basis
}

func (m *Model) request(o Options) *request {
	a := m.columns()
	q := &request{
		Maximise: m.maximise, Offset: m.offset, Cost: m.cost, ColLo: m.colLo, ColUp: m.colUp, RowLo: m.rowLo, RowUp: m.rowUp,
		Starts: a.start, Index: a.index, Value: a.value,
		Gap: o.Gap, TimeLimit: o.TimeLimit, Memory: o.MemoryLimit, Seed: int32(o.Seed), Log: o.Log != nil, Point: o.Start, Basis: o.Basis,
	}
	if m.integerColumns > 0 {
		q.Integer = make([]byte, m.Cols())
		for c, whole := range m.integer {
			if whole {
				q.Integer[c] = 1
			}
		}
	}
	return q
}

// check says whether the parts fit together.
func (q *request) check() error {
	cols, rows, entries := len(q.Cost), len(q.RowLo), len(q.Index)
	switch {
	case len(q.ColLo) != cols, len(q.ColUp) != cols, len(q.RowUp) != rows:
		return errors.New("bounds do not match the columns and rows")
	case len(q.Integer) != 0 && len(q.Integer) != cols:
		return errors.New("whole-number marks do not match the columns")
	case len(q.Starts) != cols+1 || len(q.Value) != entries:
		return errors.New("the coefficients are not whole")
	case len(q.Point) != 0 && len(q.Point) != cols:
		return errors.New("the point does not match the columns")
	case q.Basis != nil && (len(q.Basis.Col) != cols || len(q.Basis.Row) != rows):
		return errors.New("the basis does not match the columns and rows")
	case q.Starts[0] != 0 || int(q.Starts[cols]) != entries:
		return errors.New("the coefficients do not start and end where they should")
	}
	for c := range cols {
		from, to := q.Starts[c], q.Starts[c+1]
		if from > to || int(to) > entries {
			return fmt.Errorf("column %d has no valid place among the coefficients", c)
		}
		for i := from; i < to; i++ {
			if r := q.Index[i]; r < 0 || int(r) >= rows || i > from && r <= q.Index[i-1] {
				return fmt.Errorf("column %d has a coefficient in row %d, out of order or range", c, r)
			}
		}
	}
	return nil
}
