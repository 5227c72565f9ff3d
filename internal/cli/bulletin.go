package cli

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/quantity"
)

type bulletinCommand struct {
	officeFlag
	Folder  string `arg:"" help:"Folder of farm documents (*.toml)."`
	On      string `help:"The bulletin's day; default today." placeholder:"DATE"`
	Out     string `help:"Folder to write bulletin.html, bulletin.txt, visit-FARM.html, seed-by-supplier.csv, seed-by-farm.csv, comparison.html and comparison.csv into." placeholder:"DIR"`
	Units   string `help:"us or metric; default those of the first farm that consents." placeholder:"SYSTEM"`
	Workers int    `help:"Farms planned at once; default one a processor." placeholder:"N"`
}

// Help shows examples.
func (bulletinCommand) Help() string {
	return `Farms whose document says consent = true are in it; the others are counted and never named. A farm with problems is left out: its problems are told by file and line, the others' bulletin is still printed, no file is written, and the exit code is 1. Mend the document, or move it out of the folder. Files of an earlier bulletin stay where they are: give every issue a folder of its own. The bulletin, the visit sheets and seed-by-farm.csv name farms; comparison.html and comparison.csv name none, and hold nothing with fewer than four farms.

` + examples("bulletin")
}

// Run makes the bulletin, prints and writes.
func (c bulletinCommand) Run(f *face) error {
	on, err := dayOf(c.On)
	if err != nil {
		return err
	}
	o, err := desk.Bulletin(f.ctx, desk.BulletinRequest{Folder: c.Folder, On: on, Units: c.Units, Catalogue: c.Catalogue, Workers: c.Workers, Progress: f.progress})
	if err != nil {
		return err
	}
	if len(o.Problems) > 0 {
		if o.Bulletin.Farms > 0 {
			if err := report.WriteBulletinText(f.out, o.Bulletin); err != nil {
				return err
			}
		}
		return o.Problems
	}
	set, err := desk.BulletinFiles(o)
	if err != nil {
		return err
	}
	return f.show(c.Out, "bulletin.html", set, func() error { return report.WriteBulletinText(f.out, o.Bulletin) })
}

// show writes a set of files if a folder is given, prints, and names the files.
func (f *face) show(out, open string, set map[string][]byte, print func() error) error {
	if out != "" {
		if err := f.ctx.Err(); err != nil {
			return err
		}
		if err := desk.Save(out, set); err != nil {
			return err
		}
	}
	if err := print(); err != nil || out == "" {
		return err
	}
	names := []string{open + " (open this)"}
	for _, name := range slices.Sorted(maps.Keys(set)) {
		if name != open {
			names = append(names, name)
		}
	}
	_, err := fmt.Fprintf(f.out, "\nWritten to %s: %s\n", filepath.Clean(out), strings.Join(names, ", "))
	return err
}

// dayOf reads a day, or takes today.
func dayOf(text string) (quantity.Date, error) {
	if text == "" {
		return desk.ThisDay(), nil
	}
	d, err := quantity.ParseDate(text)
	if err != nil {
		return 0, fmt.Errorf("--on %w", err)
	}
	return d, nil
}

type visitCommand struct {
	officeFlag
	Farm  string `arg:"" help:"Farm document."`
	On    string `help:"The visit's day; default today." placeholder:"DATE"`
	Out   string `help:"Folder to write visit-FARM.html into: one page to print." placeholder:"DIR"`
	Units string `help:"us or metric; default the document's." placeholder:"SYSTEM"`
}

// Help shows examples.
func (visitCommand) Help() string { return examples("visit") }

// Run makes the sheet, prints and writes.
func (c visitCommand) Run(f *face) error {
	on, err := dayOf(c.On)
	if err != nil {
		return err
	}
	v, err := desk.Visit(f.ctx, desk.VisitRequest{Farm: c.Farm, On: on, Units: c.Units, Catalogue: c.Catalogue})
	if err != nil {
		return err
	}
	set, err := desk.VisitFiles(v)
	if err != nil {
		return err
	}
	return f.show(c.Out, "visit-"+v.Slug+".html", set, func() error { return report.WriteVisitText(f.out, v) })
}
