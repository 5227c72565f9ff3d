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

// Cornell's page: 10 ton/ac at 5 lb of organic nitrogen a ton in each of three years
// gives 17.5, 6 and 2.5: 26 lb/ac.
func ExampleOrganicRelease() {
	fmt.Println(fertility.OrganicRelease(50, 0, 0), fertility.OrganicRelease(50, 50, 50))
	// Output: 17.5 26
}

// Alfalfa at 55 lb of potash a ton holds 2.3 % potassium: too much for close-up cows.
func ExamplePotassiumOfPotash() {
	fmt.Printf("%.1f\n", fertility.PotassiumOfPotash(fertility.AlfalfaRemoval.K2O))
	// Output: 2.3
}

func ExampleReadTest() {
	p, k := fertility.ReadTest("Mehlich 3", 22, 160)
	fmt.Println(p, k)
	p, k = fertility.ReadTest("somebody's own", 22, 160)
	fmt.Println(p, k)
	// Output:
	// low optimum
	// not tested not tested
}

// North Carolina's example: pH 5.0, target 6.0, acidity 1.2: 0.75 ton/ac (printed
// 0.76 with a rounded factor).
func ExampleLimeNeed() {
	tons, err := fertility.LimeNeed(5.0, 6.3, 6.0)
	fmt.Printf("%.2f %v\n", tons, err)
	// Output: 0.75 <nil>
}

// A hundred 1,400-lb cows, all year under roof: 2,134 ton by the table (2,190 by the
// rule of 120 lb a day).
func ExampleCollected() {
	tons, n, p, k := fertility.Collected(fertility.DairyExcretion, 140, 1)
	fmt.Printf("%.0f ton, %.0f lb N, %.0f P2O5, %.0f K2O\n", tons, n, p, k)
	// Output: 2134 ton, 9174 lb N, 8065 P2O5, 15529 K2O
}

func ExampleFixed() {
	// Two tons of clover dry matter.
	fmt.Printf("%.0f lb\n", fertility.Fixed(2))
	// Output: 104 lb
}
