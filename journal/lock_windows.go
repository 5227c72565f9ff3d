package journal

import (
	"errors"
	"fmt"
	"os"
	"syscall"
	"time"
)

// sharingViolation is ERROR_SHARING_VIOLATION.
const sharingViolation = syscall.Errno(32)

// exclude holds a file beside the journal, opened so that nobody else can open it.
// Windows closes it when its holder dies, so no lock is left behind.
func exclude(path string, _ *os.File) (release func() error, err error) {
	name, err := syscall.UTF16PtrFromString(path + ".lock")
	if err != nil {
		return nil, err
	}
	wait := time.Millisecond
	for until := time.Now().Add(lockPatience); ; {
		h, err := syscall.CreateFile(name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_NORMAL, 0)
		if err == nil {
			return func() error { return syscall.CloseHandle(h) }, nil
		}
		if !errors.Is(err, sharingViolation) || time.Now().After(until) {
			return nil, fmt.Errorf("cannot have %s alone: %w; close the program that holds it", path, err)
		}
		time.Sleep(wait)
		wait = min(2*wait, 50*time.Millisecond)
	}
}

// share does nothing: a line just being written shows as torn.
func share(*os.File) {}
