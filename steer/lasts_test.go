package steer

import (
	"math"
	"testing"
)

// Two groups that share one heap run out of it on the day on which the heap is empty,
// whatever little they are fed from store in summer.
func TestShareLastsAsLongAsTheHeap(t *testing.T) {
	winter := func(need float64) (w wanting) {
		for h := range 24 {
			x := wanted{need * 15, need * 15, 15}
			if h >= 8 { // pasture from the ninth half-month on, with a wet day now and then
				x = wanted{need * 0.1 * 15, need * 0.1 * 15, 15}
			}
			w.parts = append(w.parts, x)
			w.need, w.eaten, w.days = w.need+x.need, w.eaten+x.eaten, w.days+x.days
		}
		return w
	}
	groups := []wanting{winter(1000), winter(250)}
	const stored, out = 1250 * 100, 100.0 // a hundred days of both
	shares := eatenFrom(groups, stored)
	if sum := shares[0] + shares[1]; math.Abs(sum-stored) > 1e-6 {
		t.Errorf("%v kg of %v are shared", sum, float64(stored))
	}
	for g, w := range groups {
		need, days := w.lasts(shares[g])
		if math.Abs(days-out) > 1e-9 || math.Abs(need-[]float64{1000, 250}[g]) > 1e-9 {
			t.Errorf("group %d: %v kg a day for %v days, want the winter's rate for %v", g, need, days, out)
		}
		if need, days = w.lasts(0); days != 0 || math.Abs(need-[]float64{1000, 250}[g]) > 1e-9 {
			t.Errorf("group %d of nothing: %v kg a day for %v days", g, need, days)
		}
	}
	// More than all that is wanted: the rest goes on at the mean.
	if need, days := groups[0].lasts(2 * groups[0].need); math.Abs(days-2*groups[0].days) > 1e-6 || need <= 0 {
		t.Errorf("twice the need lasts %v days at %v, want twice %v", days, need, groups[0].days)
	}
	if need, days := (&wanting{}).lasts(100); need != 0 || days != 0 {
		t.Errorf("a group that wants nothing: %v, %v", need, days)
	}
}
