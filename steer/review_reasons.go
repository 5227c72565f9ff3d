package steer

import (
	"fmt"
	"math"
	"strings"

	"rowen/journal"
	"rowen/quantity"
)

// reasons says what is known of why the field gave what it gave.
func (f *FieldReview) reasons(v *Review, r *Request) {
	say := func(format string, args ...any) { f.Reasons = append(f.Reasons, fmt.Sprintf(format, args...)) }
	if !f.Written() {
		say("no grazing and no cut is written down: what came off it is unknown")
	}
	if f.Unknown > 0 {
		say("uses that cannot be estimated: %d, a second on the same day or after the last weather", f.Unknown)
	}
	if n := f.Cuts - f.Weighed; n > 0 {
		say("cuts without weight and moisture: %d of %d, estimated", n, f.Cuts)
	}
	if n := r.noResidual(f.Index, v.First); n > 0 {
		say("uses without the height left standing: %d, the catalogue's is taken", n)
	}
	f.seen(v, r)
	if share, n := f.against(); n > 0 && math.Abs(share-1) >= 0.1 {
		say("measured heights (%d) lay %+.0f %% from what weather and use alone would give", n, 100*(share-1))
	}
	if f.Growth != 0 && math.Abs(f.Growth-1) >= 0.03 {
		say("what was measured says that it grows %+.0f %% against the catalogue's middle", 100*(f.Growth-1))
	}
	plan := math.Min(f.PlannedGrazed.Middle+f.PlannedCut.Middle, f.PlannedGrazed.Bad+f.PlannedCut.Bad)
	if x, ok := v.dry(); ok && f.Written() && f.Taken().High < plan {
		say("the growing season was the %s driest of %d", ordinal(x.Rank), x.Of)
	}
}

// seen says what was seen on the field that costs yield.
func (f *FieldReview) seen(v *Review, r *Request) {
	for i := range r.Entries {
		e := &r.Entries[i]
		if e.Date < v.First || e.Date > v.Until || e.Field != "" && !strings.EqualFold(e.Field, r.Farm.Fields[f.Index].Name) {
			continue
		}
		words := ""
		switch k := e.Fact.(type) {
		case journal.Drought:
			words = "drought seen"
		case journal.Hail:
			words = "hail"
		case journal.Emergence:
			if !k.Emerged {
				words = "not come up when it was looked at"
			}
		}
		if words != "" {
			f.Reasons = append(f.Reasons, words+" on "+e.Date.MonthDay().String())
		}
	}
}

// noResidual counts uses whose residual was not written down.
func (r *Request) noResidual(field int, first quantity.Date) (n int) {
	for i := range r.Entries {
		e := &r.Entries[i]
		if e.Date < first || e.Date > r.Today || !strings.EqualFold(e.Field, r.Farm.Fields[field].Name) {
			continue
		}
		switch k := e.Fact.(type) {
		case journal.GrazingOut:
			if !k.Residual.Known() {
				n++
			}
		case journal.Cut:
			if _, known := weighed(&k); !known && !k.Stubble.Known() {
				n++
			}
		}
	}
	return n
}

// against is the mean of heights over their expectation, in logarithms.
func (f *FieldReview) against() (share float64, n int) {
	sum := 0.0
	for _, h := range f.Heights {
		sum += math.Log(h.Seen / h.Expected.Middle)
	}
	if n = len(f.Heights); n == 0 {
		return 1, 0
	}
	return math.Exp(sum / float64(n)), n
}

func ordinal(n int) string {
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return fmt.Sprintf("%d%s", n, end)
}
