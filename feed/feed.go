// Package feed knows feeds once they have left the field: what kinds there
// are, what is lost on the way, where they are kept and for how long, and how
// a day's ration is put together from what is offered. It may not know farms,
// fields or plans.
package feed

import (
	"rowen/handbook/nutrition"
	"rowen/quantity"
)

// Kind is a kind of feed; the ledger has a column for each.
type Kind uint8

// The kinds, in the order in which a ledger prints them.
const (
	Pasture    Kind = iota // grazed where it grew
	GreenChop              // cut and carried fresh
	Baleage                // wrapped bales
	Haylage                // chopped and ensiled, wilted
	Hay                    // dry hay
	CropSilage             // corn and other whole-crop silage
	BoughtHay
	BoughtForage // bought silage or bales
	Grain
	Protein // protein supplement
	Kinds   = 10
)

// HomeGrown tells whether the kind comes from the farm's own fields.
func (k Kind) HomeGrown() bool { return k <= CropSilage }

// Forage tells whether the kind counts as forage.
func (k Kind) Forage() bool { return k <= BoughtForage }

// Lot is one cut in store.
type Lot struct {
	Kind     Kind
	DM       float64 // dry matter still there, kg
	DMShare  float64 // dry matter of fresh, 0..1, at storing
	Analysis nutrition.Analysis
	Stored   quantity.Date
	Ready    quantity.Date // first day it may be fed
	Store    int16         // index of the store
	Field    int16         // field it came from; -1 opening stock, -2 bought
}
