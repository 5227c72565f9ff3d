//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package journal

import (
	"errors"
	"fmt"
	"os"
	"syscall"
	"time"
)

// exclude waits until no other program holds the journal, and holds it. The lock
// is the operating system's own: it goes when its holder dies.
func exclude(path string, f *os.File) (release func() error, err error) {
	if err := flock(f, syscall.LOCK_EX); err != nil {
		return nil, fmt.Errorf("cannot have %s alone: %w; close the program that holds it", path, err)
	}
	return func() error { return flock(f, syscall.LOCK_UN) }, nil
}

// share waits until nobody is writing. A file system without locks is read as it
// is: a line just being written then shows as torn.
func share(f *os.File) { _ = flock(f, syscall.LOCK_SH) }

// flock asks again and again rather than wait in the system, where no limit holds.
func flock(f *os.File, how int) error {
	wait := time.Millisecond / 4
	for until := time.Now().Add(lockPatience); ; {
		err := syscall.Flock(int(f.Fd()), how|syscall.LOCK_NB)
		if err == nil || !errors.Is(err, syscall.EWOULDBLOCK) && !errors.Is(err, syscall.EINTR) {
			return err
		}
		if time.Now().After(until) {
			return err
		}
		time.Sleep(wait)
		wait = min(2*wait, 50*time.Millisecond)
	}
}
