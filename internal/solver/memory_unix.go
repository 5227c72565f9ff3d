//go:build unix

package solver

import "syscall"

// reserve takes address space that no memory stands behind yet.
func reserve(size uint64) ([]byte, error) {
	return syscall.Mmap(-1, 0, int(size), syscall.PROT_NONE, syscall.MAP_PRIVATE|syscall.MAP_ANON)
}

// commit makes the first size bytes of a reserve usable.
func commit(space []byte, size uint64) error {
	return syscall.Mprotect(space[:size], syscall.PROT_READ|syscall.PROT_WRITE)
}

func release(space []byte) error { return syscall.Munmap(space) }
