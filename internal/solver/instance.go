package solver

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

// instance is one run of the solver's code with its own memory. A call that fails
// inside the code panics with an ended or an error of wazero's; see solve.
type instance struct {
	ctx    context.Context
	module api.Module
	hook   api.Module
	memory *memory
	model  uint64 // the code's own handle
	log    func([]byte)
	event  func(kind int32, data uint32)
}

// newInstance starts the code within so many bytes.
func (h *host) newInstance(ctx context.Context, limit int64) (*instance, error) {
	in := &instance{ctx: ctx, memory: &memory{limit: uint64(limit)}, event: func(int32, uint32) {}}
	h.current = in
	var err error
	in.module, err = h.runtime.InstantiateModule(experimental.WithMemoryAllocator(ctx, in.memory), h.highs,
		wazero.NewModuleConfig().WithName("highs").WithStartFunctions())
	if err != nil {
		return nil, err
	}
	in.call("constructors")
	in.model = in.call("Highs_create")
	return in, nil
}

// close gives everything back. After a failure inside the code nothing more of it
// is called.
func (in *instance) close() {
	if in.hook != nil {
		_ = in.hook.Close(in.ctx)
	}
	if in.module != nil {
		_ = in.module.Close(in.ctx)
	}
}

// call calls a function of the code by its full name.
func (in *instance) call(name string, args ...uint64) uint64 {
	f := in.module.ExportedFunction(exportNames[name])
	if f == nil {
		panic(ended{"the solver's code has no " + name})
	}
	out, err := f.Call(in.ctx, args...)
	if err != nil {
		panic(ended{fmt.Sprintf("%s: %v", name, err)})
	}
	if len(out) == 0 {
		return 0
	}
	return out[0]
}

// must is call where HiGHS answers -1 for an error.
func (in *instance) must(name string, args ...uint64) {
	if int32(in.call(name, args...)) == -1 {
		panic(ended{"the solver refused " + name})
	}
}

// alloc takes memory of the code's; the instance is closed before long, so only
// what is large and short-lived is freed.
func (in *instance) alloc(bytes int) uint64 {
	at := in.call("malloc", uint64(max(bytes, 8)))
	if at == 0 {
		in.memory.refused = true
		panic(ended{"no memory"})
	}
	return at
}

// bytes is a view of the code's memory; it holds until the next call.
func (in *instance) bytes(at uint64, n int) []byte {
	view, ok := in.module.Memory().Read(uint32(at), uint32(n))
	if !ok {
		panic(ended{"the solver pointed outside its memory"})
	}
	return view
}

func (in *instance) putDoubles(v []float64) uint64 {
	at := in.alloc(8 * len(v))
	view := in.bytes(at, 8*len(v))
	for i, x := range v {
		binary.LittleEndian.PutUint64(view[8*i:], math.Float64bits(x))
	}
	return at
}

func putInts[T int8 | int32 | byte](in *instance, v []T) uint64 {
	at := in.alloc(4 * len(v))
	view := in.bytes(at, 4*len(v))
	for i, x := range v {
		binary.LittleEndian.PutUint32(view[4*i:], uint32(int32(x)))
	}
	return at
}

func (in *instance) doubles(at uint64, n int) []float64 {
	view, v := in.bytes(at, 8*n), make([]float64, n)
	for i := range v {
		v[i] = math.Float64frombits(binary.LittleEndian.Uint64(view[8*i:]))
	}
	return v
}

func (in *instance) int64At(at uint64) int64 {
	return int64(binary.LittleEndian.Uint64(in.bytes(at, 8)))
}

// marks reads small whole numbers, such as a basis is made of.
func (in *instance) marks(at uint64, n int) []int8 {
	view, v := in.bytes(at, 4*n), make([]int8, n)
	for i := range v {
		v[i] = int8(binary.LittleEndian.Uint32(view[4*i:]))
	}
	return v
}

// text puts a name, ended by a zero byte.
func (in *instance) text(s string) uint64 {
	at := in.alloc(len(s) + 1)
	copy(in.bytes(at, len(s)+1), s+"\x00")
	return at
}

func (in *instance) setBool(name string, v bool) {
	n := uint64(0)
	if v {
		n = 1
	}
	in.must("Highs_setBoolOptionValue", in.model, in.text(name), n)
}

func (in *instance) setInt(name string, v int32) {
	in.must("Highs_setIntOptionValue", in.model, in.text(name), uint64(uint32(v)))
}

func (in *instance) setDouble(name string, v float64) {
	in.must("Highs_setDoubleOptionValue", in.model, in.text(name), api.EncodeF64(v))
}

func (in *instance) setString(name, v string) {
	in.must("Highs_setStringOptionValue", in.model, in.text(name), in.text(v))
}

func (in *instance) infoInt(name string) int32 {
	at := in.alloc(8)
	in.call("Highs_getIntInfoValue", in.model, in.text(name), at)
	return int32(binary.LittleEndian.Uint32(in.bytes(at, 4)))
}

func (in *instance) infoInt64(name string) int64 {
	at := in.alloc(8)
	in.call("Highs_getInt64InfoValue", in.model, in.text(name), at)
	return in.int64At(at)
}

func (in *instance) infoDouble(name string) float64 {
	at := in.alloc(8)
	in.call("Highs_getDoubleInfoValue", in.model, in.text(name), at)
	return in.doubles(at, 1)[0]
}
