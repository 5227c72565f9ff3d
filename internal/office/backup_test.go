package office

import (
	"context"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
)

// A copy made while others write is whole and of one moment.
func TestBackupWhileWriting(t *testing.T) {
	b, ctx, dir := sample(t), t.Context(), t.TempDir()
	var stop atomic.Bool
	done := make(chan error)
	go func() {
		for n := uint64(1); !stop.Load(); n++ { // pairs: a copy never has half of one
			if _, err := b.Record(ctx, 1, fact("x", n, 1, ""), fact("y", n, 1, "")); err != nil {
				done <- err
				return
			}
		}
		done <- nil
	}()
	for _, name := range []string{"one", "two", "three's ? %41"} {
		path := filepath.Join(dir, name)
		if err := b.Backup(ctx, path); err != nil {
			t.Fatal(err)
		}
		copied, err := Open(ctx, path)
		if err != nil {
			t.Fatal(err)
		}
		entries, _, err := copied.Journal(ctx, 1)
		if err != nil || len(entries)%2 != 0 {
			t.Errorf("%d entries, %v", len(entries), err)
		}
		if err := errors.Join(copied.Check(ctx), copied.Close()); err != nil {
			t.Error(err)
		}
	}
	stop.Store(true)
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	if err := b.Backup(ctx, filepath.Join(dir, "one")); err == nil || !strings.Contains(err.Error(), "already there") {
		t.Errorf("written over: %v", err)
	}
	if err := b.Backup(ctx, filepath.Join(dir, "none", "b")); err == nil || !strings.Contains(err.Error(), "a folder that exists") {
		t.Errorf("no such folder: %v", err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".rowen-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestRestore(t *testing.T) {
	ctx, dir := t.Context(), t.TempDir()
	b := sample(t)
	want := dump(t, b)
	backup := filepath.Join(dir, "backup")
	if err := b.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "book")
	if aside, err := Restore(ctx, backup, path); err != nil || aside != "" {
		t.Fatal(aside, err)
	}
	again, err := Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	if dump(t, again) != want {
		t.Error("another book came back")
	}
	if _, err := again.Create(ctx, "Later", nil, ""); err != nil {
		t.Fatal(err)
	}
	// A book in use is not taken away under its program.
	if _, err := Restore(ctx, backup, path); err == nil || !strings.Contains(err.Error(), "has the book open") {
		t.Errorf("in use: %v", err)
	}
	later := dump(t, again)
	if err := again.Close(); err != nil {
		t.Fatal(err)
	}
	aside, err := Restore(ctx, backup, path)
	if err != nil {
		t.Fatal(err)
	}
	for at, want := range map[string]string{path: want, aside: later} {
		b, err := Open(ctx, at)
		if err != nil {
			t.Fatal(err)
		}
		if got := dump(t, b); got != want {
			t.Errorf("%s is %s", at, got)
		}
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	}
}

// What is no sound book of this program is refused, and the book in place stays.
func TestRestoreRefuses(t *testing.T) {
	ctx, dir := t.Context(), t.TempDir()
	b := sample(t)
	good := filepath.Join(dir, "good")
	if err := b.Backup(ctx, good); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	change := func(do func([]byte) []byte) []byte { return do(append([]byte(nil), data...)) }
	put := func(at int, v uint32) func([]byte) []byte {
		return func(d []byte) []byte { binary.BigEndian.PutUint32(d[at:], v); return d }
	}
	path := filepath.Join(dir, "book")
	if _, err := Restore(ctx, good, path); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"text":            {[]byte(outlined), "not a book"},
		"empty":           {nil, "it is empty"},
		"another's":       {change(put(68, 7)), "belongs to another program"},
		"later":           {change(put(60, 99)), "a later rowen made it"},
		"cut short":       {data[:len(data)/2], "damaged"},
		"a text changed":  {change(func(d []byte) []byte { return replace(d, "North Six", "South Six") }), "not what was"},
		"a page of zeros": {change(func(d []byte) []byte { clear(d[4096:8192]); return d }), "damaged"},
	} {
		backup := filepath.Join(dir, "bad")
		if err := os.WriteFile(backup, c.data, 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := Restore(ctx, backup, path); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
		if now, err := os.ReadFile(path); err != nil || string(now) != string(before) {
			t.Errorf("%s: the book was changed, %v", name, err)
		}
		if name == "text" || name == "another's" || name == "later" {
			if b, err := Open(ctx, backup); err == nil {
				t.Errorf("%s was opened: %v", name, b.Close())
			}
			if now, err := os.ReadFile(backup); err != nil || string(now) != string(c.data) {
				t.Errorf("%s was touched by opening, %v", name, err)
			}
		}
	}
	if _, err := Restore(ctx, filepath.Join(dir, "none"), path); !errors.Is(err, os.ErrNotExist) {
		t.Error(err)
	}
	if _, err := Restore(ctx, path, path); err == nil || !strings.Contains(err.Error(), "the book itself") {
		t.Error(err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*.before-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	// A damaged book in place does not stand in the way, and is kept with its files.
	if err := errors.Join(os.WriteFile(path, data[:6000], 0o644), os.WriteFile(path+"-wal", []byte("torn"), 0o644)); err != nil {
		t.Fatal(err)
	}
	aside, err := Restore(ctx, good, path)
	if err != nil {
		t.Fatal(err)
	}
	if kept, err := os.ReadFile(aside); err != nil || len(kept) != 6000 {
		t.Errorf("the damaged book is %d bytes, %v", len(kept), err)
	}
	again, err := Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(again.Check(ctx), again.Close()); err != nil {
		t.Error(err)
	}
}

func replace(data []byte, old, new string) []byte {
	return []byte(strings.ReplaceAll(string(data), old, new))
}

// Every step is taken in order and once, and a step that fails leaves the book as the
// last one left it.
func TestMigrations(t *testing.T) {
	ctx := context.Background()
	db, err := connect(filepath.Join(t.TempDir(), "b"), 1)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	steps := []string{"CREATE TABLE a (x); INSERT INTO a VALUES (1)", "INSERT INTO a VALUES (2); INSERT INTO nowhere VALUES (3)"}
	if done, err := step(ctx, db, steps); done || err != nil {
		t.Fatal(done, err)
	}
	if _, err := step(ctx, db, steps); err == nil || !strings.Contains(err.Error(), "step 2") {
		t.Errorf("%v", err)
	}
	var version, sum int
	if err := db.QueryRow("SELECT (SELECT * FROM pragma_user_version), (SELECT sum(x) FROM a)").Scan(&version, &sum); err != nil || version != 1 || sum != 1 {
		t.Errorf("version %d, sum %d, %v", version, sum, err)
	}
	steps[1] = "INSERT INTO a VALUES (2)"
	if done, err := step(ctx, db, steps); done || err != nil {
		t.Fatal(done, err)
	}
	if done, err := step(ctx, db, steps); !done || err != nil {
		t.Fatal(done, err)
	}
}

// A folder is no book and stays where it is; a name that leads to the book leads to the
// one that was put back.
func TestRestoreLinksAndFolders(t *testing.T) {
	ctx, dir := t.Context(), t.TempDir()
	b := sample(t)
	backup := filepath.Join(dir, "backup")
	if err := b.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	folder := filepath.Join(dir, "folder")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(ctx, backup, folder); err == nil || !strings.Contains(err.Error(), "is no file") {
		t.Errorf("into a folder: %v", err)
	}
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		t.Errorf("the folder is gone: %v", err)
	}
	path, link := filepath.Join(dir, "book"), filepath.Join(dir, "link")
	if _, err := Restore(ctx, backup, path); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no links here: ", err)
	}
	aside, err := Restore(ctx, backup, link)
	if err != nil || !strings.HasPrefix(filepath.Base(aside), "book.before-") {
		t.Errorf("by a link: %q, %v", aside, err)
	}
	if to, err := os.Readlink(link); err != nil || to != path {
		t.Errorf("the link leads to %q, %v", to, err)
	}
}
