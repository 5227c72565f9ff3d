package feed

import "rowen/handbook/nutrition"

// Request is what a group needs in a day, whole group.
type Request struct {
	System         nutrition.System
	DM             float64 // kg
	Energy         float64 // Mcal
	CP             float64 // kg
	MinNDF, MaxNDF float64 // kg
	Grain          float64 // fed as a habit, kg DM
	MaxGrain       float64 // kg DM
}

// Offer is a feed that may be fed today.
type Offer struct {
	Kind     Kind
	DM       float64 // kg that can reach the animals' mouths; may be +Inf
	Analysis nutrition.Analysis
	Price    float64 // per kg DM; 0 for home-grown
}

// Outcome is what a ration adds up to.
type Outcome struct {
	DM, Energy, CP, NDF float64 // kg, Mcal, kg, kg
}

// maxProtein is the most protein supplement in a ration, share of dry matter
// (common practice).
const maxProtein = 0.12

// Compose puts a day's ration together: the grain of habit; home-grown forage in
// the order offered; the cheapest bought forage for what is missing; then more
// grain in place of forage while energy is short, as far as the grain limit and
// the least fibre allow; then protein supplement in place of grain, else of
// forage, while protein is short. It fills eaten, kg DM by offer, and allocates
// nothing. Dry matter never exceeds the request.
func Compose(r *Request, offers []Offer, eaten []float64) Outcome {
	clear(eaten)
	grain, protein := -1, -1
	for i := range offers {
		switch offers[i].Kind {
		case Grain:
			grain = i
		case Protein:
			protein = i
		}
	}
	left := r.DM
	if grain >= 0 {
		eaten[grain] = min(r.Grain, left, offers[grain].DM)
		left -= eaten[grain]
	}
	for i := range offers {
		if o := &offers[i]; o.Kind.HomeGrown() && left > 0 {
			eaten[i] = min(max(0, o.DM), left)
			left -= eaten[i]
		}
	}
	for left > 1e-9*r.DM {
		best := -1
		for i := range offers {
			o := &offers[i]
			if (o.Kind == BoughtHay || o.Kind == BoughtForage) && o.DM-eaten[i] > 1e-9 && (best < 0 || o.Price < offers[best].Price) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		take := min(left, offers[best].DM-eaten[best])
		eaten[best] += take
		left -= take
	}
	out := total(r.System, offers, eaten)
	if grain >= 0 {
		more(r, offers, eaten, grain, &out)
	}
	if protein >= 0 {
		supplement(r, offers, eaten, grain, protein, &out)
	}
	return total(r.System, offers, eaten)
}

// total adds a ration up.
func total(s nutrition.System, offers []Offer, eaten []float64) (out Outcome) {
	for i := range offers {
		e, a := eaten[i], &offers[i].Analysis
		out.DM += e
		out.Energy += e * a.Energy(s)
		out.CP += e * a.CP / 100
		out.NDF += e * a.NDF / 100
	}
	return out
}

// more puts grain in the place of the forage last taken while energy is short.
func more(r *Request, offers []Offer, eaten []float64, grain int, out *Outcome) {
	g := &offers[grain].Analysis
	for i := len(offers) - 1; i >= 0 && out.Energy < r.Energy; i-- {
		o := &offers[i]
		gain := g.Energy(r.System) - o.Analysis.Energy(r.System)
		if !o.Kind.Forage() || eaten[i] <= 0 || gain <= 0 {
			continue
		}
		swap := min(eaten[i], (r.Energy-out.Energy)/gain, max(0, r.MaxGrain-eaten[grain]), max(0, offers[grain].DM-eaten[grain]))
		if fibre := (o.Analysis.NDF - g.NDF) / 100; fibre > 0 {
			swap = min(swap, max(0, out.NDF-r.MinNDF)/fibre)
		}
		if swap <= 0 {
			continue
		}
		eaten[i] -= swap
		eaten[grain] += swap
		*out = total(r.System, offers, eaten)
	}
}

// supplement puts protein feed in the place of grain, else of the forage last
// taken, while protein is short.
func supplement(r *Request, offers []Offer, eaten []float64, grain, protein int, out *Outcome) {
	p := &offers[protein].Analysis
	room := maxProtein * r.DM
	swap := func(i int) {
		gain := (p.CP - offers[i].Analysis.CP) / 100
		if out.CP >= r.CP || eaten[i] <= 0 || gain <= 0 {
			return
		}
		take := min(eaten[i], (r.CP-out.CP)/gain, room-eaten[protein])
		if take <= 0 {
			return
		}
		eaten[i] -= take
		eaten[protein] += take
		*out = total(r.System, offers, eaten)
	}
	if grain >= 0 {
		swap(grain)
	}
	for i := len(offers) - 1; i >= 0; i-- {
		if offers[i].Kind.Forage() {
			swap(i)
		}
	}
}
