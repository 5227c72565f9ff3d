package journal

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"rowen/quantity"
)

// value is one thing that a fact says. It writes and reads itself as text, and so
// the file, the sheet and the phrases share one list of what a kind holds.
type value interface {
	text() string           // empty if nothing is said
	read(text string) error // the text is not empty
}

// slot is a value with its name.
type slot struct {
	name   string
	value  value
	need   bool     // the fact means nothing without it
	tagged bool     // in a phrase it is given only behind its name
	also   []string // other words for the name in a phrase
}

// needed, byName and or, with said and written, let the slots read as a list.
func (s slot) needed() slot                { s.need = true; return s }
func (s slot) byName() slot                { s.tagged = true; return s }
func (s slot) or(words ...string) slot     { s.also = words; return s }
func said(name string, value value) slot   { return slot{name: name, value: value} }
func written(name string, at *string) slot { return said(name, word{at}) }

// word is free text on one line: a crop, a product.
type word struct{ at *string }

// maxWord is the longest name or word, in bytes.
const maxWord = 200

func (w word) text() string { return *w.at }

func (w word) read(text string) error {
	if err := isLine(text); err != nil {
		return err
	}
	*w.at = text
	return nil
}

// isLine tells whether a text may stand as a name or a word.
func isLine(text string) error {
	switch {
	case !utf8.ValidString(text):
		return refuse(text, "not valid UTF-8 text; write it again")
	case len(text) > maxWord:
		return refuse(text, "longer than %d characters; shorten it and put the rest into the note", maxWord)
	case strings.TrimSpace(text) != text:
		return refuse(text, "it begins or ends with a space; leave that out")
	case strings.IndexFunc(text, unicode.IsControl) >= 0:
		return refuse(text, "it holds a line break or another control character; leave that out")
	}
	return nil
}

// choice is one of a few words; others are read as one of them.
type choice[T ~string] struct {
	at    *T
	words []T
	also  map[string]T
}

func (c choice[T]) text() string { return string(*c.at) }

func (c choice[T]) read(text string) error {
	for _, w := range c.words {
		if strings.EqualFold(text, string(w)) {
			*c.at = w
			return nil
		}
	}
	if w, ok := c.also[strings.ToLower(text)]; ok {
		*c.at = w
		return nil
	}
	names := make([]string, len(c.words))
	for i, w := range c.words {
		names[i] = `"` + string(w) + `"`
	}
	return refuse(text, "not one of the words used here; write %s", strings.Join(names, ", "))
}

// count is a number of things, from 1; 0 says nothing.
type count struct{ at *int }

// maxCount is the largest count that a farm can mean.
const maxCount = 10_000_000

func (c count) text() string {
	if *c.at == 0 {
		return ""
	}
	return strconv.Itoa(*c.at)
}

func (c count) read(text string) error {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > maxCount {
		return refuse(text, `a whole number from 1 is wanted, such as "36"`)
	}
	*c.at = n
	return nil
}

// truth is yes or no; it is always said.
type truth struct{ at *bool }

func (t truth) text() string {
	if *t.at {
		return "yes"
	}
	return "no"
}

func (t truth) read(text string) error {
	switch strings.ToLower(text) {
	case "yes":
		*t.at = true
	case "no":
		*t.at = false
	default:
		return refuse(text, `write "yes" or "no"`)
	}
	return nil
}

// day is a civil day; day 0 (1970-01-01) says nothing.
type day struct{ at *quantity.Date }

func (d day) text() string {
	if *d.at == 0 {
		return ""
	}
	return d.at.String()
}

func (d day) read(text string) error {
	v, err := quantity.ParseDate(text)
	if err == nil {
		*d.at = v
	}
	return err
}

// MaxHeights is how many heights an entry may have: a field is walked with some dozens,
// and more in one line is no person's note.
const MaxHeights = 200

// lengths is a list of lengths, "31 in; 28 in", at most MaxHeights of them.
type lengths struct {
	at *[]Amount[quantity.Length]
}

func (l lengths) text() string { return strings.Join(l.list(), "; ") }

func (l lengths) list() []string {
	out := make([]string, len(*l.at))
	for i, a := range *l.at {
		out[i] = a.String()
	}
	return out
}

func (l lengths) read(text string) error {
	if n := strings.Count(text, ";") + 1; n > MaxHeights {
		return refuse(text, "%d in one entry; %d are the most: write them down as several entries", n, MaxHeights)
	}
	var list []Amount[quantity.Length]
	for _, part := range strings.Split(text, ";") {
		a, err := Say[quantity.Length](part)
		if err != nil {
			return err
		}
		list = append(list, a)
	}
	*l.at = list
	return nil
}
