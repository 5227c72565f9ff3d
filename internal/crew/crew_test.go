package crew_test

import (
	"context"
	"errors"
	"strings"
	"sync/atomic"
	"testing"

	"rowen/internal/crew"
)

// A defect in one part is the work's error, with where it happened; the program and the
// other parts live on, and are told to stop.
func TestDefectIsAnError(t *testing.T) {
	work, ctx := crew.Of(context.Background(), 2)
	var none []int
	work.Go(func() error { return errors.Join(nil, indexOf(none, 3)) })
	work.Go(func() error {
		<-ctx.Done()
		return nil
	})
	err := work.Wait()
	var d *crew.Defect
	if !errors.As(err, &d) {
		t.Fatalf("%v is no defect", err)
	}
	if !strings.Contains(err.Error(), "index out of range") || !strings.Contains(err.Error(), "crew_test.indexOf, line") || !strings.Contains(string(d.Stack), "crew_test.go") {
		t.Errorf("it does not say what and where: %v", err)
	}
}

//go:noinline
func indexOf(list []int, i int) error {
	list[i]++
	return nil
}

// Parts all run, no more at once than there are hands, and the first error is told.
func TestHands(t *testing.T) {
	work, _ := crew.Of(context.Background(), 2)
	wrong := errors.New("wrong")
	var now, most, done atomic.Int32
	for i := range 20 {
		work.Go(func() error {
			n := now.Add(1)
			for m := most.Load(); n > m && !most.CompareAndSwap(m, n); m = most.Load() {
			}
			done.Add(1)
			now.Add(-1)
			if i == 7 {
				return wrong
			}
			return nil
		})
	}
	if err := work.Wait(); err != wrong {
		t.Errorf("%v, want %v", err, wrong)
	}
	if done.Load() != 20 || most.Load() > 2 {
		t.Errorf("%d parts done, %d at once", done.Load(), most.Load())
	}
}
