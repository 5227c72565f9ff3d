package hazard

import "rowen/quantity"

// Look is what a person found who went to see the stand after a frost.
type Look uint8

// The findings. Not having looked counts as a living stand.
const (
	NotLooked   Look = iota
	KilledDry        // every plant dead, brown and dry to the base
	Burnt            // leaves burnt, plants alive, no shoots yet
	GreenShoots      // new shoots from the base or the joints
)

// Sky is the kind of night.
type Sky uint8

// The skies. Not knowing counts as clear and calm: plants are then colder than
// the air in the shelter.
const (
	UnknownSky Sky = iota
	ClearCalm
	CloudyOrWindy
)

// FrostClock counts days since cold nights as PrussicFacts wants them. The zero
// clock stands at a frost last night.
type FrostClock struct {
	Frost int // days since the last night at or below 32 °F
	Watch int // days since the last night that had to be looked at
}

// Night is the clock after one more night with the lowest shelter temperature
// of a station or forecast. 32 °F starts the wait again each time; 36 °F on a
// clear calm night, or in low ground, asks for a look. No temperature is a kill,
// and what is no temperature counts as frost.
//
// Source: Ohio State University 2016 and Purdue University, carried by a seed
// firm: the clock starts again at each frost (read); 36 °F: common practice.
func (c FrostClock) Night(lowest quantity.Temperature, sky Sky, lowGround bool) FrostClock {
	c.Frost, c.Watch = later(c.Frost), later(c.Watch)
	if !(lowest > FrostOpens) || lowest > 60 {
		return FrostClock{}
	}
	if frostPossible(lowest, sky, lowGround) {
		c.Watch = 0
	}
	return c
}

func later(days int) int { return min(max(days, 0)+1, never) }

// frostPossible tells whether plants may freeze at a shelter temperature.
func frostPossible(lowest quantity.Temperature, sky Sky, lowGround bool) bool {
	if !(lowest > FrostOpens) || lowest > 60 {
		return true
	}
	return lowest <= frostWatchReading+1e-9 && (sky != CloudyOrWindy || lowGround)
}

// PrussicSteerFacts is what a person on the spot can know of a growth. The
// embedded facts are as in the daily gate; Herbicide counts when KnowHerbicide.
type PrussicSteerFacts struct {
	PrussicFacts
	Look      Look // since the last frost; KnowLook
	LookAgo   int  // days since that look
	Tonight   quantity.Temperature
	Sky       Sky
	LowGround bool
	Age       int // days since the last cut or grazing; Never: first growth
	Animals   Animals
	Tested    bool
	Test      PrussicSample // counts when Tested
}

// PrussicSteer is the prussic acid gate for growth standing now. No fact is
// assumed: what is not known counts as its worst value and is named. A test may
// add to an answer; it lifts no rule of height or frost, since the growth goes on.
//
// Source: the rule table, Book; each rule cites its own.
func PrussicSteer(f PrussicSteerFacts) Verdict {
	if f.Risk == NoPrussic {
		return Prussic(f.PrussicFacts)
	}
	facts := f.PrussicFacts
	facts.Horses = facts.Horses || f.Animals.may(Horses)
	facts.Herbicide = facts.Herbicide || f.Known&KnowHerbicide == 0
	seen := f.seen()
	facts.Regrowing = facts.Regrowing || seen == GreenShoots
	fresh := f.Use != Ensiling && f.Use != Haying
	if fresh && seen == KilledDry && !facts.Regrowing && f.Frost > 0 {
		facts.Frost = max(facts.Frost, FrostWait) // its own wait speaks instead
	}
	v := Prussic(facts)
	v.Missing |= KnowHerbicide&^f.Known | f.Animals.lacking(KnowSpecies)
	if fresh {
		f.frosted(&v, seen)
		f.turnedIn(&v)
	}
	if f.Tested {
		v = v.Worse(PrussicTest(f.Test))
	}
	return v
}

// seen is what a look that still counts has found.
func (f *PrussicSteerFacts) seen() Look {
	if f.Known&KnowLook == 0 || f.Look > GreenShoots || f.LookAgo < 0 || f.LookAgo > LookDays || f.LookAgo > f.Frost {
		return NotLooked
	}
	return f.Look
}

// frosted judges a stand that has had a frost by what was seen.
func (f *PrussicSteerFacts) frosted(v *Verdict, seen Look) {
	if f.Known&KnowFrost == 0 || f.Frost >= never {
		return
	}
	switch seen {
	case NotLooked:
		v.missing(frostNotSeen, KnowLook)
	case KilledDry:
		if f.Frost < FrostKillWait {
			v.speak(frostKilled)
		}
	default:
		v.speak(frostBurnt)
	}
}

// turnedIn judges what concerns animals that eat it as it stands.
func (f *PrussicSteerFacts) turnedIn(v *Verdict) {
	v.judge(f.Known, KnowForecast, frostPossible(f.Tonight, f.Sky, f.LowGround), frostForecast)
	v.judge(f.Known, KnowAge, f.Age < YoungRegrowth, youngLeaf)
	v.judge(f.Known, KnowRain, f.Rain < RainWaitSteer, droughtRainLong)
	v.judge(f.Animals.Known, KnowHunger, f.Animals.Hungry, hungryPrussic)
}

// PrussicPart is one part of a mixture, weeds included.
type PrussicPart struct {
	Risk   PrussicRisk
	Height float64 // cm, of this part
	Known  Known   // of KnowHeight
}

// PrussicMixture is the gate for a mixture: the worst of its parts, each at its
// own height. A mixture of which nothing is told is a Hold.
//
// Source: the rule table, prussicMixture.
func PrussicMixture(f PrussicSteerFacts, parts []PrussicPart) Verdict {
	var v Verdict
	if len(parts) == 0 {
		v.missing(prussicMixture, KnowParts)
		return v
	}
	carried := false
	for _, p := range parts {
		if p.Risk == NoPrussic {
			continue
		}
		carried = true
		f.Risk, f.Height = p.Risk, p.Height
		f.Known = f.Known&^KnowHeight | p.Known&KnowHeight
		v = v.Worse(PrussicSteer(f))
	}
	if !carried {
		v.speak(prussicNone)
	}
	return v
}
