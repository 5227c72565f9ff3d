//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd || windows)

package journal

import (
	"errors"
	"fmt"
	"os"
	"time"
)

// exclude makes a file beside the journal that only one program can make. If its
// maker died, the file stays: then a person is told to delete it, since a lock
// taken away wrongly could lose an entry.
func exclude(path string, _ *os.File) (release func() error, err error) {
	name := path + ".lock"
	wait := time.Millisecond
	for until := time.Now().Add(lockPatience); ; {
		f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
		if err == nil {
			return func() error { return errors.Join(f.Close(), os.Remove(name)) }, nil
		}
		if !errors.Is(err, os.ErrExist) || time.Now().After(until) {
			return nil, fmt.Errorf("cannot have %s alone: %w; if no other program writes to it, delete %s", path, err, name)
		}
		time.Sleep(wait)
		wait = min(2*wait, 50*time.Millisecond)
	}
}

// share does nothing: a line just being written shows as torn.
func share(*os.File) {}
