package office

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"modernc.org/sqlite"
)

// ErrMissing tells of a farm, version, file or person that the book does not have.
var ErrMissing = errors.New("not in the book")

// ErrNoBook tells of a file that is no book, or a later program's.
var ErrNoBook = errors.New("not a book that this program can read")

// ErrNoRoom tells that the disk takes nothing more: it is full, or refuses.
var ErrNoRoom = errors.New("the disk takes nothing more")

// noRoom is a storage error of such a disk.
type noRoom struct{ error }

// Is tells that it is ErrNoRoom.
func (noRoom) Is(target error) bool { return target == ErrNoRoom }

// Unwrap gives the storage's own error.
func (e noRoom) Unwrap() error { return e.error }

// InputError tells what is wrong with what was to be kept, and what to do.
type InputError string

// Error is the sentence.
func (e InputError) Error() string { return string(e) }

// wrong makes an InputError.
func wrong(format string, args ...any) error { return InputError(fmt.Sprintf(format, args...)) }

// errDamaged tells of content that is not what was written.
var errDamaged = errors.New("the book is damaged; rowen book check tells where, rowen book restore puts a backup in its place")

// damaged tells of a thing whose content is not what was saved.
func damaged(format string, args ...any) error {
	return fmt.Errorf("%s: the text is not what was saved, so that nothing is made of it: %w", fmt.Sprintf(format, args...), errDamaged)
}

// SQLite's result codes, without their details.
const (
	codeBusy = 5
	codeRead = 8
	codeIO   = 10
	codeBad  = 11
	codeFull = 13
	codeOpen = 14
	codeNoDB = 26
)

// told gives a storage error words to act on; others pass.
func told(path string, err error) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	switch code(err) {
	case 0:
		return err
	case codeFull:
		return fmt.Errorf("%s: the disk is full: nothing was changed; make room and do it again (%w)", path, noRoom{err})
	case codeIO:
		return fmt.Errorf("%s: the disk refused, as when it is full or taken away: nothing was changed; look at the disk and do it again (%w)", path, noRoom{err})
	case codeBusy:
		return fmt.Errorf("%s: another program is writing to the book and does not end: nothing was changed; wait or stop it (%w)", path, err)
	case codeRead:
		return fmt.Errorf("%s: the book may not be written; give this user the right to its file and folder (%w)", path, err)
	case codeOpen:
		return fmt.Errorf("%s: the book cannot be opened; give a path in a folder that exists and can be written (%w)", path, err)
	case codeNoDB:
		return fmt.Errorf("%s: %w (%w)", path, ErrNoBook, err)
	case codeBad:
		return fmt.Errorf("%s: %w (%w)", path, errDamaged, err)
	}
	return fmt.Errorf("%s: %w", path, err)
}

// stuck tells whether an error is of the disk or the file, not of what was asked for.
func stuck(err error) bool {
	return slices.Contains([]int{codeBusy, codeRead, codeIO, codeBad, codeFull, codeOpen, codeNoDB}, code(err))
}

// code is the result code in an error, 0 if it has none.
func code(err error) int {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return 0
	}
	return e.Code() & 0xff
}
