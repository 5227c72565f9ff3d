package seed_test

import (
	"fmt"

	"rowen/handbook/seed"
)

// Wisconsin: 56 % of a coated bag; Texas: 64 %.
func ExamplePureLive() {
	fmt.Printf("%.2f %.2f\n", seed.PureLive(0.30, 1, 0.80), seed.PureLive(0, 0.85, 0.75))
	// Output: 0.56 0.64
}

func ExampleBulk() {
	fmt.Printf("%.2f\n", seed.Bulk(1, seed.PureLive(0, 0.85, 0.75)))
	// Output: 1.57
}

// About five alfalfa seeds a square foot for each pound an acre.
func ExamplePerSquareFoot() {
	fmt.Printf("%.1f\n", seed.PerSquareFoot(1, 227000))
	// Output: 5.2
}

func ExampleBags() {
	fmt.Println(seed.Bags(672, 50), seed.Bags(700, 50))
	// Output: 14 14
}

func ExampleFieldEmergence() {
	fmt.Println(seed.FieldEmergence(1600), seed.FieldEmergence(18000), seed.FieldEmergence(227000))
	// Output: 0.9 0.75 0.55
}
