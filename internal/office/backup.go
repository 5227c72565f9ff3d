package office

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// Backup writes a copy of the book, as it is at one moment, into a new file while the
// book goes on being used. The copy is read through and on the disk before it gets its
// name; a file that is there already is left alone.
func (b *Book) Backup(ctx context.Context, path string) error {
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return errors.Join(fmt.Errorf("%s is already there; give the backup another name", path), err)
	}
	return beside(path, func(copied string) error {
		if err := copyBook(ctx, b.path, copied); err != nil {
			return err
		}
		return place(copied, path)
	})
}

// beside lends a name in a scratch folder on the same disk as a path.
func beside(path string, do func(scratch string) error) (err error) {
	path = filepath.Clean(path) // "plain/" lies beside its sisters, not in itself
	dir, err := os.MkdirTemp(filepath.Dir(path), ".rowen-*")
	if err != nil {
		return fmt.Errorf("cannot write beside %s: %w; give a folder that exists and can be written", path, err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	return do(filepath.Join(dir, filepath.Base(path)))
}

// copyBook writes the book of a path into a new file, reads the copy through and waits
// for the disk. It has a connection of its own: a reader's may not write even a copy,
// and the writer's would keep others waiting.
func copyBook(ctx context.Context, from, to string) error {
	db, err := connect(from, 1)
	if err != nil {
		return told(from, err)
	}
	uri, err := uriOf(to)
	if err != nil {
		return errors.Join(err, db.Close())
	}
	_, err = db.ExecContext(ctx, "VACUUM INTO ?", uri)
	if err := errors.Join(told(from, err), db.Close()); err != nil {
		return fmt.Errorf("cannot copy the book: %w", err)
	}
	if err := checkFile(ctx, to); err != nil {
		return fmt.Errorf("the copy cannot be trusted and was thrown away: %w", err)
	}
	f, err := os.OpenFile(to, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// checkFile reads a book's file through without bringing it up to this program.
func checkFile(ctx context.Context, path string) (err error) {
	db, err := connect(path, 1, "query_only(ON)")
	if err != nil {
		return told(path, err)
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	return (&Book{path: path, read: db}).Check(ctx)
}

// place gives a synced file its name for good.
func place(from, to string) error {
	if err := os.Rename(from, to); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(to))
}

// syncFolder waits until a folder's names are on the disk. Windows offers no such
// thing: its file systems keep their own journal of names.
func syncFolder(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
