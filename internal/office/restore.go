package office

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// Restore puts a backup in a book's place and keeps what stood there aside, under the
// name returned; empty if nothing stood there. A backup that is no book, was made by a
// later program or is damaged is refused, and so is a book that a program has open:
// then nothing is changed. A book that is damaged is kept aside as it is.
func Restore(ctx context.Context, backup, path string) (aside string, err error) {
	backup, err = filepath.Abs(backup)
	if err != nil {
		return "", err
	}
	if path, err = filepath.Abs(path); err != nil {
		return "", err
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real // the book itself, not a name that leads to it
	}
	if there, err := os.Stat(path); err == nil && !there.Mode().IsRegular() {
		return "", fmt.Errorf("%s is no file: it cannot be a book; give the book's file", path)
	}
	info, err := os.Stat(backup)
	if err != nil {
		return "", fmt.Errorf("cannot read the backup: %w", err)
	}
	if info.Size() == 0 {
		return "", fmt.Errorf("%s: %w: it is empty; give a backup", backup, ErrNoBook)
	}
	if there, err := os.Stat(path); err == nil && os.SameFile(info, there) {
		return "", fmt.Errorf("%s is the book itself; give a backup", backup)
	}
	if err := examine(ctx, backup); err != nil {
		return "", err
	}
	if err := checkFile(ctx, backup); err != nil {
		return "", fmt.Errorf("%s was not put in place: %w", backup, err)
	}
	err = beside(path, func(copied string) error {
		if err := copyBook(ctx, backup, copied); err != nil {
			return err
		}
		if aside, err = setAside(ctx, path); err != nil {
			return err
		}
		return place(copied, path)
	})
	return aside, err
}

// besides are the files that SQLite keeps beside a book; they belong to it alone, and
// would spoil another put in its place.
var besides = []string{"-wal", "-shm", "-journal"}

// setAside gives the book of a path a second name, and takes the files beside it away
// with it. The path itself keeps the book until the new one is moved over it.
func setAside(ctx context.Context, path string) (string, error) {
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err := letGo(ctx, path); err != nil {
		return "", err
	}
	aside := path + ".before-" + time.Now().UTC().Format("20060102T150405.000Z")
	for _, end := range besides {
		if err := os.Rename(path+end, aside+end); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", fmt.Errorf("cannot keep the old book aside: %w", err)
		}
	}
	if os.Link(path, aside) == nil {
		return aside, nil
	}
	if err := os.Rename(path, aside); err != nil { // a disk without second names
		return "", fmt.Errorf("cannot keep the old book aside: %w", err)
	}
	return aside, nil
}

// letGo makes a sound book one file, and refuses one that a program has open: leaving
// the write-ahead log needs the book alone. A file that is not sound is left as it is.
func letGo(ctx context.Context, path string) (err error) {
	if examine(ctx, path) != nil {
		return nil
	}
	db, err := connect(path, 1, "busy_timeout(1000)")
	if err != nil {
		return told(path, err)
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	var mode string
	err = db.QueryRowContext(ctx, "PRAGMA journal_mode = DELETE").Scan(&mode)
	if code(err) == codeBusy || err == nil && mode != "delete" {
		return fmt.Errorf("%s: a program has the book open; stop it first: nothing was changed", path)
	}
	return nil
}
