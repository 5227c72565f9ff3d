// Command rowen plans a farm's forages. It wires the terminal face to the process
// and does nothing else.
package main

import (
	"os"

	"rowen/internal/cli"
	"rowen/internal/solver"
)

func main() {
	if solver.IsChild() {
		os.Exit(solver.RunChild())
	}
	os.Exit(cli.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
