package steer

import (
	"rowen/crop"
	"rowen/handbook/conserve"
	"rowen/quantity"
)

// Bale is a round bale's size.
type Bale struct{ Diameter, Width quantity.Length }

// UsualBale is the bale of a use: 4 by 4 ft wrapped, for its weight, and 5 ft thick by
// 4 wide dry (common practice).
func UsualBale(use crop.Use) Bale {
	if use == crop.Hay {
		return Bale{5 * quantity.Foot, 4 * quantity.Foot}
	}
	return Bale{4 * quantity.Foot, 4 * quantity.Foot}
}

// UsualLoad is a wagon of haylage as fed (common practice: 6 to 10 ton).
const UsualLoad = 8 * quantity.Ton

// PutUp is what a cut comes to in store, at its target moisture.
type PutUp struct {
	DM        Spread  // kg
	Bales     bool    // else loads
	Count     Spread  // bales or loads
	EachDry   float64 // kg DM
	EachFresh float64 // kg as it is gathered
	Moisture  float64 // wet basis
	Layers    float64 // of 1-mil film, 30 in wide; 0 unless wrapped
	PerRoll   float64 // bales a roll of film wraps
	Rolls     float64 // for the middle count
	Space     float64 // m³ for the middle amount
	Ground    float64 // m² that the bales cover in one layer; 0 of loads
	Density   float64 // kg DM/m³
}

const (
	feet      = float64(quantity.Foot)
	pounds    = float64(quantity.Pound)
	cubicFoot = feet * feet * feet
)

// PutUpOf turns what comes off a field, g DM/m², into bales or loads.
func PutUpOf(stored Spread, area quantity.Area, use crop.Use, thick bool, bale Bale, load quantity.Mass) PutUp {
	p := PutUp{Bales: use != crop.Chop}
	p.Moisture, _ = TargetMoisture(use)
	kg := float64(area) / 1000
	p.DM = Spread{stored.Low * kg, stored.Middle * kg, stored.High * kg}
	if !p.Bales {
		p.EachFresh = float64(load)
		p.EachDry = p.EachFresh * (1 - p.Moisture)
		p.Count = Spread{conserve.Containers(p.DM.Low, p.EachDry), conserve.Containers(p.DM.Middle, p.EachDry), conserve.Containers(p.DM.High, p.EachDry)}
		p.Density = conserve.ChoppedDensity * pounds / cubicFoot
		p.Space = p.DM.Middle / p.Density
		return p
	}
	product := conserve.WrappedBale
	if use == crop.Hay {
		product = conserve.LargeBaleHay
	}
	d, w := bale.Diameter.Feet(), bale.Width.Feet()
	loose, usual, tight := conserve.BaleDensity(product)
	each := func(density float64) float64 {
		dry, _ := conserve.BaleWeight(d, w, density, p.Moisture)
		return dry * pounds
	}
	dry, fresh := conserve.BaleWeight(d, w, usual, p.Moisture)
	p.EachDry, p.EachFresh, p.Density = dry*pounds, fresh*pounds, usual*pounds/cubicFoot
	p.Count = Spread{conserve.Containers(p.DM.Low, each(tight)), conserve.Containers(p.DM.Middle, p.EachDry), conserve.Containers(p.DM.High, each(loose))}
	p.Space = p.Count.Middle * conserve.CylinderVolume(d, w) * cubicFoot
	p.Ground = p.Count.Middle * d * w * feet * feet
	if use == crop.Wrap {
		p.Layers = conserve.WrapLayers(thick)
		film := conserve.FilmPerBale(conserve.RoundPerimeter(bale.Diameter.Metres(), bale.Width.Metres()), conserve.WrapTurns(p.Layers, d), conserve.FilmStretch)
		p.PerRoll = conserve.FilmRoll / film
		p.Rolls = conserve.Containers(p.Count.Middle, p.PerRoll)
	}
	return p
}
