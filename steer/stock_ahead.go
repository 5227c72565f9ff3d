package steer

import (
	"context"
	"fmt"
	"math"

	"rowen/feed"
	"rowen/internal/crew"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

// yearEnough is how many days of the feed year must be left for its end to be the
// horizon; with fewer the next winter is looked at as well, unless turn-out comes
// before that end.
const yearEnough = 150

// future is one of the other years from today to the horizon.
type future struct {
	on     quantity.Date // home-grown stored feed runs out
	out    bool          // it does, on that day
	gap    float64       // kg DM that home feed misses
	groups []wanting     // in document order
}

// wanting is what a group takes from store, kg DM.
type wanting struct {
	need  float64 // all that pasture and grain do not meet
	eaten float64 // home-grown, from store
	days  float64 // in half-months with such a need
	parts []wanted
}

// wanted is one half-month, or the part of it that is still to come, in which a group
// is fed from store.
type wanted struct{ need, eaten, days float64 }

// lasts is how much a group needs a day while it feeds from a mass in store, and how
// many days of such feeding the mass lasts: by the half-months as they come, since a
// summer's top-ups say nothing of a winter. What is left after the last is fed at the
// mean of all.
func (w *wanting) lasts(mass float64) (need, days float64) {
	if w.need <= 0 {
		return 0, 0
	}
	left := mass
	for _, x := range w.parts {
		switch {
		case x.need <= 0:
			continue
		case x.need >= left:
			days += x.days * left / x.need
			if days <= 0 { // nothing lies there
				return x.need / x.days, 0
			}
			return mass / days, days
		}
		left, days = left-x.need, days+x.days
	}
	days += left / (w.need / w.days)
	return mass / days, days
}

// eatenFrom is what a group eats from store until a mass that all groups share is used
// up: that of the half-months as they come.
func eatenFrom(groups []wanting, mass float64) []float64 {
	out := make([]float64, len(groups))
	for h := 0; mass > 0; h++ {
		all, more := 0.0, false
		for g := range groups {
			if h < len(groups[g].parts) {
				all, more = all+groups[g].parts[h].eaten, true
			}
		}
		if !more {
			break
		}
		part := 1.0
		if all > mass {
			part = mass / all
		}
		for g := range groups {
			if h < len(groups[g].parts) {
				out[g] += part * groups[g].parts[h].eaten
			}
		}
		mass -= part * all
	}
	return out
}

func (f *future) need() (sum float64) {
	for i := range f.groups {
		sum += f.groups[i].need
	}
	return sum
}

// futures plays the other years from today's snapshot to the feed year's end and,
// where that is near, on to the next turn-out.
func (s *Stock) futures(ctx context.Context, r *Request, d *Day, m *season.Model, now *season.Snapshot) ([]future, error) {
	result, err := m.Resume(ctx, *now, m.Years())
	if err != nil {
		return nil, err
	}
	first := r.Years[0].First
	next := r.Farm.FeedYear.OnOrAfter(first + 1)
	s.Horizon = next - 1
	out := make([]future, len(result.Years))
	for i := range out {
		out[i].groups = make([]wanting, len(r.Farm.Groups))
		out[i].add(&result.Years[i], d.Known+1, next, 0)
	}
	turnout := r.Farm.Turnout.OnOrAfter(d.Known + 1)
	if next-d.Known >= yearEnough || turnout <= next {
		return out, nil
	}
	return out, s.lookOn(ctx, r, m, now, turnout, out)
}

// lookOn plays each future on, with what it leaves in store and the weather of the
// year that followed, up to turn-out.
func (s *Stock) lookOn(ctx context.Context, r *Request, m *season.Model, now *season.Snapshot, turnout quantity.Date, out []future) error {
	next := s.Horizon + 1
	after, problems := season.Compile(r.Farm, &r.Farm.Plan, r.Years[1:])
	if len(problems) > 0 {
		return problems[0]
	}
	after.Workers = r.Workers
	opening, err := after.SpunUp(ctx)
	if err != nil {
		return err
	}
	g, ctx := crew.Of(ctx, r.workers())
	for i, id := range m.Years() {
		g.Go(func() error {
			end, err := m.Until(ctx, *now, id, next)
			if err != nil {
				return err
			}
			for l := range end.Lots { // another year's calendar: whatever was put up can be fed
				end.Lots[l].Stored, end.Lots[l].Ready = math.MinInt32, math.MinInt32
			}
			begin := opening
			begin.Stock(end.Lots)
			y := &r.Years[1+(i+1)%(len(r.Years)-1)]
			winter, err := after.Run(ctx, begin, []weather.YearID{y.ID})
			if err != nil {
				return fmt.Errorf("the next feed year: %w", err)
			}
			out[i].add(&winter.Years[0], y.First, r.Farm.Turnout.OnOrAfter(y.First), next-y.First)
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return err
	}
	s.Horizon = turnout
	s.tell("the feed year ends soon: it is looked on to the next turn-out, with the animals and the plan that the document has now")
	return nil
}

// add adds what a year says of the days from one to before another; move brings its
// calendar to the future's.
func (f *future) add(y *season.YearResult, from, until, move quantity.Date) {
	if on, ok := y.RunOut(from); ok && on < until && !f.out {
		f.on, f.out = on+move, true
	}
	// The rows before from are empty where a snapshot was resumed; the row in which
	// it was holds only the days since.
	first := y.First
	for h := range y.Ledger {
		next := nextHalfMonth(first)
		begin := max(first, from)
		if days := float64(min(next, until) - begin); days > 0 {
			part := days / float64(next-begin)
			row := &y.Ledger[h]
			f.gap += part * (row.Short + row.Fed[feed.BoughtHay] + row.Fed[feed.BoughtForage])
			for g := range f.groups {
				f.groups[g].add(&y.Groups[g].Ledger[h], part, days)
			}
		}
		first = next
	}
}

// leastNeed is the need of stored feed, as a share of a half-month's demand, below
// which a group is not fed from store: a wet day or a change of paddock.
const leastNeed = 0.02

func (w *wanting) add(row *season.GroupHalfMonth, part, days float64) {
	eaten := storedFed(&row.Fed)
	need := eaten + row.Short + row.Fed[feed.BoughtHay] + row.Fed[feed.BoughtForage]
	if need <= leastNeed*row.Demand {
		w.parts = append(w.parts, wanted{})
		return
	}
	w.parts = append(w.parts, wanted{part * need, part * eaten, days})
	w.need += part * need
	w.eaten += part * eaten
	w.days += days
}

// storedFed is home-grown feed from store.
func storedFed(fed *[feed.Kinds]float64) (sum float64) {
	for k, v := range fed {
		if kind := feed.Kind(k); kind.HomeGrown() && kind != feed.Pasture {
			sum += v
		}
	}
	return sum
}

func nextHalfMonth(d quantity.Date) quantity.Date {
	n := d + 1
	for n.HalfMonth() == d.HalfMonth() {
		n++
	}
	return n
}
