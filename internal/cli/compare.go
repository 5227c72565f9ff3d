package cli

import (
	"fmt"

	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/quantity"
)

type compareCommand struct {
	officeFlag
	stationFlags
	Crop    []string `arg:"" help:"Crops or mixtures; a use may follow a colon: teff:hay."`
	Weather string   `help:"Weather file; default the invented valley's." placeholder:"FILE"`
	Soil    string   `help:"Texture, drainage, pH, organic matter." placeholder:"TEXT"`
	Years   string   `help:"First and last feed year, or how many of the latest; default the latest 30." placeholder:"A-B|N"`
	Units   string   `help:"us or metric." default:"us"`
}

// Help shows examples.
func (compareCommand) Help() string { return examples("compare") }

// Run grows and prints.
func (c compareCommand) Run(f *face) error {
	u, err := quantity.ParseSystem(c.Units)
	if err != nil {
		return fmt.Errorf("--units %w", err)
	}
	if len(c.Crop) > 5 {
		return fmt.Errorf("%d stands: at most five fit side by side", len(c.Crop))
	}
	got, err := desk.Compare(desk.CompareRequest{Crops: c.Crop, At: c.at(c.Weather), Soil: c.Soil, Years: c.Years, Catalogue: c.Catalogue})
	if err != nil {
		return err
	}
	return report.WriteComparison(f.out, got, u)
}
