package solver

import (
	"context"
	"encoding/binary"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
)

// host compiles the solver's code once and offers it what it asks of a system:
// a clock, memory and a place to write. There is one in a child process.
type host struct {
	runtime wazero.Runtime
	highs   wazero.CompiledModule
	hook    wazero.CompiledModule
	born    time.Time
	current *instance // the one instance that runs
}

// newHost compiles, or takes what an earlier process compiled from the user's
// cache folder. Where that cannot be written, or what lies there is spoilt, it
// compiles for itself alone.
func newHost(ctx context.Context) (*host, error) {
	code, err := program()
	if err != nil {
		return nil, err
	}
	config := wazero.NewRuntimeConfig()
	if dir, err := os.UserCacheDir(); err == nil {
		if cache, err := wazero.NewCompilationCacheWithDir(filepath.Join(dir, "rowen")); err == nil {
			if h, err := compile(ctx, config.WithCompilationCache(cache), code); err == nil {
				return h, nil
			}
		}
	}
	return compile(ctx, config, code)
}

func compile(ctx context.Context, config wazero.RuntimeConfig, code []byte) (*host, error) {
	h := &host{runtime: wazero.NewRuntimeWithConfig(ctx, config), born: time.Now()}
	var err error
	if h.highs, err = h.runtime.CompileModule(ctx, code); err != nil {
		return nil, err
	}
	if h.hook, err = h.runtime.CompileModule(ctx, hookCode); err != nil {
		return nil, err
	}
	if err := h.offerSystem(ctx); err != nil {
		return nil, err
	}
	_, err = h.runtime.NewHostModuleBuilder("host").NewFunctionBuilder().
		WithGoModuleFunction(api.GoModuleFunc(func(_ context.Context, _ api.Module, stack []uint64) {
			h.current.event(int32(stack[0]), uint32(stack[2]))
		}), []api.ValueType{i32, i32, i32, i32, i32}, nil).
		Export("event").Instantiate(ctx)
	return h, err
}

const i32 = api.ValueTypeI32

// hookCode is a module of one function, slot: it puts host.event into the solver's
// table of functions and gives its place there, since wazero has no call for that.
//
//	(import "highs" "sc" (table 0 funcref))
//	(import "host" "event" (func $event (param i32 i32 i32 i32 i32)))
//	(elem declare func $event)
//	(func (export "slot") (result i32) (table.grow (ref.func $event) (i32.const 1)))
var hookCode = []byte("\x00asm\x01\x00\x00\x00" +
	"\x01\x0d\x02\x60\x05\x7f\x7f\x7f\x7f\x7f\x00\x60\x00\x01\x7f" +
	"\x02\x1b\x02\x05highs\x02sc\x01\x70\x00\x00\x04host\x05event\x00\x00" +
	"\x03\x02\x01\x01" +
	"\x07\x08\x01\x04slot\x00\x01" +
	"\x09\x05\x01\x03\x00\x01\x00" +
	"\x0a\x0b\x01\x09\x00\xd2\x00\x41\x01\xfc\x0f\x00\x0b")

// ended is what a running instance is stopped with: it cannot be called again.
type ended struct{ why string }

func (e ended) Error() string { return e.why }

// offerSystem makes the module "a", with the types that the code declares.
func (h *host) offerSystem(ctx context.Context) error {
	b := h.runtime.NewHostModuleBuilder("a")
	for _, f := range h.highs.ImportedFunctions() {
		_, short, _ := f.Import()
		name, known := importNames[short]
		if !known {
			return fmt.Errorf("the solver's code asks for %q, which nothing here offers", short)
		}
		b.NewFunctionBuilder().WithGoModuleFunction(h.system(name, len(f.ResultTypes()) > 0), f.ParamTypes(), f.ResultTypes()).Export(short)
	}
	_, err := b.Instantiate(ctx)
	return err
}

// system is one function of the system. There is no file, no environment and no
// random number to be had.
func (h *host) system(name string, answers bool) api.GoModuleFunc {
	give := func(v uint64) api.GoModuleFunc {
		return func(_ context.Context, _ api.Module, stack []uint64) {
			if answers {
				stack[0] = v
			}
		}
	}
	switch name {
	case "___cxa_throw", "_exit", "_proc_exit", "__abort_js":
		return func(context.Context, api.Module, []uint64) {
			panic(ended{"the solver stopped by itself (" + name + ")"})
		}
	case "_emscripten_get_now", "_emscripten_date_now":
		return func(_ context.Context, _ api.Module, stack []uint64) {
			stack[0] = api.EncodeF64(float64(time.Since(h.born)) / 1e6)
		}
	case "_clock_time_get":
		return func(_ context.Context, m api.Module, stack []uint64) {
			m.Memory().WriteUint64Le(uint32(stack[2]), uint64(time.Since(h.born)))
			stack[0] = 0
		}
	case "_emscripten_resize_heap":
		return resizeHeap
	case "_fd_write":
		return h.write
	case "_environ_sizes_get":
		return func(_ context.Context, m api.Module, stack []uint64) {
			m.Memory().WriteUint32Le(uint32(stack[0]), 0)
			m.Memory().WriteUint32Le(uint32(stack[1]), 0)
			stack[0] = 0
		}
	case "___syscall_openat":
		return give(uint64(^uint32(44 - 1))) // no such file
	case "___syscall_fcntl64":
		return give(uint64(^uint32(8 - 1))) // no such descriptor
	case "___syscall_ioctl":
		return give(uint64(^uint32(59 - 1))) // no terminal
	case "_fd_read":
		return give(8)
	case "_fd_seek":
		return give(70)
	}
	return give(0)
}

// resizeHeap grows by a fifth at least, so that it is asked seldom, or else by what
// is needed.
func resizeHeap(_ context.Context, m api.Module, stack []uint64) {
	have, want := m.Memory().Size(), uint32(stack[0])
	stack[0] = 0
	if want <= have {
		stack[0] = 1
		return
	}
	pages := func(bytes uint64) uint32 { return uint32((bytes + wasmPage - 1) / wasmPage) }
	need := pages(uint64(want - have))
	if _, ok := m.Memory().Grow(max(need, pages(uint64(have)/5))); ok {
		stack[0] = 1
	} else if _, ok := m.Memory().Grow(need); ok {
		stack[0] = 1
	}
}

// write passes on what goes to the two standard outputs.
func (h *host) write(_ context.Context, m api.Module, stack []uint64) {
	fd, at, count, total := uint32(stack[0]), uint32(stack[1]), uint32(stack[2]), uint32(stack[3])
	if fd != 1 && fd != 2 {
		stack[0] = 8
		return
	}
	written := uint32(0)
	for i := range count {
		vector, ok := m.Memory().Read(at+8*i, 8)
		if !ok {
			break
		}
		text, ok := m.Memory().Read(binary.LittleEndian.Uint32(vector), binary.LittleEndian.Uint32(vector[4:]))
		if !ok {
			break
		}
		if h.current != nil && h.current.log != nil && len(text) > 0 {
			h.current.log(append([]byte(nil), text...))
		}
		written += uint32(len(text))
	}
	m.Memory().WriteUint32Le(total, written)
	stack[0] = 0
}
