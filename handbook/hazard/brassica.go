package hazard

import (
	"rowen/handbook"
	"rowen/quantity"
)

// Ripeness is how far a brassica is.
type Ripeness uint8

// The ripenesses. Not knowing counts as the worst.
const (
	UnknownRipeness Ripeness = iota
	Unripe                   // before the days that the seed house prints
	Ripe
	Flowering // bolted or in flower
)

// BrassicaFacts is what the gate of brassicas reads.
type BrassicaFacts struct {
	Animals  Animals
	Share    quantity.Fraction // meant to be eaten, of the ration's dry matter; KnowShare
	Days     int               // since the animals began on it; KnowAdapted
	Ripeness Ripeness
	Roughage bool // hay or straw on offer at all times
	Sulphur  bool // much of it in feed, soil or water; KnowSulphur
	Known    Known
}

// Brassica is the gate of the disorders of kale, rape, turnip, swede and radish.
//
// Source: the rule table, Book; each rule cites its own.
func Brassica(f BrassicaFacts) Verdict {
	var v Verdict
	a := &f.Animals
	if !share(float64(f.Share)) {
		f.Known &^= KnowShare
	}
	v.speak(brassicaWatch)
	v.judge(f.Known, KnowShare, f.Share > BrassicaShare, brassicaShare)
	much := f.Known&KnowShare == 0 || f.Share > BrassicaMilk
	if much && a.is(KnowLactating, a.Lactating) {
		v.speak(brassicaMilk)
		v.Missing |= a.lacking(KnowLactating)
	}
	if f.Known&KnowAdapted == 0 || f.Days < BrassicaDays {
		answer := handbook.Caution
		if much {
			answer = handbook.Hold
		}
		v.say(answer, brassicaAdapt)
		v.Missing |= KnowAdapted &^ f.Known
	}
	v.judge(a.Known, KnowHunger, a.Hungry, brassicaHungry)
	f.ripeness(&v)
	if !f.Roughage {
		v.speak(brassicaRoughage)
	}
	v.judge(f.Known, KnowSulphur, f.Sulphur, brassicaSulphur)
	if a.is(KnowPregnant, a.Pregnant) || a.is(KnowYoung, a.Young) {
		v.speak(brassicaGoitre)
		v.Missing |= a.lacking(KnowPregnant | KnowYoung)
	}
	if a.may(Horses) {
		v.speak(brassicaHorses)
		v.Missing |= a.lacking(KnowSpecies)
	}
	return v
}

func (f *BrassicaFacts) ripeness(v *Verdict) {
	switch f.Ripeness {
	case Ripe:
	case Flowering:
		v.speak(brassicaFlower)
	case Unripe:
		v.speak(brassicaGreen)
	default:
		v.missing(brassicaGreen, KnowMaturity)
	}
}
