package comfort_test

import (
	"fmt"

	"rowen/handbook/comfort"
)

// The published value: 32 °C and 22 % give 75.9. And 72 °F in saturated air, 77 °F
// at half, stand at 72 (De Vries, University of Florida).
func ExampleHeatIndex() {
	fmt.Printf("%.1f %.0f %.0f\n", comfort.HeatIndex(32, 0.22), comfort.HeatIndex((72-32)/1.8, 1), comfort.HeatIndex((77-32)/1.8, 0.5))
	// Output: 75.9 72 72
}

func ExampleStress() {
	fmt.Println(comfort.Stress(66), comfort.Stress(70), comfort.Stress(75), comfort.Stress(84))
	// Output: none mild moderate severe
}

func ExampleIntakeFactor() {
	fmt.Printf("%.2f %.2f\n", comfort.IntakeFactor(60), comfort.IntakeFactor(78))
	// Output: 1.00 0.88
}
