package cli

import (
	"cmp"
	"fmt"

	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/quantity"
)

type reviewCommand struct {
	officeFlag
	Farm      string `arg:"" help:"Farm document."`
	Journal   string `help:"Its journal; default beside the document, ending in .journal." placeholder:"FILE"`
	Date      string `help:"The last day looked at; default today where the farm lies." placeholder:"DATE"`
	Weather   string `help:"Weather up to the day; default the document's, else the invented valley's." placeholder:"FILE"`
	Neighbour string `help:"A station that reads at midnight, to put morning readings right." placeholder:"FILE"`
	Units     string `help:"us or metric; default the document's." placeholder:"SYSTEM"`
	JSON      bool   `name:"json" help:"Print the review as JSON."`
	Workers   int    `help:"Years run at once; default one a processor." placeholder:"N"`
}

// Help shows examples.
func (reviewCommand) Help() string {
	return `The plan is run over the other weather years, and what was written down of the feed year that the day lies in stands beside it, field by field. What nobody wrote down is unknown. To look back over a whole feed year, give its last day.

` + examples("review")
}

// Run holds the plan against the journal and prints.
func (c reviewCommand) Run(f *face) error {
	v, _, err := desk.Review(f.ctx, desk.TodayRequest{Farm: c.Farm, Journal: c.Journal, Weather: c.Weather, Neighbour: c.Neighbour, Date: c.Date, Catalogue: c.Catalogue, Workers: c.Workers})
	if err != nil {
		return err
	}
	if c.JSON {
		return f.json(v)
	}
	u, err := quantity.ParseSystem(cmp.Or(c.Units, v.Units))
	if err != nil {
		return fmt.Errorf("--units %w", err)
	}
	return report.WriteReview(f.out, v, u)
}
