package office

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"rowen/journal"
)

// The test binary runs itself as a program that writes until it is killed.
func TestMain(m *testing.M) {
	if path := os.Getenv("OFFICE_TEST_WRITES"); path != "" {
		writeOn(path)
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// writeOn makes and changes everything that a book holds, and says each on standard
// output once the book has acknowledged it.
func writeOn(path string) {
	ctx := context.Background()
	check := func(err error) {
		if err != nil {
			panic(err)
		}
	}
	b, err := Open(ctx, path)
	check(err)
	fmt.Println("opened 0")
	farms, err := b.Farms(ctx)
	check(err)
	if len(farms) == 0 {
		f, err := b.Create(ctx, "Farm", []byte(killedText(1)), "")
		check(err)
		farms = []Farm{f}
		fmt.Println("version 1")
	}
	farm, number := farms[0].ID, farms[0].Version
	for round := 0; ; round++ {
		kept, err := b.Enter(ctx, farm, "barn", fact("", 0, 7, strings.Repeat("long ", 1+round%7*300)))
		check(err)
		fmt.Println("entry", kept[0].Sequence)
		if round%3 == 0 {
			v, err := b.Save(ctx, farm, number, []byte(killedText(number+1)), "", "")
			check(err)
			number = v.Number
			fmt.Println("version", number)
		}
		if round%5 == 0 {
			check(b.PutWeather(ctx, fmt.Sprint("station ", number), []byte(killedText(number))))
			fmt.Println("weather", number)
		}
	}
}

// killedText is the document saved under a number, of some pages' length.
func killedText(number int) string { return strings.Repeat(fmt.Sprintln("# version", number), 900) }

// A writing program is killed at a random moment, again and again on one book: whatever
// it was told is kept is there, whole, and the book is sound.
func TestKilled(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a process is not killed from outside at any instruction on Windows")
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	seed := uint64(time.Now().UnixNano())
	random := rand.New(rand.NewPCG(seed, 1))
	rounds := 60
	if testing.Short() {
		rounds = 10
	}
	told := map[string]bool{}
	var path string
	acknowledged, whileOpening := 0, 0
	for round := range rounds {
		if round%12 == 0 { // a fresh book, so that making it is cut off too
			path = filepath.Join(t.TempDir(), "book")
			clear(told)
		}
		c := exec.Command(self)
		c.Env = append(os.Environ(), "OFFICE_TEST_WRITES="+path)
		var problems strings.Builder
		c.Stderr = &problems
		out, err := c.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		// Some are killed while they open the book, the others a little after they were
		// told of a number of things.
		kill := func(within time.Duration) {
			time.AfterFunc(time.Duration(random.Int64N(int64(within))), func() { _ = c.Process.Kill() })
		}
		after := random.IntN(25)
		if after == 0 || round%4 == 0 {
			kill(120 * time.Millisecond)
		}
		said := 0
		for lines := bufio.NewScanner(out); lines.Scan(); {
			told[lines.Text()] = true
			if said++; said == after {
				kill(8 * time.Millisecond)
			}
		}
		_, _ = io.Copy(io.Discard, out)
		_ = c.Wait()
		if problems.Len() > 0 {
			t.Fatalf("seed %d, round %d: %s", seed, round, problems.String())
		}
		if said == 0 {
			whileOpening++
		}
		acknowledged += said
		holds(ctx, t, path, told)
		if t.Failed() {
			t.Fatalf("seed %d, round %d", seed, round)
		}
	}
	if acknowledged < rounds || whileOpening == rounds {
		t.Errorf("%d acknowledged in %d rounds: the test kills too early to mean anything", acknowledged, rounds)
	}
	t.Logf("%d rounds, %d acknowledged, %d killed before the book was open", rounds, acknowledged, whileOpening)
}

// holds checks that a book is sound and has what its writer was told.
func holds(ctx context.Context, t *testing.T, path string, told map[string]bool) {
	t.Helper()
	b, err := Open(ctx, path)
	if err != nil {
		t.Error(err)
		return
	}
	defer func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	}()
	if err := b.Check(ctx); err != nil {
		t.Error(err)
	}
	if len(told) <= 1 { // opened, at most
		return
	}
	entries, conflicts, err := b.Journal(ctx, 1)
	if err != nil || len(conflicts) > 0 {
		t.Error(err, conflicts)
	}
	kept := map[journal.ID]bool{}
	for _, e := range entries {
		kept[e.ID] = true
	}
	for line := range told {
		var what string
		var n int
		if _, err := fmt.Sscan(line, &what, &n); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		switch what {
		case "entry":
			if !kept[journal.ID{Device: "barn", Sequence: uint64(n)}] {
				t.Errorf("entry %d is lost", n)
			}
		case "version":
			if v, err := b.Version(ctx, 1, n); err != nil || string(v.Text) != killedText(n) {
				t.Errorf("version %d is lost: %v", n, err)
			}
		case "weather":
			if data, err := b.WeatherFile(ctx, fmt.Sprint("station ", n)); err != nil || string(data) != killedText(n) {
				t.Errorf("weather %d is lost: %v", n, err)
			}
		}
	}
}
