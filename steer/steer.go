// Package steer reads a season as it stands: it replays what the weather and the
// farm have done so far with many stands that differ as published values differ,
// lets what was measured decide among them, and looks ahead over the other years'
// weather. It knows farms, weather, stands and the handbook; it may not know
// storage, files or pages.
package steer

import (
	"math"
	"slices"

	"rowen/crop"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/stand"
)

// Course is what grows on a field and what has been done with it since the feed
// year began. Days count from the feed year's first.
type Course struct {
	Field   int64 // for its own random draws
	Mix     *crop.Mix
	Soil    stand.Soil
	Age     float64 // years, of a sward
	Sow     int     // day of sowing, or stand.Standing
	From    int     // day on which a standing sward is taken up
	Seedbed stand.Seedbed
	Deeds   []Deed // in order of days
	Seen    []Seen // in order of days
	Use     crop.Use
	Assumed bool // nobody wrote down how it was used: it was used by its rule
}

// Deed is something done to a stand.
type Deed struct {
	Day      int
	Take     bool    // a cut or a grazing, down to Residual, cm
	Grazed   bool    // by animals
	Residual float64 // cm
	Nitrogen float64 // kg/ha made available
	Slow     bool    // from manure or a killed sod: no dressing that gates ask about
}

// Trait is what was seen of a stand.
type Trait uint8

// The traits.
const (
	Height Trait = iota // cm
	Stage               // 0 emergence, 1 heading or soft dough
	Yield               // g DM/m² that a cut of the day took
)

// Seen is one observation with its error: the standard deviation of its logarithm,
// of a stage itself.
type Seen struct {
	Day   int
	Trait Trait
	Value float64
	SD    float64
}

// HeightError is the error of one height taken with a stick, as a standard
// deviation of its logarithm, and its least where many spots were measured: fields
// are uneven and a stick is read to the inch (common practice).
const (
	HeightError      = 0.15
	LeastHeightError = 0.06
)

// ErrorOf is the error of a mean of so many spots.
func ErrorOf(spots int) float64 {
	return math.Max(LeastHeightError, HeightError/math.Sqrt(math.Max(1, float64(spots))))
}

// Spread is a figure with its uncertainty: one member in ten lies below Low, one in
// ten above High.
type Spread struct{ Low, Middle, High float64 }

func spreadOf(v []float64) Spread {
	if len(v) == 0 {
		return Spread{}
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return Spread{stats.Percentile(s, 0.1), stats.Percentile(s, 0.5), stats.Percentile(s, 0.9)}
}

// When is a date to come over members and futures.
type When struct {
	Early, Middle, Late quantity.Date
	Share               float64 // of the futures in which it comes before the feed year ends
}

// Now is a field's stand today.
type Now struct {
	Height, Stage  Spread  // cm; stage
	Mass, Offered  Spread  // g DM/m²: all that stands, and what stands above the residual
	DryMatter, CP  Spread  // share of fresh; % of DM
	NDF, NDFD, NEL Spread  // %, %, Mcal/kg DM
	Nitrate        Spread  // NO3-N, ppm of DM: an estimate
	Drought        float64 // share of members short of water for a week or more
	Dead           float64 // share of members in which nothing lives
	Frost          int     // days since the last night at or below freezing, by the station
	Watch          int     // days since the last night at or below 36 °F
	Relief         int     // days since a rain ended a drought, in the soonest tenth of members
	Dose           float64 // largest dressing on this growth, kg N/ha
	Rest           int     // days since sowing or the last use
	Water          Spread  // above (+) or below (-) field capacity, mm
	Ready          When    // for the use that comes next
	ReadyNow       float64 // share of members that are ready today
	AtReady        Spread  // g DM/m² above the residual on that day
	Correction     float64 // g DM/m² that the last height added, beyond what parameters explain
	CorrectionDay  int
	Growth, Pace   Spread // what the observations made of the parameters, as factors
}
