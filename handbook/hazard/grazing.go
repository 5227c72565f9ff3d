package hazard

import (
	"rowen/handbook"
	"rowen/quantity"
)

// BloatFacts is what the bloat gate reads.
type BloatFacts struct {
	Animals Animals
	Legume  quantity.Fraction // share of the growth on offer; KnowLegume
	Tannin  bool              // the legume is trefoil, sainfoin or crownvetch
	Frost   int               // days since the last frost, Never; KnowFrost
	Wet     bool              // with dew or rain; KnowDew
	Known   Known
}

// Bloat is the gate of frothy bloat for animals turned into growth with legume.
//
// Source: the rule table, Book; each rule cites its own.
func Bloat(f BloatFacts) Verdict {
	var v Verdict
	legume := float64(f.Legume)
	if !share(legume) {
		f.Known &^= KnowLegume
	}
	if f.Animals.Species == Horses || f.Known&KnowLegume != 0 && legume == 0 {
		v.speak(bloatNone)
		return v
	}
	if f.Tannin {
		v.speak(bloatTannin)
		return v
	}
	rich := f.Known&KnowLegume == 0 || legume > BloatLegume
	strict := handbook.Caution
	if rich {
		strict = handbook.Hold
	}
	v.judge(f.Known, KnowLegume, rich, bloatShare)
	if f.Known&KnowFrost == 0 || f.Frost < BloatFrostDays {
		v.say(strict, bloatFrost)
		v.Missing |= KnowFrost &^ f.Known
	}
	if f.Animals.is(KnowHunger, f.Animals.Hungry) {
		v.say(strict, bloatHungry)
		v.Missing |= f.Animals.lacking(KnowHunger)
	}
	v.judge(f.Known, KnowDew, f.Wet, bloatDew)
	if v.Answer != handbook.Clear {
		v.Missing |= f.Animals.lacking(KnowSpecies)
	}
	return v
}

// TetanyFacts is what the gate of grass tetany reads.
type TetanyFacts struct {
	Animals   Animals
	Lush      bool // cool-season grass or small grain growing fast, spring or autumn; KnowLush
	Magnesium bool // high-magnesium mineral is fed and taken
	Dressed   bool // potash, nitrogen or manure this season; KnowPotash
	Tested    bool
	Mg, K, Ca quantity.Fraction // of dry matter, when Tested
	Known     Known
}

// Tetany is the gate of grass tetany (hypomagnesaemia): cows and ewes in milk on
// lush grass.
//
// Source: the rule table, Book; each rule cites its own.
func Tetany(f TetanyFacts) Verdict {
	var v Verdict
	a := &f.Animals
	if a.Species == Horses || !a.is(KnowLactating, a.Lactating) {
		v.speak(tetanyNone)
		return v
	}
	lush := f.Known&KnowLush == 0 || f.Lush
	if lush {
		rule := tetanyLush
		if f.Magnesium {
			rule = tetanyFed
		}
		v.speak(rule)
		v.Missing |= KnowLush &^ f.Known
		v.judge(f.Known, KnowPotash, f.Dressed, tetanyDressed)
	}
	if f.Tested {
		f.minerals(&v)
	}
	if v.Answer != handbook.Clear {
		v.Missing |= a.lacking(KnowLactating | KnowSpecies)
	}
	return v
}

// minerals judges an analysis; what is none is named and counts as bad.
func (f *TetanyFacts) minerals(v *Verdict) {
	answer := handbook.Hold
	if f.Magnesium {
		answer = handbook.Caution
	}
	if !share(float64(f.Mg)) || !share(float64(f.K)) || !share(float64(f.Ca)) {
		v.say(answer, tetanyMagnesium)
		v.Missing |= KnowMinerals
		return
	}
	if f.Mg < TetanyMagnesium {
		v.say(answer, tetanyMagnesium)
	}
	if !(TetanyRatio(f.K, f.Ca, f.Mg) <= TetanyLimit) {
		v.say(answer, tetanyRatio)
	}
}

// TetanyRatio is potassium over calcium plus magnesium in equivalents, from
// shares of dry matter; not a number where calcium and magnesium are nothing
// and potassium too.
//
// Source: Rahman et al. 2022 for the ratio and its limit (read); equivalent
// weights 39.10, 20.04 and 12.15. Twenty-seven New Zealand pastures average
// 3.29 % K, 0.39 % Ca, 0.19 % Mg and a ratio of 2.45 (read).
func TetanyRatio(k, ca, mg quantity.Fraction) float64 {
	return float64(k) / 39.10 / (float64(ca)/20.04 + float64(mg)/12.15)
}
