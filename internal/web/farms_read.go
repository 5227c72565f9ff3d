package web

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"time"

	"rowen/internal/desk"
	"rowen/internal/office"
	"rowen/internal/report"
	"rowen/quantity"
)

// patience is how long the list waits for farms that were not read yet.
const patience = 1500 * time.Millisecond

// reading reads farms behind the pages that ask for them: as many at once as there are
// processors, and one farm once, however many pages wait for it.
type reading struct {
	mu    sync.Mutex
	now   map[string]*task // by farm, units and day
	slots chan struct{}
}

// task is one farm being read.
type task struct {
	done chan struct{} // closed when err is set
	err  error
}

// behind does something once for all who ask for it under a key meanwhile.
func (r *reading) behind(key string, do func() error) *task {
	r.mu.Lock()
	defer r.mu.Unlock()
	if t, ok := r.now[key]; ok {
		return t
	}
	if r.now == nil {
		r.now, r.slots = map[string]*task{}, make(chan struct{}, runtime.GOMAXPROCS(0))
	}
	t := &task{done: make(chan struct{})}
	r.now[key] = t
	go func() {
		r.slots <- struct{}{}
		defer func() {
			if p := recover(); p != nil { // one farm's defect ends neither the program nor the list
				t.err = fmt.Errorf("a defect: %v", p)
			}
			<-r.slots
			r.mu.Lock()
			delete(r.now, key)
			r.mu.Unlock()
			close(t.done)
		}()
		t.err = do()
	}()
	return t
}

// clients are what farms want on a day, as far as it is known or becomes known while a
// page can wait; nil where it is not known yet. The reading goes on behind the page.
func (s *Server) clients(ctx context.Context, farms []office.Farm, u quantity.System, on quantity.Date) (read []*report.FarmClient, wrong []error, err error) {
	read, wrong = make([]*report.FarmClient, len(farms)), make([]error, len(farms))
	look := func(i int) (known bool) {
		o, err := s.openFarm(ctx, farms[i].ID, u)
		if err == nil {
			err = o.wrong
		}
		if err == nil && !o.desk.Ready(o.source, on) {
			return false
		}
		if err == nil {
			var day *desk.SourceDay
			if day, err = o.desk.Today(ctx, o.source, on); err == nil {
				read[i] = day.Client
			}
		}
		wrong[i] = err
		return true
	}
	after := context.WithoutCancel(ctx)
	pending := make([]*task, len(farms))
	for i, f := range farms {
		if look(i) {
			continue
		}
		pending[i] = s.reading.behind(fmt.Sprint(f.ID, u, on), func() error {
			o, err := s.openFarm(after, f.ID, u)
			if err == nil {
				_, err = o.desk.Today(after, o.source, on)
			}
			return err
		})
	}
	wait := time.NewTimer(patience)
	defer wait.Stop()
	for i, t := range pending {
		if t == nil {
			continue
		}
		select {
		case <-t.done:
			// Where the farm was changed meanwhile, the next look finds it read.
			if wrong[i] = t.err; t.err == nil {
				look(i)
			}
		case <-wait.C:
			return read, wrong, ctx.Err()
		}
	}
	return read, wrong, ctx.Err()
}
