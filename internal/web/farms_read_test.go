package web

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
)

// However many pages ask, a farm is read once at a time, and no more farms at once than
// there are readers; a farm that cannot be read says so to all who wait.
func TestReadingBehind(t *testing.T) {
	var r reading
	var running, most, times atomic.Int32
	release := make(chan struct{})
	do := func() error {
		times.Add(1)
		if n := running.Add(1); n > most.Load() {
			most.Store(n)
		}
		<-release
		running.Add(-1)
		return nil
	}
	var tasks []*task
	for range 50 { // fifty pages over twenty farms
		for farm := range 20 {
			tasks = append(tasks, r.behind(fmt.Sprint(farm), do))
		}
	}
	close(release)
	for _, k := range tasks {
		if <-k.done; k.err != nil {
			t.Fatal(k.err)
		}
	}
	if times.Load() != 20 || int(most.Load()) > readers() {
		t.Errorf("read %d times, %d at once; want 20, %d", times.Load(), most.Load(), readers())
	}
	var group sync.WaitGroup
	for _, f := range []func() error{func() error { return errors.New("no weather") }, func() error { panic("no weather") }} {
		k := r.behind("broken", f)
		for range 3 {
			group.Go(func() {
				if <-k.done; k.err == nil || !strings.Contains(k.err.Error(), "no weather") {
					t.Errorf("those who wait are told %v", k.err)
				}
			})
		}
		group.Wait()
	}
	if len(r.now) != 0 {
		t.Errorf("%d tasks are left", len(r.now))
	}
}
