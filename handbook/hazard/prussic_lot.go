package hazard

// HCN is a laboratory's prussic acid result, parts per million: mg/kg.
type HCN float64

// Basis is what a laboratory's parts per million are of.
type Basis uint8

// The bases.
const (
	UnknownBasis Basis = iota
	DryBasis
	WetBasis
)

// Sample is where and when a laboratory's sample came from. The zero sample
// counts for nothing.
type Sample struct {
	Basis     Basis
	DryMatter float64 // of the sample, share of one; wet results need it
	Same      bool    // drawn from this lot or stand
	Ago       int     // days since it was drawn; KnowSampled
	Stress    int     // days since the last new stress of the growth, Never: frost, rain, onset of drought, dressing, cut; KnowStress
	Known     Known
}

// counts judges whether a sample may speak for what is before us.
func (s *Sample) counts(v *Verdict) {
	if !s.Same {
		v.speak(resultOther)
	}
	v.judge(s.Known, KnowSampled|KnowStress, s.Ago < 0 || s.Ago >= s.Stress, resultStale)
}

// PrussicReading judges a laboratory result in ppm HCN. A result without its
// basis, or on the wet basis without the sample's dry-matter share (0 to 1), is
// a Hold that names what is missing; a wet result is brought to dry matter and
// the stricter of the dry and the wet scale applied. Whether the sample counts
// at all is PrussicTest's to say.
//
// Source: the rule table, prussicLab, prussicWet and their doubtful bands.
func PrussicReading(result HCN, basis Basis, dryMatter float64) Verdict {
	var v Verdict
	lack := Known(0)
	if basis != DryBasis && !(dryMatter > 0 && dryMatter <= 1) {
		lack = KnowDryMatter
	}
	if basis != DryBasis && basis != WetBasis {
		lack |= KnowBasis
	}
	if lack != 0 {
		v.missing(resultNoBasis, lack)
		return v
	}
	if basis == WetBasis {
		v.band(result, PrussicSafeFed, PrussicDangerFed, prussicWetDoubtful, prussicWet)
		result /= HCN(dryMatter)
	}
	v.band(result, PrussicSafe, PrussicDangerous, prussicLabDoubtful, prussicLab)
	return v
}

// band judges a result against two limits; what is no result is dangerous.
func (v *Verdict) band(result, safe, dangerous HCN, doubtful, danger ruleIndex) {
	switch {
	case result >= 0 && result < safe:
	case result >= safe && result <= dangerous:
		v.speak(doubtful)
	default:
		v.speak(danger)
	}
}

// PrussicSample is a laboratory result with its sample.
type PrussicSample struct {
	Result HCN
	Sample Sample
	Fresh  bool // kept from drying until it was read
}

// PrussicTest judges a result together with whether its sample counts: drawn
// from this lot or stand, after the last stress, and kept from drying.
//
// Source: the rule table, resultOther, resultStale, resultDried; Ohio State
// University, prussic acid testing in forages (read).
func PrussicTest(t PrussicSample) Verdict {
	v := PrussicReading(t.Result, t.Sample.Basis, t.Sample.DryMatter)
	t.Sample.counts(&v)
	if !t.Fresh {
		v.speak(resultDried)
	}
	return v
}

// PrussicLotFacts is what the gate of a stored lot reads.
type PrussicLotFacts struct {
	Risk     PrussicRisk // the most dangerous part of what was put up
	Use      Use         // Haying: dry hay; else wrapped or chopped
	Stressed bool        // frosted, short, drought-stressed or rained on drought; KnowLotSource
	Days     int         // in store; KnowStored
	Tested   bool
	Test     PrussicSample // counts when Tested
	Animals  Animals
	Known    Known
}

// PrussicLot is the prussic acid gate for feeding a stored lot. What was put up
// from frosted or stressed growth is held eight weeks, then tested; hay of it is
// a Caution until tested. Time alone makes nothing safe.
//
// Source: the rule table, storedWait, lotPrussicTest, hayStressed.
func PrussicLot(f PrussicLotFacts) Verdict {
	var v Verdict
	if f.Risk == NoPrussic {
		v.speak(prussicNone)
		return v
	}
	if f.Animals.may(Horses) {
		v.speak(horses)
		v.Missing |= f.Animals.lacking(KnowSpecies)
	}
	stressed := f.Known&KnowLotSource == 0 || f.Stressed
	rule := lotPrussicTest
	if f.Use == Haying {
		rule = hayStressed
	} else {
		wait := EnsileWaitUsual
		if stressed {
			wait = EnsileWait
		}
		v.judge(f.Known, KnowStored, f.Days < wait, storedWait)
	}
	if !f.Tested {
		v.judge(f.Known, KnowLotSource, f.Stressed, rule)
		return v
	}
	return v.Worse(PrussicTest(f.Test))
}
