// Package document reads TOML into a tree whose every value knows its line, so
// that all problems of a document can be reported at once, each with file, line,
// thing, value and remedy. The usual decoders stop at the first. It knows TOML
// and problems; it may not know what a document is about.
package document

import (
	"errors"
	"fmt"
	"slices"
	"sort"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// MaxBytes is the largest document read: more is no document a person wrote.
const MaxBytes = 32 << 20

// maxLine is the longest line read.
const maxLine = 1 << 20

// maxDepth is how many names or lists may stand in one another.
const maxDepth = 32

// Problem is one thing wrong with a document.
type Problem struct {
	File   string
	Line   int    // 0 where no line is meant
	Thing  string // field "North Six": area
	Value  string // as written
	Remedy string // what to do
}

// Error writes file, line, thing, value and remedy on one line.
func (p Problem) Error() string {
	at := p.File
	if p.Line > 0 {
		at = fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	value := p.Value
	if len(value) > 80 {
		value = value[:80] + "..."
	}
	if value == "" {
		return fmt.Sprintf("%s: %s: %s", at, p.Thing, p.Remedy)
	}
	return fmt.Sprintf("%s: %s: %q: %s", at, p.Thing, strings.ToValidUTF8(value, "?"), p.Remedy)
}

// Problems is every problem of a document; as an error it writes one a line.
type Problems []Problem

// Error writes the problems in order of line.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i := range p {
		lines[i] = p[i].Error()
	}
	return strings.Join(lines, "\n")
}

// Sort orders problems by line, keeping the order found within one.
func (p Problems) Sort() {
	sort.SliceStable(p, func(i, j int) bool { return p[i].Line < p[j].Line })
}

// Kind is what a value is.
type Kind uint8

// The kinds.
const (
	Table Kind = iota
	Array
	Text
	Number
	Truth
	Moment // a date or time
)

var kindNames = [...]string{"a table", "a list", "a text", "a number", "true or false", "a date"}

// Node is one value of the tree.
type Node struct {
	Kind  Kind
	Line  int
	Text  string // a scalar as written, strings without their quotes
	Keys  []string
	Items []*Node // of a list

	table  map[string]*Node
	used   map[string]bool
	closed bool // defined by its own header or inline
	parent *Node
	name   string // under which the parent holds it; a list's items have the list's
	depth  int    // names or lists above it
}

// path is the dotted name of a value. It is put together only for a problem: kept at
// every value, long names would take all memory.
func (n *Node) path() string {
	var names []string
	for ; n != nil && n.parent != nil; n = n.parent {
		names = append(names, n.name)
	}
	slices.Reverse(names)
	return strings.Join(names, ".")
}

// under is an empty table that stands under a name of another.
func under(parent *Node, name string, line int) *Node {
	return &Node{Kind: Table, Line: line, table: map[string]*Node{}, used: map[string]bool{}, parent: parent, name: name, depth: parent.depth + 1}
}

// Parse reads a document. A syntax error is a Problem with its line.
func Parse(file string, data []byte) (*Node, error) {
	if len(data) > MaxBytes {
		return nil, Problem{File: file, Thing: "document", Value: fmt.Sprintf("%d bytes", len(data)), Remedy: "too large to be a document a person wrote; give the right file"}
	}
	for i, line := range strings.Split(string(data), "\n") {
		if len(line) > maxLine {
			return nil, Problem{File: file, Line: i + 1, Thing: "line", Remedy: "it is longer than a million characters; give the right file"}
		}
		if !utf8.ValidString(line) {
			return nil, Problem{File: file, Line: i + 1, Thing: "line", Value: line, Remedy: "not valid UTF-8 text; save the document as UTF-8"}
		}
	}
	root := &Node{Line: 1, table: map[string]*Node{}, used: map[string]bool{}}
	b := builder{file: file, data: data, starts: []int{0}}
	for i, c := range data {
		if c == '\n' {
			b.starts = append(b.starts, i+1)
		}
	}
	b.parser.KeepComments = false
	b.parser.Reset(data)
	at := root
	for b.parser.NextExpression() {
		e := b.parser.Expression()
		switch e.Kind {
		case unstable.KeyValue:
			b.keyValue(at, e)
		case unstable.Table:
			at = b.header(root, e, false)
		case unstable.ArrayTable:
			at = b.header(root, e, true)
		}
		if b.problem != nil {
			return nil, *b.problem
		}
	}
	if err := b.parser.Error(); err != nil {
		return nil, b.syntax(err)
	}
	return root, nil
}

type builder struct {
	file    string
	data    []byte
	parser  unstable.Parser
	problem *Problem
	starts  []int // where lines begin: the parser counts them anew for every value
}

// lineAt is the line, from 1, on which a byte of the document lies.
func (b *builder) lineAt(offset uint32) int {
	line, exact := slices.BinarySearch(b.starts, int(offset))
	if exact {
		line++
	}
	return line
}

// syntax turns a parser's error into a problem with its line.
func (b *builder) syntax(err error) error {
	line := 0
	var pe *unstable.ParserError
	if errors.As(err, &pe) && len(pe.Highlight) > 0 {
		line = b.lineAt(b.parser.Range(pe.Highlight).Offset)
	}
	// The strict decoder words the same error with its place.
	var probe any
	var de *toml.DecodeError
	if errors.As(toml.Unmarshal(b.data, &probe), &de) {
		line, _ = de.Position()
		return Problem{File: b.file, Line: line, Thing: "TOML", Remedy: strings.TrimPrefix(de.Error(), "toml: ")}
	}
	return Problem{File: b.file, Line: line, Thing: "TOML", Remedy: strings.TrimPrefix(err.Error(), "toml: ")}
}

func (b *builder) line(n *unstable.Node) int {
	if n.Raw.Length == 0 {
		return 0
	}
	return b.lineAt(n.Raw.Offset)
}

func (b *builder) fail(line int, thing, value, remedy string) {
	if b.problem == nil {
		b.problem = &Problem{File: b.file, Line: line, Thing: thing, Value: value, Remedy: remedy}
	}
}

// keys reads a dotted key with the line it stands on, and refuses what would stand too
// deep.
func (b *builder) keys(at *Node, e *unstable.Node) (names []string, line int) {
	n := 0
	for it := e.Key(); it.Next(); n++ {
		k := it.Node()
		if line == 0 {
			line = b.line(k)
		}
		if n < maxDepth {
			names = append(names, string(k.Data))
		}
	}
	if at.depth+n > maxDepth {
		b.tooDeep(line, strings.Join(names, "."))
	}
	return names, line
}

func (b *builder) tooDeep(line int, value string) {
	b.fail(line, "key", value, fmt.Sprintf("more than %d names or lists stand in one another; write it flatter", maxDepth))
}

// child finds or makes the table under a key on the way to another.
func (b *builder) child(n *Node, key string, line int) *Node {
	c := n.table[key]
	if c == nil {
		c = under(n, key, line)
		n.put(key, c)
	}
	if c.Kind == Array && len(c.Items) > 0 && c.Items[len(c.Items)-1].Kind == Table {
		return c.Items[len(c.Items)-1]
	}
	if c.Kind != Table {
		b.fail(line, c.path(), "", fmt.Sprintf("it is already %s on line %d", kindNames[c.Kind], c.Line))
		return under(n, key, line)
	}
	return c
}

func (n *Node) put(key string, c *Node) {
	n.table[key] = c
	n.Keys = append(n.Keys, key)
}

// header opens a [table] or the next of an [[array of tables]].
func (b *builder) header(root *Node, e *unstable.Node, array bool) *Node {
	names, line := b.keys(root, e)
	at := root
	for _, k := range names[:len(names)-1] {
		at = b.child(at, k, line)
	}
	last := names[len(names)-1]
	if !array {
		c := b.child(at, last, line)
		if c.closed {
			b.fail(line, "table", c.path(), fmt.Sprintf("it was already given on line %d; join the two", c.Line))
		}
		c.closed, c.Line = true, line
		return c
	}
	list := at.table[last]
	if list == nil {
		list = &Node{Kind: Array, Line: line, parent: at, name: last, depth: at.depth + 1}
		at.put(last, list)
	}
	c := under(at, last, line)
	if list.Kind != Array {
		b.fail(line, "list", list.path(), fmt.Sprintf("it is already %s on line %d", kindNames[list.Kind], list.Line))
		return c
	}
	c.closed = true
	list.Items = append(list.Items, c)
	return c
}

// keyValue sets one key of a table.
func (b *builder) keyValue(at *Node, e *unstable.Node) {
	names, line := b.keys(at, e)
	if b.problem != nil {
		return
	}
	for _, k := range names[:len(names)-1] {
		at = b.child(at, k, line)
	}
	last := names[len(names)-1]
	if old := at.table[last]; old != nil {
		b.fail(line, old.path(), "", fmt.Sprintf("it was already given on line %d; keep one", old.Line))
		return
	}
	n := &Node{Line: line, parent: at, name: last, depth: at.depth + 1}
	at.put(last, n)
	b.value(n, e.Value())
}

// value fills a node with what is written.
func (b *builder) value(n *Node, v *unstable.Node) {
	n.Text = string(v.Data)
	if l := b.line(v); l > 0 {
		n.Line = l
	}
	switch v.Kind {
	case unstable.String:
		n.Kind = Text
	case unstable.Integer, unstable.Float:
		n.Kind = Number
	case unstable.Bool:
		n.Kind = Truth
	case unstable.LocalDate, unstable.LocalDateTime, unstable.LocalTime, unstable.DateTime:
		n.Kind = Moment
	case unstable.Array:
		n.Kind = Array
		if n.depth >= maxDepth {
			b.tooDeep(n.Line, n.path())
			return
		}
		for it := v.Children(); it.Next(); {
			if c := it.Node(); c.Kind != unstable.Comment {
				item := &Node{Line: n.Line, parent: n.parent, name: n.name, depth: n.depth + 1}
				b.value(item, c)
				n.Items = append(n.Items, item)
			}
		}
	case unstable.InlineTable:
		n.Kind, n.closed = Table, true
		n.table, n.used = map[string]*Node{}, map[string]bool{}
		for it := v.Children(); it.Next(); {
			if c := it.Node(); c.Kind == unstable.KeyValue {
				b.keyValue(n, c)
			}
		}
	}
}
