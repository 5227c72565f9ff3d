package hazard

import "rowen/handbook"

// NitrateSample is a laboratory result with its sample.
type NitrateSample struct {
	Result NO3N
	Sample Sample
}

// NitrateTest judges a result together with whether its sample counts: drawn
// from this lot or stand, after the last stress, and for growth still standing
// within a week.
//
// Source: as NitrateShare; the rule table, resultOther, resultStale, nitrateResultOld.
func NitrateTest(t NitrateSample, standing bool, a Animals) Verdict {
	v := NitrateReading(t.Result, t.Sample.Basis, t.Sample.DryMatter, a)
	t.Sample.counts(&v)
	if standing && t.Sample.Ago > NitrateResult {
		v.speak(nitrateResultOld)
	}
	return v
}

// NitrateSteerFacts is what a person on the spot can know of a growth. The
// embedded facts are as in the daily gate.
type NitrateSteerFacts struct {
	NitrateFacts
	Seldom  bool // perennial grass and legumes; annuals, brassicas and small grains gather
	Cloudy  bool // in the last week; KnowCloud
	Weeds   bool // that gather nitrate; KnowWeeds
	Animals Animals
	Tested  bool
	Test    NitrateSample // counts when Tested
}

// NitrateSteer is the nitrate gate for growth standing now, or put up from it.
// What is not known counts as its worst value and is named. Drought and heavy
// nitrogen together are a Hold until a test that counts speaks for this growth;
// putting it up changes nothing without a new test.
//
// Source: the rule table, Book; each rule cites its own.
func NitrateSteer(f NitrateSteerFacts) Verdict {
	v := f.stress()
	if f.Tested {
		standing := f.Use != Ensiling && f.Use != Haying
		t := NitrateTest(f.Test, standing, f.Animals)
		if f.Test.Sample.speaks(standing) {
			v = t
		} else {
			v = v.Worse(t)
		}
	}
	if v.Answer != handbook.Clear {
		v.judge(f.Animals.Known, KnowHunger, f.Animals.Hungry, nitrateHungry)
		v.speak(nitrateHigh)
	}
	return v
}

// speaks tells whether a result stands in place of the rules of stress.
func (s *Sample) speaks(standing bool) bool {
	var v Verdict
	s.counts(&v)
	return v.Answer == handbook.Clear && !(standing && s.Ago > NitrateResult) &&
		(s.Basis == DryBasis || s.Basis == WetBasis && s.DryMatter > 0 && s.DryMatter <= 1)
}

// stress judges what the growth has been through.
func (f *NitrateSteerFacts) stress() Verdict {
	var v Verdict
	dry := f.Known&KnowDrought == 0 || f.Stressed || f.Known&KnowRain == 0 || f.Rain < NitrateRainWait
	heavy := f.Known&KnowNitrogen == 0 || !(f.Nitrogen >= 0 && f.Nitrogen < DroughtNitrogen)
	if f.Seldom && f.Known&KnowWeeds != 0 && !f.Weeds {
		if dry && heavy {
			v.speak(nitrateSeldomStressed)
			v.Missing |= (KnowDrought | KnowRain | KnowNitrogen) &^ f.Known
		} else {
			v.speak(nitrateSeldom)
		}
		return v
	}
	v = Nitrate(f.NitrateFacts)
	if dry && heavy {
		v.speak(nitrateBoth)
		v.Missing |= (KnowDrought | KnowRain | KnowNitrogen) &^ f.Known
	}
	v.judge(f.Known, KnowCloud, f.Cloudy, nitrateCloud)
	v.judge(f.Known, KnowWeeds, f.Weeds, nitrateWeeds)
	return v
}
