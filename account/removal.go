package account

import (
	"rowen/farm"
	"rowen/handbook/fertility"
	"rowen/herd"
	"rowen/quantity"
	"rowen/season"
)

// removal is what cuts and grazing took off each field, lb.
func (n *Nutrients) removal(f *farm.Farm, y *season.YearResult) []NPK {
	taken := make([]NPK, len(f.Fields))
	for i := range y.Events {
		e := &y.Events[i]
		// What found no room in the store left the field all the same.
		if e.Kind != season.Stored && e.Kind != season.StoreFull || e.Field < 0 || e.DM <= 0 {
			continue
		}
		protein := e.CP
		if e.Kind == season.StoreFull {
			protein = proteinOf(y, e)
		}
		tons := e.DM / kgPerTon
		p, k := mineralsTaken(f, y, e)
		c := CutNutrients{Field: int(e.Field), Date: e.Date, Tons: tons, Taken: NPK{tons * 2000 * protein / 625, tons * p, tons * k}, K: fertility.PotassiumOfPotash(k)}
		n.Cuts = append(n.Cuts, c)
		taken[e.Field] = taken[e.Field].plus(c.Taken)
	}
	for i := range f.Fields {
		taken[i] = taken[i].plus(grazedOff(f, y, i))
	}
	return taken
}

// mineralsTaken are phosphate and potash in a ton of what an event took, lb.
func mineralsTaken(f *farm.Farm, y *season.YearResult, e *season.Event) (p, k float64) {
	kind := grassy
	if s := standOn(f, y, e); s != nil {
		kind = kindOf(s.mix)
	}
	p, k = kind.minerals()
	if _, band := tested(&f.Fields[e.Field]); band == fertility.High {
		k *= luxuryPotash
	}
	return p, k
}

// proteinOf is the protein of what found no room: that of what did on the same day
// from the same field, or of the day's cut.
func proteinOf(y *season.YearResult, full *season.Event) float64 {
	protein := usualProtein
	for i := range y.Events {
		e := &y.Events[i]
		if e.Field == full.Field && e.Use == full.Use && e.Date <= full.Date && e.CP > 0 && (e.Kind == season.Cut || e.Kind == season.Stored) {
			protein = e.CP
		}
	}
	return protein
}

// kept is the share of what animals graze that they keep; the rest falls there.
//
// Source: University of Kentucky (read): dairy 35, 30 and 20 % of nitrogen, phosphate
// and potash, beef 25, 20 and 15.
func kept(f *farm.Farm) NPK {
	for i := range f.Groups {
		if class, err := herd.ParseClass(f.Groups[i].Class); err == nil && class == herd.DairyLactating {
			return NPK{0.35, 0.30, 0.20}
		}
	}
	return NPK{0.25, 0.20, 0.15}
}

// grazedOff is what animals carry away from a field's grazing, lb.
func grazedOff(f *farm.Farm, y *season.YearResult, field int) (sum NPK) {
	share := kept(f)
	add := func(kg float64, kind forageKind) {
		tons := max(0, kg) / kgPerTon
		p, k := kind.minerals()
		sum = sum.plus(NPK{share.N * tons * 2000 * grazedProtein / 625, share.P * tons * p, share.K * tons * k})
	}
	left := y.Fields[field].Grazed
	for s := range f.Plan.Sowings {
		if f.Plan.Sowings[s].Field == field {
			add(y.Sowings[s].Grazed, kindOf(&f.Plan.Sowings[s].Mix))
			left -= y.Sowings[s].Grazed
		}
	}
	add(left, kindOf(&f.Fields[field].Stands))
	return sum
}

const (
	// kgPerTon is a ton of 2,000 lb.
	kgPerTon = float64(quantity.Ton)
	// luxuryPotash is how much more potash forage takes where the ground is rich in
	// it (common practice).
	luxuryPotash = 1.3
	// grazedProtein is crude protein of pasture, usualProtein of a cut that was not
	// analysed, % of dry matter (common practice).
	grazedProtein = 19
	usualProtein  = 13.0
)

func tested(f *farm.Field) (p, k fertility.Band) {
	t := &f.Ground.Test
	return fertility.ReadTest(t.Method, float64(t.P)*1e6, float64(t.K)*1e6)
}
