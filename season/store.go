package season

import (
	"math"

	"rowen/feed"
	"rowen/handbook"
	"rowen/handbook/hazard"
)

// store puts a lot into the stores made for its kind, the emptiest share first by
// document order, and gives what found room. Silage waits to ferment, and longer
// where prussic acid was a risk.
func (r *runner) store(lot *feed.Lot, gate handbook.Answer, risk hazard.PrussicRisk) float64 {
	wait := 0
	if lot.Kind.Ferments() {
		wait = max(feed.FermentDays, hazard.StoreWait(risk, hazard.Ensiling, gate))
	}
	lot.Ready = lot.Stored + dateOf(wait)
	left := lot.DM
	for s := range r.m.stores {
		st := &r.m.stores[s]
		if !st.kind.Keeps(lot.Kind) || left <= 0 {
			continue
		}
		room := math.Max(0, st.capacity-r.held(s))
		take := min(left, room)
		if take <= 0 {
			continue
		}
		kept := *lot
		kept.DM, kept.Store = take, int16(s)
		r.now.Lots = append(r.now.Lots, kept)
		left -= take
	}
	return lot.DM - left
}

// held is what a store holds, kg DM.
func (r *runner) held(s int) float64 {
	sum := 0.0
	for i := range r.now.Lots {
		if int(r.now.Lots[i].Store) == s {
			sum += r.now.Lots[i].DM
		}
	}
	return sum
}

// age lets a day's losses pass in every store and clears what is used up.
func (r *runner) age() {
	kept := r.now.Lots[:0]
	for _, lot := range r.now.Lots {
		lost := lot.DM * r.m.stores[lot.Store].kind.DailyLoss()
		if lot.DM-lost < usedUp {
			lost = lot.DM
		}
		lot.DM -= lost
		r.out.Pools[lot.Kind].Lost += lost
		r.out.Ledger[r.row].Lost += lost
		if lot.DM > 0 {
			kept = append(kept, lot)
		}
	}
	r.now.Lots = kept
}

// usedUp is what is left of a lot when it is swept out, kg DM.
const usedUp = 1.0
