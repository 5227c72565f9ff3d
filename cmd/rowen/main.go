// Command rowen plans a farm's forages. It wires the terminal face to the process
// and does nothing else.
package main

import (
	"os"

	"rowen/internal/cli"
)

func main() { os.Exit(cli.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
