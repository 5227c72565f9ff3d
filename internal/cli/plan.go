package cli

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rowen/handbook"
	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/quantity"
)

type planCommand struct {
	officeFlag
	Farm      string `arg:"" help:"Farm document."`
	Weather   string `help:"Weather file or folder of one station; else the document's, else the invented valley's." placeholder:"FILE"`
	Neighbour string `help:"A station that reads at midnight, to put morning readings right." placeholder:"FILE"`
	Against   string `help:"Farm document to hold the plan against; default this farm with nothing sown." placeholder:"FILE"`
	Years     string `help:"First and last feed year, or how many of the latest; default the latest 30." placeholder:"A-B|N"`
	Out       string `help:"Folder to write plan.json, plan.html, calendar.ics and the sheets (ledger, seed order, lots, nutrients, money, organic record) into." placeholder:"DIR"`
	Units     string `help:"us or metric; default the document's." placeholder:"SYSTEM"`
	JSON      bool   `name:"json" help:"Print plan.json instead of the screen."`
	Workers   int    `help:"Years run at once; default one a processor." placeholder:"N"`
}

// Help shows examples.
func (planCommand) Help() string { return examples("plan") }

// Run plans, prints and writes.
func (c planCommand) Run(f *face) error {
	p, _, err := desk.Plan(f.ctx, desk.Request{Farm: c.Farm, Against: c.Against, Weather: c.Weather, Neighbour: c.Neighbour, Years: c.Years, Catalogue: c.Catalogue, Workers: c.Workers, Progress: f.progress})
	if err != nil {
		return err
	}
	units := c.Units
	if units == "" {
		units = p.Farm.Units
	}
	u, err := quantity.ParseSystem(units)
	if err != nil {
		return fmt.Errorf("--units %w", err)
	}
	var names []string
	if c.Out != "" {
		set, err := desk.PlanFiles(p, u)
		if err != nil {
			return err
		}
		if err := f.ctx.Err(); err != nil {
			return err
		}
		if err := desk.Save(c.Out, set); err != nil {
			return err
		}
		for _, name := range slices.Sorted(maps.Keys(set)) {
			if name != "plan.html" {
				names = append(names, name)
			}
		}
	}
	if c.JSON {
		e := json.NewEncoder(f.out)
		e.SetIndent("", " ")
		return e.Encode(p)
	}
	if err := report.WriteText(f.out, p, u); err != nil {
		return err
	}
	if c.Out != "" {
		_, err = fmt.Fprintf(f.out, "\nWritten to %s: plan.html (open this), %s\n", filepath.Clean(c.Out), strings.Join(names, ", "))
	}
	return err
}

type explainCommand struct {
	officeFlag
	Plan string `arg:"" help:"plan.json, as rowen plan wrote it."`
	Key  string `arg:"" optional:"" help:"The figure's key; without one the keys are listed."`
}

// Help shows examples.
func (explainCommand) Help() string { return examples("explain") }

// Run opens a figure.
func (c explainCommand) Run(f *face) error {
	text, err := os.ReadFile(c.Plan)
	if err != nil {
		return fmt.Errorf("%w; give the plan.json that rowen plan wrote", err)
	}
	if c.Key == "" {
		var p report.Plan
		if err := json.Unmarshal(text, &p); err != nil || p.Rowen != 1 {
			return fmt.Errorf("%s: not a plan file", c.Plan)
		}
		for _, k := range p.Figures {
			if _, err := fmt.Fprintf(f.out, "%-34s %s: %s %s\n", k.Key, k.Label, quantity.Digits(k.Value, 5), k.Unit); err != nil {
				return err
			}
		}
		return nil
	}
	fig, _, err := desk.Explain(f.ctx, text, c.Key, c.Catalogue)
	if err != nil {
		return err
	}
	b := &strings.Builder{}
	writeFigure(b, &fig)
	fmt.Fprintln(b, "Made again from the plan's manifest; the figure and its formula agree.")
	_, err = fmt.Fprint(f.out, b.String())
	return err
}

func writeFigure(b *strings.Builder, fig *handbook.Figure) {
	fmt.Fprintf(b, "%s: %s %s\n", fig.Label, quantity.Digits(fig.Value, 6), fig.Unit)
	if fig.Formula == nil {
		return
	}
	fmt.Fprintf(b, "  formula  %s\n  valid    %s\n", fig.Formula.Expression, fig.Formula.Valid)
	for _, in := range fig.Formula.Inputs {
		if in.Name != "" {
			fmt.Fprintf(b, "  where    %s: %s (%s)\n", in.Symbol, in.Name, in.Unit)
		}
	}
	for _, in := range fig.Inputs {
		fmt.Fprintf(b, "  %-24s %s %s  (%s)\n", in.Label, quantity.Digits(in.Value, 6), in.Unit, in.Origin)
	}
	for _, s := range fig.Formula.Sources {
		fmt.Fprintf(b, "  source   %s\n", s)
	}
}

type checkCommand struct {
	officeFlag
	Farm string `arg:"" help:"Farm document."`
}

// Help shows examples.
func (checkCommand) Help() string { return examples("check") }

// Run checks.
func (c checkCommand) Run(f *face) error {
	farm, err := desk.Check(c.Farm, c.Catalogue)
	if err != nil {
		return err
	}
	if _, err := fmt.Fprintf(f.out, "%s: %d fields, %d groups, %d sowings: no problem found.\n", farm.Name, len(farm.Fields), len(farm.Groups), len(farm.Plan.Sowings)); err != nil {
		return err
	}
	if len(farm.Assumed) > 0 {
		if _, err := fmt.Fprintln(f.out, "Assumed, because the document does not say:"); err != nil {
			return err
		}
	}
	for _, a := range farm.Assumed {
		if _, err := fmt.Fprintf(f.out, "  %s = %s (%s)\n", a.Key, a.Value, a.Why); err != nil {
			return err
		}
	}
	return nil
}
