package journal

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"

	"rowen/internal/document"
)

// Two recorders of one device never give one number twice.
func TestRecordAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "farm.journal")
	now := time.Date(2026, 7, 12, 20, 0, 0, 0, time.FixedZone("", -4*3600))
	done := make(chan error)
	const each = 40
	for range 3 {
		go func() {
			for range each {
				kept, err := Record(path, "barn", now, Entry{Date: 20000, Fact: Drought{}, Note: "a\r\nb "})
				if err == nil && (len(kept) != 1 || kept[0].Note != "a\nb" || kept[0].Recorded != now.UTC()) {
					err = fmt.Errorf("kept as %v", kept)
				}
				if err != nil {
					done <- err
					return
				}
			}
			done <- nil
		}()
	}
	for range 3 {
		if err := <-done; err != nil {
			t.Fatal(err)
		}
	}
	log := must(Read(path))
	for i, e := range log.Entries {
		if e.ID != (ID{"barn", uint64(i + 1)}) {
			t.Fatalf("entry %d is called %s", i, e.ID)
		}
	}
	if len(log.Entries) != 3*each {
		t.Errorf("%d entries, want %d", len(log.Entries), 3*each)
	}
}

// A torn line keeps its number: a copy made before may hold the line whole.
func TestRecordAfterTorn(t *testing.T) {
	whole := string(encode(Entry{ID: ID{"barn", 12}, Date: 20000, Recorded: time.Unix(1e9, 0), Fact: Drought{}}))
	seq := strings.Index(whole, `"seq":12,`)
	for _, c := range []struct {
		torn   string
		device string
		want   uint64
	}{
		{whole[:seq+len(`"seq":12,`)], "barn", 13},
		{whole[:len(whole)-3], "barn", 13},
		{whole[:len(whole)-3] + "\x00\x00", "barn", 13},
		{whole[:len(whole)-3], "phone", 1},
		{whole[:seq+len(`"seq":12`)], "barn", 4}, // it may be any number that begins so: most likely the next
		{whole[:seq], "barn", 4},
		{whole[:20], "barn", 3}, // it tells nothing
	} {
		path := filepath.Join(t.TempDir(), "farm.journal")
		before := []Entry{{ID: ID{"barn", 2}, Date: 20000, Recorded: time.Unix(1e9, 0), Fact: Drought{}}}
		if err := os.WriteFile(path, append(must(lines(path, before)), c.torn...), 0o644); err != nil {
			t.Fatal(err)
		}
		for i := range uint64(2) { // the torn line stays, and counts once
			kept, err := Record(path, c.device, time.Unix(2e9, 0), Entry{Date: 20000, Fact: Drought{}})
			if err != nil || kept[0].ID != (ID{c.device, c.want + i}) {
				t.Errorf("after %q: %v, %v; want %s:%d", c.torn, kept, err, c.device, c.want+i)
			}
		}
	}
}

// After a line cut off at any place, appending keeps what stood and what is new.
func TestAppendAfterTorn(t *testing.T) {
	entries := sample()
	path := filepath.Join(t.TempDir(), "farm.journal")
	data := must(lines(path, entries[:3]))
	start := bytes.LastIndexByte(data[:len(data)-1], '\n') + 1
	for cut := start; cut <= len(data); cut++ {
		if err := os.WriteFile(path, data[:cut], 0o644); err != nil {
			t.Fatal(err)
		}
		if err := Append(path, entries[3], entries[4]); err != nil {
			t.Fatal(err)
		}
		log := must(Read(path))
		want := append(append([]Entry{}, entries[:2]...), entries[3:5]...)
		torn := 1
		switch {
		case cut >= len(data)-1: // whole, at most without its line feed
			want, torn = entries[:5], 0
		case cut == start:
			torn = 0
		}
		if !reflect.DeepEqual(log.Entries, want) || len(log.Torn) != torn || len(log.Problems) > 0 {
			t.Fatalf("cut at %d: %d entries, torn %v, problems %v", cut-start, len(log.Entries), log.Torn, log.Problems)
		}
	}
}

// What cannot be kept is refused whole, with every problem, and leaves the file as
// it was.
func TestAppendRefuses(t *testing.T) {
	path := filepath.Join(t.TempDir(), "farm.journal")
	good := sample()[0]
	if err := Append(path, good); err != nil {
		t.Fatal(err)
	}
	before := must(os.ReadFile(path))
	err := Append(path, sample()[1], Entry{ID: ID{"my barn", 0}, Fact: Cut{Use: "eat", Pieces: Pieces{Bales: -3}}, Note: "a\rb", Date: lastDay + 1}, Entry{})
	var problems document.Problems
	if !errors.As(err, &problems) {
		t.Fatalf("refused with %v", err)
	}
	for _, want := range []string{"device", "sequence", "recorded", "note", "date", "field", "use", "bales", "kind"} {
		found := false
		for _, p := range problems {
			found = found || strings.HasSuffix(p.Thing, want) && p.Remedy != "" && p.File == path
		}
		if !found {
			t.Errorf("nothing is said about %s in\n%v", want, err)
		}
	}
	if after := must(os.ReadFile(path)); !bytes.Equal(before, after) {
		t.Error("something was written")
	}
	if err := Append(filepath.Join(path, "no", "folder"), good); err == nil || !strings.Contains(err.Error(), "folder that exists") {
		t.Errorf("a missing folder: %v", err)
	}
	if err := Append(path, Entry{ID: good.ID, Recorded: good.Recorded, Fact: &Drought{}}); err == nil {
		t.Error("a pointer was taken as a fact")
	}
	if _, err := Read(path + "x"); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a missing journal: %v", err)
	}
}

// A file that is replaced while an append waits for it is not written to.
func TestReplacedMeanwhile(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("an open file cannot be replaced on Windows")
	}
	path := filepath.Join(t.TempDir(), "farm.journal")
	if err := Append(path, sample()[0]); err != nil {
		t.Fatal(err)
	}
	done := make(chan error)
	err := locked(path, func(*os.File) error {
		go func() { done <- Append(path, sample()[1]) }()
		time.Sleep(5 * time.Millisecond) // let it wait; if it has not begun, it is still right
		if err := os.WriteFile(path+".new", must(lines(path, sample()[2:3])), 0o644); err != nil {
			return err
		}
		return os.Rename(path+".new", path)
	})
	if err := errors.Join(err, <-done); err != nil {
		t.Fatal(err)
	}
	log := must(Read(path))
	if len(log.Entries) != 2 || log.Entries[1].Sequence != 2 {
		t.Errorf("read %v", log.Entries)
	}
}
