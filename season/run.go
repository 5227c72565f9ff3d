package season

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"rowen/internal/crew"
	"rowen/quantity"
	"rowen/weather"
)

// ErrYear is returned for a weather year the model does not hold.
var ErrYear = errors.New("season: unknown weather year")

// ErrSnapshot is returned for a snapshot that another engine or another farm
// made.
var ErrSnapshot = errors.New("season: snapshot does not fit this model")

// Run plays the farm through whole weather years, each from the same opening.
// Years run in parallel; the result lies in the order asked and is the same to
// the bit whatever the number of workers.
func (m *Model) Run(ctx context.Context, opening Opening, ids []weather.YearID) (Result, error) {
	if opening.Day != 0 {
		return Result{}, fmt.Errorf("%w: a run opens on day 0 of the feed year, not %d; use Resume", ErrSnapshot, opening.Day)
	}
	return m.Resume(ctx, opening, ids)
}

// Resume plays the rest of the feed year from a snapshot's morning, once with
// each weather year's weather from that day on. Ledger rows before the
// snapshot's day stay empty.
func (m *Model) Resume(ctx context.Context, from Snapshot, ids []weather.YearID) (Result, error) {
	if err := m.fits(&from); err != nil {
		return Result{}, err
	}
	result := Result{Years: make([]YearResult, len(ids))}
	for i := range m.market {
		result.Prices[m.market[i].kind] = m.market[i].price
	}
	work, ctx := crew.Of(ctx, m.workers())
	for i, id := range ids {
		index := m.yearIndex(id)
		if index < 0 {
			return Result{}, fmt.Errorf("%w: %d", ErrYear, id)
		}
		work.Go(func() error {
			r := newRunner(m, index, &from, &result.Years[i])
			return r.play(ctx, m.years[index].days)
		})
	}
	if err := work.Wait(); err != nil {
		return Result{}, err
	}
	result.rank()
	return result, nil
}

// Until plays one weather year from its opening to the morning of a day and
// gives the snapshot there: what Resume goes on from.
func (m *Model) Until(ctx context.Context, opening Opening, id weather.YearID, day quantity.Date) (Snapshot, error) {
	index := m.yearIndex(id)
	if index < 0 {
		return Snapshot{}, fmt.Errorf("%w: %d", ErrYear, id)
	}
	if err := m.fits(&opening); err != nil {
		return Snapshot{}, err
	}
	y := &m.years[index]
	stop := int(day - y.first)
	if stop < opening.Day || stop > y.days {
		return Snapshot{}, fmt.Errorf("season: %v is outside the feed year that begins %v", day, y.first)
	}
	var scratch YearResult
	r := newRunner(m, index, &opening, &scratch)
	if err := r.play(ctx, stop); err != nil {
		return Snapshot{}, err
	}
	return r.now.clone(), nil
}

// fits refuses a snapshot of another engine or another farm.
func (m *Model) fits(s *Snapshot) error {
	switch {
	case s.Engine != Engine:
		return fmt.Errorf("%w: made by engine %q, this is %q", ErrSnapshot, s.Engine, Engine)
	case len(s.Plots) != len(m.plots):
		return fmt.Errorf("%w: it has %d plots, the farm %d", ErrSnapshot, len(s.Plots), len(m.plots))
	case len(s.Groups) != len(m.groups):
		return fmt.Errorf("%w: it has %d groups, the farm %d", ErrSnapshot, len(s.Groups), len(m.groups))
	}
	for i := range s.Plots {
		if p := int(s.Plots[i].Phase); p < 0 || p >= len(m.plots[i].phases) {
			return fmt.Errorf("%w: plot %d stands at programme step %d of %d", ErrSnapshot, i, p, len(m.plots[i].phases))
		}
	}
	return nil
}

// rank finds the middle, the 1-in-5 and the worst year by annual shortage. The
// bad year is the mildest of the worst fifth: one year in five is as short as
// it or shorter. Ties fall to the earlier in input order.
func (r *Result) rank() {
	n := len(r.Years)
	if n == 0 {
		return
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(r.Years[a].Shortage, r.Years[b].Shortage)
	})
	r.Middle = order[(n-1)/2]
	r.Bad = order[n-(n+4)/5]
	r.Worst = order[n-1]
}
