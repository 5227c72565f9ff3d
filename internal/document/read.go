package document

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Reader takes values out of a tree and gathers every problem on the way.
type Reader struct {
	File     string
	Problems Problems
}

// Report adds a problem.
func (r *Reader) Report(line int, thing, value, remedy string) {
	r.Problems = append(r.Problems, Problem{File: r.File, Line: line, Thing: thing, Value: value, Remedy: remedy})
}

// In is a table with the words that name it in problems.
type In struct {
	R     *Reader
	Node  *Node
	Thing string // field "North Six"
}

// At names a table of the document.
func (r *Reader) At(n *Node, thing string) In { return In{r, n, thing} }

// Line is the line of a key, or of the table where the key is missing.
func (t In) Line(key string) int {
	if n := t.Node.table[key]; n != nil {
		return n.Line
	}
	return t.Node.Line
}

// Has tells whether the key is given.
func (t In) Has(key string) bool { return t.Node.table[key] != nil }

// Report adds a problem about one key.
func (t In) Report(key, value, remedy string) {
	t.R.Report(t.Line(key), t.thing(key), value, remedy)
}

func (t In) thing(key string) string {
	switch {
	case t.Thing == "":
		return key
	case key == "":
		return t.Thing
	}
	return t.Thing + ": " + key
}

// take finds a key's value of a kind; nil if it is not given or of another.
func (t In) take(key string, kind Kind) *Node {
	t.Node.used[key] = true
	n := t.Node.table[key]
	if n == nil {
		return nil
	}
	if n.Kind != kind {
		t.Report(key, n.Text, fmt.Sprintf("this is %s; %s is wanted", kindNames[n.Kind], kindNames[kind]))
		return nil
	}
	return n
}

// Text is a key's text, empty if it is not given. A number without quotes is a
// number without unit: the remedy says so.
func (t In) Text(key string) string {
	if n := t.Node.table[key]; n != nil && n.Kind == Number {
		t.Node.used[key] = true
		t.Report(key, n.Text, `a bare number has no unit; write it with its unit and in quotes, such as "`+n.Text+` ac"`)
		return ""
	}
	if n := t.take(key, Text); n != nil {
		return n.Text
	}
	return ""
}

// Need is a text that must be given.
func (t In) Need(key, example string) string {
	if n := t.Node.table[key]; n == nil || n.Kind == Text && strings.TrimSpace(n.Text) == "" {
		t.Node.used[key] = true
		t.Report(key, "", "it is missing; write "+key+" = "+example)
		return ""
	}
	return t.Text(key)
}

// Number is a plain number (a count, a pH, a latitude) within a range; the
// default if it is not given.
func (t In) Number(key string, otherwise, low, high float64) float64 {
	n := t.take(key, Number)
	if n == nil {
		return otherwise
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(n.Text, "_", ""), 64)
	if err != nil || math.IsNaN(v) || v < low || v > high {
		t.Report(key, n.Text, fmt.Sprintf("it must lie between %g and %g", low, high))
		return otherwise
	}
	return v
}

// Truth is true or false; the default if it is not given.
func (t In) Truth(key string, otherwise bool) bool {
	if n := t.take(key, Truth); n != nil {
		return n.Text == "true"
	}
	return otherwise
}

// Table is a table under a key; ok is false if it is not given.
func (t In) Table(key, thing string) (In, bool) {
	n := t.take(key, Table)
	if n == nil {
		return In{t.R, &Node{table: map[string]*Node{}, used: map[string]bool{}, Line: t.Node.Line}, thing}, false
	}
	return In{t.R, n, thing}, true
}

// Tables are the tables of a list; name makes the words that name each.
func (t In) Tables(key string, name func(In) string) []In {
	list := t.take(key, Array)
	if list == nil {
		return nil
	}
	var out []In
	for _, n := range list.Items {
		if n.Kind != Table {
			t.R.Report(n.Line, t.thing(key), n.Text, "each must be a table; write [["+list.path()+"]]")
			continue
		}
		in := In{t.R, n, key}
		in.Thing = name(in)
		out = append(out, in)
	}
	return out
}

// Texts is a list of texts.
func (t In) Texts(key string) []string {
	list := t.take(key, Array)
	if list == nil {
		return nil
	}
	var out []string
	for _, n := range list.Items {
		if n.Kind != Text {
			t.R.Report(n.Line, t.thing(key), n.Text, "each must be a text in quotes")
			continue
		}
		out = append(out, n.Text)
	}
	return out
}

// Quantity reads a text with a parser of package quantity; the default if it is
// not given or wrong, and then the problem is kept.
func Quantity[T any](t In, key string, otherwise T, parse func(string) (T, error)) T {
	text := t.Text(key)
	if text == "" {
		return otherwise
	}
	v, err := parse(text)
	if err != nil {
		// A quantity's error quotes the value first; the problem has it already.
		t.Report(key, text, strings.TrimPrefix(err.Error(), fmt.Sprintf("%q: ", text)))
		return otherwise
	}
	return v
}

// Unknown reports keys that nobody read, with the nearest that would be read.
func (t In) Unknown() {
	for _, key := range t.Node.Keys {
		if t.Node.used[key] {
			continue
		}
		remedy := "no such key here"
		if near := nearest(key, t.Node.used); near != "" {
			remedy += "; did you mean " + near + "?"
		}
		t.Report(key, "", remedy)
	}
}

// nearest is the key within two edits of a mistyped one.
func nearest(key string, among map[string]bool) string {
	best, found := 3, ""
	for k := range among {
		if d := Distance(key, k); d < best || d == best && k < found {
			best, found = d, k
		}
	}
	if best > 2 {
		return ""
	}
	return found
}

// Keys are the keys of a table in the order written; they count as read.
func (t In) Keys() []string {
	for _, k := range t.Node.Keys {
		t.Node.used[k] = true
	}
	return t.Node.Keys
}
