package hazard_test

import (
	"slices"
	"testing"

	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/quantity"
)

// cows are dry, open, grown and fed cattle.
func cows() hazard.Animals {
	return hazard.Animals{Species: hazard.Cattle, Known: hazard.KnowLactating | hazard.KnowPregnant | hazard.KnowYoung | hazard.KnowHunger}
}

// sample was drawn from this growth three days ago, after every stress.
func sample() hazard.Sample {
	return hazard.Sample{Basis: hazard.DryBasis, Same: true, Ago: 3, Stress: hazard.Never, Known: hazard.KnowSampled | hazard.KnowStress}
}

// stand is sorghum-sudangrass of 34 in of which everything is known and nothing
// is wrong.
func stand() hazard.PrussicSteerFacts {
	f := tall()
	f.Known |= hazard.KnowForecast | hazard.KnowAge | hazard.KnowHerbicide | hazard.KnowLook
	return hazard.PrussicSteerFacts{PrussicFacts: f, Tonight: quantity.Fahrenheit(60), Sky: hazard.ClearCalm, Age: hazard.Never, Animals: cows()}
}

// growth is an annual of which everything is known and nothing is wrong.
func growth() hazard.NitrateSteerFacts {
	f := hazard.NitrateFacts{Rain: hazard.Never, Frost: hazard.Never, Known: all | hazard.KnowCloud | hazard.KnowWeeds}
	return hazard.NitrateSteerFacts{NitrateFacts: f, Animals: cows()}
}

// texts are the reasons of a verdict in words.
func texts(v hazard.Verdict) (reasons []string) {
	for _, r := range hazard.Words("", v).Reasons {
		reasons = append(reasons, r.Text)
	}
	return reasons
}

const (
	tooShort  = "sorghum or sorghum-sudangrass below 24 in: keep stock off"
	goAndLook = "tonight 36 °F or less when clear and calm, or in low ground: animals off before dark, look in the morning"
	lastNight = "frost last night: keep stock off, even for a light frost"
	waiting   = "less than 14 days after a frost, the clock starting again at each: keep stock off"
	noKill    = "frosted and not looked at within 3 days: no thermometer tells a kill, not even 23 °F; the stand counts as living until someone has looked"
	killWait  = "killed, looked at and dry to the base: 7 days from the last frost"
	shoots    = "new shoots after frost below 30 in: keep stock off"
	burnt     = "burnt by frost and alive: shoots will come; look again every 3 days"
)

// An October: sorghum-sudangrass regrowth of 20 in, nights of 34, 30 and 23 °F,
// clear and calm. Day by day: what is said, and what is not.
func TestOctober(t *testing.T) {
	clock := hazard.FrostClock{Frost: hazard.Never, Watch: hazard.Never}
	f := stand()
	f.Height, f.Age = 20*2.54, 30
	for _, day := range []struct {
		what     string
		night    float64 // °F, as forecast in the evening and read in the morning
		look     hazard.Look
		ago      int
		says     []string
		saysNot  []string
		untilDay int // more mild nights of 50 °F afterwards
	}{
		{"34 °F ahead", 34, hazard.NotLooked, 0, []string{tooShort, goAndLook}, []string{lastNight, waiting, noKill}, 0},
		{"30 °F came", 30, hazard.NotLooked, 0, []string{tooShort, lastNight, noKill}, []string{killWait}, 0},
		{"five days on", 50, hazard.NotLooked, 0, []string{tooShort, waiting, noKill}, []string{lastNight}, 4},
		{"23 °F came", 23, hazard.NotLooked, 0, []string{tooShort, lastNight, noKill}, []string{killWait}, 0},
		{"13 days on, nobody looked", 50, hazard.NotLooked, 0, []string{tooShort, waiting, noKill}, nil, 12},
		{"14 days on, nobody looked", 50, hazard.NotLooked, 0, []string{tooShort, noKill}, []string{waiting}, 0},
		{"a look: green shoots", 50, hazard.GreenShoots, 0, []string{tooShort, shoots, burnt}, []string{noKill}, 0},
		{"that look is old", 50, hazard.GreenShoots, 4, []string{tooShort, noKill}, nil, 0},
	} {
		f.Tonight = quantity.Fahrenheit(day.night)
		if day.night > 33 && day.night < 36 { // judged in the evening, before the night
			f.Frost, f.Watch = clock.Frost, clock.Watch
		} else {
			clock = clock.Night(f.Tonight, hazard.ClearCalm, false)
			for range day.untilDay {
				clock = clock.Night(f.Tonight, hazard.ClearCalm, false)
			}
			f.Frost, f.Watch = clock.Frost, clock.Watch
		}
		f.Look, f.LookAgo = day.look, day.ago
		v := hazard.PrussicSteer(f)
		if v.Answer != handbook.Hold {
			t.Errorf("%s: %v, want Hold throughout for height", day.what, v.Answer)
		}
		got := texts(v)
		for _, want := range day.says {
			if !slices.Contains(got, want) {
				t.Errorf("%s: says not %q but %q", day.what, want, got)
			}
		}
		for _, not := range day.saysNot {
			if slices.Contains(got, not) {
				t.Errorf("%s: says %q", day.what, not)
			}
		}
	}
}

// The same rules where height speaks no more.
func TestFrostOnTallStand(t *testing.T) {
	for _, c := range []struct {
		what   string
		change func(*hazard.PrussicSteerFacts)
		want   handbook.Answer
	}{
		{"nothing", func(*hazard.PrussicSteerFacts) {}, handbook.Clear},
		{"34 °F ahead, clear and calm", func(f *hazard.PrussicSteerFacts) { f.Tonight = quantity.Fahrenheit(34) }, handbook.Caution},
		{"36 °F ahead, sky unknown", func(f *hazard.PrussicSteerFacts) { f.Tonight, f.Sky = quantity.Fahrenheit(36), hazard.UnknownSky }, handbook.Caution},
		{"34 °F ahead, windy", func(f *hazard.PrussicSteerFacts) {
			f.Tonight, f.Sky = quantity.Fahrenheit(34), hazard.CloudyOrWindy
		}, handbook.Clear},
		{"34 °F ahead, windy, low ground", func(f *hazard.PrussicSteerFacts) {
			f.Tonight, f.Sky, f.LowGround = quantity.Fahrenheit(34), hazard.CloudyOrWindy, true
		}, handbook.Caution},
		{"killed, dry, 6 days", func(f *hazard.PrussicSteerFacts) { f.Frost, f.Watch, f.Look = 6, 6, hazard.KilledDry }, handbook.Hold},
		{"killed, dry, 7 days", func(f *hazard.PrussicSteerFacts) { f.Frost, f.Watch, f.Look = 7, 7, hazard.KilledDry }, handbook.Clear},
		{"killed by 23 °F, 30 days, not looked at", func(f *hazard.PrussicSteerFacts) { f.Frost = 30 }, handbook.Hold},
		{"looked at before the last frost", func(f *hazard.PrussicSteerFacts) { f.Frost, f.Look, f.LookAgo = 0, hazard.KilledDry, 1 }, handbook.Hold},
		{"burnt, 13 days", func(f *hazard.PrussicSteerFacts) { f.Frost, f.Look = 13, hazard.Burnt }, handbook.Hold},
		{"burnt, 14 days, 34 in", func(f *hazard.PrussicSteerFacts) { f.Frost, f.Look = 14, hazard.Burnt }, handbook.Caution},
		{"shoots of 29 in, 20 days", func(f *hazard.PrussicSteerFacts) { f.Frost, f.Look, f.Height = 20, hazard.GreenShoots, 29*2.54 }, handbook.Hold},
		{"rain on drought 10 days ago", func(f *hazard.PrussicSteerFacts) { f.Rain = 10 }, handbook.Hold},
		{"regrowth of 10 days", func(f *hazard.PrussicSteerFacts) { f.Age = 10 }, handbook.Caution},
		{"hungry", func(f *hazard.PrussicSteerFacts) { f.Animals.Hungry = true }, handbook.Caution},
		{"horses", func(f *hazard.PrussicSteerFacts) { f.Animals.Species = hazard.Horses }, handbook.Hold},
		{"who knows what animals", func(f *hazard.PrussicSteerFacts) { f.Animals.Species = hazard.UnknownSpecies }, handbook.Hold},
		{"horses, sudangrass hay", func(f *hazard.PrussicSteerFacts) {
			f.Animals.Species, f.Risk, f.Use = hazard.Horses, hazard.PrussicSudangrass, hazard.Haying
		}, handbook.Hold},
		{"a result of 480 without basis", func(f *hazard.PrussicSteerFacts) {
			f.Tested, f.Test = true, hazard.PrussicSample{Result: 480, Fresh: true, Sample: hazard.Sample{Same: true, Ago: 1, Stress: 9, Known: hazard.KnowSampled | hazard.KnowStress}}
		}, handbook.Hold},
	} {
		f := stand()
		c.change(&f)
		if got := hazard.PrussicSteer(f); got.Answer != c.want {
			t.Errorf("%s: %v, want %v: %q", c.what, got.Answer, c.want, texts(got))
		}
	}
}

// What is said of a killed stand, day by day, and of a look that came before the
// last frost.
func TestKilledStand(t *testing.T) {
	for _, c := range []struct {
		frost, ago int
		says, not  string
	}{
		{0, 0, lastNight, waiting}, {1, 0, killWait, waiting}, {6, 2, killWait, waiting}, {7, 3, "", killWait}, {7, 4, noKill, killWait}, {1, 2, noKill, killWait},
	} {
		f := stand()
		f.Frost, f.Watch, f.Look, f.LookAgo = c.frost, c.frost, hazard.KilledDry, c.ago
		v := hazard.PrussicSteer(f)
		got := texts(v)
		if c.says == "" != (v.Answer == handbook.Clear) || c.says != "" && !slices.Contains(got, c.says) || slices.Contains(got, c.not) {
			t.Errorf("frost %d days ago, looked at %d days ago: %v %q", c.frost, c.ago, v.Answer, got)
		}
		if (c.says == noKill) != (v.Missing == hazard.KnowLook) {
			t.Errorf("frost %d days ago, looked at %d days ago: missing %q", c.frost, c.ago, hazard.Words("", v).Missing)
		}
	}
}

// A result of 480 ppm asks for its basis and dry matter.
func TestResultWithoutBasis(t *testing.T) {
	v := hazard.PrussicTest(hazard.PrussicSample{Result: 480, Fresh: true, Sample: hazard.Sample{Same: true, Ago: 1, Stress: 9, Known: hazard.KnowSampled | hazard.KnowStress}})
	if v.Answer != handbook.Hold || v.Missing != hazard.KnowBasis|hazard.KnowDryMatter {
		t.Errorf("%v, missing %q", v.Answer, hazard.Words("", v).Missing)
	}
	for what, spoil := range map[string]func(*hazard.PrussicSample){
		"another stand":      func(s *hazard.PrussicSample) { s.Sample.Same = false },
		"before frost":       func(s *hazard.PrussicSample) { s.Sample.Stress = s.Sample.Ago },
		"day not known":      func(s *hazard.PrussicSample) { s.Sample.Known &^= hazard.KnowSampled },
		"in the future":      func(s *hazard.PrussicSample) { s.Sample.Ago = -1 },
		"dried on its way":   func(s *hazard.PrussicSample) { s.Fresh = false },
		"wet, no dry matter": func(s *hazard.PrussicSample) { s.Sample.Basis = hazard.WetBasis },
	} {
		s := hazard.PrussicSample{Result: 100, Fresh: true, Sample: sample()}
		if hazard.PrussicTest(s).Answer != handbook.Clear {
			t.Fatal("a good result does not count")
		}
		spoil(&s)
		if got := hazard.PrussicTest(s).Answer; got != handbook.Hold {
			t.Errorf("%s: %v", what, got)
		}
	}
}

// Pearl millet after drought and heavy nitrogen: no prussic acid; nitrate is a
// Hold until tested.
func TestMillet(t *testing.T) {
	p := stand()
	p.Risk, p.Height, p.Stressed, p.Nitrogen, p.Animals.Species = hazard.NoPrussic, 30, true, 130, hazard.Horses
	v := hazard.PrussicSteer(p)
	if v.Answer != handbook.Clear || len(texts(v)) != 1 || texts(v)[0][:14] != "does not apply" {
		t.Errorf("prussic acid in millet: %v %q", v.Answer, texts(v))
	}
	n := growth()
	n.Stressed, n.Nitrogen = true, 130
	if v := hazard.NitrateSteer(n); v.Answer != handbook.Hold || !slices.Contains(texts(v), "drought, or rain on it within 14 days, together with 50 lb N/ac or more: feed none until tested") {
		t.Errorf("nitrate in millet: %v %q", v.Answer, texts(v))
	}
	n.Nitrogen = 55
	if v := hazard.NitrateSteer(n); v.Answer != handbook.Caution {
		t.Errorf("drought with 49 lb N/ac: %v", v.Answer)
	}
	n.Stressed, n.Rain, n.Nitrogen = false, 13, 57
	if v := hazard.NitrateSteer(n); v.Answer != handbook.Hold {
		t.Errorf("13 days after rain on drought, 51 lb N/ac: %v", v.Answer)
	}
	n.Use = hazard.Ensiling
	if v := hazard.NitrateSteer(n); v.Answer != handbook.Hold {
		t.Errorf("ensiled: %v, though ensiling earns no credit", v.Answer)
	}
	for result, want := range map[hazard.NO3N]handbook.Answer{600: handbook.Clear, 1500: handbook.Caution, 4000: handbook.Hold} {
		n.Tested, n.Test = true, hazard.NitrateSample{Result: result, Sample: sample()}
		if v := hazard.NitrateSteer(n); v.Answer != want {
			t.Errorf("%v ppm: %v, want %v", result, v.Answer, want)
		}
	}
}

// Bales from the frosted stand: held eight weeks, then tested.
func TestFrostedLot(t *testing.T) {
	good := hazard.PrussicSample{Result: 200, Fresh: true, Sample: sample()}
	known := hazard.KnowLotSource | hazard.KnowStored
	for _, c := range []struct {
		what string
		lot  hazard.PrussicLotFacts
		want handbook.Answer
	}{
		{"wrapped, 55 days, tested", hazard.PrussicLotFacts{Use: hazard.Ensiling, Stressed: true, Days: 55, Tested: true, Test: good, Known: known}, handbook.Hold},
		{"wrapped, 56 days, not tested", hazard.PrussicLotFacts{Use: hazard.Ensiling, Stressed: true, Days: 56, Known: known}, handbook.Hold},
		{"wrapped, all winter, not tested", hazard.PrussicLotFacts{Use: hazard.Ensiling, Stressed: true, Days: 180, Known: known}, handbook.Hold},
		{"wrapped, 56 days, tested", hazard.PrussicLotFacts{Use: hazard.Ensiling, Stressed: true, Days: 56, Tested: true, Test: good, Known: known}, handbook.Clear},
		{"wrapped, of what nobody knows", hazard.PrussicLotFacts{Use: hazard.Ensiling, Days: 56, Known: hazard.KnowStored}, handbook.Hold},
		{"unstressed, 20 days", hazard.PrussicLotFacts{Use: hazard.Ensiling, Days: 20, Known: known}, handbook.Hold},
		{"unstressed, 21 days", hazard.PrussicLotFacts{Use: hazard.Ensiling, Days: 21, Known: known}, handbook.Clear},
		{"hay of stressed growth", hazard.PrussicLotFacts{Use: hazard.Haying, Stressed: true, Days: 90, Known: known}, handbook.Caution},
		{"hay of stressed growth, tested", hazard.PrussicLotFacts{Use: hazard.Haying, Stressed: true, Days: 90, Tested: true, Test: good, Known: known}, handbook.Clear},
	} {
		c.lot.Risk, c.lot.Animals = hazard.PrussicSorghum, cows()
		if got := hazard.PrussicLot(c.lot); got.Answer != c.want {
			t.Errorf("%s: %v, want %v: %q", c.what, got.Answer, c.want, texts(got))
		}
	}
}
