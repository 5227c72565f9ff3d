package office

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// small is a file system of one megabyte.
func small(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no small file system can be mounted here (%s): the full disk was not tried", strings.TrimSpace(string(out)))
	}
	t.Cleanup(func() { _ = exec.Command("umount", dir).Run() })
	return dir
}

// A disk that fills while entries are recorded: the error says so, everything
// acknowledged before is whole, and with room again the book goes on.
func TestFullDisk(t *testing.T) {
	ctx, dir := t.Context(), small(t)
	ballast := filepath.Join(dir, "ballast")
	if err := os.WriteFile(ballast, make([]byte, 300<<10), 0o644); err != nil {
		t.Fatal(err)
	}
	b, err := Open(ctx, filepath.Join(dir, "book"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	}()
	if _, err := b.Create(ctx, "Farm", []byte(outlined), ""); err != nil {
		t.Fatal(err)
	}
	var n uint64
	for err = nil; err == nil && n < 10_000; {
		if _, err = b.Record(ctx, 1, fact("barn", n+1, 7, strings.Repeat("long ", 1000))); err == nil {
			n++
		}
	}
	if err == nil || n == 0 || !strings.Contains(err.Error(), "full") || !strings.Contains(err.Error(), "nothing was changed") {
		t.Fatalf("after %d entries: %v", n, err)
	}
	whole := func(want uint64) {
		t.Helper()
		entries, conflicts, err := b.Journal(ctx, 1)
		if err != nil || len(conflicts) > 0 || uint64(len(entries)) != want {
			t.Errorf("%d entries, %v, %v; want %d", len(entries), conflicts, err, want)
		}
		if err := b.Check(ctx); err != nil {
			t.Error(err)
		}
	}
	whole(n)
	if _, err := b.Save(ctx, 1, 1, []byte(strings.Repeat("x", 700<<10)), "", ""); err == nil || !strings.Contains(err.Error(), "full") {
		t.Errorf("a large document on a full disk: %v", err)
	}
	if err := b.Backup(ctx, filepath.Join(dir, "backup")); err == nil || !strings.Contains(err.Error(), "full") {
		t.Errorf("a backup on a full disk: %v", err)
	}
	if err := b.ExportFolder(ctx, filepath.Join(dir, "out")); err == nil || !strings.Contains(err.Error(), "nothing was written") {
		t.Errorf("plain files on a full disk: %v", err)
	}
	for _, name := range []string{"backup", "out"} {
		if _, err := os.Lstat(filepath.Join(dir, name)); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("%s is half there: %v", name, err)
		}
	}
	if v, err := b.Document(ctx, 1); err != nil || v.Number != 1 || string(v.Text) != outlined {
		t.Errorf("version %d, %v", v.Number, err)
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Record(ctx, 1, fact("barn", n+1, 7, "")); err != nil {
		t.Fatalf("with room again: %v", err)
	}
	whole(n + 1)
}

// A disk that is full before the book is made gives an error and leaves nothing that
// stands in the way later.
func TestFullDiskAtTheBeginning(t *testing.T) {
	ctx, dir := t.Context(), small(t)
	ballast := filepath.Join(dir, "ballast")
	if err := os.WriteFile(ballast, make([]byte, 1<<20-8<<10), 0o644); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "book")
	if b, err := Open(ctx, path); err == nil {
		t.Fatal("opened", b.Close())
	} else if !strings.Contains(err.Error(), "full") {
		t.Error(err)
	}
	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	b, err := Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(b.Check(ctx), b.Close()); err != nil {
		t.Error(err)
	}
}
