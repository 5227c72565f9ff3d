package evapo_test

import (
	"fmt"

	"rowen/handbook/evapo"
)

// FAO-56 Example 8: 20° S, 3 September (J 246). Printed: dr 0.985, δ 0.120,
// ωs 1.527, Ra 32.2.
func ExampleExtraterrestrialRadiation() {
	fmt.Printf("%.1f\n", evapo.ExtraterrestrialRadiation(-20, 246))
	// Output: 32.2
}

func ExampleRelativeDistance() {
	fmt.Printf("%.3f\n", evapo.RelativeDistance(246))
	// Output: 0.985
}

func ExampleDeclination() {
	fmt.Printf("%.3f\n", evapo.Declination(246))
	// Output: 0.120
}

func ExampleSunsetAngle() {
	fmt.Printf("%.3f\n", evapo.SunsetAngle(-20, 246))
	// Output: 1.527
}

// FAO-56 Example 9.
func ExampleDaylight() {
	fmt.Printf("%.1f\n", evapo.Daylight(-20, 246))
	// Output: 11.7
}

// FAO-56 Example 18, Uccle, 6 July: 9.25 h of sunshine of 16.1, Ra 41.09.
func ExampleSolarFromSunshine() {
	fmt.Printf("%.2f\n", evapo.SolarFromSunshine(9.25, 16.1, 41.09))
	// Output: 22.08
}

// FAO-56 Example 18, 100 m. The paper prints 30.90.
func ExampleClearSky() {
	fmt.Printf("%.2f\n", evapo.ClearSky(100, 41.09))
	// Output: 30.90
}

// FAO-56 Example 20, Lyon, mid-July: 14.8 to 26.6 °C, Ra 40.55, kRs 0.16.
// Printed: 22.3.
func ExampleSolarFromTemperature() {
	fmt.Printf("%.1f\n", evapo.SolarFromTemperature(evapo.KRsInland, 14.8, 26.6, 40.55))
	// Output: 22.3
}

// FAO-56 Example 18, 100 m.
func ExamplePressure() {
	fmt.Printf("%.1f\n", evapo.Pressure(100))
	// Output: 100.1
}

func ExamplePsychrometric() {
	fmt.Printf("%.4f\n", evapo.Psychrometric(100.1))
	// Output: 0.0666
}

// FAO-56 Example 18, 21.5 and 12.3 °C: e° 2.564 and 1.431, es 1.997.
func ExampleSaturationPressure() {
	fmt.Printf("%.3f %.3f\n", evapo.SaturationPressure(21.5), evapo.SaturationPressure(12.3))
	// Output: 2.564 1.431
}

func ExampleMeanSaturationPressure() {
	fmt.Printf("%.3f\n", evapo.MeanSaturationPressure(12.3, 21.5))
	// Output: 1.997
}

func ExampleSlope() {
	fmt.Printf("%.3f\n", evapo.Slope((21.5+12.3)/2))
	// Output: 0.122
}

// FAO-56 Example 18: humidity 84 and 63 %, ea 1.409.
func ExampleVapourFromHumidity() {
	fmt.Printf("%.3f\n", evapo.VapourFromHumidity(12.3, 21.5, 63, 84))
	// Output: 1.409
}

// A constructed example: the mean of 84 and 63 % on the same day.
func ExampleVapourFromMeanHumidity() {
	fmt.Printf("%.3f\n", evapo.VapourFromMeanHumidity(12.3, 21.5, 73.5))
	// Output: 1.468
}

// FAO-56 Example 20: e°(14.8) = 1.68.
func ExampleVapourFromMinimum() {
	fmt.Printf("%.2f\n", evapo.VapourFromMinimum(14.8))
	// Output: 1.68
}

// FAO-56 Example 18: 10 km/h at 10 m is 2.78 m/s, 2.078 at 2 m.
func ExampleWindAt2m() {
	fmt.Printf("%.3f\n", evapo.WindAt2m(10/3.6, 10))
	// Output: 2.078
}

// FAO-56 Example 18: Rns 17.00 of 22.07.
func ExampleNetShortwave() {
	fmt.Printf("%.1f\n", evapo.NetShortwave(22.07))
	// Output: 17.0
}

// FAO-56 Example 18: Rnl 3.71.
func ExampleNetLongwave() {
	fmt.Printf("%.2f\n", evapo.NetLongwave(12.3, 21.5, 1.409, 22.07, 30.90))
	// Output: 3.71
}

// FAO-56 Example 17: April 30.2 °C after March 29.2 °C, G 0.14.
func ExampleSoilHeatMonthly() {
	fmt.Printf("%.2f\n", evapo.SoilHeatMonthly(29.2, 30.2))
	// Output: 0.14
}

// FAO-56 Example 17, Bangkok, April: Rn 14.33, G 0.14, 30.2 °C, u2 2, es 4.42,
// ea 2.85, γ 0.0674. Printed: 5.72; from the printed, rounded inputs 5.71, and
// TestBangkok runs the whole chain.
func ExampleReference() {
	fmt.Printf("%.2f\n", evapo.Reference(14.33, 0.14, 30.2, 2, 4.42, 2.85, 0.0674))
	// Output: 5.71
}

// FAO-56 Example 18, Uccle, 6 July. Printed: 3.88, given as 3.9.
func ExampleDaily() {
	ra := evapo.ExtraterrestrialRadiation(50.8, 187)
	fmt.Printf("%.2f\n", evapo.Daily(12.3, 21.5, 22.07, 1.409, 2.078, 100, ra))
	// Output: 3.88
}

// FAO-56 Example 20, Lyon: 5.0 from temperatures alone.
func ExampleHargreaves() {
	fmt.Printf("%.1f\n", evapo.Hargreaves(14.8, 26.6, 0.408*40.55))
	// Output: 5.0
}

// FAO-56 Example 36, silt of 170 mm/m under maize 1.2 m deep (the soil's values
// are from memory with low confidence; the arithmetic is exact).
func ExampleTotalAvailable() {
	fmt.Printf("%.0f\n", evapo.TotalAvailable(0.32, 0.15, 1.2))
	// Output: 204
}

func ExampleDepletionFraction() {
	fmt.Printf("%.2f %.2f\n", evapo.DepletionFraction(0.55, 5), evapo.DepletionFraction(0.55, 7))
	// Output: 0.55 0.47
}

// FAO-56 Example 36.
func ExampleReadilyAvailable() {
	fmt.Printf("%.0f\n", evapo.ReadilyAvailable(0.55, 204))
	// Output: 112
}

// FAO-56 Example 37, tomato: TAW 160, p 0.40; at a depletion of 100, 0.625.
func ExampleStressCoefficient() {
	fmt.Printf("%.3f\n", evapo.StressCoefficient(160, 0.40, 100))
	// Output: 0.625
}

// A constructed example: silt loam 0.32 and 0.15, 0.10 m.
func ExampleTotalEvaporable() {
	fmt.Printf("%.1f\n", evapo.TotalEvaporable(0.32, 0.15, 0.10))
	// Output: 24.5
}

// A constructed example on FAO-56 eq 74.
func ExampleEvaporationReduction() {
	fmt.Printf("%.2f %.2f\n", evapo.EvaporationReduction(22, 9, 5), evapo.EvaporationReduction(22, 9, 15.5))
	// Output: 1.00 0.50
}

// A constructed example: S = 84.7 mm at curve number 75; 50 mm of rain.
func ExampleRunoff() {
	fmt.Printf("%.1f\n", evapo.Runoff(50, 75))
	// Output: 9.3
}

// A constructed example: one warm day moves the soil by 13 % of the difference.
func ExampleSoilTemperature() {
	fmt.Printf("%.2f\n", evapo.SoilTemperature(10, 20))
	// Output: 11.33
}
