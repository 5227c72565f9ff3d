package cli

import (
	"encoding/json"

	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/quantity"
)

type mowCommand struct {
	officeFlag
	Farm        string  `arg:"" help:"Farm document."`
	Field       string  `arg:"" help:"Field to mow."`
	Use         string  `help:"wrap, chop or hay; default what the field is next for." placeholder:"USE"`
	Swath       float64 `help:"Share of the cut width that the swath covers." default:"0.7" placeholder:"SHARE"`
	Conditioned bool    `help:"The mower conditions: stems are crimped."`
	Diameter    string  `help:"Of round bales; default 4 ft wrapped, 5 ft dry." placeholder:"LENGTH"`
	Width       string  `help:"Of round bales; default 4 ft." placeholder:"LENGTH"`
	Forecast    string  `help:"Weather file with the coming days, at most ten are used." placeholder:"FILE"`
	Date        string  `help:"The day; default today where the farm lies." placeholder:"DATE"`
	Journal     string  `help:"The farm's journal; default beside the document, ending in .journal." placeholder:"FILE"`
	Weather     string  `help:"Weather up to the day; default the document's, else the invented valley's." placeholder:"FILE"`
	Neighbour   string  `help:"A station that reads at midnight, to put morning readings right." placeholder:"FILE"`
	Units       string  `help:"us or metric; default the document's." placeholder:"SYSTEM"`
	JSON        bool    `name:"json" help:"Print it as JSON."`
	Workers     int     `help:"Fields read at once; default one a processor." placeholder:"N"`
}

// Help shows examples.
func (mowCommand) Help() string { return examples("mow") }

// Run reads the field and prints the coming days.
func (c mowCommand) Run(f *face) error {
	m, err := desk.Mow(f.ctx, desk.MowRequest{
		TodayRequest: desk.TodayRequest{Farm: c.Farm, Journal: c.Journal, Weather: c.Weather, Neighbour: c.Neighbour, Forecast: c.Forecast, Date: c.Date, Catalogue: c.Catalogue, Workers: c.Workers},
		Field:        c.Field, Use: c.Use, Swath: c.Swath, Conditioned: c.Conditioned, Diameter: c.Diameter, Width: c.Width, Units: c.Units,
	})
	if err != nil {
		return err
	}
	if c.JSON {
		e := json.NewEncoder(f.out)
		e.SetIndent("", " ")
		return e.Encode(m)
	}
	u, err := quantity.ParseSystem(m.Units)
	if err != nil {
		return err
	}
	return report.WriteMow(f.out, m, u)
}
