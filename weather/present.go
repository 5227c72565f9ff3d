package weather

import (
	"errors"
	"fmt"
	"math"

	"rowen/quantity"
)

// ErrPresent is returned where a series does not reach a day closely enough to say
// how a season stands.
var ErrPresent = errors.New("the weather does not reach today")

// staleAfter is how many days the last weather may lie back before a season cannot
// be steered by it.
const staleAfter = 10

// Present is the feed year that a day lies in, as far as the series knows it, with
// all complete other years: what a season is steered by. The present year is first;
// its days after known, the index of the last day measured up to today, are another
// year's and stand there only to fill it. It returns ErrPresent, with the remedy,
// where the series ends more than ten days before today, begins after the feed year
// does, or has a hole in it; and where there is no other year.
func (s *Series) Present(start quantity.MonthDay, today quantity.Date) (years []Year, known int, err error) {
	first := start.OnOrAfter(today - 365)
	if next := start.OnOrAfter(first + 1); next <= today {
		first = next
	}
	id := YearID((start.In(first.Year()+1) - 1).Year())
	last := today
	for last >= first && last >= s.First && (int(last-s.First) >= len(s.Days) || math.IsNaN(s.Days[last-s.First].TMin+s.Days[last-s.First].TMax+s.Days[last-s.First].Rain)) {
		last--
	}
	switch {
	case first < s.First:
		return nil, 0, fmt.Errorf("%w: it begins on %v and the feed year on %v; give weather from then on", ErrPresent, s.First, first)
	case last < first || today-last > staleAfter:
		return nil, 0, fmt.Errorf("%w: its last day is %v and today is %v; bring the weather file up to date, or ask for an earlier day", ErrPresent, s.First+quantity.Date(len(s.Days))-1, today)
	}
	from := int(first - s.First)
	known = int(last - first)
	if reason := unusable(s.Days[from:from+known+1], first); reason != "" {
		return nil, 0, fmt.Errorf("%w: %s; fill the hole from a neighbour", ErrPresent, reason)
	}
	others, _ := s.FeedYears(start, 0)
	var filler []Day
	for _, y := range others {
		if y.ID != id {
			years = append(years, y)
			filler = y.Days
		}
	}
	if len(years) == 0 {
		return nil, 0, fmt.Errorf("%w: there is no complete other year to look ahead with", ErrPresent)
	}
	now := Year{ID: id, Station: &s.Station, First: first, Before: s.Days[max(0, from-366):from]}
	for i := len(now.Before) - 1; i >= 0; i-- {
		if math.IsNaN(now.Before[i].TMin + now.Before[i].TMax + now.Before[i].Rain) {
			now.Before = now.Before[i+1:]
			break
		}
	}
	now.Days = append(append([]Day(nil), s.Days[from:from+known+1]...), filler[min(known+1, len(filler)):]...)
	return append([]Year{now}, years...), known, nil
}
