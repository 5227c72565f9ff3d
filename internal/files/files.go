// Package files writes a set of files all or not at all: everything is written
// and synced beside its place first, and only then moved there, so that a full
// disk or a power cut leaves what stood before whole. It knows bytes and names
// alone.
package files

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sort"
)

// Write writes files into a folder, made if it is missing. On error nothing in the
// folder has changed, unless moving itself failed half-way: then what had been
// moved is put back.
func Write(dir string, set map[string][]byte) (err error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("cannot make folder %s: %w; give another with --out", dir, err)
	}
	stage, err := os.MkdirTemp(dir, ".rowen-*")
	if err != nil {
		return fmt.Errorf("cannot write into %s: %w; give another folder with --out", dir, err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(stage)) }()
	names := make([]string, 0, len(set))
	for name := range set {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		if err := writeSynced(filepath.Join(stage, name), set[name]); err != nil {
			return fmt.Errorf("cannot write %s: %w; nothing was changed", filepath.Join(dir, name), err)
		}
	}
	return move(stage, dir, names)
}

func writeSynced(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// move puts staged files in their places, keeping the old ones until all are.
func move(stage, dir string, names []string) error {
	var done []string
	restore := func() error {
		var errs []error
		for i := len(done) - 1; i >= 0; i-- {
			place, kept := filepath.Join(dir, done[i]), filepath.Join(stage, done[i]+".before")
			if _, err := os.Stat(kept); err == nil {
				errs = append(errs, os.Rename(kept, place))
			} else {
				errs = append(errs, os.Remove(place))
			}
		}
		return errors.Join(errs...)
	}
	for _, name := range names {
		place, kept := filepath.Join(dir, name), filepath.Join(stage, name+".before")
		if info, err := os.Stat(place); err == nil {
			if info.IsDir() {
				return errors.Join(fmt.Errorf("%s is a folder; move it away", place), restore())
			}
			if err := os.Rename(place, kept); err != nil {
				return errors.Join(fmt.Errorf("cannot replace %s: %w", place, err), restore())
			}
		}
		done = append(done, name)
		if err := os.Rename(filepath.Join(stage, name), place); err != nil {
			return errors.Join(fmt.Errorf("cannot write %s: %w", place, err), restore())
		}
	}
	return nil
}
