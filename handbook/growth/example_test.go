package growth_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rowen/handbook/growth"
)

// Recomputed: 5 and 25 °C above 10.
func ExampleDegreeDays() {
	fmt.Println(growth.DegreeDays(5, 25, 10))
	// Output: 5
}

// University of Wisconsin Extension column, Waushara Argus, 2018: 90/65, 72/46
// and 63/42 °F give 25.5, 11 and 6.5.
func ExampleCappedDegreeDays() {
	fmt.Println(growth.CappedDegreeDays(65, 90, 50, 86), growth.CappedDegreeDays(46, 72, 50, 86), growth.CappedDegreeDays(42, 63, 50, 86))
	// Output: 25.5 11 6.5
}

// 2 and 18 °C above 10 is 8/π.
func ExampleSineDegreeDays() {
	fmt.Printf("%.3f %.3f\n", growth.SineDegreeDays(2, 18, 10), growth.SineDegreeDays(5, 25, 10))
	// Output: 2.546 6.090
}

func ExampleSineDegreeDaysCut() {
	fmt.Printf("%.3f %.3f\n", growth.SineDegreeDaysCut(5, 35, 10, 30), growth.SineDegreeDaysCut(12, 34, 10, 30))
	// Output: 10.000 12.262
}

// Sorghum, 8/25/35/42 °C.
func ExampleResponse() {
	c := growth.Cardinal{Base: 8, Low: 25, High: 35, End: 42}
	fmt.Println(growth.Response(16.5, c), growth.Response(30, c), growth.Response(45, c))
	// Output: 0.5 1 0
}

// A constructed example: half of the light at k·LAI = ln 2.
func ExampleInterception() {
	fmt.Printf("%.3f\n", growth.Interception(0.5, 1.3863))
	// Output: 0.500
}

// A constructed example: 3 g/MJ, 20 MJ, 80 %.
func ExampleLightLimited() {
	fmt.Printf("%.2f\n", growth.LightLimited(3, 20, 0.8))
	// Output: 23.04
}

// Sorghum at 13.8 Pa grows 13.8 g for each kg transpired at 1 kPa (Ehlers &
// Goss 2003, Table 6.4).
func ExampleWaterLimited() {
	fmt.Println(growth.WaterLimited(13.8, 1, 1))
	// Output: 13.8
}

func ExampleDaytimeDeficit() {
	fmt.Printf("%.2f\n", growth.DaytimeDeficit(3.17, 1.50))
	// Output: 1.00
}

// C3 grass of 1 and of 4 t/ha.
func ExampleCriticalNitrogen() {
	fmt.Printf("%.1f %.1f\n", growth.CriticalNitrogen(4.8, 0.32, 1), growth.CriticalNitrogen(4.8, 0.32, 4))
	// Output: 4.8 3.1
}

// The sine method never falls below averaging and rises with warmth.
func TestSineAgainstAveraging(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-20, 30).Draw(t, "min")
		hi := lo + rapid.Float64Range(0.1, 25).Draw(t, "range")
		sine := growth.SineDegreeDays(lo, hi, 10)
		if sine < growth.DegreeDays(lo, hi, 10)-1e-9 || sine > growth.SineDegreeDays(lo+1, hi+1, 10)+1e-9 || math.IsNaN(sine) {
			t.Fatalf("sine %v at %v to %v", sine, lo, hi)
		}
	})
}
