package journal

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"rowen/quantity"
)

// The test binary runs itself as a program that appends until it is killed.
func TestMain(m *testing.M) {
	if path := os.Getenv("JOURNAL_TEST_APPENDS"); path != "" {
		appendOn(path)
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// appendOn appends entries of one device and says each on standard output once
// Append has returned. Some are long, so that a kill may cut them off.
func appendOn(path string) {
	device, from, to := os.Getenv("JOURNAL_TEST_DEVICE"), 0, 0
	if _, err := fmt.Sscan(os.Getenv("JOURNAL_TEST_RANGE"), &from, &to); err != nil {
		panic(err)
	}
	for n := from; n < to; n++ {
		if err := Append(path, numbered(device, n)); err != nil {
			panic(err)
		}
		fmt.Println(n)
	}
}

// numbered is the entry that a device makes under a number, always the same.
func numbered(device string, n int) Entry {
	e := Entry{
		ID: ID{device, uint64(n)}, Date: quantity.NewDate(2026, time.July, 1) + quantity.Date(n%90), Field: "North Six",
		Recorded: time.Date(2026, 7, 1, 0, n, 0, 0, time.UTC), Fact: Height{[]Amount[quantity.Length]{MustSay[quantity.Length](strconv.Itoa(n%700) + " in")}},
	}
	if n%5 == 0 {
		e.Note = strings.Repeat("long "+strconv.Itoa(n)+" ", 3_000)
	}
	return e
}

// child starts the test binary as an appending program.
func child(t *testing.T, path, device string, from, to int) (*exec.Cmd, io.ReadCloser) {
	t.Helper()
	c := exec.Command(must(os.Executable()))
	c.Env = append(os.Environ(), "JOURNAL_TEST_APPENDS="+path, "JOURNAL_TEST_DEVICE="+device, fmt.Sprintf("JOURNAL_TEST_RANGE=%d %d", from, to))
	c.Stderr = os.Stderr
	out := must(c.StdoutPipe())
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	return c, out
}

// An appending program is killed at a random moment, again and again on one file:
// every entry that it was told is kept is read back whole.
func TestKilled(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a process is not killed from outside at any instruction on Windows")
	}
	seed := uint64(time.Now().UnixNano())
	random := rand.New(rand.NewPCG(seed, 1))
	path := filepath.Join(t.TempDir(), "farm.journal")
	accepted := map[int]bool{}
	next, torn := 1, 0
	const rounds = 200
	for round := range rounds {
		if round%10 == 0 { // a fresh file, so that making it is cut off too
			path = filepath.Join(t.TempDir(), "farm.journal")
			accepted = map[int]bool{}
		}
		from := next
		c, out := child(t, path, "barn", from, from+100_000)
		scan := bufio.NewScanner(out)
		for stop := random.IntN(12); stop >= 0 && scan.Scan(); stop-- {
			n := must(strconv.Atoi(scan.Text()))
			accepted[n], next = true, n+1
		}
		time.Sleep(time.Duration(random.IntN(2000)) * time.Microsecond)
		if err := c.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		for scan.Scan() { // said before the kill, heard after it
			n := must(strconv.Atoi(scan.Text()))
			accepted[n], next = true, n+1
		}
		_ = c.Wait() // killed: that is its error
		log := must(Read(path))
		if len(log.Problems) > 0 {
			t.Fatalf("seed %d, round %d: %v", seed, round, log.Problems)
		}
		torn += len(log.Torn)
		kept := map[int]bool{}
		for _, e := range log.Entries {
			kept[int(e.Sequence)] = true
			if !reflect.DeepEqual(e, numbered("barn", int(e.Sequence))) {
				t.Fatalf("seed %d, round %d: entry %d is not whole: %.200s", seed, round, e.Sequence, e)
			}
		}
		for n := range accepted {
			if !kept[n] {
				t.Fatalf("seed %d, round %d: entry %d was accepted and is lost", seed, round, n)
			}
		}
		if round%3 == 0 { // as a power cut would leave it
			leaveTorn(t, path, random)
		}
		next += 2 // what was under way may be on the disk, though never confirmed
	}
	if torn == 0 {
		t.Error("no torn line was ever met: the test does not try what it should")
	}
}

// leaveTorn leaves the beginning of a line, without its end, behind the last,
// unless the kill has left one.
func leaveTorn(t *testing.T, path string, random *rand.Rand) {
	t.Helper()
	if data := must(os.ReadFile(path)); !bytes.HasSuffix(data, []byte("\n")) {
		return
	}
	f := must(os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0o644))
	line := encode(numbered("barn", 99_999))
	_, err := f.Write(line[:1+random.IntN(len(line)-1)])
	if err := errors.Join(err, f.Close()); err != nil {
		t.Fatal(err)
	}
}

// Programs that append at once lose nothing and merge nothing.
func TestAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "farm.journal")
	const each = 60
	devices := []string{"barn", "phone", "office"}
	var children []*exec.Cmd
	for _, d := range devices {
		c, out := child(t, path, d, 1, each+1)
		go func() { _, _ = io.Copy(io.Discard, out) }()
		children = append(children, c)
	}
	for n := each + 1; n <= 2*each; n++ { // and so do goroutines of this one
		if err := Append(path, numbered("barn", n)); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range children {
		if err := c.Wait(); err != nil {
			t.Fatal(err)
		}
	}
	log := must(Read(path))
	if len(log.Problems)+len(log.Torn) > 0 {
		t.Fatal(log.Problems, log.Torn)
	}
	merged, conflicts := Merge(log.Entries)
	if len(log.Entries) != 4*each || len(merged) != 4*each || len(conflicts) > 0 {
		t.Errorf("%d entries, %d different, conflicts %v; want %d", len(log.Entries), len(merged), conflicts, 4*each)
	}
}
