package machine_test

import (
	"fmt"

	"rowen/handbook/machine"
)

// Iowa State University PM 696: 40 ft, 6 mph, 70 %: 20.4; 10 ft, 5 mph, 63 %:
// 3.8.
func ExampleFieldCapacity() {
	fmt.Printf("%.1f %.1f\n", machine.FieldCapacity(6, 40, 0.70), machine.FieldCapacity(5, 10, 0.63))
	// Output: 20.4 3.8
}

func ExampleMaterialCapacity() {
	fmt.Printf("%.1f\n", machine.MaterialCapacity(3.8, 2.5))
	// Output: 9.5
}

// Constructed: a rotary mower-conditioner of 30,000 after 1,000 hours.
func ExampleRepairs() {
	fmt.Printf("%.0f\n", machine.Repairs(0.16, 2.0, 30000, 1000))
	// Output: 4800
}

// Interest tables: 8 % over 10 years 0.14903; 7 % over 8 years 0.16747.
func ExampleCapitalRecovery() {
	fmt.Printf("%.5f %.5f\n", machine.CapitalRecovery(0.08, 10), machine.CapitalRecovery(0.07, 8))
	// Output: 0.14903 0.16747
}

// Constructed: a baler after four years.
func ExampleSalvage() {
	fmt.Printf("%.1f\n", machine.Salvage(0.852, 0.101, 0, 4, 0))
	// Output: 42.2
}

func ExampleFuel() {
	fmt.Printf("%.1f\n", machine.Fuel(100))
	// Output: 4.4
}

// Iowa State's calculator prints 977 and 219.
func ExampleUpkeep() {
	fmt.Printf("%.0f %.0f\n", machine.Upkeep(160000, 35391), machine.Upkeep(32000, 11852))
	// Output: 977 219
}
