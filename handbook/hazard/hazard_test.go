package hazard_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rowen/handbook"
	"rowen/handbook/hazard"
)

const all = hazard.KnowHeight | hazard.KnowFrost | hazard.KnowDrought | hazard.KnowRain | hazard.KnowNitrogen

// tall is a sorghum-sudangrass of 34 in without any stress.
func tall() hazard.PrussicFacts {
	return hazard.PrussicFacts{Risk: hazard.PrussicSorghum, Height: 34 * 2.54, Frost: hazard.Never, Watch: hazard.Never, Rain: hazard.Never, Known: all}
}

func ExamplePrussic() {
	f := tall()
	fmt.Println(hazard.Prussic(f).Answer)
	f.Frost, f.Watch = 9, 9
	v := hazard.Prussic(f)
	fmt.Println(v.Answer)
	fmt.Println(hazard.Words("prussic acid", v).Reasons[0].Text)
	// Output:
	// Clear
	// Hold
	// less than 14 days after a frost, the clock starting again at each: keep stock off
}

// A result without its basis is no result.
func ExamplePrussicReading() {
	v := hazard.PrussicReading(480, hazard.UnknownBasis, 0)
	fmt.Println(v.Answer, hazard.Words("prussic acid", v).Missing)
	fmt.Println(hazard.PrussicReading(180, hazard.DryBasis, 0).Answer)
	fmt.Println(hazard.PrussicReading(180, hazard.WetBasis, 0.2).Answer) // 900 ppm of dry matter
	fmt.Println(hazard.PrussicReading(240, hazard.WetBasis, 0.5).Answer) // 480 dry, but above 200 as fed
	// Output:
	// Hold [the basis of the laboratory result (wet or dry) the dry matter of the sample]
	// Clear
	// Caution
	// Caution
}

func ExampleStoreWait() {
	fmt.Println(hazard.StoreWait(hazard.PrussicSorghum, hazard.Ensiling, handbook.Caution), hazard.StoreWait(hazard.PrussicSorghum, hazard.Ensiling, handbook.Clear), hazard.StoreWait(hazard.NoPrussic, hazard.Ensiling, handbook.Clear))
	// Output: 56 21 0
}

func ExampleNitrate() {
	f := hazard.NitrateFacts{Rain: 6, Frost: hazard.Never, Known: all}
	fmt.Println(hazard.Nitrate(f).Answer)
	// Output: Hold
}

// Clemson: 2,500 ppm is 35 to 40 % of the ration, none to pregnant animals.
func ExampleNitrateShare() {
	fmt.Println(hazard.NitrateShare(2500, false), hazard.NitrateShare(2500, true))
	// Output: 0.35 0
}

func ExampleNitrateReading() {
	steers := hazard.Animals{Species: hazard.Cattle, Known: hazard.KnowPregnant | hazard.KnowYoung}
	fmt.Println(hazard.NitrateReading(900, hazard.DryBasis, 0, steers).Answer)
	v := hazard.NitrateReading(900, hazard.DryBasis, 0, hazard.Animals{Species: hazard.Cattle, Known: hazard.KnowYoung})
	fmt.Println(v.Answer, hazard.Words("nitrate", v).Missing)
	// Output:
	// Clear
	// Caution [whether the animals are pregnant]
}

// Constructed: 2,500 ppm with 200, target 1,000: 34.8 %.
func ExampleDilution() {
	fmt.Printf("%.3f\n", hazard.Dilution(2500, 200, 1000))
	// Output: 0.348
}

func ExampleWords() {
	fmt.Println(hazard.Words("prussic acid", hazard.Prussic(hazard.PrussicFacts{Risk: hazard.PrussicSorghum, Height: 90, Known: hazard.KnowHeight})).Missing)
	// Output: [days since the last frost whether it is drought-stressed days since the rain that ended the drought nitrogen given]
}

func ExampleVerdict_Worse() {
	a := hazard.Verdict{Answer: handbook.Caution}
	fmt.Println(a.Worse(hazard.Verdict{Answer: handbook.Hold}).Answer)
	// Output: Hold
}

func ExampleBook() {
	fmt.Println(len(hazard.Book()) > len(hazard.Rules()))
	// Output: true
}

func ExampleRules() {
	fmt.Println(hazard.Rules()[0].Text)
	// Output: sorghum or sorghum-sudangrass below 24 in: keep stock off
}

func ExampleStanding() {
	fmt.Println(hazard.Standing()[0].Hazard)
	// Output: silo gas
}

// Each published line of the audit copy, once.
func TestPrussicTable(t *testing.T) {
	for _, c := range []struct {
		what   string
		change func(*hazard.PrussicFacts)
		want   handbook.Answer
	}{
		{"tall, no stress", func(*hazard.PrussicFacts) {}, handbook.Clear},
		{"23 in", func(f *hazard.PrussicFacts) { f.Height = 23 * 2.54 }, handbook.Hold},
		{"24 in", func(f *hazard.PrussicFacts) { f.Height = 24 * 2.54 }, handbook.Caution},
		{"30 in", func(f *hazard.PrussicFacts) { f.Height = 30 * 2.54 }, handbook.Clear},
		{"sudangrass 17 in", func(f *hazard.PrussicFacts) { f.Risk, f.Height = hazard.PrussicSudangrass, 17*2.54 }, handbook.Hold},
		{"sudangrass 18 in", func(f *hazard.PrussicFacts) { f.Risk, f.Height = hazard.PrussicSudangrass, 18*2.54 }, handbook.Caution},
		{"sudangrass 24 in", func(f *hazard.PrussicFacts) { f.Risk, f.Height = hazard.PrussicSudangrass, 24*2.54 }, handbook.Clear},
		{"frost last night", func(f *hazard.PrussicFacts) { f.Frost = 0 }, handbook.Hold},
		{"frost 13 days ago", func(f *hazard.PrussicFacts) { f.Frost = 13 }, handbook.Hold},
		{"frost 14 days ago", func(f *hazard.PrussicFacts) { f.Frost = 14 }, handbook.Clear},
		{"36 °F last night", func(f *hazard.PrussicFacts) { f.Watch = 0 }, handbook.Caution},
		{"shoots after frost, 28 in", func(f *hazard.PrussicFacts) { f.Frost, f.Regrowing, f.Height = 20, true, 28*2.54 }, handbook.Hold},
		{"drought, 28 in", func(f *hazard.PrussicFacts) { f.Stressed, f.Height = true, 28*2.54 }, handbook.Hold},
		{"drought, 34 in", func(f *hazard.PrussicFacts) { f.Stressed = true }, handbook.Caution},
		{"rain on drought 6 days ago", func(f *hazard.PrussicFacts) { f.Rain = 6 }, handbook.Hold},
		{"rain on drought 7 days ago", func(f *hazard.PrussicFacts) { f.Rain = 7 }, handbook.Clear},
		{"80 lb N in one dose", func(f *hazard.PrussicFacts) { f.Nitrogen = 90 }, handbook.Caution},
		{"2,4-D", func(f *hazard.PrussicFacts) { f.Herbicide = true }, handbook.Caution},
		{"horses", func(f *hazard.PrussicFacts) { f.Horses = true }, handbook.Hold},
		{"millet for horses", func(f *hazard.PrussicFacts) { f.Risk, f.Horses = hazard.NoPrussic, true }, handbook.Clear},
		{"millet, nothing known", func(f *hazard.PrussicFacts) { *f = hazard.PrussicFacts{} }, handbook.Clear},
		{"wrapping 6 days after frost", func(f *hazard.PrussicFacts) { f.Use, f.Frost = hazard.Ensiling, 6 }, handbook.Hold},
		{"wrapping 8 days after frost", func(f *hazard.PrussicFacts) { f.Use, f.Frost = hazard.Ensiling, 8 }, handbook.Caution},
		{"hay from drought", func(f *hazard.PrussicFacts) { f.Use, f.Stressed = hazard.Haying, true }, handbook.Caution},
		{"height not a number", func(f *hazard.PrussicFacts) { f.Height = math.NaN() }, handbook.Hold},
		{"height without end", func(f *hazard.PrussicFacts) { f.Height = math.Inf(1) }, handbook.Hold},
		{"nitrogen below nothing", func(f *hazard.PrussicFacts) { f.Nitrogen = -1 }, handbook.Caution},
	} {
		f := tall()
		c.change(&f)
		if got := hazard.Prussic(f).Answer; got != c.want {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
	}
}

func facts(t *rapid.T) hazard.PrussicFacts {
	days := rapid.SampledFrom([]int{0, 1, 3, 6, 7, 8, 13, 14, 30, hazard.Never})
	return hazard.PrussicFacts{
		Risk:   hazard.PrussicRisk(rapid.IntRange(1, 2).Draw(t, "risk")),
		Use:    hazard.Use(rapid.IntRange(0, 3).Draw(t, "use")),
		Height: rapid.Float64Range(0, 200).Draw(t, "height"),
		Frost:  days.Draw(t, "frost"), Watch: days.Draw(t, "watch"), Rain: days.Draw(t, "rain"),
		Regrowing: rapid.Bool().Draw(t, "regrowing"), Stressed: rapid.Bool().Draw(t, "stressed"),
		Nitrogen: rapid.Float64Range(0, 200).Draw(t, "n"), Horses: rapid.Bool().Draw(t, "horses"),
		Herbicide: rapid.Bool().Draw(t, "herbicide"), Known: all,
	}
}

// Not knowing a fact that matters is a Hold, whatever the rest says; and a
// verdict never softens when a fact gets worse.
func TestFailsToTheSafeSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := facts(t)
		v := hazard.Prussic(f)
		for _, k := range []hazard.Known{hazard.KnowHeight, hazard.KnowFrost, hazard.KnowDrought, hazard.KnowRain} {
			g := f
			g.Known &^= k
			if w := hazard.Prussic(g); w.Answer != handbook.Hold || w.Missing&k == 0 {
				t.Fatalf("without fact %b: %v, missing %b", k, w.Answer, w.Missing)
			}
		}
		worse := f
		worse.Height *= rapid.Float64Range(0, 1).Draw(t, "shorter")
		worse.Frost = min(f.Frost, rapid.IntRange(0, 40).Draw(t, "frostier"))
		worse.Rain = min(f.Rain, rapid.IntRange(0, 40).Draw(t, "rainier"))
		worse.Stressed = true
		if w := hazard.Prussic(worse); w.Answer < v.Answer {
			t.Fatalf("%+v is %v, the worse %+v is %v", f, v.Answer, worse, w.Answer)
		}
		if v.Answer != handbook.Clear && v.Reasons.Empty() {
			t.Fatal("an answer without a reason")
		}
	})
}

func TestNitrateFailsSafe(t *testing.T) {
	if v := hazard.Nitrate(hazard.NitrateFacts{Rain: hazard.Never, Frost: hazard.Never}); v.Answer != handbook.Hold || v.Missing == 0 {
		t.Errorf("nothing known: %v", v)
	}
	for _, p := range []float64{-1, math.NaN(), math.Inf(1)} {
		if hazard.NitrateShare(hazard.NO3N(p), false) != 0 || hazard.PrussicReading(hazard.HCN(p), hazard.DryBasis, 0).Answer != handbook.Hold {
			t.Errorf("%v ppm is taken for a result", p)
		}
	}
	last := 1.0
	for p := hazard.NO3N(0); p < 6000; p += 50 {
		got := hazard.NitrateShare(p, true)
		if got > last || got > hazard.NitrateShare(p, false) {
			t.Errorf("share rises at %v ppm, or pregnant animals are given more", p)
		}
		last = got
	}
}

func TestGatesDoNotAllocate(t *testing.T) {
	f := tall()
	if n := testing.AllocsPerRun(100, func() { f.Height += 1e-9; _ = hazard.Prussic(f) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func TestRulesAreCited(t *testing.T) {
	for _, r := range append(hazard.Book(), hazard.Standing()...) {
		if r.Text == "" || r.Hazard == "" || r.Source.Reading == 0 || r.Source.Title == "" {
			t.Errorf("rule without text or source: %+v", r)
		}
	}
}

// A wrapped lot at pH 5.6 is held for ewes; a wet one without a pH is held for them
// and a caution for cows; a carcass is a Hold for all.
func ExampleWrapped() {
	known := hazard.KnowLotPH | hazard.KnowLotMoisture
	fmt.Println(hazard.Wrapped(hazard.LotFacts{PH: 5.6, Moisture: 0.55, Strict: true, Known: known}).Answer)
	fmt.Println(hazard.Wrapped(hazard.LotFacts{Moisture: 0.70, Strict: true, Known: hazard.KnowLotMoisture}).Answer, hazard.Wrapped(hazard.LotFacts{Moisture: 0.70, Known: hazard.KnowLotMoisture}).Answer)
	fmt.Println(hazard.Wrapped(hazard.LotFacts{PH: 4.3, Moisture: 0.55, Strict: true, Known: known}).Answer, hazard.Wrapped(hazard.LotFacts{PH: 4.3, Moisture: 0.55, Carcass: true, Known: known}).Answer)
	// Output:
	// Hold
	// Hold Caution
	// Clear Hold
}

// Worse facts never relax the gate of a lot, and sheep are never freer than cows.
func TestWrappedFailsSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := hazard.LotFacts{
			PH: rapid.Float64Range(3.5, 8).Draw(t, "pH"), Moisture: rapid.Float64Range(0.2, 0.85).Draw(t, "moisture"),
			Soiled: rapid.Bool().Draw(t, "soiled"), Punctured: rapid.Bool().Draw(t, "punctured"), Carcass: rapid.Bool().Draw(t, "carcass"),
			Strict: rapid.Bool().Draw(t, "strict"), Known: hazard.Known(rapid.IntRange(0, 1023).Draw(t, "known")),
		}
		base := hazard.Wrapped(f).Answer
		for _, worse := range []func(*hazard.LotFacts){
			func(f *hazard.LotFacts) { f.PH += 1 }, func(f *hazard.LotFacts) { f.Moisture += 0.2 },
			func(f *hazard.LotFacts) { f.Soiled = true }, func(f *hazard.LotFacts) { f.Punctured = true },
			func(f *hazard.LotFacts) { f.Carcass = true }, func(f *hazard.LotFacts) { f.Strict = true },
		} {
			g := f
			worse(&g)
			if hazard.Wrapped(g).Answer < base {
				t.Fatalf("%+v is %v, %+v is freer", f, base, g)
			}
		}
	})
}
