package hazard

// NitrateFacts is what the nitrate gate reads.
type NitrateFacts struct {
	Use      Use
	Stressed bool    // drought-stressed now
	Rain     int     // days since a rain ended a drought, Never
	Nitrogen float64 // largest single dressing within six weeks, kg/ha
	Frost    int     // days since the last frost, Never
	Known    Known
}

// heavy tells whether the dressing is heavy, or no number.
func (f *NitrateFacts) heavy() bool { return !(f.Nitrogen >= 0 && f.Nitrogen <= HeavyNitrogen) }

// Nitrate is the nitrate gate of a simulation for growth of a crop that gathers
// it: all annuals, brassicas, oats and the other small grains. Without a
// laboratory result the longest printed wait stands. A person on the spot is
// asked for more: NitrateSteer.
//
// Source: the rule table, Book; each rule cites its own.
func Nitrate(f NitrateFacts) Verdict {
	var v Verdict
	if missing := (KnowDrought | KnowRain | KnowFrost) &^ f.Known; missing != 0 {
		v.missing(missingNitrate, missing)
	}
	stored := f.Use == Ensiling || f.Use == Haying
	if f.Known&KnowRain != 0 && f.Rain < NitrateRainWait {
		if stored {
			v.caution(nitrateStored)
		} else {
			v.hold(nitrateRain)
		}
	}
	if f.Known&KnowDrought != 0 && f.Stressed {
		v.caution(nitrateDrought)
		if stored {
			v.caution(nitrateStored)
		}
	}
	v.judge(f.Known, KnowNitrogen, f.heavy(), nitrateNitrogen)
	if f.Known&KnowFrost != 0 && f.Frost < 7 {
		v.caution(nitrateFrost)
	}
	return v
}

// NitrateShare is the largest share of a ration's dry matter, 0 to 1, that a
// feed of so many ppm NO3-N of dry matter may be, by the strictest printed band;
// strict for pregnant and young animals, horses and sheep. What is no result
// is 0.
//
// Source: Clemson University; Wisconsin and Illinois table; a Great Plains
// laboratory (read): the strictest of the three for each class. That horses
// stand less than cattle: Texas A&M AgriLife, Stephenville (read); sheep and
// young animals: common practice.
func NitrateShare(n NO3N, strict bool) float64 {
	type band struct {
		below NO3N
		share float64
	}
	table := [...]band{{1400, 1}, {2000, 0.5}, {3500, 0.35}}
	if strict {
		table = [...]band{{700, 1}, {1400, 0.5}, {2000, 0.25}}
	}
	if !(n >= 0) {
		return 0
	}
	for _, b := range table {
		if n < b.below {
			return b.share
		}
	}
	return 0
}

// strictNitrate tells whether the strictest bands stand for the animals, and
// which facts made them stand.
func (a *Animals) strictNitrate() (strict bool, lacking Known) {
	strict = a.is(KnowPregnant, a.Pregnant) || a.is(KnowYoung, a.Young) || a.may(Horses) || a.may(Sheep)
	return strict, a.lacking(KnowPregnant | KnowYoung | KnowSpecies)
}

// NitrateReading judges a laboratory result in ppm NO3-N for a class of animal.
// Without its basis, or as fed without the dry matter, it is a Hold that names
// what is missing; a class that is not known is judged by the strictest bands.
//
// Source: as NitrateShare.
func NitrateReading(n NO3N, basis Basis, dryMatter float64, a Animals) Verdict {
	var v Verdict
	if basis == WetBasis {
		if !(dryMatter > 0 && dryMatter <= 1) {
			v.missing(missingNitrate, KnowDryMatter)
			return v
		}
		n /= NO3N(dryMatter)
	} else if basis != DryBasis {
		v.missing(missingNitrate, KnowBasis)
		return v
	}
	strict, lacking := a.strictNitrate()
	share := NitrateShare(n, strict)
	if share != NitrateShare(n, false) {
		v.Missing |= lacking
	}
	switch {
	case share == 0:
		v.speak(nitrateLab)
	case share < 1:
		v.speak(nitrateLabCaution)
	}
	return v
}

// Dilution is the share of a ration, 0 to 1, at which a feed of one nitrate test
// mixed with the rest of another meets a target; water counts with the rest.
// What is no result is 0.
//
// Source: arithmetic of mixing; common practice.
func Dilution(feed, rest, target NO3N) float64 {
	if !amount(float64(feed)) || !amount(float64(rest)) || !amount(float64(target)) || rest > target {
		return 0
	}
	if feed <= target {
		return 1
	}
	return float64((target - rest) / (feed - rest))
}
