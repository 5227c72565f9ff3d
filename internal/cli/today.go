package cli

import (
	"encoding/json"
	"fmt"

	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/quantity"
)

type todayCommand struct {
	officeFlag
	Farm      string `arg:"" help:"Farm document, or a folder of them: then one list over all of them."`
	Journal   string `help:"Its journal; default beside the document, ending in .journal." placeholder:"FILE"`
	Date      string `help:"The day; default today where the farm lies." placeholder:"DATE"`
	Weather   string `help:"Weather up to the day; default the document's, else the invented valley's." placeholder:"FILE"`
	Neighbour string `help:"A station that reads at midnight, to put morning readings right." placeholder:"FILE"`
	Forecast  string `help:"Weather file with the coming days, at most ten are used." placeholder:"FILE"`
	Units     string `help:"us or metric; default the document's." placeholder:"SYSTEM"`
	JSON      bool   `name:"json" help:"Print the day as JSON."`
	Why       bool   `help:"Print each gate's rules with their sources."`
	NoStock   bool   `help:"Leave the outlook of the stores out."`
	Calendar  string `help:"Write the season's moving dates into an iCalendar file; a phone that has the plan's calendar moves them." placeholder:"FILE.ics"`
	Workers   int    `help:"Fields read at once; default one a processor." placeholder:"N"`
}

// Help shows examples.
func (todayCommand) Help() string {
	return `Of a folder, every farm document (*.toml) is read with the journal beside it, and what wants a word is ranked over all of them, each with a message ready to send. A farm with problems is left out: its problems are told by file and line after the list, and the exit code is 1.

` + examples("today")
}

// Run reads the day and prints it.
func (c todayCommand) Run(f *face) error {
	r := desk.TodayRequest{Farm: c.Farm, Journal: c.Journal, Weather: c.Weather, Neighbour: c.Neighbour, Forecast: c.Forecast, Date: c.Date, Catalogue: c.Catalogue, Workers: c.Workers, NoStock: c.NoStock, Units: c.Units}
	if desk.IsFolder(c.Farm) {
		return c.folder(f, r)
	}
	t, calendar, err := desk.Today(f.ctx, r)
	if err != nil {
		return err
	}
	if c.Calendar != "" {
		if err := desk.SaveCalendar(c.Calendar, calendar); err != nil {
			return err
		}
	}
	if c.JSON {
		return f.json(t)
	}
	if c.Units == "" {
		c.Units = t.Units
	}
	u, err := quantity.ParseSystem(c.Units)
	if err != nil {
		return fmt.Errorf("--units %w", err)
	}
	return report.WriteToday(f.out, t, u, c.Why)
}

// folder prints the list over a folder's farms, then the problems.
func (c todayCommand) folder(f *face, r desk.TodayRequest) error {
	for _, x := range []struct{ flag, given string }{{"--journal", c.Journal}, {"--calendar", c.Calendar}} {
		if x.given != "" {
			return fmt.Errorf("%s is of one farm: give its document, not the folder %s", x.flag, c.Farm)
		}
	}
	d, err := desk.TodayFolder(f.ctx, r)
	if err != nil {
		return err
	}
	if c.JSON {
		err = f.json(d.Page)
	} else {
		err = report.WriteClients(f.out, d.Page)
	}
	if err == nil && len(d.Problems) > 0 {
		err = d.Problems
	}
	return err
}

// json prints a page model.
func (f *face) json(page any) error {
	e := json.NewEncoder(f.out)
	e.SetIndent("", " ")
	return e.Encode(page)
}
