package nutrition_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rowen/handbook/nutrition"
)

// The anchor of the scale: ADF 41, NDF 53 is 100 (University of Wisconsin).
func ExampleRelativeFeedValue() {
	fmt.Printf("%.0f %.1f %.2f\n", nutrition.RelativeFeedValue(41, 53), nutrition.RelativeFeedValue(30, 40), nutrition.RelativeFeedValue(36, 60))
	// Output: 100 152.4 94.35
}

func ExampleDigestibleDM() {
	fmt.Printf("%.2f\n", nutrition.DigestibleDM(41))
	// Output: 56.96
}

func ExampleIntakeFromNDF() {
	fmt.Printf("%.3f\n", nutrition.IntakeFromNDF(53))
	// Output: 2.264
}

// Constructed: CP 20, NDF 40, fat 2.5, ash 10, NDFD 50.
func ExampleLegumeTDN() {
	fmt.Printf("%.2f\n", nutrition.LegumeTDN(20, 40, 2.5, 10, 50))
	// Output: 63.17
}

// Constructed: CP 14, NDF 55, fat 3, ash 9, NDFD 62.
func ExampleGrassTDN() {
	fmt.Printf("%.2f\n", nutrition.GrassTDN(14, 55, 3, 9, 62))
	// Output: 61.61
}

func ExampleLegumeIntake() {
	fmt.Printf("%.3f\n", nutrition.LegumeIntake(40, 50))
	// Output: 3.139
}

func ExampleGrassIntake() {
	fmt.Printf("%.2f\n", nutrition.GrassIntake(14, 33, 61.61))
	// Output: 2.84
}

func ExampleRelativeForageQuality() {
	fmt.Printf("%.1f %.1f\n", nutrition.RelativeForageQuality(3.139, 63.17), nutrition.RelativeForageQuality(2.840, 61.61))
	// Output: 161.2 142.3
}

// Constructed legume: CP 19, NDF 44, NDICP 4, ADICP 1.5, lignin 7, fat 2.2, ash
// 9.5.
func ExampleSummativeTDN() {
	fmt.Printf("%.2f\n", nutrition.SummativeTDN(19, 44, 4, 1.5, 7, 2.2, 9.5, 1))
	// Output: 58.71
}

func ExampleDigestibleEnergy() {
	fmt.Printf("%.3f\n", nutrition.DigestibleEnergy(19, 44, 4, 1.5, 7, 2.2, 9.5, 1))
	// Output: 2.701
}

func ExampleDiscount() {
	fmt.Printf("%.3f\n", nutrition.Discount(58.71, 3))
	// Output: 0.991
}

// The same legume at three times maintenance.
func ExampleMetabolisableEnergy() {
	fmt.Printf("%.3f\n", nutrition.MetabolisableEnergy(2.701*0.991, 2.2))
	// Output: 2.253
}

func ExampleNetEnergyLactation() {
	fmt.Printf("%.3f\n", nutrition.NetEnergyLactation(2.2535))
	// Output: 1.394
}

// National Forage Testing Association: TDN 60 is 0.614 Mcal/lb.
func ExampleNELFromTDN() {
	fmt.Printf("%.3f %.3f\n", nutrition.NELFromTDN(60), nutrition.NELFromTDN(60)*0.45359237)
	// Output: 1.350 0.612
}

// Constructed: 65 % TDN.
func ExampleMEFromTDN() {
	fmt.Printf("%.2f\n", nutrition.MEFromTDN(65))
	// Output: 2.35
}

// Constructed on the published line: ADF 25.
func ExampleCornSilageTDN() {
	fmt.Printf("%.2f\n", nutrition.CornSilageTDN(25))
	// Output: 70.34
}

func ExampleAnalysis_Complete() {
	a := nutrition.Analysis{CP: 14, NDF: 55, Fat: 3, Ash: 9, NDFD: 62}
	a.Complete(0)
	fmt.Printf("%.2f %.2f %.2f\n", a.TDN, a.NEL, a.ME)
	// Output: 61.61 1.39 2.23
}

func ExampleFatCorrectedMilk() {
	fmt.Printf("%.2f\n", nutrition.FatCorrectedMilk(35, 3.5))
	// Output: 32.38
}

// NRC 2001 table: 680 kg, 90 days in milk, 35 kg at 3.5 %: 23.6 printed; the
// equation gives 23.9.
func ExampleIntakeDairy() {
	fmt.Printf("%.2f\n", nutrition.IntakeDairy(32.375, 680, 90.0/7))
	// Output: 23.89
}

// The same row: NEL 34.8 Mcal printed; true protein 3.0 % is crude 3.0/0.93,
// lactose 4.8.
func ExampleMilkEnergy() {
	fmt.Printf("%.2f\n", 35*nutrition.MilkEnergy(3.5, 3.0/0.93, 4.8)+nutrition.MaintenanceNEL(680))
	// Output: 34.85
}

func ExampleMaintenanceNEL() {
	fmt.Printf("%.2f\n", nutrition.MaintenanceNEL(680))
	// Output: 10.65
}

// Gamroth's table: a 1,000-lb cow, half a mile a day, 60 % pasture: 0.71 Mcal flat,
// 3.41 hilly; a 1,400-lb cow two miles on hills 5.47.
func ExampleGrazingNEL() {
	const lb, mile = 0.45359237, 1.609344
	fmt.Printf("%.2f %.2f %.2f\n", nutrition.GrazingNEL(1000*lb, 0.5*mile, 0.6, false), nutrition.GrazingNEL(1000*lb, 0.5*mile, 0.6, true), nutrition.GrazingNEL(1400*lb, 2*mile, 0.6, true))
	// Output: 0.71 3.43 5.49
}

// Constructed: a 45-kg calf, day 240.
func ExamplePregnancyNEL() {
	fmt.Printf("%.2f %.2f\n", nutrition.PregnancyNEL(100, 45), nutrition.PregnancyNEL(240, 45))
	// Output: 0.00 3.34
}

// Constructed: 35 kg at 3.8, 3.1 and 4.85 %.
func ExampleMilkEnergy2021() {
	fmt.Printf("%.2f\n", nutrition.MilkEnergy2021(35, 3.8, 3.1, 4.85))
	// Output: 25.41
}

// Constructed: that cow at 650 kg, score 3, 120 days in milk.
func ExampleIntakeDairy2021() {
	fmt.Printf("%.2f\n", nutrition.IntakeDairy2021(1, 25.41, 650, 3, 120))
	// Output: 23.76
}

// At the means of the source's data.
func ExampleIntakeFromRation() {
	fmt.Printf("%.2f\n", nutrition.IntakeFromRation(24, 0.602, 48.3, 33.1))
	// Output: 23.02
}

// Constructed: 400 of 700 kg.
func ExampleIntakeHeifer() {
	fmt.Printf("%.2f\n", nutrition.IntakeHeifer(400, 700))
	// Output: 9.01
}

func ExampleProteinDairy() {
	fmt.Printf("%.1f %.1f %.1f\n", nutrition.ProteinDairy(25), nutrition.ProteinDairy(35), nutrition.ProteinDairy(45))
	// Output: 14.1 15.2 16.0
}

func ExampleFibreCapacity() {
	fmt.Printf("%.1f\n", nutrition.FibreCapacity(600))
	// Output: 7.2
}

func ExampleLeastFibre() {
	fmt.Println(nutrition.LeastFibre())
	// Output: 0.25
}

// Hibberd & Thrift's table.
func ExampleIntakeBeefCow() {
	fmt.Println(nutrition.IntakeBeefCow(50, false), nutrition.IntakeBeefCow(56, true), nutrition.IntakeBeefCow(62, true))
	// Output: 1.8 2.5 2.7
}

// 700 lb: 21 lb.
func ExampleIntakeGrowingCattle() {
	fmt.Printf("%.1f\n", nutrition.IntakeGrowingCattle(317.5)/0.45359237)
	// Output: 21.0
}

// Constructed: 550 kg.
func ExampleMaintenanceNE() {
	fmt.Printf("%.2f %.2f\n", nutrition.MaintenanceNE(550, false), nutrition.MaintenanceNE(550, true))
	// Output: 8.48 10.18
}

// Constructed: 300 kg gaining 0.9 kg.
func ExampleGainNE() {
	fmt.Printf("%.2f\n", nutrition.GainNE(300, 0.9))
	// Output: 3.45
}

// Constructed: a 38-kg calf, day 260.
func ExamplePregnancyNE() {
	fmt.Printf("%.1f\n", nutrition.PregnancyNE(260, 38))
	// Output: 3.8
}

// Constructed: ME 2.3.
func ExampleNetEnergies() {
	m, g := nutrition.NetEnergies(2.3)
	fmt.Printf("%.2f %.2f\n", m, g)
	// Output: 1.43 0.84
}

func ExampleMEOfBeef() {
	fmt.Printf("%.1f\n", nutrition.MEOfBeef(8.48, 0, 2.3))
	// Output: 13.7
}

func ExampleProteinBeef() {
	fmt.Println(nutrition.ProteinBeef(false, false, 0), nutrition.ProteinBeef(true, false, 0), nutrition.ProteinBeef(false, false, 1))
	// Output: 7.5 10.5 12.5
}

// A 150-lb ewe with twins: 2.6, 4.0 and 4.4 lb.
func ExampleIntakeEwe() {
	for s := nutrition.EweMaintenance; s <= nutrition.EweLactating; s++ {
		fmt.Printf("%.1f ", nutrition.IntakeEwe(68.04, s)/0.45359237)
	}
	// Output: 2.6 4.0 4.4
}

func ExampleEweME() {
	fmt.Println(nutrition.EweME(70, nutrition.EweMaintenance), nutrition.EweME(70, nutrition.EweLactating))
	// Output: 2.4 4.9
}

func ExampleProteinSheep() {
	fmt.Println(nutrition.ProteinSheep(nutrition.EweLactating))
	// Output: 14
}

func ExampleLambNeed() {
	dm, me := nutrition.LambNeed(30, 0.2)
	fmt.Printf("%.2f %.2f\n", dm, me)
	// Output: 1.29 2.44
}

func ExampleHorseNeed() {
	dm, me := nutrition.HorseNeed(500)
	fmt.Printf("%.0f %.1f\n", dm, me)
	// Output: 10 14.5
}

func ExampleAnalysis_Energy() {
	a := nutrition.Analysis{NEL: 1.4, ME: 2.3}
	fmt.Println(a.Energy(nutrition.NEL), a.Energy(nutrition.ME))
	// Output: 1.4 2.3
}

// More fibre never raises value; a heavier, higher-yielding cow never eats less.
func TestMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		adf := rapid.Float64Range(20, 45).Draw(t, "adf")
		ndf := adf + rapid.Float64Range(5, 25).Draw(t, "more")
		if nutrition.RelativeFeedValue(adf, ndf+1) > nutrition.RelativeFeedValue(adf, ndf) {
			t.Fatal("RFV rises with NDF")
		}
		w, fcm := rapid.Float64Range(400, 750).Draw(t, "w"), rapid.Float64Range(5, 50).Draw(t, "fcm")
		if d := nutrition.IntakeDairy(fcm, w, 15); d > nutrition.IntakeDairy(fcm+1, w, 15) || d > nutrition.IntakeDairy(fcm, w+1, 15) || math.IsNaN(d) {
			t.Fatal("intake falls with milk or weight")
		}
	})
}

// Half and half.
func ExampleAnalysis_AddScaled() {
	var mix nutrition.Analysis
	mix.AddScaled(&nutrition.Analysis{CP: 12}, 1)
	mix.AddScaled(&nutrition.Analysis{CP: 18}, 1)
	mix.Scale(0.5)
	fmt.Println(mix.CP)
	// Output: 15
}

func ExampleAnalysis_Scale() {
	a := nutrition.Analysis{NDF: 100}
	a.Scale(0.5)
	fmt.Println(a.NDF)
	// Output: 50
}
