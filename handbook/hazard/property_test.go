package hazard_test

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/quantity"
)

// Knowing less never relaxes a gate, and what makes it stricter is named.
// Wrapped stands apart: for cattle it warns where an unknown pH could be sour.
func TestKnowingLessNeverRelaxes(t *testing.T) {
	for name, draw := range gates {
		if name == "wrapped" {
			continue
		}
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				ask := draw(t)
				k, a, s := hazard.Known(rapid.Uint64().Draw(t, "dropped")), hazard.Known(rapid.Uint64().Draw(t, "dropped of animals")), hazard.Known(rapid.Uint64().Draw(t, "dropped of sample"))
				before, after := ask(0, 0, 0), ask(k, a, s)
				if after.Answer < before.Answer {
					t.Fatalf("%v %q becomes %v %q", before.Answer, texts(before), after.Answer, texts(after))
				}
				if after.Answer > before.Answer && after.Missing == 0 {
					t.Fatalf("%v becomes %v and nothing is named: %q", before.Answer, after.Answer, texts(after))
				}
				for _, v := range []hazard.Verdict{before, after} {
					if v.Answer != handbook.Clear && v.Reasons.Empty() {
						t.Fatal("an answer without a reason")
					}
				}
			})
		})
	}
}

// Every rule fires for some facts, gives no more than its answer in the table,
// and gives that answer for some.
func TestEveryRuleIsReached(t *testing.T) {
	book := hazard.Book()
	reached := make([]bool, len(book))
	for name, draw := range gates {
		g := rapid.Custom(func(t *rapid.T) asked { return draw(t) })
		for seed := range 1500 {
			v := g.Example(seed)(0, 0, 0)
			strictest := handbook.Clear
			for i := range book {
				if v.Reasons.Has(i) {
					reached[i] = true
					strictest = max(strictest, book[i].Answer)
				}
			}
			if v.Answer > strictest {
				t.Fatalf("%s: %v, but its rules say %v at most: %q", name, v.Answer, strictest, texts(v))
			}
		}
	}
	for i, r := range book {
		if !reached[i] {
			t.Errorf("no facts reach rule %d: %s: %s", i, r.Hazard, r.Text)
		}
	}
}

// Adding a risk never relaxes a gate.
func TestAddedRiskNeverRelaxes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawSteer(t)
		before := hazard.PrussicSteer(f).Answer
		for what, add := range map[string]func(*hazard.PrussicSteerFacts){
			"drought": func(f *hazard.PrussicSteerFacts) { f.Stressed = true }, "herbicide": func(f *hazard.PrussicSteerFacts) { f.Herbicide = true },
			"nitrogen": func(f *hazard.PrussicSteerFacts) { f.Nitrogen = 200 }, "rain on drought": func(f *hazard.PrussicSteerFacts) { f.Rain = min(f.Rain, 5) },
			"frost": func(f *hazard.PrussicSteerFacts) { f.Frost, f.Watch = 0, 0 }, "a low": func(f *hazard.PrussicSteerFacts) { f.LowGround = true },
			"a cold night": func(f *hazard.PrussicSteerFacts) { f.Tonight = quantity.Fahrenheit(20) }, "hunger": func(f *hazard.PrussicSteerFacts) { f.Animals.Hungry = true },
			"horses": func(f *hazard.PrussicSteerFacts) { f.Animals.Species = hazard.Horses }, "young leaf": func(f *hazard.PrussicSteerFacts) { f.Age = 0 },
			"shorter": func(f *hazard.PrussicSteerFacts) { f.Height /= 2 }, "shoots": func(f *hazard.PrussicSteerFacts) { f.Regrowing = true },
			"more HCN": func(f *hazard.PrussicSteerFacts) { f.Test.Result = 9000 }, "a dried sample": func(f *hazard.PrussicSteerFacts) { f.Test.Fresh = false },
		} {
			g := f
			add(&g)
			if after := hazard.PrussicSteer(g).Answer; after < before {
				t.Fatalf("prussic acid, %s: %v becomes %v", what, before, after)
			}
		}
		n := drawNitrate(t)
		before = hazard.NitrateSteer(n).Answer
		for what, add := range map[string]func(*hazard.NitrateSteerFacts){
			"drought": func(f *hazard.NitrateSteerFacts) { f.Stressed = true }, "clouds": func(f *hazard.NitrateSteerFacts) { f.Cloudy = true },
			"weeds": func(f *hazard.NitrateSteerFacts) { f.Weeds = true }, "nitrogen": func(f *hazard.NitrateSteerFacts) { f.Nitrogen = 200 },
			"an annual": func(f *hazard.NitrateSteerFacts) { f.Seldom = false }, "pregnancy": func(f *hazard.NitrateSteerFacts) { f.Animals.Pregnant = true },
			"more nitrate": func(f *hazard.NitrateSteerFacts) { f.Test.Result = 9000 }, "hunger": func(f *hazard.NitrateSteerFacts) { f.Animals.Hungry = true },
		} {
			m := n
			add(&m)
			if after := hazard.NitrateSteer(m).Answer; after < before {
				t.Fatalf("nitrate, %s: %v becomes %v", what, before, after)
			}
		}
	})
}

// A mixture is never safer than its most dangerous part, and one part more never
// makes it safer.
func TestMixtureIsNoSaferThanItsParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawSteer(t)
		var parts []hazard.PrussicPart
		for range rapid.IntRange(1, 4).Draw(t, "parts") {
			parts = append(parts, hazard.PrussicPart{Risk: hazard.PrussicRisk(rapid.IntRange(0, 2).Draw(t, "risk of part")), Height: rapid.Float64Range(0, 200).Draw(t, "height of part"), Known: drawKnown.Draw(t, "of part")})
		}
		whole := hazard.PrussicMixture(f, parts)
		for i, p := range parts {
			g := f
			g.Risk, g.Height, g.Known = p.Risk, p.Height, f.Known&^hazard.KnowHeight|p.Known&hazard.KnowHeight
			if alone := hazard.PrussicSteer(g).Answer; alone > whole.Answer {
				t.Fatalf("part %d alone is %v, the mixture %v", i, alone, whole.Answer)
			}
		}
		if less := hazard.PrussicMixture(f, parts[:len(parts)-1]); len(parts) > 1 && less.Answer > whole.Answer {
			t.Fatalf("%v without the last part, %v with it", less.Answer, whole.Answer)
		}
	})
}

// What is no number, below nothing or without end is never Clear.
func TestAbsurdInputsAreNeverClear(t *testing.T) {
	never := hazard.Never
	for _, x := range []float64{-1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		f, n := stand(), growth()
		f.Height, n.Nitrogen = x, x
		bloat := hazard.BloatFacts{Animals: cows(), Legume: quantity.Fraction(x), Frost: never, Known: everything}
		brassica := hazard.BrassicaFacts{Animals: cows(), Share: quantity.Fraction(x), Days: never, Ripeness: hazard.Ripe, Roughage: true, Known: everything}
		milk := cows()
		milk.Lactating = true
		ground := hazard.GroundFacts{Deficit: 50 * quantity.MillimetreOfWater, Day: quantity.WaterDepth(x), Drains: hazard.DrainsWell, Known: everything}
		for what, v := range map[string]hazard.Verdict{
			"height": hazard.PrussicSteer(f), "nitrogen": hazard.NitrateSteer(n), "legume": hazard.Bloat(bloat), "share": hazard.Brassica(brassica),
			"HCN": hazard.PrussicReading(hazard.HCN(x), hazard.DryBasis, 0), "wet HCN": hazard.PrussicReading(100, hazard.WetBasis, x),
			"NO3-N": hazard.NitrateReading(hazard.NO3N(x), hazard.DryBasis, 0, cows()), "wet NO3-N": hazard.NitrateReading(100, hazard.WetBasis, x, cows()),
			"magnesium": hazard.Tetany(hazard.TetanyFacts{Animals: milk, Tested: true, Mg: quantity.Fraction(x), K: 0.01, Ca: 0.01, Known: everything}),
			"ergot":     hazard.Ergot(hazard.ErgotFacts{Animals: cows(), Headed: true, Found: true, Share: quantity.Fraction(x), Known: everything}),
			"buckwheat": hazard.Photosensitisation(hazard.LightFacts{Animals: cows(), Plants: hazard.Buckwheat, Buckwheat: quantity.Fraction(x), Known: everything}),
			"rain":      hazard.Ground(ground), "heat": hazard.HayHeat(quantity.Temperature(x*1e6), everything),
			"NO2":    hazard.Silo(hazard.SiloFacts{Days: never, NO2: x, Oxygen: 0.209, Blower: true, Lifeline: true, Second: true, Known: everything}),
			"oxygen": hazard.Silo(hazard.SiloFacts{Days: never, Oxygen: quantity.Fraction(x), Blower: true, Lifeline: true, Second: true, Known: everything}),
			"ready":  hazard.Readiness(hazard.ReadyFacts{Height: quantity.Length(x), Ready: 0.2, Known: everything}),
			"pH":     hazard.Wrapped(hazard.LotFacts{PH: x, Moisture: 0.15, Known: everything}), "moisture": hazard.Wrapped(hazard.LotFacts{PH: 4, Moisture: x, Known: everything}),
		} {
			if v.Answer == handbook.Clear {
				t.Errorf("%s of %v is Clear", what, x)
			}
		}
		if x != 0 && x-x != 0 {
			f = stand()
			f.Tonight = quantity.Temperature(x)
			if hazard.PrussicSteer(f).Answer == handbook.Clear || (hazard.FrostClock{Frost: never, Watch: never}).Night(quantity.Temperature(x), hazard.ClearCalm, false).Frost != 0 {
				t.Errorf("a night of %v is taken for mild", x)
			}
		}
		if d := hazard.Dilution(hazard.NO3N(x), 200, 1000); d != 0 {
			t.Errorf("a feed of %v ppm may be %v of the ration", x, d)
		}
	}
}

// The zero facts, nothing told, are never Clear.
func TestNothingToldIsNeverClear(t *testing.T) {
	for what, v := range map[string]hazard.Verdict{
		"prussic acid": hazard.PrussicSteer(hazard.PrussicSteerFacts{PrussicFacts: hazard.PrussicFacts{Risk: hazard.PrussicSorghum}}),
		"mixture":      hazard.PrussicMixture(hazard.PrussicSteerFacts{}, nil), "lot": hazard.PrussicLot(hazard.PrussicLotFacts{Risk: hazard.PrussicSudangrass}),
		"test": hazard.PrussicTest(hazard.PrussicSample{}), "nitrate": hazard.NitrateSteer(hazard.NitrateSteerFacts{}), "nitrate test": hazard.NitrateTest(hazard.NitrateSample{}, true, hazard.Animals{}),
		"bloat": hazard.Bloat(hazard.BloatFacts{}), "tetany": hazard.Tetany(hazard.TetanyFacts{}), "brassica": hazard.Brassica(hazard.BrassicaFacts{}),
		"ergot": hazard.Ergot(hazard.ErgotFacts{}), "light": hazard.Photosensitisation(hazard.LightFacts{}), "ground": hazard.Ground(hazard.GroundFacts{}),
		"readiness": hazard.Readiness(hazard.ReadyFacts{}), "roots": hazard.Anchorage(hazard.AnchorFacts{}), "autumn": hazard.AutumnRest(hazard.AutumnFacts{}),
		"label": hazard.ProductWait(hazard.ProductFacts{}), "silo": hazard.Silo(hazard.SiloFacts{}), "hay": hazard.HayHeat(0, 0), "baler": hazard.Baler(hazard.BalerFacts{}),
	} {
		if v.Answer != handbook.Hold {
			t.Errorf("%s: nothing is told, and the answer is %v", what, v.Answer)
		}
	}
}

// The units of nitrate cannot stand for one another: a result is assigned to no
// other type, and comes back unchanged by every way round.
func TestNitrateUnits(t *testing.T) {
	types := []reflect.Type{reflect.TypeFor[hazard.NO3N](), reflect.TypeFor[hazard.NO3](), reflect.TypeFor[hazard.KNO3](), reflect.TypeFor[hazard.HCN](), reflect.TypeFor[float64]()}
	for i, a := range types {
		for j, b := range types {
			if i != j && a.AssignableTo(b) {
				t.Errorf("%v passes for %v", a, b)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		n := hazard.NO3N(rapid.Float64Range(1, 1e5).Draw(t, "n"))
		for _, back := range []hazard.NO3N{n.NO3().NO3N(), n.KNO3().NO3N(), n.NO3().KNO3().NO3N(), n.KNO3().NO3().NO3N()} {
			if math.Abs(float64(back/n-1)) > 4e-4 { // the factors are printed to four figures
				t.Fatalf("%v comes back as %v", n, back)
			}
		}
		if float64(n.NO3()) <= float64(n) || float64(n.KNO3()) <= float64(n.NO3()) {
			t.Fatal("units in a wrong order")
		}
	})
	// Texas A&M, Stephenville: 10,000 ppm NO3 = 2,300 NO3-N = 16,300 KNO3, rounded.
	if n := hazard.NO3(10000); math.Abs(float64(n.NO3N())/2300-1) > 0.02 || math.Abs(float64(n.KNO3())/16300-1) > 0.002 {
		t.Errorf("10,000 ppm NO3 is %v NO3-N, %v KNO3", n.NO3N(), n.KNO3())
	}
}

func TestDailyGatesDoNotAllocate(t *testing.T) {
	f, n, g := stand(), growth(), hazard.GroundFacts{}
	parts := []hazard.PrussicPart{{Risk: hazard.PrussicSorghum, Height: 90, Known: hazard.KnowHeight}}
	lot := hazard.LotFacts{PH: 5, Moisture: 0.7, Strict: true, Known: everything}
	for what, run := range map[string]func(){
		"Prussic": func() { _ = hazard.Prussic(f.PrussicFacts) }, "PrussicSteer": func() { _ = hazard.PrussicSteer(f) }, "PrussicMixture": func() { _ = hazard.PrussicMixture(f, parts) },
		"Nitrate": func() { _ = hazard.Nitrate(n.NitrateFacts) }, "NitrateSteer": func() { _ = hazard.NitrateSteer(n) }, "Wrapped": func() { _ = hazard.Wrapped(lot) },
		"Ground": func() { _ = hazard.Ground(g) }, "Readiness": func() { _ = hazard.Readiness(hazard.ReadyFacts{}) }, "Bloat": func() { _ = hazard.Bloat(hazard.BloatFacts{}) },
		"Brassica": func() { _ = hazard.Brassica(hazard.BrassicaFacts{}) }, "Tetany": func() { _ = hazard.Tetany(hazard.TetanyFacts{}) },
	} {
		if got := testing.AllocsPerRun(100, run); got != 0 {
			t.Errorf("%s: %v allocations", what, got)
		}
	}
}

// Every fact has a name of its own, and the page shows every rule and source.
func TestPage(t *testing.T) {
	all := hazard.Words("", hazard.Verdict{Missing: everything}).Missing
	if slices.Contains(all, "") || len(slices.Compact(slices.Sorted(slices.Values(all)))) != len(all) || 1<<(len(all)-1) != hazard.KnowHeat {
		t.Errorf("%d facts have a name; the last fact is bit %b", len(all), hazard.KnowHeat)
	}
	calm, err := hazard.Page("")
	if err != nil {
		t.Fatal(err)
	}
	if lines := strings.Count(calm, "\n"); lines > 150 {
		t.Errorf("the page has %d lines", lines)
	}
	whole := ""
	for _, kind := range []string{"animals", "people", "fields"} {
		page, err := hazard.Page(kind)
		if err != nil {
			t.Fatal(err)
		}
		whole += page
	}
	for _, r := range append(hazard.Book(), hazard.Standing()...) {
		if !strings.Contains(whole, r.Text) || !strings.Contains(whole, r.Note) || !strings.Contains(whole, r.Source.String()) {
			t.Errorf("on no page: %s: %s", r.Hazard, r.Text)
		}
		if r.Kind != hazard.Field && r.Answer != handbook.Clear && !strings.Contains(calm, r.Text) {
			t.Errorf("not on the page: %s: %s", r.Hazard, r.Text)
		}
	}
	if one, err := hazard.Page("Prussic"); err != nil || strings.Contains(one, " nitrate\n") || !strings.Contains(one, "note: ") {
		t.Errorf("one hazard alone: %v\n%s", err, one)
	}
}
