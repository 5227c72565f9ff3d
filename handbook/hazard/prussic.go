package hazard

import (
	"math"

	"rowen/handbook"
)

// Use is what is meant to be done with the growth, as the hazard rules tell uses
// apart.
type Use uint8

// The uses.
const (
	Grazing Use = iota
	GreenChop
	Ensiling // wrapped or chopped: cut now, fed after a wait
	Haying
)

// never is a count of days that stands for "not in this growth".
const never = 1 << 14

// Never is the days since something that has not happened to this growth.
const Never = never

// PrussicFacts is what the prussic acid gate reads. Known says which are known;
// an unknown fact that matters is a Hold.
type PrussicFacts struct {
	Risk      PrussicRisk
	Use       Use
	Height    float64 // cm
	Frost     int     // days since the last night at or below 0 °C, 0 last night, Never
	Watch     int     // days since the last night at or below 2.2 °C, Never
	Regrowing bool    // new shoots since that frost
	Stressed  bool    // drought-stressed now
	Rain      int     // days since a rain ended a drought, Never
	Nitrogen  float64 // largest single dressing on this growth, kg/ha
	Herbicide bool    // 2,4-D or its like within four weeks
	Horses    bool
	Known     Known
}

// Prussic is the prussic acid gate of a simulation: a pure function of the
// facts, without allocation. The crops without risk are always Clear. It never
// tells that a feed is safe, only that no printed rule speaks against it. A
// person on the spot is asked for more: PrussicSteer.
//
// Source: the rule table, Book; each rule cites its own.
func Prussic(f PrussicFacts) Verdict {
	var v Verdict
	if f.Risk == NoPrussic {
		v.speak(prussicNone)
		return v
	}
	if f.Horses {
		v.hold(horses)
	}
	if f.Herbicide {
		v.caution(herbicide)
	}
	v.judge(f.Known, KnowNitrogen, !(f.Nitrogen >= 0 && f.Nitrogen <= SingleNitrogen), heavyNitrogen)
	missing := (KnowFrost | KnowDrought | KnowRain | KnowHeight) &^ f.Known
	if missing != 0 {
		v.missing(missingPrussic, missing)
	}
	switch f.Use {
	case Ensiling, Haying:
		f.stored(&v)
	default:
		f.fresh(&v)
	}
	return v
}

// reaches tells whether the height is known to reach a threshold: what is no
// height, or infinite, does not.
func (f *PrussicFacts) reaches(low float64) bool {
	return f.Height >= low && !math.IsInf(f.Height, 1)
}

// fresh judges growth eaten as it stands.
func (f *PrussicFacts) fresh(v *Verdict) {
	if f.Known&KnowHeight != 0 {
		hold, clear := shortSorghum, middlingSorghum
		low, high := SorghumHold, SorghumClear
		if f.Risk == PrussicSudangrass {
			hold, clear = shortSudangrass, middlingSudangrass
			low, high = SudangrassHold, SudangrassClear
		}
		switch {
		case !f.reaches(low):
			v.hold(hold)
		case !f.reaches(high):
			v.caution(clear)
		}
	}
	if f.Known&KnowFrost != 0 {
		switch {
		case f.Frost <= 0:
			v.hold(frostNight)
		case f.Frost < FrostWait:
			v.hold(frostWait)
		case f.Watch <= 1:
			v.caution(frostWatch)
		}
		if f.Frost < never && f.Regrowing && !f.reaches(SorghumClear) {
			v.hold(frostRegrowth)
		}
	}
	if f.Known&KnowDrought != 0 && f.Stressed {
		if f.reaches(SorghumClear) {
			v.caution(droughtStressed)
		} else {
			v.hold(droughtStunted)
		}
	}
	if f.Known&KnowRain != 0 && f.Rain < RainWait {
		v.hold(droughtRain)
	}
}

// stored judges growth to be put up: it waits out the days after a frost, and
// what was dangerous standing is marked for the wait and the test.
func (f *PrussicFacts) stored(v *Verdict) {
	if f.Known&KnowFrost != 0 && f.Frost < EnsileFrostWait {
		v.hold(frostWait)
	}
	risky := f.Known&KnowHeight != 0 && !f.reaches(SudangrassHold) ||
		f.Known&KnowFrost != 0 && f.Frost < never ||
		f.Known&KnowDrought != 0 && f.Stressed ||
		f.Known&KnowRain != 0 && f.Rain < RainWait
	if !risky {
		return
	}
	if f.Use == Haying {
		v.caution(hayStressed)
	} else {
		v.caution(storedStressed)
	}
}

// StoreWait is the days that a lot put up from a growth waits before it is fed:
// 56 where the gate was not Clear, 21 otherwise, none where the crop has no risk
// or the lot is hay.
//
// Source: the rule table, storedWait.
func StoreWait(risk PrussicRisk, use Use, standing handbook.Answer) int {
	switch {
	case risk == NoPrussic || use != Ensiling:
		return 0
	case standing != handbook.Clear:
		return EnsileWait
	}
	return EnsileWaitUsual
}
