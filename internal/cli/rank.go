package cli

import (
	"encoding/json"
	"fmt"

	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/quantity"
)

type rankCommand struct {
	officeFlag
	stationFlags
	Farm    string `arg:"" optional:"" help:"Farm document; or name a soil with --soil."`
	Field   string `arg:"" optional:"" help:"Field of it; without one, every field that is bare or sown in the plan."`
	For     string `help:"Use: ${uses}; default the one in which each stand yields most." placeholder:"USE"`
	Soil    string `help:"Instead of a farm: texture, drainage, pH, organic matter." placeholder:"TEXT"`
	All     bool   `help:"Perennials and winter annuals too."`
	Weather string `help:"Weather file; default the document's, else the invented valley's." placeholder:"FILE"`
	Years   string `help:"First and last feed year, or how many of the latest; default the latest 30." placeholder:"A-B|N"`
	Units   string `help:"us or metric." default:"us"`
	JSON    bool   `name:"json" help:"Print JSON instead of the page."`
}

// Help shows examples.
func (rankCommand) Help() string { return examples("rank") }

// Run ranks and prints.
func (c rankCommand) Run(f *face) error {
	u, err := quantity.ParseSystem(c.Units)
	if err != nil {
		return fmt.Errorf("--units %w", err)
	}
	pages, err := desk.Rank(desk.RankRequest{Farm: c.Farm, Field: c.Field, Soil: c.Soil, For: c.For, All: c.All, At: c.at(c.Weather), Years: c.Years, Catalogue: c.Catalogue})
	if err != nil {
		return err
	}
	if c.JSON {
		e := json.NewEncoder(f.out)
		e.SetIndent("", " ")
		return e.Encode(pages)
	}
	for i, page := range pages {
		if i > 0 {
			_, _ = fmt.Fprintln(f.out)
		}
		if err := report.WriteRanking(f.out, page, u); err != nil {
			return err
		}
	}
	return nil
}
