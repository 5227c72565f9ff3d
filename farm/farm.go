// Package farm is the farm document: reading it, checking it once at the edge,
// and the plain values everything above computes with. It knows crops and
// quantities; it may not know growth or weather series.
package farm

import (
	"time"

	"rowen/crop"
	"rowen/internal/document"
	"rowen/quantity"
)

// Farm is a checked farm document. Slices are in document order, and that
// order is the order of every run.
type Farm struct {
	Name      string
	Latitude  float64 // degrees, north positive
	Longitude float64
	Elevation quantity.Length
	TimeZone  string // IANA name, used only for "today"
	Currency  string // ISO 4217
	Units     quantity.System
	Organic   bool
	FeedYear  quantity.MonthDay // first day of the feed year, default 1 Nov
	Target    int               // feed year planned, named by the calendar year in which it ends
	Weather   string            // weather file or folder, relative to the document; empty: the generated valley
	Turnout   quantity.MonthDay // grazing season's usual start
	Housing   quantity.MonthDay // and end
	Fields    []Field
	Groups    []Group
	Stores    []Store
	Stock     []Stock // feed on hand when the feed year starts
	Prices    Prices
	Custom    Rates
	Limits    Limits
	Plan      Plan
	Manures   []Manure     // its own manure; none: worked out from the animals
	Machines  []Machine    // its own machines
	GrassFed  bool         // no grain, and nothing taken after grain has formed
	Consent   bool         // may stand in an adviser's bulletin and, without its name, in comparisons
	Contact   string       // whom to call
	Magnesium bool         // high-magnesium mineral is fed, and taken, while grass is lush
	Regulated bool         // a nutrient plan is required by law: the certified planner decides
	Assumed   []Assumption // everything the document did not say
	Document  Document     // the bytes it came from
}

// Document is the text a farm came from, kept for the manifest.
type Document struct {
	Path string
	Text []byte
	Hash string // sha256, hex
}

// FirstDay is the first day of the planned feed year: it ends in the calendar year
// Target.
func (f *Farm) FirstDay() quantity.Date {
	if f.FeedYear == (quantity.MonthDay{Month: time.January, Day: 1}) {
		return f.FeedYear.In(f.Target)
	}
	return f.FeedYear.In(f.Target - 1)
}

// SeedPrice is what a crop's seed costs: the farm's own price, else the
// catalogue's.
func (f *Farm) SeedPrice(c *crop.Crop) quantity.MoneyPerMass {
	if own, ok := f.Prices.Seed[c.Name]; ok {
		return own
	}
	return c.Seed
}

// Ground is the area a sowing takes: its part, or what the parts of other sowings leave
// of the field.
func (f *Farm) Ground(s *Sowing) quantity.Area {
	field := f.Fields[s.Field].Area
	part := func(x *Sowing) bool { return x.Area > 0 && x.Area < field*0.999 }
	if part(s) {
		return s.Area
	}
	rest := field
	for i := range f.Plan.Sowings {
		if o := &f.Plan.Sowings[i]; o.Field == s.Field && part(o) {
			rest -= o.Area
		}
	}
	return max(rest, 0)
}

// Soil is a field's soil as the document gives it.
type Soil struct {
	Texture  string // USDA texture class, lower case: "silt loam"
	Drainage crop.Drainage
	PH       float64
	Organic  float64         // organic matter, %
	Depth    quantity.Length // to what stops roots; 0 unknown
	Text     string          // as written
}

// Field is one field of the farm.
type Field struct {
	Name      string
	Area      quantity.Area
	Soil      Soil
	Grazeable bool
	Distance  quantity.Length // from the barn, walked
	Water     bool
	Stands    crop.Mix             // what grows there when the feed year starts; no parts: bare or stubble
	Use       crop.Use             // of what stands there
	Manure    quantity.MassPerArea // nitrogen that manure makes available to what stands there, a year
	FirstCut  crop.Use             // for a grazed sward whose first growth is cut: how; Leave: it is not
	Age       float64              // years since a sward was sown; 0 full-grown
	Weedy     bool                 // its ground is known to be full of weed seed
	Swath     bool                 // what is grazed there is cut first and eaten in the swath
	Ring      [][2]float64         // longitude, latitude of its outline; may be empty
	Ground    Ground
	Line      int
}

// Group is a group of animals through the feed year.
type Group struct {
	Name    string
	Class   string // herd class as written: "dairy cow in milk"
	Grazes  bool
	Periods []Period // in date order, covering the feed year
	Horses  bool     // includes horses: sorghums are a Hold
	CloseUp bool     // dry cows within three weeks of calving
	Exempt  string   // why the pasture rule does not ask it to graze, as the certifier accepts it
	Line    int
}

// Period is a group's state between two dates of the feed year.
type Period struct {
	From       quantity.MonthDay
	Head       float64
	Weight     quantity.Mass
	Milk       quantity.MassPerTime
	Fat        quantity.Fraction
	Protein    quantity.Fraction
	DaysInMilk float64
	Gain       quantity.MassPerTime
	Gestation  float64              // day of gestation at From
	Young      float64              // suckling young per head
	Grain      quantity.MassPerTime // grain fed a head as a habit, as fed at 88 % DM
}

// Store is a place that keeps feed.
type Store struct {
	Name     string
	Kind     string        // "bunker", "bag", "upright", "wrapped bales", "barn", "outside"
	Capacity quantity.Mass // dry matter
	Line     int
}

// Stock is feed on hand when the feed year starts.
type Stock struct {
	Store   string
	Feed    string            // feed kind and make: "grass haylage", "first-cut hay"
	Amount  quantity.Mass     // dry matter
	CP, NDF quantity.Fraction // 0 where the document gives none
	Line    int
}

// Prices are what the farm pays and is paid.
type Prices struct {
	BoughtHay     quantity.MoneyPerMass            // as fed
	BoughtForage  quantity.MoneyPerMass            // DM
	Grain         quantity.MoneyPerMass            // as fed
	Protein       quantity.MoneyPerMass            // as fed
	Nitrogen      quantity.MoneyPerMass            // of N
	ClosingForage quantity.MoneyPerMass            // value of home-grown forage left in store, DM
	Land          quantity.MoneyPerArea            // rent of a year; 0 where none is counted
	Seed          map[string]quantity.MoneyPerMass // by crop, where the farm's own price is known
}

// Rates are custom rates for field work.
type Rates struct {
	Tillage   quantity.MoneyPerArea // seedbed: all passes
	NoTill    quantity.MoneyPerArea
	Drilling  quantity.MoneyPerArea
	Mowing    quantity.MoneyPerArea
	Raking    quantity.MoneyPerArea
	Chopping  quantity.MoneyPerArea // with hauling and packing
	Baling    quantity.MoneyPerCount
	Wrapping  quantity.MoneyPerCount
	BaleMass  quantity.Mass // DM in one bale
	Spreading quantity.MoneyPerArea
	Fencing   quantity.MoneyPerArea // of grazing an annual once round
}

// Limits are what the farm will not exceed.
type Limits struct {
	MaxNitrogen quantity.MassPerArea // in one dressing
	MaxGrain    quantity.MassPerTime // a head, as fed
}

// Plan is what the adviser wrote: sowings in document order.
type Plan struct {
	Sowings []Sowing
}

// Sowing is one sowing of the plan.
type Sowing struct {
	Field     int           // index into Farm.Fields
	Area      quantity.Area // part of the field sown; the whole field unless said
	Mix       crop.Mix
	On        quantity.Date // a fixed date, or zero where the soil decides
	From      quantity.Date // soil-temperature rule: not before
	By        quantity.Date // and not after: past it the sowing is dropped, and said
	Use       crop.Use
	Then      crop.Use // use of later growths; Leave: same as Use
	Delay     int      // days that a later block of a staggered sowing waits
	NoTill    bool
	Broadcast bool
	Swath     bool                 // what is grazed is cut first and eaten in the swath where it lies
	Nitrogen  quantity.MassPerArea // mineral nitrogen, in one dressing; never on an organic farm
	Manure    quantity.MassPerArea // nitrogen that manure makes available
	Seed      Seed
	Before    Before
	Line      int
}

// Assumption is a value the document did not give.
type Assumption struct {
	Key   string // "field.North Six.soil.pH"
	Value string
	Why   string
}

// Problem is one thing wrong with a document.
type Problem = document.Problem
