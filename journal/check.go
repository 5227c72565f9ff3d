package journal

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"rowen/internal/document"
	"rowen/quantity"
	"rowen/say"
)

// Severity is how much a question weighs.
type Severity uint8

// The severities.
const (
	Said    Severity = iota // worth knowing; nothing to do if it is as meant
	Asked                   // likely a slip: confirm or correct
	Refused                 // cannot be: the entry is not kept
)

//say:words
var severityNames = [...]string{"said", "asked", "refused"}

// String is the word of the severity.
func (s Severity) String() string {
	if int(s) < len(severityNames) {
		return severityNames[s]
	}
	return "unknown severity"
}

// Question is something about an entry that a careful clerk would ask.
type Question struct {
	Entry    Entry
	Text     say.Line // one plain sentence, without the entry's name
	Severity Severity
}

// Line says entry and text in one.
func (q Question) Line() say.Line { return say.That("%s: %s", q.Entry.String(), q.Text) }

// String writes them in English.
func (q Question) String() string { return q.Line().String() }

// Stand is what grows on a field on some day.
type Stand struct {
	Crop  string
	Limit quantity.Length // the greatest height worth believing; 0: not known
	Sown  quantity.Date   // 0: not known
}

// Facts is what the caller knows of the farm. What is left out is not asked
// about.
type Facts struct {
	Today  quantity.Date  // 0: days to come are not asked about
	Zone   *time.Location // of the farm; nil: any zone of the world is believed
	Fields []string       // nil: every name is believed; likewise below
	Groups []string
	Stores []string
	Lots   []string // besides those that the journal itself made
	// Stand tells what grows on a field on a day; ok is false where nothing does.
	Stand func(field string, on quantity.Date) (s Stand, ok bool)
	// Area tells how large a field is.
	Area func(field string) (quantity.Area, bool)
	// Head tells the most animals that a group has in a year, before any that the
	// journal lets join it.
	Head func(group string) (int, bool)
	// Stock tells what was in a store or lot before the journal begins.
	Stock func(store, lot string) (asFed quantity.Mass, ok bool)
}

// checker gathers questions.
type checker struct {
	Facts
	questions []Question
}

func (c *checker) ask(e Entry, s Severity, pattern string, args ...any) {
	c.questions = append(c.questions, Question{e, say.That(pattern, args...), s})
}

// Check gives the questions about a journal, in the order of Standing. What
// cannot be kept at all is refused; of everything else only facts in force are
// asked about, so that a correction answers a question.
func Check(entries []Entry, facts Facts) []Question {
	c := checker{Facts: facts}
	var sound []Entry
	for _, e := range entries {
		problems := e.unstampedFaults()
		if !e.ID.None() {
			problems = e.faults()
		}
		if c.refuse(e, problems); len(problems) == 0 {
			sound = append(sound, e)
		}
	}
	var standing []Entry
	for _, e := range inForce(sound) {
		c.refuse(e, e.impossible())
		if e, ok := e.believed(); ok {
			standing = append(standing, e)
		}
	}
	c.Lots = madeLots(c.Lots, standing)
	for _, e := range standing {
		c.when(e)
		c.names(e)
		c.values(e)
		c.stand(e)
	}
	c.fields(standing)
	c.herds(standing)
	c.stores(standing)
	c.corrections(sound)
	slices.SortStableFunc(c.questions, func(a, b Question) int {
		return cmp.Or(
			cmp.Compare(a.Entry.Date, b.Entry.Date), a.Entry.Recorded.Compare(b.Entry.Recorded),
			cmp.Compare(a.Entry.Device, b.Entry.Device), cmp.Compare(a.Entry.Sequence, b.Entry.Sequence),
		)
	})
	return c.questions
}

// refuse tells what of an entry cannot be.
func (c *checker) refuse(e Entry, problems document.Problems) {
	for _, p := range problems {
		text := p.Thing + ": " + p.Remedy
		if p.Value != "" {
			text = fmt.Sprintf("%s: %q: %s", p.Thing, p.Value, p.Remedy)
		}
		c.ask(e, Refused, "%s", text)
	}
}

// madeLots adds the lots that cuts and purchases made.
func madeLots(known []string, standing []Entry) []string {
	if known == nil {
		return nil
	}
	all := slices.Clone(known)
	for _, e := range standing {
		switch e.Fact.(type) {
		case Cut, Bought, StoreMeasured:
			if e.Lot != "" {
				all = append(all, e.Lot)
			}
		}
	}
	return all
}

// widest are the hours by which civil clocks of the world run ahead of UTC at
// most: a day may begin there that much earlier.
const widest = 14 * time.Hour

// when asks about the entry's day and the moment of recording.
func (c *checker) when(e Entry) {
	if c.Today != 0 && e.Date > c.Today {
		c.ask(e, Asked, "the date %s is still to come (today is %s); is the year or month right?", e.Date, c.Today)
	}
	if l, ok := e.Fact.(Lab); ok && l.Sampled > e.Date {
		c.ask(e, Asked, "sampled on %s, after the result of %s; which is right?", l.Sampled, e.Date)
	}
	if e.Recorded.IsZero() {
		return
	}
	local := e.Recorded.UTC().Add(widest)
	where := "anywhere"
	if c.Zone != nil {
		local = e.Recorded.In(c.Zone)
		where = "on the farm"
	}
	recorded := quantity.NewDate(local.Date())
	switch {
	case c.Today != 0 && recorded > c.Today+1:
		c.ask(e, Said, "the clock of %s stood at %s, after today: is it set right?", device(e), e.Recorded.UTC().Format("2006-01-02 15:04 UTC"))
	case e.Date > recorded:
		hours := int(e.Date.Time().Sub(time.Date(local.Year(), local.Month(), local.Day(), local.Hour(), local.Minute(), 0, 0, time.UTC)).Hours()) + 1
		c.ask(e, Said, "recorded up to %d h before the day began %s: is the clock of %s set to another time zone?", hours, where, device(e))
	}
}

func device(e Entry) string {
	if e.Device == "" {
		return "the device"
	}
	return e.Device
}

// names asks about names that the farm does not know.
func (c *checker) names(e Entry) {
	for p, known := range [][]string{c.Fields, c.Groups, c.Stores, c.Lots} {
		name := *place(p).named(&e)
		if known == nil || name == "" || slices.Contains(known, name) {
			continue
		}
		what := placeNames[p]
		if place(p) == inLot {
			switch e.Fact.(type) {
			case Cut, Bought, StoreMeasured:
				continue
			}
		}
		advice := suggest(name, known)
		if advice == "" && len(known) > 0 && len(known) <= 12 {
			advice = "; known are " + strings.Join(known, ", ")
		}
		c.ask(e, Asked, "no %s is called %q%s", what, name, advice)
	}
}

// corrections asks about corrections that miss their mark.
func (c *checker) corrections(entries []Entry) {
	t := trace(entries)
	seen := map[ID]Entry{}
	for i, e := range t.all {
		if same := t.byID[e.ID]; len(same) > 1 && same[0] == i && !e.ID.None() {
			c.ask(e.Entry, Asked, "%d different entries are called %s; all are kept: which are true?", len(same), e.ID)
		}
		if e.Corrects.None() {
			continue
		}
		named := t.byID[e.Corrects]
		if len(named) == 0 {
			c.ask(e.Entry, Said, "it corrects %s, which is not here: has every device been read?", e.Corrects)
		}
		if first, ok := seen[e.Corrects]; ok {
			c.ask(e.Entry, Asked, "%s was already corrected by %s; the later correction counts: is that right?", e.Corrects, first.ID)
		}
		seen[e.Corrects] = e.Entry
		for _, j := range named {
			if old := t.all[j]; old.Field != e.Field && e.Kind() != KindWithdrawn && old.Kind() == e.Kind() {
				c.ask(e.Entry, Said, "it moves %s from %q to %q", e.Corrects, old.Field, e.Field)
			}
		}
	}
}
