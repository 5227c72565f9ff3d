package desk

import (
	"cmp"
	"errors"
	"os"
	"strings"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/document"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
)

// RecordRequest is a fact to be written down.
type RecordRequest struct {
	Farm      string
	Journal   string
	Phrase    string
	Date      string // that "today" means
	Device    string
	Sure      bool // keep it although a careful clerk would ask
	Catalogue []string
}

// ErrAsked is returned for an entry that was not kept because a question about it
// stands open.
var ErrAsked = errors.New("not kept")

// book is a farm with its journal open.
type book struct {
	farm      *farm.Farm
	catalogue *crop.Catalogue
	day       quantity.Date
	path      string
	entries   []journal.Entry
	notices   []say.Line // what of the journal could not be read, and its conflicts
}

func open(r RecordRequest) (*book, error) {
	c, err := Catalogue(r.Catalogue)
	if err != nil {
		return nil, err
	}
	f, err := farm.Read(r.Farm, c)
	if err != nil {
		return nil, err
	}
	b := &book{farm: f, catalogue: c, path: cmp.Or(r.Journal, JournalOf(r.Farm))}
	if b.day, err = dayOf(f, r.Date); err != nil {
		return nil, err
	}
	b.entries, b.notices, err = readJournal(b.path)
	return b, err
}

// Record writes a phrase into a farm's journal and gives it as kept, with what a
// careful clerk says of it. What is asked is not kept unless the request is sure.
func Record(r RecordRequest) (journal.Entry, []say.Line, error) {
	b, err := open(r)
	if err != nil {
		return journal.Entry{}, nil, err
	}
	entry, err := journal.ParsePhrase(r.Phrase, journalNames(b.farm, b.catalogue, b.day))
	if err != nil {
		return journal.Entry{}, nil, err
	}
	questions := b.questions(entry)
	var said []say.Line
	for _, q := range questions {
		said = append(said, say.That("%s: %s", q.Severity, q.Text))
	}
	if err := verdict(questions, r.Sure); err != nil {
		return entry, said, err
	}
	kept, err := journal.Record(b.path, deviceOf(r.Device), time.Now(), entry)
	if err != nil {
		return entry, said, err
	}
	return kept[0], said, nil
}

// draft is the name under which entries are asked about before they are kept.
const draft = "draft"

// questions are those that a journal raises with new entries and not without them.
func (b *book) questions(fresh ...journal.Entry) []journal.Question {
	known := map[string]bool{}
	for _, q := range journal.Check(b.entries, journalFacts(b.farm, b.catalogue, b.entries, b.day)) {
		known[q.String()] = true
	}
	all := append([]journal.Entry(nil), b.entries...)
	for i, e := range fresh {
		if e.Recorded.IsZero() {
			// As if written on the day that "today" means: its own clock is asked about
			// only once it has one.
			e.Recorded = b.day.Time().Add(12 * time.Hour)
		}
		if e.ID.None() {
			e.ID = journal.ID{Device: draft, Sequence: 1<<40 + uint64(i)}
		}
		all = append(all, e)
	}
	var out []journal.Question
	for _, q := range journal.Check(all, journalFacts(b.farm, b.catalogue, all, b.day)) {
		if !known[q.String()] {
			out = append(out, q)
		}
	}
	return out
}

// verdict is why entries with such questions are not kept: all that is refused, or
// ErrAsked, or nil.
func verdict(questions []journal.Question, sure bool) error {
	var problems document.Problems
	asked := false
	for _, q := range questions {
		asked = asked || q.Severity == journal.Asked
		if q.Severity == journal.Refused {
			problems = append(problems, document.Problem{File: "entry", Thing: named(q.Entry), Remedy: q.Text.String()})
		}
	}
	switch {
	case len(problems) > 0:
		return problems
	case asked && !sure:
		return ErrAsked
	}
	return nil
}

// named is an entry as a person may read it before it has its number.
func named(e journal.Entry) string {
	if e.Device == draft {
		e.ID = journal.ID{}
	}
	return e.String()
}

// deviceOf is the name under which this machine writes.
func deviceOf(given string) string {
	if given != "" {
		return given
	}
	host, err := os.Hostname()
	if err != nil {
		return "desk"
	}
	clean := strings.Map(func(c rune) rune {
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' {
			return c
		}
		return '-'
	}, host)
	return clean[:min(len(clean), 32)]
}
