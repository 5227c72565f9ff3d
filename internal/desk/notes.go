package desk

import (
	"context"

	"rowen/journal"
	"rowen/quantity"
)

// Asked is what a careful clerk asks of new entries, and would not ask without them.
func (d *Desk) Asked(s *Source, on quantity.Date, fresh ...journal.Entry) ([]journal.Question, error) {
	f, err := d.Farm(s)
	if err != nil {
		return nil, err
	}
	_, on = onDay(f, on)
	entries, _, err := s.Log()
	if err != nil {
		return nil, err
	}
	b := &book{farm: f, catalogue: d.Catalogue, day: on, entries: entries}
	return b.questions(fresh...), nil
}

// Worded reads notes in plain words, one a line, and asks nothing about them: Asked does,
// about all at once. Of each line either its entry or what is wrong with it is given.
func (d *Desk) Worded(ctx context.Context, s *Source, on quantity.Date, lines []string) (entries []journal.Entry, wrong []error, err error) {
	f, err := d.Farm(s)
	if err != nil {
		return nil, nil, err
	}
	_, on = onDay(f, on)
	names := journalNames(f, d.Catalogue, on)
	entries, wrong = make([]journal.Entry, len(lines)), make([]error, len(lines))
	for i, line := range lines {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		entries[i], wrong[i] = journal.ParsePhrase(line, names)
	}
	return entries, wrong, nil
}
