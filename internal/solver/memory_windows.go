package solver

import (
	"unsafe"

	"golang.org/x/sys/windows"
)

// reserve takes address space that no memory stands behind yet.
func reserve(size uint64) ([]byte, error) {
	at, err := windows.VirtualAlloc(0, uintptr(size), windows.MEM_RESERVE, windows.PAGE_NOACCESS)
	if err != nil {
		return nil, err
	}
	// The address comes from the system, not from Go's heap, and never moves.
	return unsafe.Slice(*(**byte)(unsafe.Pointer(&at)), size), nil
}

// commit makes the first size bytes of a reserve usable.
func commit(space []byte, size uint64) error {
	_, err := windows.VirtualAlloc(address(space), uintptr(size), windows.MEM_COMMIT, windows.PAGE_READWRITE)
	return err
}

func release(space []byte) error { return windows.VirtualFree(address(space), 0, windows.MEM_RELEASE) }

func address(space []byte) uintptr { return uintptr(unsafe.Pointer(unsafe.SliceData(space))) }
