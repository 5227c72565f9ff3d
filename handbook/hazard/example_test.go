package hazard_test

import (
	"fmt"
	"strings"

	"rowen/handbook/hazard"
	"rowen/quantity"
)

func ExampleRuleSet_Has() {
	v := hazard.Prussic(hazard.PrussicFacts{Risk: hazard.PrussicSorghum, Height: 50, Known: hazard.KnowHeight})
	fmt.Println(v.Reasons.Has(0), v.Reasons.Has(1), v.Reasons.Has(-1), v.Reasons.Has(1000))
	// Output: true false false false
}

func ExampleRuleSet_Empty() {
	fmt.Println(hazard.RuleSet{}.Empty(), hazard.RuleSet{0, 0, 1}.Empty())
	// Output: true false
}

func ExampleRuleSet_Union() {
	fmt.Println(hazard.RuleSet{1}.Union(hazard.RuleSet{2, 4}))
	// Output: [3 4 0]
}

// Nights of 34, 30 and 23 °F: the first asks for a look, the others each start
// the wait.
func ExampleFrostClock_Night() {
	c := hazard.FrostClock{Frost: hazard.Never, Watch: hazard.Never}
	for _, f := range []float64{34, 40, 30, 45, 23} {
		c = c.Night(quantity.Fahrenheit(f), hazard.ClearCalm, false)
		fmt.Print(c.Frost == hazard.Never, " ", c.Frost%hazard.Never, " ", c.Watch, "; ")
	}
	// Output: true 0 0; true 0 1; false 0 0; false 1 1; false 0 0;
}

func ExamplePrussicSteer() {
	f := stand() // 34 in, no stress, everything known
	fmt.Println(hazard.PrussicSteer(f).Answer)
	f.Known &^= hazard.KnowForecast
	v := hazard.PrussicSteer(f)
	fmt.Println(v.Answer, hazard.Words("prussic acid", v).Missing)
	// Output:
	// Clear
	// Caution [tonight's lowest temperature]
}

// Tall pearl millet makes no short sorghum safe.
func ExamplePrussicMixture() {
	v := hazard.PrussicMixture(stand(), []hazard.PrussicPart{
		{Risk: hazard.NoPrussic, Height: 100, Known: hazard.KnowHeight},
		{Risk: hazard.PrussicSorghum, Height: 50, Known: hazard.KnowHeight},
	})
	fmt.Println(v.Answer)
	// Output: Hold
}

func ExamplePrussicTest() {
	t := hazard.PrussicSample{Result: 300, Fresh: true, Sample: sample()}
	fmt.Println(hazard.PrussicTest(t).Answer)
	t.Sample.Stress = 2 // frost two days ago, sampled three days ago
	fmt.Println(hazard.Words("prussic acid", hazard.PrussicTest(t)).Reasons[0].Text)
	// Output:
	// Clear
	// sampled before the last frost, rain or cut: a new stress cancels a result
}

func ExamplePrussicLot() {
	lot := hazard.PrussicLotFacts{Risk: hazard.PrussicSorghum, Use: hazard.Ensiling, Stressed: true, Days: 55, Animals: cows(), Known: hazard.KnowLotSource | hazard.KnowStored}
	lot.Tested, lot.Test = true, hazard.PrussicSample{Result: 300, Fresh: true, Sample: sample()}
	fmt.Println(hazard.PrussicLot(lot).Answer)
	lot.Days = 56
	fmt.Println(hazard.PrussicLot(lot).Answer)
	lot.Tested = false
	fmt.Println(hazard.PrussicLot(lot).Answer)
	// Output:
	// Hold
	// Clear
	// Hold
}

// Texas A&M, Stephenville: 5,000 ppm nitrate is 1,150 nitrate nitrogen and 8,150
// potassium nitrate, rounded to two figures and a half.
func ExampleNO3_NO3N() {
	fmt.Printf("%.0f\n", hazard.NO3(5000).NO3N())
	// Output: 1129
}

func ExampleNO3_KNO3() {
	fmt.Printf("%.0f\n", hazard.NO3(5000).KNO3())
	// Output: 8155
}

func ExampleNO3N_NO3() {
	fmt.Printf("%.0f\n", hazard.NO3N(1000).NO3())
	// Output: 4427
}

func ExampleNO3N_KNO3() {
	fmt.Printf("%.0f\n", hazard.NO3N(1000).KNO3())
	// Output: 7218
}

func ExampleKNO3_NO3N() {
	fmt.Printf("%.0f\n", hazard.KNO3(8150).NO3N())
	// Output: 1129
}

func ExampleKNO3_NO3() {
	fmt.Printf("%.0f\n", hazard.KNO3(8150).NO3())
	// Output: 4997
}

func ExampleNitrateTest() {
	t := hazard.NitrateSample{Result: 600, Sample: sample()}
	fmt.Println(hazard.NitrateTest(t, true, cows()).Answer)
	t.Sample.Ago = 8
	fmt.Println(hazard.NitrateTest(t, true, cows()).Answer, hazard.NitrateTest(t, false, cows()).Answer)
	// Output:
	// Clear
	// Hold Clear
}

// Drought and heavy nitrogen together: a Hold until a test that counts.
func ExampleNitrateSteer() {
	f := growth()
	f.Stressed, f.Nitrogen = true, 130
	fmt.Println(hazard.NitrateSteer(f).Answer)
	f.Tested, f.Test = true, hazard.NitrateSample{Result: 600, Sample: sample()}
	fmt.Println(hazard.NitrateSteer(f).Answer)
	// Output:
	// Hold
	// Clear
}

func ExampleBloat() {
	f := hazard.BloatFacts{Animals: cows(), Legume: 0.6, Frost: hazard.Never, Known: hazard.KnowLegume | hazard.KnowFrost | hazard.KnowDew}
	fmt.Println(hazard.Bloat(f).Answer)
	f.Frost = 2
	fmt.Println(hazard.Bloat(f).Answer)
	f.Tannin = true
	fmt.Println(hazard.Bloat(f).Answer)
	// Output:
	// Caution
	// Hold
	// Clear
}

func ExampleTetany() {
	f := hazard.TetanyFacts{Animals: cows(), Lush: true, Known: hazard.KnowLush | hazard.KnowPotash}
	f.Animals.Lactating = true
	fmt.Println(hazard.Tetany(f).Answer)
	f.Magnesium = true
	fmt.Println(hazard.Tetany(f).Answer)
	// Output:
	// Hold
	// Caution
}

// Twenty-seven New Zealand pastures: the mean of their ratios is printed as
// 2.45; the ratio of their means comes near it.
func ExampleTetanyRatio() {
	fmt.Printf("%.2f\n", hazard.TetanyRatio(0.0329, 0.0039, 0.0019))
	// Output: 2.40
}

func ExampleBrassica() {
	f := hazard.BrassicaFacts{Animals: cows(), Share: 0.3, Days: 20, Ripeness: hazard.Ripe, Roughage: true, Known: hazard.KnowShare | hazard.KnowAdapted | hazard.KnowSulphur}
	fmt.Println(hazard.Brassica(f).Answer)
	f.Share = 0.7
	fmt.Println(hazard.Brassica(f).Answer)
	// Output:
	// Clear
	// Hold
}

func ExampleErgot() {
	f := hazard.ErgotFacts{Animals: cows(), Headed: true, Known: hazard.KnowHeads}
	v := hazard.Ergot(f)
	fmt.Println(v.Answer, hazard.Words("ergot", v).Missing)
	f.Known |= hazard.KnowErgot
	fmt.Println(hazard.Ergot(f).Answer)
	// Output:
	// Hold [a look at the heads for ergot]
	// Clear
}

func ExamplePhotosensitisation() {
	f := hazard.LightFacts{Animals: hazard.Animals{Species: hazard.Horses}, Plants: hazard.Alsike, Known: hazard.KnowPlants}
	fmt.Println(hazard.Photosensitisation(f).Answer)
	f.Animals.Species = hazard.Cattle
	fmt.Println(hazard.Photosensitisation(f).Answer)
	// Output:
	// Hold
	// Caution
}

// Three millimetres below field capacity carry cattle, not machines.
func ExampleGround() {
	f := hazard.GroundFacts{Deficit: 3 * quantity.MillimetreOfWater, Drains: hazard.DrainsWell, Known: hazard.KnowWater | hazard.KnowRecentRain}
	fmt.Println(hazard.Ground(f).Answer)
	f.Load = hazard.Machines
	fmt.Println(hazard.Ground(f).Answer)
	// Output:
	// Clear
	// Hold
}

func ExampleReadiness() {
	f := hazard.ReadyFacts{Height: 9 * quantity.Inch, Ready: 10 * quantity.Inch, Residual: 4 * quantity.Inch, Known: hazard.KnowHeight | hazard.KnowUseHeight}
	fmt.Println(hazard.Words("readiness", hazard.Readiness(f)).Reasons[0].Text)
	// Output: shorter than the height at which its use begins
}

func ExampleAnchorage() {
	f := hazard.AnchorFacts{Sown: 50, Known: hazard.KnowSowing}
	fmt.Println(hazard.Anchorage(f).Answer)
	f.Pull = hazard.LeafBroke
	fmt.Println(hazard.Anchorage(f).Answer)
	// Output:
	// Hold
	// Clear
}

func ExampleAutumnRest() {
	fmt.Println(hazard.AutumnRest(hazard.AutumnFacts{Days: 41, Known: hazard.KnowKillingFrost}).Answer)
	fmt.Println(hazard.AutumnRest(hazard.AutumnFacts{Days: 42, Known: hazard.KnowKillingFrost}).Answer)
	fmt.Println(hazard.AutumnRest(hazard.AutumnFacts{Dormant: true}).Answer)
	// Output:
	// Hold
	// Clear
	// Caution
}

func ExampleProductWait() {
	f := hazard.ProductFacts{Applied: true, Since: 40, Known: hazard.KnowSprayed | hazard.KnowSinceSpray}
	v := hazard.ProductWait(f)
	fmt.Println(v.Answer, hazard.Words("labels", v).Missing)
	f.Interval, f.Known = 30, f.Known|hazard.KnowLabel
	fmt.Println(hazard.ProductWait(f).Answer)
	// Output:
	// Hold [the waiting time as the label gives it]
	// Clear
}

func ExampleSilo() {
	f := hazard.SiloFacts{Days: 41, NO2: 0.5, Oxygen: 0.209, Blower: true, Lifeline: true, Second: true, Known: hazard.KnowFilled | hazard.KnowAir}
	fmt.Println(hazard.Silo(f).Answer)
	f.Days = 42
	fmt.Println(hazard.Silo(f).Answer)
	f.Second = false
	fmt.Println(hazard.Silo(f).Answer)
	// Output:
	// Hold
	// Clear
	// Hold
}

func ExampleHayHeat() {
	for _, f := range []float64{110, 130, 150, 160} {
		fmt.Println(hazard.HayHeat(quantity.Fahrenheit(f), hazard.KnowHeat).Answer)
	}
	fmt.Println(hazard.HayHeat(0, 0).Answer)
	// Output:
	// Clear
	// Caution
	// Hold
	// Hold
	// Hold
}

func ExampleBaler() {
	fmt.Println(hazard.Baler(hazard.BalerFacts{Second: true, Level: true}).Answer, hazard.Baler(hazard.BalerFacts{Stopped: true, Second: true, Level: true}).Answer)
	// Output: Hold Clear
}

func ExampleHazards() {
	fmt.Println(strings.Join(hazard.Hazards(), ", "))
	// Output: prussic acid, horses, nitrate, botulism, listeria, laboratory results, bloat, grass tetany, brassicas, ergot, photosensitisation, silo gas, heating hay, balers, ground, readiness, roots, autumn rest, labels
}

func ExamplePage() {
	page, _ := hazard.Page("roots")
	fmt.Println(strings.Split(page, "\n")[4:6])
	_, err := hazard.Page("dragons")
	fmt.Println(strings.Split(err.Error(), ";")[0])
	// Output:
	// [FIELDS: readiness, no safety of feed  roots]
	// hazard "dragons" is unknown
}
