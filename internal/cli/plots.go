package cli

import (
	"fmt"
	"path/filepath"

	"rowen/internal/desk"
	"rowen/quantity"
	"rowen/trial"
)

type plotsCommand struct {
	Design    string   `help:"block, split, latin or strip." default:"block" placeholder:"KIND"`
	Treatment []string `help:"A treatment; once for each. Main plots of a split plot, strips across of a strip plot." sep:"none" xor:"treatment" placeholder:"NAME"`
	Second    []string `help:"A treatment of the second factor; once for each." sep:"none" placeholder:"NAME"`
	Blocks    int      `help:"Blocks (replications); a Latin square has as many as treatments." placeholder:"N"`
	Plot      string   `help:"Width x length of a plot." default:"5 ft x 20 ft" placeholder:"SIZE"`
	Alley     string   `help:"Width of the alleys between blocks; default none." placeholder:"LENGTH"`
	Guards    int      `help:"Guard plots at each end of every row." placeholder:"N"`
	Border    string   `help:"Width of the border sown all round; default none." placeholder:"LENGTH"`
	Seed      uint64   `help:"The same seed gives the same map." default:"1" placeholder:"N"`
	Units     string   `help:"us or metric." default:"us"`
	Out       string   `help:"Folder to write map.txt, map.html and harvest.csv into." xor:"out" placeholder:"DIR"`
	Harvest   string   `help:"A filled harvest sheet: print yields by plot and treatment means." xor:"treatment,out" placeholder:"FILE"`
}

// Help shows examples.
func (plotsCommand) Help() string { return examples("plots") }

// Run lays out a trial, or works its harvest.
func (c plotsCommand) Run(f *face) error {
	u, err := quantity.ParseSystem(c.Units)
	if err != nil {
		return fmt.Errorf("--units %w", err)
	}
	if c.Harvest != "" {
		plots, err := desk.Harvest(c.Harvest)
		if err != nil {
			return err
		}
		return trial.WriteYields(f.out, plots, u)
	}
	m, err := desk.Plots(desk.PlotsRequest{Design: c.Design, Treatments: c.Treatment, Second: c.Second, Blocks: c.Blocks, Plot: c.Plot, Alley: c.Alley, Border: c.Border, Guards: c.Guards, Seed: c.Seed})
	if err != nil {
		return err
	}
	if c.Out != "" {
		if err := desk.SavePlots(c.Out, m, u); err != nil {
			return err
		}
	}
	if err := trial.WriteMap(f.out, m, u); err != nil {
		return err
	}
	if c.Out != "" {
		_, err = fmt.Fprintf(f.out, "\nWritten to %s: map.html (print this), map.txt, harvest.csv (fill this in)\n", filepath.Clean(c.Out))
	}
	return err
}
