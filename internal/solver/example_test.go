package solver_test

import (
	"fmt"
	"math"
	"os"

	"rowen/internal/solver"
)

// Two hay crops share ten acres; their dry matter is worth most together.
func ExampleModel_WriteMPS() {
	m := solver.NewModel("hay")
	m.Maximise()
	first, second := m.Var("clover", 0, math.Inf(1), 3), m.Int("rye strips", 0, 4, 2)
	land := m.Row("land", math.Inf(-1), 10)
	m.Set(land, first, 1)
	m.Set(land, second, 2)
	if err := m.WriteMPS(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// NAME hay FREE
	// OBJSENSE
	//     MAX
	// ROWS
	//  N  OBJ
	//  L  land
	// COLUMNS
	//     clover  OBJ  3
	//     clover  land  1
	//     MARK0  'MARKER'  'INTORG'
	//     rye_strips  OBJ  2
	//     rye_strips  land  2
	//     MARK1  'MARKER'  'INTEND'
	// RHS
	//     RHS  land  10
	// BOUNDS
	//  UP BND  rye_strips  4
	// ENDATA
}
