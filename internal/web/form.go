package web

import (
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"

	"rowen/internal/document"
)

// kind is how a value is written in a document.
type kind uint8

const (
	text   kind = iota // in quotes: a name, a quantity with its unit
	number             // bare: a head count, a pH
	truth              // true or false
)

// input is one value of a document on a form: what it is, what was typed, what is wrong.
type input struct {
	Name   string // of the form's field
	Key    string
	Value  string
	Wrong  string
	Theirs string // what another window saved meanwhile

	at    document.Place
	kind  kind
	began string // with which the form was begun
}

// inputs are a form over one table of a document.
type inputs []*input

// By finds an input by its key, for templates.
func (in inputs) By(key string) *input {
	for _, i := range in {
		if i.Key == key {
			return i
		}
	}
	return &input{}
}

// spec is a key with its kind.
type spec struct {
	key  string
	kind kind
}

// forms reads every table under [[list]] as inputs; prefix and the table's number tell
// tables on one page apart.
func forms(doc []byte, list, prefix string, specs []spec) ([]inputs, error) {
	all, err := document.ValuesOf(doc, list)
	if err != nil {
		return nil, err
	}
	out := make([]inputs, len(all))
	for i, values := range all {
		for _, s := range specs {
			out[i] = append(out[i], &input{Name: fmt.Sprintf("%s%d.%s", prefix, i, s.key), Key: s.key, Value: values[s.key], began: values[s.key], at: document.Place{List: list, Index: i}, kind: s.kind})
		}
	}
	return out, nil
}

// begun opens a farm, reads what was sent, and reads the document as a page's form: for
// one that was sent, the version that it was begun with. It is nil where the refusal was
// told already.
func begun[P any](s *Server, w http.ResponseWriter, r *http.Request, read func(*opened) (P, error)) (o *opened, body P) {
	if o = s.must(w, r); o == nil {
		return nil, body
	}
	o, err := s.asBegun(r, o)
	if err == nil {
		err = o.wrong
	}
	if err == nil {
		body, err = read(o)
	}
	if err != nil {
		s.fail(w, r, err)
		return nil, body
	}
	return o, body
}

// apply writes what a request's form says otherwise than the document. A field that the
// form does not have stays; an empty one is taken out.
func apply(doc []byte, r *http.Request, all ...inputs) ([]byte, error) {
	for _, in := range all {
		for _, i := range in {
			i.began = i.Value
			if _, asked := r.Form[i.Name]; !asked {
				continue
			}
			typed := r.Form[i.Name]
			v := strings.TrimSpace(typed[len(typed)-1]) // a checkbox comes after its hidden "false"
			if v == i.Value {
				continue
			}
			i.Value = v
			var err error
			if v == "" {
				doc, err = document.Unset(doc, i.at, i.Key)
			} else {
				doc, err = document.Set(doc, i.at, i.Key, i.toml())
			}
			if err != nil {
				return nil, err
			}
		}
	}
	return doc, nil
}

// toml is the value as a document has it. A number that is none is written as text, and
// the document's reader says what is wrong with it.
func (i *input) toml() string {
	switch i.kind {
	case number:
		if v, err := strconv.ParseFloat(strings.ReplaceAll(i.Value, ",", ""), 64); err == nil && finite(v) && !strings.ContainsAny(i.Value, "xXpP_") {
			return document.WriteNumber(v)
		}
	case truth:
		if i.Value == "true" || i.Value == "false" {
			return i.Value
		}
	}
	return document.Quote(i.Value)
}

// finite tells whether a number is one that a document can have.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// numbered reads which of so many things a form means, from 0; false where it is none.
func numbered(text string, of int) (int, bool) {
	n, err := strconv.Atoi(text)
	return n, err == nil && n >= 0 && n < of
}

// judge puts each problem beside the input that it speaks of, and gives the others.
func judge(doc []byte, problems []document.Problem, all ...inputs) (rest []document.Problem) {
	for _, p := range problems {
		if !beside(doc, p, all) {
			rest = append(rest, p)
		}
	}
	return rest
}

func beside(doc []byte, p document.Problem, all []inputs) bool {
	for _, in := range all {
		if len(in) == 0 || p.Line == 0 {
			continue
		}
		lines, err := document.Lines(doc, in[0].at) // one table's inputs
		if err != nil {
			continue
		}
		for _, i := range in {
			line, there := lines[i.Key]
			named := lines[""] == p.Line && strings.HasSuffix(p.Thing, ": "+i.Key) // told at the table's head
			if outer, inner, within := strings.Cut(i.Key, "."); within && !there {
				named = lines[outer] == p.Line && strings.HasSuffix(p.Thing, ": "+outer+": "+inner)
				// What is told of the whole begins with the one that it means.
				named = named || strings.HasSuffix(p.Thing, ": "+outer) && (lines[outer] == p.Line || lines[""] == p.Line) && strings.HasPrefix(p.Remedy, inner+" ")
			}
			if there && line == p.Line || named {
				i.Wrong = p.Remedy
				if p.Value != "" {
					i.Wrong = fmt.Sprintf("%q: %s", p.Value, p.Remedy)
				}
				return true
			}
		}
	}
	return false
}
