package season

import "rowen/farm"

// prices are the document's prices in the loop's units: money per kg of dry
// matter, so that feeds of any wetness compare.
type prices struct {
	hay, forage    float64 // bought, per kg DM
	grain, protein float64 // bought, per kg DM
	closing        float64 // home-grown forage in store, per kg DM
	nitrogen       float64 // per kg N
}

// hayDM is the dry-matter share of bought hay as fed, 90 % (typical value,
// common practice).
const hayDM = 0.90

// pricesOf reads the farm's prices. Grain, protein and hay are priced as fed.
func pricesOf(f *farm.Farm) prices {
	p := &f.Prices
	return prices{
		hay: float64(p.BoughtHay) / hayDM, forage: float64(p.BoughtForage),
		grain: float64(p.Grain) / grainDM, protein: float64(p.Protein) / grainDM,
		closing: float64(p.ClosingForage), nitrogen: float64(p.Nitrogen),
	}
}
