package files_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"rowen/internal/files"
)

// A disk that really fills in mid-write: a file system of 64 kB. Nothing is
// half-written, and what stood before is whole.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no small file system can be mounted here (%s): the full disk was not tried", strings.TrimSpace(string(out)))
	}
	t.Cleanup(func() { _ = exec.Command("umount", dir).Run() })
	if err := files.Write(dir, map[string][]byte{"plan.json": []byte("old")}); err != nil {
		t.Fatal(err)
	}
	err := files.Write(dir, map[string][]byte{"a.csv": []byte("small"), "plan.json": make([]byte, 200<<10)})
	if err == nil || !strings.Contains(err.Error(), "nothing was changed") {
		t.Fatalf("a full disk: %v", err)
	}
	entries, _ := os.ReadDir(dir)
	got, _ := os.ReadFile(filepath.Join(dir, "plan.json"))
	if string(got) != "old" || len(entries) != 1 {
		t.Errorf("plan.json is %.10q, the folder holds %v", got, entries)
	}
}
