package cli

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"time"

	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/suggest"
)

type suggestCommand struct {
	officeFlag
	Farm      string        `arg:"" help:"Farm document."`
	Weather   string        `help:"Weather file or folder of one station; else the document's, else the invented valley's." placeholder:"FILE"`
	Neighbour string        `help:"A station that reads at midnight, to put morning readings right." placeholder:"FILE"`
	Years     string        `help:"First and last feed year, or how many of the latest; default the latest 30." placeholder:"A-B|N"`
	Risk      float64       `help:"Weight on the bad years, from 0, average cost alone, to 1, the worst fifth of years alone." default:"0.3"`
	Plans     int           `help:"How many plans to suggest." default:"4"`
	Hold      []string      `help:"Fix what a field carries: a crop of the catalogue, or \"as it is\". May be given again." placeholder:"FIELD=CROP" sep:"none"`
	Avoid     []string      `help:"A crop that is not to be sown. May be given again." placeholder:"CROP"`
	Split     bool          `help:"Let half of a field be sown."`
	MostCrop  string        `help:"The most of the land under any one crop sown." placeholder:"SHARE"`
	MostSown  string        `help:"The most land sown in the year." placeholder:"AREA"`
	MostCash  float64       `help:"The most spent on seed and seedbeds." placeholder:"MONEY"`
	Labour    float64       `help:"The most hours of field work in a half-month." placeholder:"HOURS"`
	Sale      string        `help:"What forage out of store sells for, as dry matter; default none is sold." placeholder:"PRICE"`
	WhatIf    []string      `help:"Choose again under a change: \"forage +25 %\", \"grain -10 %\", \"head +10 %\", \"rain -20 %\", \"hold FIELD=CROP\", \"avoid CROP\"." placeholder:"CHANGE" sep:"none"`
	Brief     bool          `help:"Leave out how the plans do in years that were not chosen on."`
	TimeLimit time.Duration `help:"The most time for choosing each plan, such as 20s." placeholder:"TIME"`
	Pick      int           `help:"Which of the plans --write writes." default:"1"`
	Write     string        `help:"Write the plan into a new farm document." placeholder:"NEW.toml"`
	MPS       string        `name:"mps" help:"Write the program that chose as an MPS file, for any other solver." placeholder:"FILE"`
	Out       string        `help:"Folder to write suggest.html and suggest.json into." placeholder:"DIR"`
	Units     string        `help:"us or metric; default the document's." placeholder:"SYSTEM"`
	JSON      bool          `name:"json" help:"Print suggest.json instead of the screen."`
}

// Help shows examples.
func (suggestCommand) Help() string {
	return "Ctrl-C stops the search and gives the best plans so far.\n\n" + examples("suggest")
}

// Run suggests, prints and writes.
func (c suggestCommand) Run(f *face) error {
	r := desk.SuggestRequest{
		Request: desk.Request{Farm: c.Farm, Weather: c.Weather, Neighbour: c.Neighbour, Years: c.Years, Catalogue: c.Catalogue},
		Risk:    c.Risk, Plans: c.Plans, Hold: c.Hold, Avoid: c.Avoid, Split: c.Split, MostCrop: c.MostCrop, MostSown: c.MostSown,
		MostCash: c.MostCash, Labour: c.Labour, Sale: c.Sale, Limit: c.TimeLimit, Brief: c.Brief, WhatIf: c.WhatIf, Steps: f.steps(),
	}
	s, err := desk.Suggest(f.ctx, r)
	if err != nil {
		return err
	}
	u, err := quantity.ParseSystem(cmp.Or(c.Units, s.Page.Farm.Units))
	if err != nil {
		return fmt.Errorf("--units %w", err)
	}
	var written []string
	if c.Write != "" && !s.Page.NoGap {
		if err := s.WritePlan(c.Write, c.Pick, c.Catalogue); err != nil {
			return err
		}
		written = append(written, fmt.Sprintf("plan %d to %s (rowen plan runs it)", c.Pick, c.Write))
	}
	if c.MPS != "" && !s.Page.NoGap {
		if err := s.WriteMPS(c.MPS); err != nil {
			return err
		}
		written = append(written, "the program to "+c.MPS)
	}
	if c.Out != "" {
		set, err := desk.SuggestFiles(s.Page, u)
		if err != nil {
			return err
		}
		if err := desk.Save(c.Out, set); err != nil {
			return err
		}
		written = append(written, "suggest.html (open this) and suggest.json to "+filepath.Clean(c.Out))
	}
	if c.JSON {
		e := json.NewEncoder(f.out)
		e.SetIndent("", " ")
		return e.Encode(s.Page)
	}
	if err := report.WriteSuggestion(f.out, s.Page, u); err != nil {
		return err
	}
	for _, w := range written {
		if _, err := fmt.Fprintf(f.out, "\nWritten: %s\n", w); err != nil {
			return err
		}
	}
	return nil
}

// steps writes what a search does beside the output: its steps, and once a second how
// far the proof is.
func (f *face) steps() func(suggest.Progress) {
	var last time.Time
	return func(p suggest.Progress) {
		if len(p.Text) > 0 {
			f.progress(p.Text.String())
			return
		}
		if now := time.Now(); p.Solve != nil && !math.IsInf(p.Solve.Bound, 0) && now.Sub(last) >= time.Second {
			last = now
			f.progress(fmt.Sprintf("choosing: best %.0f, by what is known of the years no plan is below %.0f, gap %.2f %%", p.Solve.Objective, p.Solve.Bound, 100*p.Solve.Gap))
		}
	}
}
