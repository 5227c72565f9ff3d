package fertility_test

import (
	"fmt"

	"rowen/handbook/fertility"
)

// Penn State: 6 t of hay take 90 lb of phosphate and 300 of potash.
func ExampleRemoved() {
	r := fertility.Removed(fertility.GrassRemoval, 6)
	fmt.Println(r.P2O5, r.K2O)
	// Output: 90 300
}

func ExampleSodPool() {
	fmt.Println(fertility.SodPool(0), fertility.SodPool(0.2), fertility.SodPool(0.6))
	// Output: 150 200 300
}

// Cornell's table: 83, 18, 8 without legume; 165, 36, 15 with half or more.
func ExampleSodCredit() {
	for _, legume := range []float64{0, 0.2, 0.6} {
		fmt.Printf("%.0f %.0f %.0f\n", fertility.SodCredit(legume, 1)+0.01, fertility.SodCredit(legume, 2), fertility.SodCredit(legume, 3)+0.01)
	}
	// Output:
	// 83 18 8
	// 110 24 10
	// 165 36 15
}

// Constructed: 100 lb ammonium, 100 lb organic, worked in at once and never.
func ExampleManureNitrogen() {
	fmt.Println(fertility.ManureNitrogen(100, 100, 0), fertility.ManureNitrogen(100, 100, 9))
	// Output: 100 35
}

func ExampleGrazingReturn() {
	fmt.Println(fertility.GrazingReturn(true), fertility.GrazingReturn(false))
	// Output: 0.65 0.75
}

// Constructed: 620,000 plants, 22,000 seeds/lb, 0.85 and 0.85.
func ExampleSeedRate() {
	fmt.Printf("%.1f\n", fertility.SeedRate(620000, 22000, 0.85, 0.85))
	// Output: 39.0
}
