package solver

import "github.com/tetratelabs/wazero/experimental"

const wasmPage = 1 << 16

// memory grows in place within reserved address space, up to limit bytes. Moving
// instead, as wazero does by itself, makes a solve about five times slower.
type memory struct {
	limit   uint64
	space   []byte
	used    uint64
	refused bool // growth was asked for and not given
}

// Allocate reserves the space. It is wazero's hook.
func (m *memory) Allocate(_, most uint64) experimental.LinearMemory {
	size := min(most, m.limit) / wasmPage * wasmPage
	space, err := reserve(size)
	if err != nil {
		m.refused = true
		return m
	}
	m.space = space
	return m
}

// Reallocate gives the first size bytes, or nil where the limit is passed.
func (m *memory) Reallocate(size uint64) []byte {
	if size > uint64(len(m.space)) {
		m.refused = true
		return nil
	}
	if size > m.used {
		if err := commit(m.space, size); err != nil {
			m.refused = true
			return nil
		}
		m.used = size
	}
	return m.space[:size:size]
}

// Free gives the space back.
func (m *memory) Free() {
	if m.space != nil {
		_ = release(m.space) // nothing is to be done about it, and the process is short-lived
		m.space = nil
	}
}
