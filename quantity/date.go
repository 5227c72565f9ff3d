package quantity

import (
	"fmt"
	"time"
)

// Date is a civil day, counted from 1970-01-01 (day 0). It has no time and no
// zone: a farm's day is the farm's day.
type Date int32

// FirstYear and LastYear bound the days that anybody writes of a farm: no weather is
// known before, and no plan is made after.
const (
	FirstYear = 1900
	LastYear  = 2200
)

// Sane tells whether the day lies between FirstYear and LastYear.
func (d Date) Sane() bool { y := d.Year(); return y >= FirstYear && y <= LastYear }

// NewDate gives the civil day of a year, month and day of the month. Days past
// a month's end roll on, as in package time.
func NewDate(year int, month time.Month, day int) Date {
	return Date(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// Time is midnight UTC of the day, for the standard library's use.
func (d Date) Time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// Civil splits the day into year, month and day of the month.
func (d Date) Civil() (year int, month time.Month, day int) { return d.Time().Date() }

// Year is the calendar year.
func (d Date) Year() int { y, _, _ := d.Civil(); return y }

// YearDay is the day of the year, 1 to 366: J of the FAO-56 equations.
func (d Date) YearDay() int { return d.Time().YearDay() }

// HalfMonth is the half-month of the calendar year, 0 (1-15 January) to 23
// (16-31 December): the step of every feed ledger.
func (d Date) HalfMonth() int {
	_, m, day := d.Civil()
	h := 2 * (int(m) - 1)
	if day > 15 {
		h++
	}
	return h
}

// String writes the day as ISO 8601, 2017-06-05.
func (d Date) String() string { return d.Time().Format(time.DateOnly) }

// MonthDay is a day of any year, such as "1 Nov": a date rule, not a date.
type MonthDay struct {
	Month time.Month
	Day   int
}

// In gives the rule's date in a year; 29 February becomes 1 March in a common
// year.
func (m MonthDay) In(year int) Date { return NewDate(year, m.Month, m.Day) }

// OnOrAfter gives the first date that fits the rule on or after d.
func (m MonthDay) OnOrAfter(d Date) Date {
	y := d.Year()
	if at := m.In(y); at >= d {
		return at
	}
	return m.In(y + 1)
}

// MonthDay is the day of the year, as people say a date: 9 Jun.
func (d Date) MonthDay() MonthDay {
	_, month, day := d.Civil()
	return MonthDay{Month: month, Day: day}
}

// String writes the rule as "1 Nov".
func (m MonthDay) String() string {
	return fmt.Sprintf("%d %s", m.Day, m.Month.String()[:3])
}
