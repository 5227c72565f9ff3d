package desk

import (
	"errors"
	"sync"
	"sync/atomic"
	"testing"
)

func TestKept(t *testing.T) {
	k := newKept(2)
	made := 0
	get := func(key string) int {
		v, err := keep(k, key, func() (int, error) { made++; return made, nil })
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if a, b := get("a"), get("a"); a != 1 || b != 1 {
		t.Errorf("made twice: %d, %d", a, b)
	}
	get("b")
	get("a") // the latest asked for stays
	get("c")
	if k.has("b") || !k.has("a") || !k.has("c") {
		t.Error("the one least lately asked for is to go first")
	}
	failed := errors.New("failed")
	for range 2 {
		if _, err := keep(k, "d", func() (int, error) { made++; return 0, failed }); !errors.Is(err, failed) {
			t.Error(err)
		}
	}
	if k.has("d") {
		t.Error("an error was kept")
	}
}

// Many who ask at once wait for one making; a defect in it leaves nobody waiting.
func TestKeptOnce(t *testing.T) {
	k := newKept(4)
	var made atomic.Int32
	var all sync.WaitGroup
	start := make(chan struct{})
	for range 20 {
		all.Go(func() {
			<-start
			if v, err := keep(k, "x", func() (int32, error) { return made.Add(1), nil }); err != nil || v != 1 {
				t.Errorf("%d, %v", v, err)
			}
		})
	}
	close(start)
	all.Wait()
	func() {
		defer func() { _ = recover() }()
		_, _ = keep(k, "y", func() (int, error) { panic("a defect") })
	}()
	if v, err := keep(k, "y", func() (int, error) { return 7, nil }); v != 7 || err != nil {
		t.Errorf("after a defect: %d, %v", v, err)
	}
}
