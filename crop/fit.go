package crop

import (
	"fmt"

	"rowen/handbook"
)

// Suitability is how well a stand suits a place, best first, so that the worst of
// several answers is their maximum.
type Suitability uint8

// The classes of suitability.
const (
	Suited   Suitability = iota
	Marginal             // it grows, and something takes part of its growth or of its years
	Unsuited             // it fails there, or must not be grown or used so
)

// String names the class.
func (s Suitability) String() string {
	switch s {
	case Suited:
		return "suited"
	case Marginal:
		return "marginal"
	}
	return "unsuited" // an unknown answer fails to the safe side
}

// Reason is one rule that spoke of a stand on a piece of ground.
type Reason struct {
	Class  Suitability
	Rule   string // "pH", "drainage", "drought"
	Text   string
	Source handbook.Source
}

// Worst is the worst class of the reasons; none speaks: Suited.
func Worst(reasons []Reason) (worst Suitability) {
	for i := range reasons {
		worst = max(worst, reasons[i].Class)
	}
	return worst
}

// Land is what the rules of fit ask of a soil.
type Land struct {
	PH       float64 // 3 to 10
	Drainage Drainage
	// Water is what plants can take from the uppermost metre, or to what stops
	// roots, mm; 0 unknown: the drainage class alone decides what is droughty.
	Water float64
}

// How ground that does not fit costs growth (common practice; the ranges and
// classes themselves are sourced in the catalogue).
const (
	acidLoss   = 0.5  // share of growth lost for each pH unit outside the range
	mostAcid   = 0.75 // and at most
	wetKept    = 0.8  // share of growth kept on ground wetter than the crop does well on
	hopelessPH = 1.0  // pH units outside the range beyond which half the growth is gone
	droughty   = 100  // mm of available water below which drained ground dries out in a usual summer
)

// off is how many pH units a soil lies outside the range.
func (f *Fit) off(pH float64) float64 { return max(f.PHLow-pH, pH-f.PHHigh, 0) }

// Growth is the share of its growth, 0.2 to 1, that a crop keeps on ground of a pH
// and a drainage class, and whether the ground is so wet that it fails: a quarter
// is lost for each half pH unit outside the range, a fifth on ground wetter than
// the crop does well on. The stand model grows by the same numbers.
func (f *Fit) Growth(pH float64, drainage Drainage) (share float64, fails bool) {
	share = 1
	if off := f.off(pH); off > 0 {
		share -= min(mostAcid, acidLoss*off)
	}
	if drainage > f.Wettest {
		share *= wetKept
	}
	return share, drainage > f.WettestTolerated
}

// Suits holds a crop's rules of ground against a piece of land: pH range, drainage
// and drought, each with its words and its source, whether it speaks against the
// crop or not. The classes follow Growth: part of the growth lost is Marginal, half
// of it or all is Unsuited.
func (c *Crop) Suits(l Land) []Reason {
	return []Reason{c.Fit.acidity(l), c.Fit.wetness(l), c.Fit.dryness(l)}
}

func (f *Fit) acidity(l Land) Reason {
	r := Reason{Rule: "pH", Source: f.Source, Text: fmt.Sprintf("pH %g lies within its range, %g to %g", l.PH, f.PHLow, f.PHHigh)}
	off := f.off(l.PH)
	if off <= 0 {
		return r
	}
	r.Class = Marginal
	if off >= hopelessPH {
		r.Class = Unsuited
	}
	side := "below"
	if l.PH > f.PHHigh {
		side = "above"
	}
	r.Text = fmt.Sprintf("pH %g lies %.1f %s its range, %g to %g: about %.0f %% of its growth is lost", l.PH, off, side, f.PHLow, f.PHHigh, 100*min(mostAcid, acidLoss*off))
	return r
}

func (f *Fit) wetness(l Land) Reason {
	r := Reason{Rule: "drainage", Source: f.Source, Text: fmt.Sprintf("%s ground: it does well to %s", l.Drainage, f.Wettest)}
	switch {
	case l.Drainage > f.WettestTolerated:
		r.Class = Unsuited
		r.Text = fmt.Sprintf("%s ground is wetter than it stands, %s at most: it fails", l.Drainage, f.WettestTolerated)
	case l.Drainage > f.Wettest:
		r.Class = Marginal
		r.Text = fmt.Sprintf("%s ground: it does well to %s and suffers to %s: about %.0f %% of its growth is lost", l.Drainage, f.Wettest, f.WettestTolerated, 100*(1-wetKept))
	}
	return r
}

// Droughty tells whether ground dries out in a usual summer: somewhat excessively
// drained or drier, or well drained and holding little (common practice).
func (l Land) Droughty() bool {
	return l.Drainage <= SomewhatExcessivelyDrained || l.Drainage == WellDrained && l.Water > 0 && l.Water < droughty
}

func (f *Fit) dryness(l Land) Reason {
	r := Reason{Rule: "drought", Source: f.Source, Text: "the ground is not droughty; it stands drought: " + f.Drought}
	if !l.Droughty() {
		return r
	}
	switch f.Drought {
	case "highest", "high", "good":
		r.Text = "droughty ground; it stands drought: " + f.Drought
	case "":
		r.Class, r.Text = Marginal, "droughty ground, and the catalogue does not say how it stands drought"
	default:
		r.Class, r.Text = Marginal, "droughty ground, and it stands drought: "+f.Drought
	}
	return r
}
