package solver

import (
	"context"
	"errors"
	"math"
	"time"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

// What HiGHS calls its model statuses and callbacks.
const (
	highsModelEmpty            = 6
	highsOptimal               = 7
	highsInfeasible            = 8
	highsUnboundedOrInfeasible = 9
	highsUnbounded             = 10
	highsTimeLimit             = 13
	highsInterrupted           = 17
	highsMemoryLimit           = 18

	onImprovingSolution = 4
	onMIPInterrupt      = 6 // called at every check of the limits
)

func statusOf(highs int32) Status {
	switch highs {
	case highsOptimal, highsModelEmpty:
		return Optimal
	case highsInfeasible:
		return Infeasible
	case highsUnbounded:
		return Unbounded
	case highsUnboundedOrInfeasible:
		return InfeasibleOrUnbounded
	case highsTimeLimit:
		return TimeLimit
	case highsInterrupted:
		return Interrupted
	}
	return Unknown
}

// solve deals with one request and tells what it finds by say. Whatever goes wrong
// inside the code, running out of memory above all, comes out as an error; the
// host can go on to the next request.
func (h *host) solve(ctx context.Context, q *request, say func(reply)) (err error) {
	if err := q.check(); err != nil {
		return err
	}
	var in *instance
	defer func() {
		if what := recover(); what != nil {
			failure, ok := what.(error)
			if !ok {
				panic(what)
			}
			err = failure
		}
		if h.current != nil && h.current.memory.refused && err != nil {
			err = errors.Join(ErrMemory, err)
		}
		if in != nil {
			in.close()
		}
		h.current = nil
	}()
	if in, err = h.newInstance(ctx, q.Memory); err != nil {
		return err
	}
	in.configure(q, say)
	in.pass(q)
	if len(q.Integer) > 0 {
		if err := in.listen(h, q, say); err != nil {
			return err
		}
	}
	in.call("Highs_run", in.model)
	a := in.answer(q)
	if a.Status == highsMemoryLimit {
		return ErrMemory
	}
	say(reply{Answer: a})
	if len(q.Integer) > 0 && a.HasPoint {
		in.fix(q, a.X)
	}
	if p := in.price(q); p != nil {
		say(reply{Price: p})
	}
	in.call("Highs_destroy", in.model)
	return nil
}

func (in *instance) configure(q *request, say func(reply)) {
	if q.Log {
		in.log = func(text []byte) { say(reply{Log: text}) }
	}
	in.setBool("output_flag", q.Log)
	in.setInt("threads", 1) // the code was compiled without threads
	in.setString("parallel", "off")
	in.setInt("random_seed", q.Seed)
	if q.Gap > 0 {
		in.setDouble("mip_rel_gap", q.Gap)
	}
	if q.TimeLimit > 0 {
		in.setDouble("time_limit", q.TimeLimit.Seconds())
	}
}

// pass hands the program over, and where to start.
func (in *instance) pass(q *request) {
	sense := int32(1)
	if q.Maximise {
		sense = -1
	}
	arrays := []uint64{in.putDoubles(q.Cost), in.putDoubles(q.ColLo), in.putDoubles(q.ColUp), in.putDoubles(q.RowLo), in.putDoubles(q.RowUp),
		putInts(in, q.Starts), putInts(in, q.Index), in.putDoubles(q.Value)}
	name := "Highs_passLp"
	if len(q.Integer) > 0 {
		name = "Highs_passMip"
		arrays = append(arrays, putInts(in, q.Integer))
	}
	const byColumn = 1
	args := []uint64{in.model, uint64(len(q.Cost)), uint64(len(q.RowLo)), uint64(len(q.Index)), byColumn, uint64(uint32(sense)), api.EncodeF64(q.Offset)}
	in.must(name, append(args, arrays...)...)
	for _, at := range arrays {
		in.call("free", at)
	}
	if q.Basis != nil && len(q.Integer) == 0 {
		// A basis that does not fit is refused, and the solver starts afresh.
		in.call("Highs_setBasis", in.model, putInts(in, q.Basis.Col), putInts(in, q.Basis.Row))
	}
	if len(q.Point) > 0 && len(q.Integer) > 0 {
		in.start(q.Point)
	}
}

// start gives the columns of a point that are known; HiGHS completes the rest.
func (in *instance) start(point []float64) {
	var index []int32
	var value []float64
	for c, v := range point {
		if !math.IsNaN(v) {
			index, value = append(index, int32(c)), append(value, v)
		}
	}
	if len(index) == len(point) {
		in.call("Highs_setSolution", in.model, in.putDoubles(value), 0, 0, 0)
	} else if len(index) > 0 {
		in.call("Highs_setSparseSolution", in.model, uint64(len(index)), putInts(in, index), in.putDoubles(value))
	}
}

// listen has every new best point told, and the state of the search now and then.
func (in *instance) listen(h *host, q *request, say func(reply)) (err error) {
	if in.hook, err = h.runtime.InstantiateModule(in.ctx, h.hook, wazero.NewModuleConfig().WithName("")); err != nil {
		return err
	}
	slot, err := in.hook.ExportedFunction("slot").Call(in.ctx)
	if err != nil {
		return err
	}
	in.must("Highs_js_setCallback", in.model, slot[0], 0)
	in.must("Highs_startCallback", in.model, onImprovingSolution)
	in.must("Highs_startCallback", in.model, onMIPInterrupt)

	objective, bound, nodes := in.text("objective_function_value"), in.text("mip_dual_bound"), in.text("mip_node_count")
	primal, point := in.text("mip_primal_bound"), in.text("mip_solution")
	item := func(data uint32, name uint64) uint64 {
		at := in.call("Highs_getCallbackDataOutItem", uint64(data), name)
		if at == 0 {
			panic(ended{"the solver's callback lacks an item"})
		}
		return at
	}
	number := func(data uint32, name uint64) float64 { return in.doubles(item(data, name), 1)[0] }
	began, last := time.Now(), time.Time{}
	in.event = func(kind int32, data uint32) {
		now := time.Now()
		if kind == onMIPInterrupt && now.Sub(last) < 100*time.Millisecond {
			return
		}
		p := Progress{Elapsed: now.Sub(began), Bound: number(data, bound), Nodes: int(in.int64At(item(data, nodes)))}
		if kind == onImprovingSolution {
			n := int(in.call("Highs_js_getCallbackMipSolutionSize", uint64(data)))
			if n != len(q.Cost) {
				return
			}
			say(reply{Point: in.doubles(item(data, point), n)})
			p.Incumbent, p.Objective = true, number(data, objective)
		} else {
			last, p.Objective = now, number(data, primal)
		}
		say(reply{Progress: &p})
	}
	return nil
}

// answer reads what a run ended with.
func (in *instance) answer(q *request) *answer {
	a := &answer{Status: int32(in.call("Highs_getModelStatus", in.model)), Iterations: int64(in.infoInt("simplex_iteration_count"))}
	const feasible = 2
	if in.infoInt("primal_solution_status") == feasible {
		a.HasPoint = true
		a.X, _, _ = in.solution(q)
	}
	if len(q.Integer) > 0 {
		a.Bound, a.Nodes = in.infoDouble("mip_dual_bound"), in.infoInt64("mip_node_count")
	}
	return a
}

func (in *instance) solution(q *request) (x, reduced, dual []float64) {
	cols, rows := len(q.Cost), len(q.RowLo)
	at := [4]uint64{in.alloc(8 * cols), in.alloc(8 * cols), in.alloc(8 * rows), in.alloc(8 * rows)}
	in.must("Highs_getSolution", in.model, at[0], at[1], at[2], at[3])
	return in.doubles(at[0], cols), in.doubles(at[1], cols), in.doubles(at[3], rows)
}

// fix solves the linear program that is left when the whole numbers of a point are
// held: it has the prices, and the best of the other columns.
func (in *instance) fix(q *request, x []float64) {
	in.event = func(int32, uint32) {}
	lo, up := append([]float64(nil), q.ColLo...), append([]float64(nil), q.ColUp...)
	for c, whole := range q.Integer {
		if whole == 1 {
			lo[c] = math.Round(x[c])
			up[c] = lo[c]
		}
	}
	in.must("Highs_clearIntegrality", in.model)
	in.must("Highs_changeColsBoundsByRange", in.model, 0, uint64(len(x)-1), in.putDoubles(lo), in.putDoubles(up))
	in.must("Highs_zeroAllClocks", in.model)
	in.call("Highs_run", in.model)
}

// price reads the dual side of a linear program solved to its end.
func (in *instance) price(q *request) *price {
	const feasible = 2
	if int32(in.call("Highs_getModelStatus", in.model)) != highsOptimal || in.infoInt("dual_solution_status") != feasible {
		return nil
	}
	p := &price{}
	p.X, p.Reduced, p.Dual = in.solution(q)
	if in.infoInt("basis_validity") == 1 {
		cols, rows := in.alloc(4*len(q.Cost)), in.alloc(4*len(q.RowLo))
		in.must("Highs_getBasis", in.model, cols, rows)
		p.Basis = &Basis{Col: in.marks(cols, len(q.Cost)), Row: in.marks(rows, len(q.RowLo))}
	}
	return p
}
