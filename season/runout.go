package season

import (
	"rowen/feed"
	"rowen/quantity"
)

// unmet is the share of a half-month's demand below which want of forage is no run
// out: a day's change from one lot to the next (common practice).
const unmet = 0.01

// RunOut is the day, from a day of the year on, on which home-grown stored feed first
// no longer meets the need: the first half-month in which forage is bought or goes
// short, and in it the day to which what was fed from store reached, had the need
// been even. ok is false where there is none. Concentrate beyond the farm's habit is
// no run out: it stands in for quality, not for fill. The day is good to about a
// week.
func (y *YearResult) RunOut(from quantity.Date) (day quantity.Date, ok bool) {
	first := y.First
	for i := range y.Ledger {
		row := &y.Ledger[i]
		days := daysOf(first)
		next := first + quantity.Date(days)
		missing := row.Short + row.Fed[feed.BoughtHay] + row.Fed[feed.BoughtForage]
		if next > from && row.Demand > 0 && missing > unmet*row.Demand {
			stored := 0.0
			for k, fed := range row.Fed {
				if kind := feed.Kind(k); kind.HomeGrown() && kind != feed.Pasture {
					stored += fed
				}
			}
			return max(from, first+quantity.Date(float64(days)*stored/(stored+missing))), true
		}
		first = next
	}
	return 0, false
}

// daysOf is the length of the half-month that begins on a day.
func daysOf(d quantity.Date) int {
	n := 1
	for (d + quantity.Date(n)).HalfMonth() == d.HalfMonth() {
		n++
	}
	return n
}
