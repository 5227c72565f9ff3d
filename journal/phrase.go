package journal

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"rowen/internal/document"
	"rowen/quantity"
)

// A phrase is a fact as it is said in passing. Its grammar:
//
//	phrase  = [ "correct" entry ] verb { part } [ "note" anything ]
//	        | "withdraw" entry { part }
//	entry   = device ":" number                      barn:12
//	verb    = height | stage | sowed | emerged | not emerged | grazed | out | cut
//	        | fertilised | manured | frost | shoots | drought | drought over | hail
//	        | lab | bought | sold | fed | measured | arrived | left | rain | label
//	        | tilled | ended                          (verbs.go has their other forms)
//	part    = name | date | amount | count | word | filler
//	name    = a known field, group, store, lot or crop, of one or several words;
//	          the longest that fits, capitals or not
//	        | "field" name | "group" name | "store" name | "lot" name
//	date    = 2026-07-12 | 12 July [2025] | July 12 [2025] | today | yesterday
//	amount  = [ label ] number unit                  31 in, stubble 4 in, 52 %
//	count   = number noun | number                   36 bales, 62
//	word    = one of a kind's own words              wrap, killed, dry, NO3-N
//	        | free words where a kind has such       the product (2,4-D, 10-10-10),
//	                                                 the stage
//	filler  = on in at from to into of with by for the a an was were and about
//
// Parts may come in any order. An amount without label goes to the first place of
// its kind that takes such an amount; results of a laboratory need their label.
// "grazed North Six in Milkers" is the way in; "out" instead is the way out. A date
// without year is the one nearest to today, whether past or to come; no date is
// today. Commas and semicolons between parts mean nothing.
//
// An amount that could also begin a name, or a name that could be an amount, is
// whichever is longer, and a name if both are as long: with a field called "12",
// "height 31 in on 12" is that field, and "12 July" a date.

// Names is what a phrase may speak of.
type Names struct {
	Fields []string
	Groups []string
	Stores []string
	Lots   []string
	Crops  []string      // none: a sowing takes any words as its crop
	Today  quantity.Date // 0: a phrase without a full date is refused
}

// maxPhrase is the longest phrase, in bytes.
const maxPhrase = 2000

// ParsePhrase reads a phrase as an entry without identity and moment; Record gives
// it both. The error is document.Problems: each says what was understood, what was
// not, and what to write.
func ParsePhrase(text string, known Names) (Entry, error) {
	if len(text) > maxPhrase || !utf8.ValidString(text) {
		return Entry{}, document.Problems{{File: "phrase", Thing: "phrase", Value: text, Remedy: "not a short line of UTF-8 text; write such as " + verbs[0].example}}
	}
	p := newPhrase(text, known)
	if p.begin() {
		for p.at < len(p.tokens) {
			p.part()
		}
	}
	return p.finish()
}

// phrase is a phrase half read.
type phrase struct {
	known    Names
	raw      []string // the words as written
	tokens   []string // the same without commas at their ends
	lower    []string
	at       int
	entry    Entry
	verb     *verb
	schema   *schema
	slots    []slot
	last     int // the slot filled last: a basis belongs to what stands before it
	open     int // the slot that free words go to, or -1
	dated    bool
	stray    []string // words in a row that mean nothing here
	problems document.Problems
}

func newPhrase(text string, known Names) *phrase {
	p := &phrase{known: known, last: -1, open: -1}
	for _, t := range strings.Fields(text) {
		raw := t
		if t = strings.TrimRight(t, ",;"); t != "" {
			p.raw = append(p.raw, raw)
			p.tokens = append(p.tokens, t)
			p.lower = append(p.lower, strings.ToLower(t))
		}
	}
	return p
}

func (p *phrase) report(value, remedy string) {
	p.problems = append(p.problems, document.Problem{File: "phrase", Thing: "phrase", Value: value, Remedy: remedy})
}

// understood is what was made out so far.
func (p *phrase) understood() string {
	if p.verb == nil {
		return "phrase"
	}
	e := p.entry
	e.Fact = p.current()
	text := e.String()
	if !p.dated {
		text = strings.TrimPrefix(text, e.Date.String()+" ")
	}
	return "understood: " + text
}

// current is the fact as far as it was read.
func (p *phrase) current() Fact {
	f, _ := p.schema.fill(func(slots []slot) error {
		for i, s := range slots {
			if text := p.slots[i].value.text(); text != "" {
				_ = s.value.read(text) // it was read before
			}
		}
		return nil
	})
	return f
}

// begin reads "correct", "withdraw" and the verb.
func (p *phrase) begin() bool {
	if len(p.lower) > 0 && (p.lower[0] == "correct" || p.lower[0] == "withdraw") {
		id, rest := "", 1
		if len(p.tokens) > 1 {
			id, rest = p.tokens[1], 2
		}
		corrects, err := ParseID(id)
		if err != nil {
			p.report(id, "say which entry, by device and number, such as \"correct barn:12 height 31 in on North Six\" or \"withdraw barn:12\"")
			return false
		}
		p.entry.Corrects = corrects
		if p.lower[0] == "withdraw" {
			p.start(&withdrawVerb, rest)
			return true
		}
		p.at = rest
	}
	v, n := p.findVerb()
	if v == nil {
		word := ""
		if p.at < len(p.tokens) {
			word = p.tokens[p.at]
		}
		p.report(word, "begin with what happened"+suggest(strings.ToLower(word), verbWords())+": one of "+strings.Join(verbNames(), ", ")+"; such as "+verbs[0].example)
		return false
	}
	p.start(v, p.at+n)
	return true
}

func (p *phrase) start(v *verb, at int) {
	p.verb, p.at = v, at
	kind := v.kind
	if kind == KindGrazingIn && p.wayOut() {
		kind = KindGrazingOut
	}
	p.schema = schemaByKind[kind]
	_, _ = p.schema.fill(func(slots []slot) error {
		p.slots = slots
		return nil
	})
	for i, s := range p.slots {
		if text, ok := v.preset[s.name]; ok {
			_ = s.value.read(text) // presets are ours
		}
		if _, free := s.value.(word); free && p.open < 0 {
			p.open = i
		}
	}
}

// wayOut tells whether "grazed North Six ..." goes on with "out" rather than "in";
// the "in" of an amount or a name is neither.
func (p *phrase) wayOut() bool {
	names := slices.Concat(p.known.Fields, p.known.Groups)
	for i := p.at; i < len(p.lower); i++ {
		if _, n := p.match(i, names); n > 0 {
			i += n - 1
		} else if n := p.amountWords(i); n > 0 {
			i += n - 1
		} else if p.lower[i] == "in" || p.lower[i] == "out" {
			return p.lower[i] == "out"
		}
	}
	return false
}

// part reads one part of a phrase.
func (p *phrase) part() {
	for _, try := range []func() bool{p.note, p.placed, p.name, p.label, p.date, p.count, p.amount, p.choice, p.filler, p.free} {
		before := p.at
		if try() {
			p.at = max(p.at, before+1)
			p.endStray()
			return
		}
	}
	p.stray = append(p.stray, p.tokens[p.at])
	p.at++
}

// endStray reports the words in a row that mean nothing here.
func (p *phrase) endStray() {
	if len(p.stray) == 0 {
		return
	}
	value := strings.Join(p.stray, " ")
	var known []string
	for _, pl := range p.schema.takes {
		known = append(known, p.names(pl)...)
	}
	if p.crop() != nil {
		known = append(known, p.known.Crops...)
	}
	advice := "this is no name, amount or word that is known here" + suggest(value, known)
	if len(known) > 0 && len(known) <= 12 {
		advice += "; known are " + strings.Join(known, ", ")
	}
	p.stray = nil
	p.report(value, advice+"; write such as "+p.verb.example)
}

// mistyped is the name that the free words may have been meant for.
func (p *phrase) mistyped() string {
	if p.open < 0 {
		return ""
	}
	for _, pl := range p.schema.needs {
		if advice := suggest(p.slots[p.open].value.text(), p.names(pl)); *pl.named(&p.entry) == "" && advice != "" {
			return advice
		}
	}
	return ""
}

// finish makes the entry, or gives the problems.
func (p *phrase) finish() (Entry, error) {
	if p.verb == nil {
		return Entry{}, p.problems
	}
	p.endStray()
	if !p.dated {
		p.entry.Date = p.known.Today
		if p.known.Today == 0 {
			p.report("", "on which day? write such as 2026-07-12")
		}
	}
	e := Tidy(p.entry)
	e.Fact = p.current()
	if len(p.problems) == 0 {
		for _, q := range e.unstamped() {
			_, thing, _ := strings.Cut(q.Thing, ": ")
			p.report(q.Value, fmt.Sprintf("%s: %s%s; write such as %s", strings.ReplaceAll(thing, "_", " "), q.Remedy, p.mistyped(), p.verb.example))
		}
	}
	if len(p.problems) == 0 {
		return e, nil
	}
	for i := range p.problems {
		p.problems[i].Thing = p.understood()
	}
	return Entry{}, p.problems
}
