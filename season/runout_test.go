package season

import (
	"testing"

	"rowen/feed"
	"rowen/quantity"
)

func TestRunOut(t *testing.T) {
	first, err := quantity.ParseDate("2026-11-01")
	if err != nil {
		t.Fatal(err)
	}
	// year feeds hay from store in every row but for what is missing there.
	year := func(missing map[int]float64) *YearResult {
		y := &YearResult{First: first}
		for r := range y.Ledger {
			y.Ledger[r].Demand, y.Ledger[r].Short = 100, missing[r]
			y.Ledger[r].Fed[feed.Hay] = 100 - missing[r]
		}
		return y
	}
	for _, c := range []struct {
		name    string
		missing map[int]float64
		from    int
		want    string
	}{
		{"never", nil, 0, ""},
		{"a change-over is no end", map[int]float64{4: 0.5}, 0, ""},
		{"half of the second half of February", map[int]float64{7: 50}, 0, "2027-02-22"},
		{"the whole of it", map[int]float64{7: 100}, 0, "2027-02-16"},
		{"only what is to come", map[int]float64{2: 100, 10: 100}, 60, "2027-04-01"},
		{"already out", map[int]float64{4: 100}, 65, "2027-01-05"},
		{"the last row", map[int]float64{23: 100}, 0, "2027-10-16"},
	} {
		day, ok := year(c.missing).RunOut(first + quantity.Date(c.from))
		if got := day.String(); ok != (c.want != "") || ok && got != c.want {
			t.Errorf("%s: %v %v, want %q", c.name, day, ok, c.want)
		}
	}
}
