package hazard

import "rowen/quantity"

// Load is what goes onto a field.
type Load uint8

// The loads.
const (
	Hooves Load = iota
	Machines
)

// Drains is how fast a soil sheds rain. Not knowing counts as poorly.
type Drains uint8

// The classes, after the USDA drainage classes.
const (
	UnknownDrains Drains = iota
	DrainsWell           // excessively to well drained
	DrainsSlowly         // moderately well and somewhat poorly drained
	DrainsPoorly         // poorly and very poorly drained
)

// GroundFacts is what the gate of the ground reads.
type GroundFacts struct {
	Load     Load
	Standing bool                // water stands on it
	Deficit  quantity.WaterDepth // of the root zone below field capacity, negative above it; KnowWater
	Day      quantity.WaterDepth // rain of the last day; KnowRecentRain
	TwoDays  quantity.WaterDepth // rain of the last two days; KnowRecentRain
	Drains   Drains
	Known    Known
}

// Ground is the gate that asks whether a field carries animals or machines
// today: readiness, no safety of feed.
//
// Source: the rule table, Book; each rule cites its own.
func Ground(f GroundFacts) Verdict {
	var v Verdict
	mm := float64(f.Deficit / quantity.MillimetreOfWater)
	if !amount(float64(f.Day)) || !amount(float64(f.TwoDays)) {
		f.Known &^= KnowRecentRain
	}
	if !(mm <= 1000) {
		f.Known &^= KnowWater
	}
	if f.Standing {
		v.speak(groundStanding)
	}
	rule, limit := groundTread, TreadDeficit
	if f.Load != Hooves {
		rule, limit = groundMachine, MachineDeficit
	}
	v.judge(f.Known, KnowWater, mm <= 0, groundWet)
	v.judge(f.Known, KnowWater, mm < limit, rule)
	f.rain(&v)
	return v
}

func (f *GroundFacts) rain(v *Verdict) {
	const wet = WetRain * quantity.MillimetreOfWater
	switch f.Drains {
	case DrainsWell:
		v.judge(f.Known, KnowRecentRain, f.Day >= wet, groundRain)
	case DrainsSlowly:
		v.judge(f.Known, KnowRecentRain, f.Day >= wet || f.TwoDays >= wet, groundRain)
	default:
		before := v.Reasons
		v.judge(f.Known, KnowRecentRain, f.Day >= wet || f.TwoDays >= wet, groundRainPoor)
		if f.Drains != DrainsPoorly && v.Reasons != before {
			v.Missing |= KnowDrainage
		}
	}
}

// ReadyFacts is what the gate of readiness reads; the catalogue gives the
// thresholds, 0 where none is set.
type ReadyFacts struct {
	Height   quantity.Length // KnowHeight
	Ready    quantity.Length // at which use begins; KnowUseHeight
	TooTall  quantity.Length // above it past its best; 0 none
	Residual quantity.Length // to be left; KnowUseHeight
	Stage    float64         // 0 emergence, 1 heading; KnowStage
	Latest   float64         // stage at which use should have begun; 0 none
	Rest     int             // days since the last use, Never; KnowRest
	MinRest  int             // days; 0 none
	Known    Known
}

// Readiness is the gate that asks whether a stand is fit for its use: height,
// stage, residual and rest. It is no safety of feed.
//
// Source: the rule table, Book; each rule cites its own.
func Readiness(f ReadyFacts) Verdict {
	var v Verdict
	if !amount(float64(f.Height)) {
		f.Known &^= KnowHeight
	}
	if !amount(float64(f.Ready)) || !amount(float64(f.Residual)) {
		f.Known &^= KnowUseHeight
	}
	const heights = KnowHeight | KnowUseHeight
	v.judge(f.Known, heights, f.Height < f.Ready, readyShort)
	v.judge(f.Known, heights, f.Height <= f.Residual, readyResidual)
	if f.TooTall != 0 {
		v.judge(f.Known, KnowHeight, !(f.Height <= f.TooTall), readyTall)
	}
	if f.Latest != 0 {
		v.judge(f.Known, KnowStage, !(f.Stage >= 0 && f.Stage <= f.Latest), readyMature)
	}
	if f.MinRest != 0 {
		v.judge(f.Known, KnowRest, f.Rest < f.MinRest, readyRest)
	}
	return v
}

// Pull is what came of pulling at plants as an animal would.
type Pull uint8

// The findings.
const (
	NotPulled Pull = iota
	LeafBroke      // the root held
	RootCame
)

// AnchorFacts is what the gate of the roots reads.
type AnchorFacts struct {
	Pull  Pull
	Sown  int // days since sowing; KnowSowing
	Known Known
}

// Anchorage is the gate of a first grazing of teff and other shallow-rooted
// sowings.
//
// Source: the rule table, Book; each rule cites its own.
func Anchorage(f AnchorFacts) Verdict {
	var v Verdict
	v.judge(f.Known, KnowSowing, f.Sown < TeffDays, rootsEarly)
	switch f.Pull {
	case LeafBroke:
	case RootCame:
		v.speak(rootsPulled)
	default:
		v.missing(rootsUntested, KnowRoots)
	}
	return v
}

// AutumnFacts is what the gate of the autumn rest reads.
type AutumnFacts struct {
	Days    int  // to the usual killing frost; KnowKillingFrost
	Dormant bool // a killing frost has been, or the stand has gone to rest
	Known   Known
}

// AutumnRest is the gate of a perennial's last use: too late to recover before
// frost, unless it has gone to rest already.
//
// Source: the rule table, Book; each rule cites its own.
func AutumnRest(f AutumnFacts) Verdict {
	var v Verdict
	if f.Dormant {
		v.speak(lateKilled)
		return v
	}
	v.judge(f.Known, KnowKillingFrost, f.Days < AutumnRestDays, lateRest)
	return v
}

// ProductFacts is what the gate of waits after products reads: for grazing or
// cutting after a product, or for the next sowing (plant-back).
type ProductFacts struct {
	Applied  bool // a product that may have a wait; KnowSprayed
	Since    int  // days since; KnowSinceSpray
	Interval int  // days, as the user read them on the label; KnowLabel
	Known    Known
}

// ProductWait is the gate of grazing and plant-back waits. The days are the
// user's own from the label; none are supplied, and without them it is a Hold.
//
// Source: common practice: the label is the law.
func ProductWait(f ProductFacts) Verdict {
	var v Verdict
	if f.Known&KnowSprayed != 0 && !f.Applied {
		v.speak(productNone)
		return v
	}
	v.Missing |= KnowSprayed &^ f.Known
	v.judge(f.Known, KnowLabel, f.Interval < 0, productLabel)
	v.judge(f.Known, KnowSinceSpray, f.Since < 0 || f.Since < f.Interval, productWait)
	if v.Missing&KnowSprayed != 0 {
		v.speak(productLabel)
	}
	return v
}
