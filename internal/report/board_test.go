package report

import "testing"

// Parts of a field lie under one another from the upper edge down, within the row, and
// none is too thin to be hit.
func TestPartsStack(t *testing.T) {
	for _, shares := range [][]float64{{1}, {0.5, 0.5}, {0.1, 0.2, 0.3}, {0.25, 0.25, 0.25, 0.25}, {0.05}} {
		row := BoardRow{}
		for _, s := range shares {
			row.Bars = append(row.Bars, BoardBar{Share: s})
		}
		row.stack()
		above := 1
		for _, b := range row.Bars {
			if b.Top < 1 || b.High < leastHigh || b.Top+b.High > 11 {
				t.Errorf("%v: a part from %d over %d tenths", shares, b.Top, b.High)
			}
			if b.Top < above {
				t.Errorf("%v: a part begins over the one before", shares)
			}
			above = b.Top
		}
		if row.Bars[0].Top != 1 {
			t.Errorf("%v: the first part begins at %d", shares, row.Bars[0].Top)
		}
	}
}
