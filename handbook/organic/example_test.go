package organic_test

import (
	"fmt"

	"rowen/handbook/organic"
)

func ExampleCounts() {
	fmt.Println(organic.Counts(organic.GrazedStanding), organic.Counts(organic.SwathInPlace), organic.Counts(organic.GreenChop), organic.Counts(organic.Bale))
	// Output: true true false false
}

// The record sheet's arithmetic: 90 days at 40.3 % and 60 at 20 % pass with 32 %.
func ExampleShare() {
	fmt.Printf("%.3f\n", organic.Share([]float64{90, 60}, []float64{0.403, 0.20}))
	// Output: 0.322
}

func ExampleExemptions() {
	fmt.Println(len(organic.Exemptions()), organic.Exemptions()[0])
	// Output: 12 inclement weather
}

func ExampleAllowed() {
	ok, why := organic.Allowed("urea")
	fmt.Println(ok, why)
	// Output: false synthetic nitrogen is prohibited
}
