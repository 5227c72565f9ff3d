package steer

import (
	"slices"

	"rowen/crop"
	"rowen/journal"
	"rowen/season"
)

// StoredReview is what was put up for one use, kg DM.
type StoredReview struct {
	Use     crop.Use
	Planned Pair // up to the day looked at
	Lots    int  // cuts written down
	Weighed int  // of them, with weight and moisture
	DM      float64
}

// putUp are the uses that put feed into store.
var putUp = []crop.Use{crop.Wrap, crop.Chop, crop.Hay, crop.Silage}

// stored holds what was put up against the plan's, use by use.
func (v *Review) stored(r *Request, planned *season.Result) {
	for _, use := range putUp {
		x := StoredReview{Use: use, Planned: Pair{v.putUpIn(&planned.Years[planned.Middle], use), v.putUpIn(&planned.Years[planned.Bad], use)}}
		for i := range r.Entries {
			e := &r.Entries[i]
			k, ok := e.Fact.(journal.Cut)
			if !ok || e.Date < v.First || e.Date > v.Until || cutUse(&k) != use {
				continue
			}
			x.Lots++
			if dm, known := weighed(&k); known {
				x.Weighed++
				x.DM += dm
			}
		}
		if x.Lots > 0 || x.Planned != (Pair{}) {
			v.Stored = append(v.Stored, x)
		}
	}
}

func (v *Review) putUpIn(y *season.YearResult, use crop.Use) (dm float64) {
	for i := range y.Events {
		if e := &y.Events[i]; e.Kind == season.Stored && e.Use == use && e.Date-y.First <= v.Until-v.First {
			dm += e.DM
		}
	}
	return dm
}

// cutUse is what a cut was put up for; Leave where it was not, or nobody said.
func cutUse(k *journal.Cut) crop.Use {
	at := slices.Index([]journal.Use{journal.UseWrap, journal.UseChop, journal.UseHay, journal.UseSilage}, k.Use)
	if at < 0 {
		return crop.Leave
	}
	return putUp[at]
}

// weighed is a cut's dry matter, kg, where weight and moisture are both told.
func weighed(k *journal.Cut) (dm float64, known bool) {
	fresh, ok := k.AsFed()
	if !ok || !k.Moisture.Known() {
		return 0, false
	}
	return float64(fresh) * (1 - float64(k.Moisture.SI())), true
}
