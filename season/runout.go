package season

import "rowen/quantity"

// shortShare is the share of a half-month's demand that home-grown feed may miss
// before it is said to have run out: less is a day's change-over.
const shortShare = 0.02

// RunOut is the first day, from a day of the year on, on which home-grown feed no
// longer meets what the animals need: the half-month that has a gap, entered as far
// as home-grown feed carries it. ok is false where it never runs out in the year.
func (y *YearResult) RunOut(from quantity.Date) (day quantity.Date, ok bool) {
	head := y.First.HalfMonth()
	row := -1
	for d := y.First; ; d++ {
		r := (d.HalfMonth() - head + HalfMonths) % HalfMonths
		if r < row {
			return 0, false // the year is over
		}
		if r == row {
			continue
		}
		row = r
		h := &y.Ledger[r]
		days := daysOf(d)
		if d+quantity.Date(days) <= from || h.Gap <= shortShare*h.Demand || h.Demand <= 0 {
			continue
		}
		met := 1 - min(1, h.Gap/h.Demand)
		return max(from, d+quantity.Date(met*float64(days))), true
	}
}

// daysOf is the length of the half-month that begins on a day.
func daysOf(d quantity.Date) int {
	n := 1
	for (d + quantity.Date(n)).HalfMonth() == d.HalfMonth() {
		n++
	}
	return n
}
