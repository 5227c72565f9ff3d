package grazing_test

import (
	"fmt"

	"rowen/handbook/grazing"
)

// Agronomy Facts 43: 35 days of rest, 3 of grazing: 12.7, so 13 paddocks.
func ExamplePaddocks() {
	fmt.Printf("%.1f\n", grazing.Paddocks(35, 3))
	// Output: 12.7
}

// Constructed: 60 cows, 30 lb each from pasture, half a day, 1,500 lb/ac at 75 %.
func ExamplePaddockArea() {
	fmt.Printf("%.2f\n", grazing.PaddockArea(60, 30, 0.5, 1500, 0.75))
	// Output: 0.80
}

func ExampleUtilisation() {
	fmt.Println(grazing.Utilisation(1), grazing.Utilisation(3), grazing.Utilisation(4), grazing.Utilisation(5), grazing.Utilisation(7))
	// Output: 0.8 0.75 0.7 0.65 0.6
}

// Constructed: 1,500 lb/ac on 8 ac at 75 %, 60 cows of 1,200 lb eating 2.5 %.
func ExampleDays() {
	fmt.Printf("%.1f\n", grazing.Days(1500, 8, 0.75, 1200, 0.025, 60))
	// Output: 5.0
}

// Constructed: 1,500 lb/ac at 75 %, 3 %, half a day.
func ExampleStockDensity() {
	fmt.Printf("%.0f\n", grazing.StockDensity(1500, 0.75, 0.03, 0.5))
	// Output: 75000
}

// University of Maine: orchardgrass and legume, excellent, 7 in grazed to 3:
// 1,200 to 1,400 lb/ac.
func ExampleMassFromHeight() {
	fmt.Println(grazing.MassFromHeight(7, 3, 300), grazing.MassFromHeight(7, 3, 350))
	// Output: 1200 1400
}

// Constructed: demand 40 lb; fed 10 lb of grain at 89 % and 30 lb of baleage at
// 50 %: 16.1 lb from pasture, 40.3 %.
func ExamplePastureIntake() {
	p := grazing.PastureIntake(40, 10*0.89+30*0.50)
	fmt.Printf("%.1f %.1f%%\n", p, 100*p/40)
	// Output: 16.1 40.3%
}

// Constructed: 90 days at 40.25 % and 60 at 20 %: 32.15 %, which passes.
func ExampleSeasonShare() {
	s := grazing.SeasonShare([]float64{90, 60}, []float64{16.1, 8}, []float64{40, 40})
	fmt.Printf("%.2f%% %v\n", 100*s, s >= grazing.OrganicPastureShare)
	// Output: 32.15% true
}
