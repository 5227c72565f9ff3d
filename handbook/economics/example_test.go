package economics_test

import (
	"fmt"

	"rowen/handbook/economics"
)

// Constructed: 300 an acre on 4 tons, 15 % lost.
func ExampleCostPerTon() {
	fmt.Printf("%.2f\n", economics.CostPerTon(300, 4, 0.15))
	// Output: 88.24
}

// North Dakota State University: 45 a ton at 35 % is 38.58 at 30 % (recomputed
// 38.57), 51.44 at 40 % and 102.86 at 80 %.
func ExampleEqualDryMatterPrice() {
	fmt.Printf("%.2f %.2f\n", economics.EqualDryMatterPrice(45, 35, 30), economics.EqualDryMatterPrice(45, 35, 80))
	// Output: 38.57 102.86
}

func ExamplePartialBudget() {
	fmt.Println(economics.PartialBudget(100, 20, 60, 10))
	// Output: 50
}
