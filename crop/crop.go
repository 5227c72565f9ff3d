// Package crop is the catalogue of stands: what can be sown or stands already,
// with every parameter's unit, range and source, read from data files that are
// embedded in the program and may be overridden, never silently, by an office
// file. It knows no growth: numbers only.
package crop

import (
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/quantity"
)

// Use is what is done with a stand.
type Use uint8

// The uses, in the words of the trade.
const (
	Leave  Use = iota // left alone: cover, or not used this season
	Graze             // grazed in rotation
	Wrap              // mown, wilted, baled and wrapped
	Chop              // mown, wilted, chopped: haylage
	Hay               // mown, dried, baled dry
	Silage            // whole-crop silage, one cut at its stage
	Uses   = 6        // number of uses
)

var useNames = [Uses]string{"leave", "graze", "wrap", "chop", "hay", "silage"}

// String is the word used in documents and on the command line.
func (u Use) String() string {
	if int(u) < len(useNames) {
		return useNames[u]
	}
	return "unknown use"
}

// Life is how long a stand lives.
type Life uint8

// The lives of a stand.
const (
	Annual    Life = iota
	Perennial      // stands for years
	Winter         // an annual sown in late summer or autumn and taken next spring
)

// Winters tells whether the stand lives through a winter.
func (l Life) Winters() bool { return l != Annual }

// Drainage is a soil's natural drainage class, USDA terms, driest first.
type Drainage uint8

// The drainage classes.
const (
	ExcessivelyDrained Drainage = iota
	SomewhatExcessivelyDrained
	WellDrained
	ModeratelyWellDrained
	SomewhatPoorlyDrained
	PoorlyDrained
	VeryPoorlyDrained
)

// Parameter is one catalogue number with what is known of it. Value, Low and
// High are in the engine's unit named by Unit.
type Parameter struct {
	Value, Low, High float64
	Unit             string
	Source           handbook.Source
	Note             string
	Overridden       string // the office file and line that replaced it, or empty
}

// UseRule is when and how a stand is used in one way.
type UseRule struct {
	Allowed             bool
	Why                 string            // why not, or a remark printed in the plan
	Ready               quantity.Length   // height at which use may begin; 0 where the stage rules
	ReadyAt             float64           // developmental stage (0 emergence, 1 heading or soft dough as the crop's stage names say); 0 where the height rules
	TooTall             quantity.Length   // above this it is past its best for the use
	Residual            quantity.Length   // height to leave
	ReadyLow, ReadyHigh quantity.Length   // what sources print, where they differ
	First               quantity.Duration // from sowing to the first use at least; 0 no limit
	MinRest             quantity.Duration // between two uses
	MinYield            float64           // g DM/m² worth the work
	Source              handbook.Source
}

// Sowing is how a stand is established.
type Sowing struct {
	SoilTemperature         quantity.Temperature // 10-cm soil, held
	HoldDays                int
	Earliest                quantity.MonthDay // not before, whatever the soil
	Latest                  quantity.MonthDay // latest useful date
	Drilled                 quantity.MassPerArea
	DrilledLow, DrilledHigh quantity.MassPerArea // what sources print
	Broadcast               quantity.MassPerArea
	Depth                   quantity.Length
	SeedsPerMass            quantity.CountPerMass
	Source                  handbook.Source
}

// Fit is the ground a stand wants.
type Fit struct {
	PHLow, PHHigh    float64
	Wettest          Drainage // does well up to this
	WettestTolerated Drainage // suffers up to this; beyond it fails
	Drought          string   // "high", "moderate", "low" tolerance, in words
	Source           handbook.Source
}

// Crop is one species or type in the catalogue.
type Crop struct {
	Name              string // "sorghum-sudangrass"
	Title             string // "Sorghum-sudangrass, brown midrib"
	Life              Life
	Legume            bool
	Brassica          bool
	Prussic           hazard.PrussicRisk
	Nitrate           bool // accumulates nitrate
	Uses              [Uses]UseRule
	Sowing            Sowing
	Fit               Fit
	Seed              quantity.MoneyPerMass
	SeedLow, SeedHigh quantity.MoneyPerMass // span of price lists
	SeedSource        handbook.Source
	Growth            map[string]Parameter // by name; compiled by stand
	Cautions          []string             // printed with the plan
	Notes             []string             // what a grower needs beside the numbers
	Contested         []string             // where sources differ, and how far
}

// Part is one component of a mixture.
type Part struct {
	Crop *Crop
	Rate quantity.MassPerArea // seed sown; 0 for an established sward
	// Share is the component's share of ground cover in an established
	// perennial sward, 0 to 1; the shares of a sward add up to 1.
	Share float64
}

// Mix is what is sown or stands on a field: one to four parts, the leading
// crop first. A pure stand is a mix of one.
type Mix struct {
	Name  string // catalogue name, or the names joined by " + "
	Title string
	Parts []Part
	// Uses are the mix's own rules where the catalogue states them; otherwise
	// the leading part's with the strictest of all parts.
	Uses [Uses]UseRule
}

// MaxParts is the most components a stand can have.
const MaxParts = 4
