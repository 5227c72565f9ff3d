package journal

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A disk that really fills: the entry is refused, what stood before is whole, and
// once there is room again the next entry is kept.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no small file system can be mounted here (%s): the full disk was not tried", strings.TrimSpace(string(out)))
	}
	t.Cleanup(func() { _ = exec.Command("umount", dir).Run() })
	path := filepath.Join(dir, "farm.journal")
	if err := Append(path, sample()[0]); err != nil {
		t.Fatal(err)
	}
	big := sample()[1]
	big.Note = strings.Repeat("long ", 40_000)
	if err := Append(path, big); err == nil || !strings.Contains(err.Error(), "make room") {
		t.Fatalf("a full disk: %v", err)
	}
	if err := Append(path, sample()[2]); err != nil {
		t.Fatal(err)
	}
	log := must(Read(path))
	if len(log.Entries) != 2 || len(log.Problems)+len(log.Torn) > 0 {
		t.Errorf("%d entries, problems %v, torn %v", len(log.Entries), log.Problems, log.Torn)
	}
}
