package desk

import (
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
