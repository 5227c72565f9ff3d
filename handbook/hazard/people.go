package hazard

import "rowen/quantity"

// SiloFacts is what the gate of a silo reads. Precautions that are not told are
// not there.
type SiloFacts struct {
	Days     int               // since the last load; KnowFilled
	Outside  bool              // work in the chute or silo room only
	NO2      float64           // ppm, tested now; KnowAir
	Oxygen   quantity.Fraction // of the air, tested now; KnowAir
	Blower   bool              // run 30 minutes and running
	Lifeline bool
	Second   bool // a person outside who can pull and call
	Known    Known
}

// Silo is the gate of entering a silo, or of working at its foot. Within the
// longest printed wait it is a Hold whatever else is done.
//
// Source: the rule table, Book; each rule cites its own.
func Silo(f SiloFacts) Verdict {
	var v Verdict
	if f.Outside {
		v.judge(f.Known, KnowFilled, f.Days < SiloDays, siloNear)
		return v
	}
	v.judge(f.Known, KnowFilled, f.Days < SiloDays, siloWait)
	if !f.Blower || !f.Lifeline {
		v.speak(siloSpace)
	}
	if !f.Second {
		v.speak(siloAlone)
	}
	air := f.NO2 >= 0 && f.NO2 <= SiloNO2 && f.Oxygen >= SiloOxygen && f.Oxygen <= 0.235
	v.judge(f.Known, KnowAir, !air, siloAir)
	return v
}

// hayBands are the steps of the printed lists, °F, each to the next.
var hayBands = [...]struct {
	from float64
	rule ruleIndex
}{{-100, hayNormal}, {120, hayWarm}, {140, hayTwice}, {150, hayMove}, {160, hayFire}, {175, hayPockets}}

// HayHeat is the gate of working on or moving a stack of hay by the highest
// temperature inside; known is KnowHeat where it was probed. At each step the
// strictest printed advice stands.
//
// Source: the rule table, Book: Penn State, Cornell, Ohio State and Mississippi
// State extension lists (read).
func HayHeat(highest quantity.Temperature, known Known) Verdict {
	var v Verdict
	fahrenheit := highest.Fahrenheit() + 1e-9
	if known&KnowHeat == 0 || !(fahrenheit >= hayBands[0].from && fahrenheit < 2000) {
		v.missing(hayProbe, KnowHeat)
		return v
	}
	for i := len(hayBands) - 1; i >= 0; i-- {
		if fahrenheit >= hayBands[i].from {
			v.speak(hayBands[i].rule)
			break
		}
	}
	return v
}

// BalerFacts is what the gate of balers and wrappers reads. What is not told to
// be so is not.
type BalerFacts struct {
	Stopped bool // PTO out, engine off, key in the pocket, everything at rest
	Second  bool // someone knows where the work is
	Level   bool // no slope for bales to roll down
}

// Baler is the gate of reaching into or stepping near a baler or wrapper.
//
// Source: the rule table, Book; each rule cites its own.
func Baler(f BalerFacts) Verdict {
	var v Verdict
	if !f.Stopped {
		v.speak(balerRunning)
	}
	if !f.Second {
		v.speak(balerAlone)
	}
	if !f.Level {
		v.speak(balerSlope)
	}
	return v
}
