package files_test

import (
	"os"
	"path/filepath"
	"testing"

	"rowen/internal/files"
)

func TestAllOrNothing(t *testing.T) {
	dir := t.TempDir()
	if err := files.Write(dir, map[string][]byte{"a": []byte("old a"), "b": []byte("old b")}); err != nil {
		t.Fatal(err)
	}
	// "b" cannot be replaced: a folder stands there.
	if err := os.Remove(filepath.Join(dir, "b")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "b"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := files.Write(dir, map[string][]byte{"a": []byte("new a"), "b": []byte("new b"), "c": []byte("new c")}); err == nil {
		t.Fatal("a folder was replaced")
	}
	got, err := os.ReadFile(filepath.Join(dir, "a"))
	if err != nil || string(got) != "old a" {
		t.Errorf("a is %q, %v: what stood before is not whole", got, err)
	}
	entries, _ := os.ReadDir(dir)
	if len(entries) != 2 {
		t.Errorf("left behind: %v", entries)
	}
}

// A disk that fills in mid-write: /dev/full is not a folder, so a tiny file system
// is stood in for by a name too long to be written.
func TestFailureInMidWrite(t *testing.T) {
	dir := t.TempDir()
	long := make([]byte, 300)
	for i := range long {
		long[i] = 'x'
	}
	if err := files.Write(dir, map[string][]byte{"a": []byte("1"), string(long): []byte("2")}); err == nil {
		t.Fatal("written")
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 0 {
		t.Errorf("half-written: %v", entries)
	}
}

func TestUnwritable(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := files.Write(filepath.Join(file, "sub"), map[string][]byte{"a": nil}); err == nil {
		t.Error("a folder was made under a file")
	}
}
