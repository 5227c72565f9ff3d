package report

import (
	"testing"
	"time"

	"rowen/farm"
	"rowen/quantity"
	"rowen/steer"
)

// The alarm says the worst that is likely: a middle year that runs out is not told as
// one year of five.
func TestStockAlarm(t *testing.T) {
	f := &farm.Farm{Turnout: quantity.MonthDay{Month: time.May, Day: 4}}
	d := &steer.Day{Today: quantity.NewDate(2026, 11, 26)}
	on := func(month time.Month, day int) quantity.Date { return quantity.NewDate(2027, month, day) }
	for _, c := range []struct {
		s    steer.Stock
		want string
	}{
		{steer.Stock{Runs: 30, RunsOut: 30, Middle: on(3, 7), MiddleOut: true, Bad: on(3, 5), BadOut: true}, "stored feed runs out about 2027-03-07 in the middle year, before turn-out on 2027-05-04; in 30 of 30 years it runs out"},
		{steer.Stock{Runs: 30, RunsOut: 8, Bad: on(4, 20), BadOut: true}, "stored feed may run out about 2027-04-20, before turn-out on 2027-05-04, in one year of five"},
		{steer.Stock{Runs: 30, RunsOut: 20, Middle: on(8, 1), MiddleOut: true, Bad: on(4, 20), BadOut: true}, "stored feed may run out about 2027-04-20, before turn-out on 2027-05-04, in one year of five"},
		{steer.Stock{Runs: 30, RunsOut: 8, Bad: on(7, 20), BadOut: true}, ""},
		{steer.Stock{Runs: 30}, ""},
	} {
		got := ""
		for _, l := range stockAlarm(f, d, &c.s) {
			got += l.String()
		}
		if got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
