package season

import (
	"math"

	"rowen/crop"
	"rowen/feed"
	"rowen/handbook"
	"rowen/handbook/conserve"
	"rowen/handbook/hazard"
	"rowen/handbook/nutrition"
)

const (
	// dryingHours is how long a day a swath dries: from when the dew is off until
	// evening (common practice).
	dryingHours = 9
	// daySun is the mean insolation of those hours over that of the whole day.
	daySun = 1.2
	// leastMoisture is what hay keeps in this climate, wet basis.
	leastMoisture = 0.13
	// drySoil and wetSoil are the moisture of the ground under a swath, % of dry
	// soil, on a dry day and on one with rain.
	drySoil, wetSoil = 15, 25
	// wettestWrapped is the most moisture at which bales are wrapped at all.
	wettestWrapped = 0.65
)

// targetMoisture is the moisture, wet basis, at which a use is brought in.
func targetMoisture(use crop.Use) float64 {
	product := conserve.CornSilage
	switch use {
	case crop.Hay:
		product = conserve.LargeBaleHay
	case crop.Wrap:
		product = conserve.WrappedBale
	case crop.Chop:
		product = conserve.BunkerHaylage
	}
	_, high := conserve.Moisture(product)
	return high
}

// dry dries a swath through a day by Rotz & Chen's equation, in steps of an hour
// gathered into one, since its rate is constant over the day; rain wets it again
// and washes it out; it breathes while it is wet.
func (r *runner) dry(i int) {
	sw := &r.now.Plots[i].Swath
	day := r.y.forcing.Day(r.day)
	if day.Rain > 0 {
		lost := conserve.Leached(day.Rain, sw.Moisture)
		sw.DM *= 1 - lost
		wet := conserve.DryBasis(min(0.9, sw.Moisture)) + 1000*conserve.RainHeld(day.Rain)/max(50, sw.DM)
		sw.Moisture = min(0.88, conserve.WetBasis(wet))
	}
	sw.DM *= 1 - conserve.Respired(sw.Moisture)
	soil, mowing := float64(drySoil), 0.0
	if day.Rain > dryDay {
		soil = wetSoil
	}
	if sw.Days == 0 {
		mowing = 1
	}
	sun := daySun * day.Solar * 1e6 / (day.Daylight * 3600)
	k := conserve.DryingRate(sun, day.VPD, soil, sw.DM, mowing)
	hours := float64(dryingHours)
	if day.Rain > dryDay {
		hours /= 3 // a wet day dries between showers
	}
	sw.Moisture = max(min(leastMoisture, sw.Moisture), conserve.WetBasis(conserve.MoistureAfter(conserve.DryBasis(sw.Moisture), k, hours)))
}

// weathered is a swath's analysis as it comes into store: harvest adds about two
// points of NDF (Ohio State University, read), and what was lost was the best of
// it (the shares are common practice: plan for 10 to 15 % of quality lost between
// harvest and mouth, Cornell, read).
func (r *runner) weathered(sw *Swath, kept float64) nutrition.Analysis {
	a := sw.Herbage.Analysis
	lost := max(0, 1-kept)
	a.NDF += 2 + 10*lost
	a.ADF += 1.2 + 6*lost
	a.CP *= 1 - 0.2*lost
	a.TDN *= 0.97 * (1 - 0.2*lost)
	a.NEL, a.ME = nutrition.NELFromTDN(a.TDN), nutrition.MEFromTDN(a.TDN)
	return a
}

// storedUse is the hazard rules' word for a cut.
func storedUse(use crop.Use) hazard.Use {
	if use == crop.Hay {
		return hazard.Haying
	}
	return hazard.Ensiling
}

// simulated are the facts a season knows of every growth.
const simulated = hazard.KnowHeight | hazard.KnowFrost | hazard.KnowDrought | hazard.KnowRain | hazard.KnowNitrogen

// prussicFacts supplies what the season simulates. A station cannot tell a kill
// from a burn, so shoots that stand after frost count as regrowing while the
// stand lives.
func (r *runner) prussicFacts(i int) hazard.PrussicFacts {
	ps, ph := &r.now.Plots[i], r.phase(i)
	st := &ps.Stand
	return hazard.PrussicFacts{
		Risk: ph.prussic, Use: hazard.Grazing, Height: ph.stand.Height(st),
		Frost: int(st.Frost), Watch: int(st.Watch), Regrowing: st.Frost < hazard.Never && !ph.stand.Dead(st),
		Stressed: st.Drought(), Rain: int(st.Relief), Nitrogen: st.Dosed, Known: simulated,
	}
}

// nitrateFacts likewise.
func (r *runner) nitrateFacts(i int) hazard.NitrateFacts {
	st := &r.now.Plots[i].Stand
	dose := st.Dosed
	if st.DoseDays > 42 {
		dose = 0
	}
	return hazard.NitrateFacts{
		Use: hazard.Grazing, Stressed: st.Drought(), Rain: int(st.Relief), Nitrogen: dose,
		Frost: int(st.Frost), Known: simulated,
	}
}

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
		if lot.DM > 0 {
			kept = append(kept, lot)
		}
	}
	r.now.Lots = kept
}

// usedUp is what is left of a lot when it is swept out, kg DM.
const usedUp = 1.0
