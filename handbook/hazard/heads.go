package hazard

import (
	"rowen/handbook"
	"rowen/quantity"
)

// ErgotFacts is what the gate of ergot reads.
type ErgotFacts struct {
	Animals Animals
	Headed  bool              // grass or small grain in head, or hay of it; KnowHeads
	Found   bool              // someone looked through the heads and found it; KnowErgot
	Share   quantity.Fraction // by weight of dry matter; KnowErgotShare
	Known   Known
}

// Ergot is the gate of ergot in seed heads.
//
// Source: the rule table, Book; each rule cites its own.
func Ergot(f ErgotFacts) Verdict {
	var v Verdict
	if f.Known&KnowHeads != 0 && !f.Headed {
		v.speak(ergotLeaf)
		return v
	}
	if f.Known&KnowErgot == 0 {
		v.missing(ergotLook, KnowErgot|KnowHeads&^f.Known)
		return v
	}
	if !f.Found {
		return v
	}
	if !share(float64(f.Share)) {
		f.Known &^= KnowErgotShare
	}
	v.judge(f.Known, KnowErgotShare, f.Share > ErgotShare, ergotFound)
	a := &f.Animals
	if a.is(KnowPregnant, a.Pregnant) || a.is(KnowLactating, a.Lactating) || a.may(Horses) {
		v.speak(ergotClass)
		v.Missing |= a.lacking(KnowPregnant | KnowLactating | KnowSpecies)
	}
	v.speak(ergotTrace)
	v.Missing |= KnowHeads &^ f.Known
	return v
}

// LightPlants are plants that sensitise skin to light.
type LightPlants uint8

// The plants.
const (
	Buckwheat LightPlants = 1 << iota
	Alsike
	Kleingrass
	RapeKale
	Switchgrass
)

// LightFacts is what the gate of photosensitisation reads.
type LightFacts struct {
	Animals   Animals
	Plants    LightPlants       // that stand in it; KnowPlants
	Buckwheat quantity.Fraction // share of the feed; KnowShare
	DarkSkin  bool              // of every animal
	Known     Known
}

// Photosensitisation is the gate of plants that sensitise skin to light, as far
// as extension services write of them.
//
// Source: the rule table, Book; each rule cites its own.
func Photosensitisation(f LightFacts) Verdict {
	var v Verdict
	a := &f.Animals
	if f.Known&KnowPlants == 0 {
		v.missing(lightUnknown, KnowPlants)
		return v
	}
	f.buckwheat(&v)
	if f.Plants&Alsike != 0 {
		v.strictFor(a.may(Horses), lightAlsike)
	}
	if f.Plants&Kleingrass != 0 {
		v.strictFor(a.Species != Cattle, lightKlein)
	}
	if f.Plants&RapeKale != 0 && !f.DarkSkin {
		v.speak(lightRape)
	}
	if f.Plants&Switchgrass != 0 && a.Species != Cattle {
		v.speak(lightSwitchgrass)
	}
	if v.Answer != handbook.Clear {
		v.Missing |= a.lacking(KnowSpecies)
	}
	return v
}

func (f *LightFacts) buckwheat(v *Verdict) {
	if f.Plants&Buckwheat == 0 || f.DarkSkin {
		return
	}
	if !share(float64(f.Buckwheat)) {
		f.Known &^= KnowShare
	}
	v.speak(lightBuckwheatSome)
	v.judge(f.Known, KnowShare, f.Buckwheat > BuckwheatShare, lightBuckwheat)
}

// strictFor lets a rule hold for a class and caution for the others.
func (v *Verdict) strictFor(class bool, r ruleIndex) {
	if class {
		v.hold(r)
	} else {
		v.caution(r)
	}
}
