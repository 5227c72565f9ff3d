package cli

import (
	"errors"
	"fmt"
	"strings"

	"rowen/internal/desk"
	"rowen/journal"
	"rowen/say"
)

type recordCommand struct {
	officeFlag
	Farm    string `arg:"" help:"Farm document."`
	Phrase  string `arg:"" optional:"" help:"What was done or seen, in plain words."`
	Journal string `help:"Its journal; default beside the document, ending in .journal." placeholder:"FILE"`
	Date    string `help:"The day that today means; default today where the farm lies." placeholder:"DATE"`
	Device  string `help:"Name under which this machine writes; default its own." placeholder:"NAME"`
	Sure    bool   `help:"Keep it although it was asked about."`
	List    bool   `help:"List the facts in force, newest last."`
	Export  string `help:"Write the whole journal as a sheet." placeholder:"FILE.csv"`
	Import  string `help:"Take in the rows of a sheet, all or none." placeholder:"FILE.csv"`
	Merge   string `help:"Join the journal of another device into this one." placeholder:"OTHER.journal"`
}

// Help shows examples.
func (recordCommand) Help() string {
	return `A phrase that a careful clerk would ask about is not kept unless --sure is said. So it is with the rows of a sheet: they are kept all or none. A row without device and sequence is new; one with them is an entry already written somewhere, kept once. To correct an entry in a sheet, add a new row that names it under corrects. Of two journals joined every entry is kept once; different entries under one name are both kept and told.

A phrase of each kind:
  ` + strings.Join(journal.Phrases(), "\n  ") + `

` + examples("record")
}

// Validate allows one thing at a time.
func (c recordCommand) Validate() error {
	n := 0
	for _, given := range []bool{c.Phrase != "", c.List, c.Export != "", c.Import != "", c.Merge != ""} {
		if given {
			n++
		}
	}
	if n != 1 {
		return errors.New(`give one of "PHRASE", --list, --export, --import or --merge`)
	}
	return nil
}

// Run writes the fact down, or does what its flag says.
func (c recordCommand) Run(f *face) error {
	r := desk.RecordRequest{Farm: c.Farm, Journal: c.Journal, Phrase: c.Phrase, Date: c.Date, Device: c.Device, Sure: c.Sure, Catalogue: c.Catalogue}
	switch {
	case c.List:
		return list(f, r)
	case c.Export != "":
		n, notices, err := desk.ExportRecord(r, c.Export)
		f.notices(notices)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(f.out, "Wrote %s: %s\n", c.Export, entries(n))
		return err
	case c.Import != "":
		done, err := desk.ImportRecord(r, c.Import)
		if errors.Is(err, desk.ErrAsked) {
			err = fmt.Errorf("%w: none of %s; correct the rows, or say --sure", err, c.Import)
		}
		return f.taken(done, err)
	case c.Merge != "":
		return f.taken(desk.MergeRecord(r, c.Merge))
	}
	return write(f, r)
}

func write(f *face, r desk.RecordRequest) error {
	e, said, err := desk.Record(r)
	if errors.Is(err, desk.ErrAsked) {
		err = fmt.Errorf("%w: %s; correct it, or say --sure", err, e)
	}
	for _, text := range said {
		if _, werr := fmt.Fprintln(f.out, text); werr != nil {
			return werr
		}
	}
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(f.out, "Kept: %s\n", e)
	return err
}

func list(f *face, r desk.RecordRequest) error {
	facts, notices, err := desk.ListRecord(r)
	f.notices(notices)
	if err != nil {
		return err
	}
	if len(facts) == 0 {
		_, err = fmt.Fprintln(f.out, "Nothing is written down yet.")
	}
	for _, e := range facts {
		if err == nil {
			err = factLine(f, e)
		}
	}
	return err
}

// factLine prints an entry, and its note below it.
func factLine(f *face, e journal.Entry) error {
	if e.Note == "" {
		_, err := fmt.Fprintln(f.out, e)
		return err
	}
	_, err := fmt.Fprintf(f.out, "%s\n  note: %s\n", e, strings.ReplaceAll(e.Note, "\n", "\n  "))
	return err
}

// taken prints what became of a sheet or another journal.
func (f *face) taken(done *desk.Imported, err error) error {
	if done != nil {
		for _, text := range done.Said {
			if _, werr := fmt.Fprintln(f.out, text); werr != nil {
				return werr
			}
		}
	}
	if err != nil {
		return err
	}
	for _, e := range done.Kept {
		if _, err := fmt.Fprintf(f.out, "Kept: %s\n", e); err != nil {
			return err
		}
	}
	_, err = fmt.Fprintf(f.out, "Kept %s; %d were there already\n", entries(len(done.Kept)), done.There)
	return err
}

// notices tells what of a journal could not be read, beside the output.
func (f *face) notices(all []say.Line) {
	for _, text := range all {
		f.progress(text.String())
	}
}

func entries(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return fmt.Sprintf("%d entries", n)
}
