// Package season runs one farm with one plan over weather years: animals eat,
// stands grow, fields are grazed and cut, stores fill and empty, day by day,
// and every kilogram and every unit of money lands in a ledger. Plain inputs,
// plain results: years can be run anywhere, in any number of workers, and the
// result is the same to the bit. It may not know how plans are chosen, nor
// storage, nor how anything is shown.
package season

import (
	"rowen/crop"
	"rowen/feed"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/weather"
)

// HalfMonths is the number of ledger rows in a feed year.
const HalfMonths = 24

// Result is a plan's outcome over weather years, in the order they were asked.
type Result struct {
	Years []YearResult
	// Middle, Bad and Worst index Years: the median, the 1-in-5 and the worst
	// year by annual shortage (home-grown feed short of demand), each a real
	// weather year.
	Middle, Bad, Worst int
	Prices             [feed.Kinds]float64 // of what the market has, money/kg DM; 0 for what it has not
}

// YearResult is the outcome of one weather year.
type YearResult struct {
	ID    weather.YearID
	First quantity.Date // first day of the feed year in this weather year
	// Shortage is the year's home-grown feed short of demand, kg DM: demand
	// less planned grain, less home-grown feed eaten, less what the stores
	// gained. Negative when more was grown than needed. It ranks the years: a
	// year that eats its stores bare is as bad as one that buys.
	Shortage float64
	Ledger   [HalfMonths]HalfMonth
	Groups   []GroupYear  // in document order
	Fields   []FieldYear  // in document order
	Sowings  []SowingYear // in the plan's order
	Events   []Event      // in date order
	Money    Money
	Opening  []feed.Lot
	Closing  []feed.Lot
	// Pools is the feed of the year by kind, kg DM: what came in (opening,
	// harvested into store, grazed, bought) and where it went.
	Pools [feed.Kinds]Pool
	Water Balance // mm summed over fields by area
}

// HalfMonth is one row of the ledger, kg DM, whole farm. Index 0 is the first
// half-month of the feed year.
type HalfMonth struct {
	Demand float64             // dry matter the groups need
	Fed    [feed.Kinds]float64 // eaten, by kind
	Short  float64             // demand nothing met
	// Gap is demand that home-grown feed does not meet: short, bought forage,
	// and concentrate beyond the grain the farm feeds by habit, which is a
	// choice and not a gap.
	Gap       float64
	Beyond    float64 // of Gap: concentrate beyond habit
	Energy    float64 // energy eaten over energy needed, 1 = enough; by demand-weighted groups
	CP        float64 // protein likewise
	Harvested float64 // put into store, kg DM after field and harvest loss
	Left      float64 // ready for use above the residual and not used, at the row's end, kg DM
	Lost      float64 // of what was in store, while it lay there and when it was fed, kg DM
	Store     float64 // in store at the row's end, kg DM
	Growth    float64 // grown above ground on all fields, kg DM
	Held      float64 // grazing that a hazard Hold refused, kg DM not eaten because of it
}

// GroupYear is what one group ate.
type GroupYear struct {
	Ledger       [HalfMonths]GroupHalfMonth
	GrazingDays  int     // days with any pasture eaten within the grazing season
	PastureShare float64 // of dry matter over the grazing season
	NightDays    int     // days whose heat moves grazing without shade to the night
	RuleShare    float64 // the organic rule's least share; 0 where the rule does not apply
	RuleDays     int     // the organic rule's least days; 0 where it does not apply
}

// OnPasture is the share of the group's year spent on pasture, 0 to 1, by what it
// ate there.
func (g *GroupYear) OnPasture() float64 {
	var pasture, all float64
	for i := range g.Ledger {
		pasture += g.Ledger[i].Fed[feed.Pasture]
		all += g.Ledger[i].Demand
	}
	if all <= 0 {
		return 0
	}
	return min(1, pasture/all)
}

// GroupHalfMonth is one group's row, kg DM and ratios of eaten to needed.
type GroupHalfMonth struct {
	Demand float64
	Fed    [feed.Kinds]float64
	Short  float64
	Energy float64 // eaten over needed
	CP     float64 // eaten over needed
	NDF    float64 // % of DM eaten
	Fill   float64 // fibre eaten over the most the animals can hold
}

// FieldYear is what one field did.
type FieldYear struct {
	Grown     float64 // kg DM above ground
	Grazed    float64 // kg DM eaten there
	Trampled  float64 // kg DM wasted in grazing
	Harvested float64 // kg DM taken off, before field losses
	Stored    float64 // kg DM that reached the store
	FieldLoss float64 // kg DM lost in wilting and harvest
	Lying     float64 // kg DM mown and still in the swath when the year ends
	Uses      int     // grazings and cuts
	Cost      float64 // money spent on it
	Stress    float64 // mean water stress in its growing days, 1 none, 0 full
	Holds     int     // days on which use was ready but held by a hazard gate
	Ledger    [HalfMonths]FieldHalfMonth
}

// SowingYear is what one sowing of the plan did.
type SowingYear struct {
	Sown     quantity.Date // 0 if it did not take place
	FirstUse quantity.Date // 0 if none
	Reached  bool          // its first use came at its rule's height or stage, not as what frost or autumn left
	Grazed   float64       // kg DM eaten
	Stored   float64       // kg DM that reached the store
	Holds    int           // paddock-days on which use was ready but held
	Cost     float64       // seed, nitrogen and work spent on it
	// Net is its credit: what it gave at the price of stored forage, less its cost,
	// less the sward given up and its reseeding, more the nitrogen the sod gave.
	Net float64
}

// FieldHalfMonth is one field's row.
type FieldHalfMonth struct {
	Grown, Grazed, Harvested float64 // kg DM
	Height                   float64 // cm at the row's end
}

// EventKind is what happened.
type EventKind uint8

// The kinds of event.
const (
	Sown EventKind = iota
	SowingDropped
	Emerged
	GrazingStarted
	GrazingEnded
	Cut
	Stored
	FrostKilled
	Held // a hazard gate refused a use that was ready
	StoreFull
	Spoilt // a swath that never dried was left on the field
	EstablishmentFailed
	Dressed // nitrogen given
	Wintered
	WinterKilled
	Laid // a storm lodged it
)

// Event is one dated thing on one field. Numbers, not words: report writes the
// sentence.
type Event struct {
	Date    quantity.Date
	Kind    EventKind
	Field   int16 // index; -1 for the farm
	Group   int16 // index; -1 for none
	Use     crop.Use
	DM      float64        // kg DM concerned
	Height  float64        // cm before
	After   float64        // cm after
	DMShare float64        // dry matter of fresh, 0..1
	CP, NDF float64        // % of DM
	NEL     float64        // Mcal/kg DM
	Verdict hazard.Verdict // of a Held, and of a use that went ahead with Caution
	Prussic bool           // the verdict is the prussic acid gate's; otherwise nitrate's
}

// Pool is one kind's balance for the year, kg DM:
// Opening + In + Bought = Eaten + Lost + Closing.
type Pool struct {
	Opening, In, Bought, Eaten, Lost, Closing float64
}

// Money is the year's account, in the document's currency. Costs are positive.
type Money struct {
	Seed, Work, Nitrogen                    float64
	BoughtForage, Grain, Protein            float64
	OpeningStock, ClosingStock              float64 // home-grown forage valued
	GrownDM, FedDM                          float64 // kg, home-grown
	CostGrown, CostFed                      float64 // money per kg DM
	SwardGivenUp, NitrogenCredit, Reseeding float64 // an annual's opportunity terms
}

// Balance is a closed account: In - Out - Change should be nothing.
type Balance struct{ In, Out, Change float64 }
