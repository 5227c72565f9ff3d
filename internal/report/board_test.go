package report

import "testing"

// Parts of a field lie on one another from the ground up, within the row, and none is too
// thin to be hit.
func TestPartsStack(t *testing.T) {
	for _, shares := range [][]float64{{1}, {0.5, 0.5}, {0.1, 0.2, 0.3}, {0.25, 0.25, 0.25, 0.25}, {0.05}} {
		row := BoardRow{}
		for _, s := range shares {
			row.Bars = append(row.Bars, BoardBar{Share: s})
		}
		row.stack()
		below := 11
		for _, b := range row.Bars {
			if b.Top < 1 || b.High < leastHigh || b.Top+b.High > 11 {
				t.Errorf("%v: a part from %d over %d tenths", shares, b.Top, b.High)
			}
			if b.Top > below {
				t.Errorf("%v: a part begins under the one before", shares)
			}
			below = b.Top
		}
		if row.Parts != (shares[0] < 1) {
			t.Errorf("%v: in parts is %v", shares, row.Parts)
		}
	}
}
