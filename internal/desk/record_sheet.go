package desk

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rowen/internal/document"
	"rowen/internal/files"
	"rowen/journal"
	"rowen/say"
)

// ListRecord gives a journal's facts in force, newest last, and what could not be read.
func ListRecord(r RecordRequest) (facts []journal.Entry, notices []say.Line, err error) {
	b, err := open(r)
	if err != nil {
		return nil, nil, err
	}
	return journal.Standing(b.entries), b.notices, nil
}

// ExportRecord writes a journal as a sheet, whole or not at all: every entry, also
// those corrected since, so that the sheet read in again gives the same journal. It
// gives the number of entries, and what could not be read.
func ExportRecord(r RecordRequest, path string) (n int, notices []say.Line, err error) {
	b, err := open(r)
	if err != nil {
		return 0, nil, err
	}
	var sheet bytes.Buffer
	if err := journal.WriteCSV(&sheet, b.entries); err != nil {
		return 0, b.notices, err
	}
	return len(b.entries), b.notices, files.Write(filepath.Dir(path), map[string][]byte{filepath.Base(path): sheet.Bytes()})
}

// Imported is what became of a sheet or of another journal.
type Imported struct {
	Kept  []journal.Entry
	There int        // entries that the journal had already
	Said  []say.Line // what a careful clerk says, conflicts, what could not be read
}

// ImportRecord takes a sheet's rows into a journal: all of them or none. A row
// without device and sequence is new and is numbered; one with them is kept under
// its name, once. A row that says something else than the entry of its name is a
// problem, since nothing is rewritten. What is asked is not kept unless the request
// is sure.
func ImportRecord(r RecordRequest, path string) (*Imported, error) {
	b, err := open(r)
	if err != nil {
		return nil, err
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("cannot read the sheet: %w; give its path", err)
	}
	rows, problems := journal.ReadCSV(path, bytes.NewReader(text))
	if len(problems) > 0 {
		return nil, problems
	}
	var fresh, stamped []journal.Entry
	for _, e := range rows {
		if e = journal.Tidy(e); e.ID.None() {
			fresh = append(fresh, e)
		} else {
			stamped = append(stamped, e)
		}
	}
	add, clashes := joined(b.entries, stamped)
	if problems := clashing(path, clashes); len(problems) > 0 {
		return nil, problems
	}
	done := &Imported{There: len(stamped) - len(add)}
	all := append(slices.Clone(add), fresh...)
	questions := append(repeated(b.entries, fresh), b.questions(all...)...)
	for _, q := range questions {
		done.Said = append(done.Said, say.That("%s: %s: %s", q.Severity, named(q.Entry), q.Text))
	}
	if err := verdict(questions, r.Sure); err != nil {
		return done, err
	}
	// Entries of a name count once, however often they are appended: should the disk
	// fail between the two, the sheet can be read in again.
	if err := journal.Append(b.path, add...); err != nil {
		return done, err
	}
	kept, err := journal.Record(b.path, deviceOf(r.Device), time.Now(), fresh...)
	done.Kept = append(add, kept...)
	return done, err
}

// joined is what others have that a journal lacks, and the conflicts that it brings.
func joined(before, others []journal.Entry) (add []journal.Entry, clashes []journal.Conflict) {
	_, old := journal.Merge(before)
	all, conflicts := journal.Merge(before, others)
	named := map[journal.ID][]journal.Entry{}
	for _, e := range before {
		named[e.ID] = append(named[e.ID], e)
	}
	for _, e := range all {
		if !slices.ContainsFunc(named[e.ID], e.Equal) {
			add = append(add, e)
		}
	}
	for _, c := range conflicts {
		if !slices.ContainsFunc(old, func(o journal.Conflict) bool { return o.Error() == c.Error() }) {
			clashes = append(clashes, c)
		}
	}
	return add, clashes
}

// clashing are the rows that would rewrite an entry.
func clashing(path string, clashes []journal.Conflict) (problems document.Problems) {
	for _, c := range clashes {
		shown := make([]string, len(c.Entries))
		for i, e := range c.Entries {
			shown[i] = e.String()
		}
		problems = append(problems, document.Problem{
			File: path, Thing: "entry " + c.ID.String(), Value: strings.Join(shown, " / "),
			Remedy: "the journal or another row says otherwise, and nothing is rewritten: empty the row's device, sequence and recorded, and write " + c.ID.String() + " under corrects",
		})
	}
	return problems
}

// repeated asks about new rows that say what is there already: a sheet may be read in
// twice.
func repeated(before, fresh []journal.Entry) (questions []journal.Question) {
	seen := map[string]journal.ID{}
	for _, e := range journal.Standing(before) {
		seen[words(e)] = e.ID
	}
	for _, e := range fresh {
		if id, ok := seen[words(e)]; ok {
			text := say.That("another row says the same word for word; was it done twice?")
			if !id.None() {
				text = say.That("%s says the same word for word; was the sheet read in before?", id)
			}
			questions = append(questions, journal.Question{Entry: e, Severity: journal.Asked, Text: text})
			continue
		}
		seen[words(e)] = e.ID
	}
	return questions
}

// words is what an entry says, whoever says it and when.
func words(e journal.Entry) string {
	e.ID = journal.ID{}
	return e.String() + "\n" + e.Note
}

// MergeRecord joins another journal into a farm's: every entry of either, once.
// Different entries under one name are all kept and told. Nothing is asked: what
// another device wrote down was asked about there, and a day's page asks again.
func MergeRecord(r RecordRequest, path string) (*Imported, error) {
	b, err := open(r)
	if err != nil {
		return nil, err
	}
	log, err := journal.Read(path)
	if err != nil {
		return nil, err
	}
	done := &Imported{}
	for _, p := range slices.Concat(log.Problems, log.Torn) {
		done.Said = append(done.Said, say.Name(p.Error()))
	}
	others, _ := journal.Merge(log.Entries)
	others = slices.DeleteFunc(others, func(e journal.Entry) bool {
		problems := e.Problems() // read, and yet nothing that is taken in
		for _, p := range problems {
			done.Said = append(done.Said, say.Name(p.Error()))
		}
		return len(problems) > 0
	})
	add, clashes := joined(b.entries, others)
	for _, c := range clashes {
		done.Said = append(done.Said, say.Name(c.Error()))
	}
	done.Kept, done.There = add, len(others)-len(add)
	return done, journal.Append(b.path, add...)
}
