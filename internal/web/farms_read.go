package web

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"time"

	"rowen/internal/crew"
	"rowen/internal/desk"
	"rowen/internal/office"
	"rowen/internal/report"
	"rowen/quantity"
)

// How long the list waits for farms that were not read yet: while most are wanting,
// until there is something to see; else it shows the others, and asks again.
const (
	patience = 1500 * time.Millisecond
	moment   = 20 * time.Millisecond
)

// readers is how many farms are read at once behind pages: half the processors stay for
// those who wait for a page.
func readers() int { return max(1, runtime.GOMAXPROCS(0)/2) }

// reading reads farms behind the pages that ask for them: a few at once, and one farm
// once, however many pages wait for it.
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
		r.now, r.slots = map[string]*task{}, make(chan struct{}, readers())
	}
	t := &task{done: make(chan struct{})}
	r.now[key] = t
	go func() {
		r.slots <- struct{}{}
		defer func() {
			<-r.slots
			r.mu.Lock()
			delete(r.now, key)
			r.mu.Unlock()
			close(t.done)
		}()
		t.err = crew.Safely(do) // one farm's defect ends neither the program nor the list
	}()
	return t
}

// listed is what a farm wants, kept by what it was made from, so that a list of hundreds
// asks the book once and opens no farm.
type listed struct {
	of     string
	client *report.FarmClient
	on     quantity.Date
	zone   *time.Location // where on ends; nil where a day was asked for
}

// mostListed is how many farms the list remembers, in all units and for all days asked.
const mostListed = 2000

// list remembers what farms want.
type list struct {
	mu sync.Mutex
	by map[string]listed
}

func (l *list) get(key, of string, now time.Time) *report.FarmClient {
	l.mu.Lock()
	defer l.mu.Unlock()
	x, ok := l.by[key]
	if !ok || x.of != of || x.zone != nil && quantity.NewDate(now.In(x.zone).Date()) != x.on {
		return nil
	}
	return x.client
}

func (l *list) put(key string, x listed) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.by == nil || len(l.by) >= mostListed {
		l.by = map[string]listed{}
	}
	l.by[key] = x
}

// given names what the office was given for all farms: weather and its catalogue.
func (s *Server) given(ctx context.Context) (string, error) {
	d, err := s.deskOf(ctx)
	if err != nil {
		return "", err
	}
	weather, err := s.book.Weather(ctx)
	return fmt.Sprintf("%p %v", d, weather), err
}

// clients are what farms want on a day, as far as it is known or becomes known while a
// page can wait; nil where it is not known yet. The reading goes on behind the page.
func (s *Server) clients(ctx context.Context, farms []office.Farm, u quantity.System, on quantity.Date) (read []*report.FarmClient, wrong []error, err error) {
	given, err := s.given(ctx)
	if err != nil {
		return nil, nil, err
	}
	read, wrong = make([]*report.FarmClient, len(farms)), make([]error, len(farms))
	look := func(i int) (known bool) {
		key, of := fmt.Sprint(farms[i].ID, u, on), fmt.Sprint(given, farms[i].Hash, farms[i].Stamp)
		if read[i] = s.listed.get(key, of, time.Now()); read[i] != nil {
			return true
		}
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
				x := listed{of, day.Client, day.On, day.Zone}
				if on != 0 {
					x.zone = nil
				}
				s.listed.put(key, x)
			}
		}
		wrong[i] = err
		return true
	}
	pending, unread := make([]*task, len(farms)), 0
	for i, f := range farms {
		if !look(i) {
			pending[i] = s.readBehind(ctx, f.ID, u, on)
			unread++
		}
	}
	patient := moment
	if 2*unread > len(farms) {
		patient = patience
	}
	wait := time.NewTimer(patient)
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

// readBehind reads a farm's day behind the page, and its plan after it, so that nobody
// waits for them later.
func (s *Server) readBehind(ctx context.Context, farm int64, u quantity.System, on quantity.Date) *task {
	ctx = context.WithoutCancel(ctx)
	return s.reading.behind(fmt.Sprint("day ", farm, u, on), func() error {
		o, err := s.openFarm(ctx, farm, u)
		if err != nil {
			return err
		}
		if _, err = o.desk.Today(ctx, o.source, on); err == nil && !o.desk.PlanReady(o.source) {
			s.reading.behind(fmt.Sprint("plan ", farm, u), func() error {
				_, err := o.desk.Plan(ctx, o.source)
				return err
			})
		}
		return err
	})
}

// waiting is how much is being read behind pages.
func (r *reading) waiting() int {
	r.mu.Lock()
	defer r.mu.Unlock()
	return len(r.now)
}
