package document

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// Place names a table of a document: the document itself where List is empty, else
// the table of that index among those under [[List]], counted through the whole
// document from 0 ("group.period" counts over all groups).
type Place struct {
	List  string
	Index int
}

// Pair is a key with its value as TOML writes it; see Quote.
type Pair struct{ Key, Value string }

// Quote writes a text as a TOML string.
func Quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range s {
		switch {
		case c == '"' || c == '\\':
			b.WriteByte('\\')
			b.WriteRune(c)
		case c == '\n':
			b.WriteString(`\n`)
		case c == '\t':
			b.WriteString(`\t`)
		case c < 0x20 || c == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, c)
		default:
			b.WriteRune(c)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// WriteNumber writes a number as TOML does.
func WriteNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Set gives one key of a table a value, in its place if it is there, else as the
// table's last key. A key of a table within is "soil.pH", whether that table is written
// in braces, by dotted keys or under a header of its own. Every other byte stays.
func Set(text []byte, at Place, key, value string) ([]byte, error) {
	t, err := find(text, at)
	if err != nil {
		return nil, err
	}
	c, err := t.set(text, key, value)
	if err != nil {
		return nil, err
	}
	return splice(text, c.from, c.to, c.with), nil
}

// cut is a part of a text with what is to stand in its place.
type cut struct {
	from, to int
	with     string
}

// set is the cut that gives a key a value.
func (t *table) set(text []byte, key, value string) (cut, error) {
	if sub, inner := t.within(key); sub != nil {
		t, key = sub, inner
	}
	outer, inner, dotted := strings.Cut(key, ".")
	for _, k := range t.keys {
		if k.name == key {
			return cut{k.value, k.end, value}, nil
		}
		if dotted && k.name == outer {
			table, err := braces(text[k.value:k.end], inner, value)
			return cut{k.value, k.end, table}, err
		}
	}
	if _, nested := t.nested[outer]; nested {
		return cut{}, Problem{Thing: key, Remedy: "it is written as several tables; change it in the document's text"}
	}
	if dotted {
		for _, k := range t.keys {
			if strings.HasPrefix(k.name, outer+".") { // its own dotted keys stand together
				end := lineEnd(text, k.end)
				return cut{end, end, outer + "." + bareKey(inner) + " = " + value + "\n"}, nil
			}
		}
		return cut{t.end, t.end, lineBefore(text, t.end) + bareKey(outer) + " = { " + bareKey(inner) + " = " + value + " }\n"}, nil
	}
	return cut{t.end, t.end, lineBefore(text, t.end) + bareKey(key) + " = " + value + "\n"}, nil
}

// Unset removes one key of a table with its line; nothing where it is not there.
func Unset(text []byte, at Place, key string) ([]byte, error) {
	t, err := find(text, at)
	if err != nil {
		return nil, err
	}
	c, err := t.unset(text, key)
	if err != nil {
		return nil, err
	}
	return splice(text, c.from, c.to, c.with), nil
}

// unset is the cut that takes a key out; one of nothing where it is not there.
func (t *table) unset(text []byte, key string) (cut, error) {
	if sub, inner := t.within(key); sub != nil {
		t, key = sub, inner
	}
	outer, inner, dotted := strings.Cut(key, ".")
	for _, k := range t.keys {
		if k.name == key {
			return cut{lineStart(text, k.start), lineEnd(text, k.end), ""}, nil
		}
		if dotted && k.name == outer {
			table, err := braces(text[k.value:k.end], inner, "")
			return cut{k.value, k.end, table}, err
		}
	}
	return cut{t.end, t.end, ""}, nil
}

// braces writes a table in braces again with one key changed, or taken out where the
// value is empty.
func braces(table []byte, key, value string) (string, error) {
	root, err := Parse("", slices.Concat([]byte("v = "), table))
	if err != nil {
		return "", err
	}
	v := root.table["v"]
	if v.Kind != Table {
		return "", Problem{Thing: key, Remedy: "it is no table in braces; change it in the document's text"}
	}
	keys := v.Keys
	if !slices.Contains(keys, key) {
		keys = append(keys, key)
	}
	var parts []string
	for _, k := range keys {
		text := value
		if k != key {
			text = v.table[k].toml()
		}
		if text != "" {
			parts = append(parts, bareKey(k)+" = "+text)
		}
	}
	return "{ " + strings.Join(parts, ", ") + " }", nil
}

// toml writes a value as a document has it.
func (n *Node) toml() string {
	switch n.Kind {
	case Text:
		return Quote(n.Text)
	case Array:
		var items []string
		for _, i := range n.Items {
			items = append(items, i.toml())
		}
		return "[" + strings.Join(items, ", ") + "]"
	case Table:
		var parts []string
		for _, k := range n.Keys {
			parts = append(parts, bareKey(k)+" = "+n.table[k].toml())
		}
		return "{ " + strings.Join(parts, ", ") + " }"
	}
	return n.Text
}

// Append adds a table under [[list]]: after the last of them, or at the end.
func Append(text []byte, list string, pairs ...Pair) ([]byte, error) {
	return AppendAll(text, list, pairs)
}

// AppendAll adds tables under [[list]], as Append does one.
func AppendAll(text []byte, list string, added ...[]Pair) ([]byte, error) {
	all, err := tables(text)
	if err != nil {
		return nil, err
	}
	at, nested := len(text), false
	for _, t := range all {
		switch {
		case t.list == list:
			at, nested = t.end, true
		case nested && strings.HasPrefix(t.path, list+"."):
			at = t.end // its own tables go with it
		default:
			nested = false
		}
	}
	var with strings.Builder
	for _, pairs := range added {
		with.WriteString(written(list, pairs))
	}
	return splice(text, at, at, lineBefore(text, at)+with.String()), nil
}

// Delete removes a table with the tables under it and the comment lines that stand
// right above it.
func Delete(text []byte, at Place) ([]byte, error) {
	all, err := tables(text)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(all, func(t table) bool { return t.list == at.List && t.index == at.Index })
	if i < 0 || at.List == "" {
		return nil, missing(at)
	}
	end := all[i].end
	for _, t := range all[i+1:] {
		if !strings.HasPrefix(t.path, at.List+".") {
			break
		}
		end = t.end
	}
	start := lineStart(text, all[i].start)
	for start > 0 {
		above := lineStart(text, start-1)
		if line := strings.TrimSpace(string(text[above:start])); !strings.HasPrefix(line, "#") {
			if line == "" {
				start = above // one empty line goes with it
			}
			break
		}
		start = above
	}
	return splice(text, start, end, ""), nil
}

// table is a table's place in the text.
type table struct {
	path, list string // list: of an [[array]]
	index      int
	start, end int // of its header; after its last key's line
	keys       []keyAt
	nested     map[string]int // tables written under their own headers, by where they stand in all; -1: a list, or not one table
	all        []table
}

// within is the table under a header of its own that a key such as "soil.pH" speaks of,
// and the key there; nil where there is none.
func (t *table) within(key string) (*table, string) {
	outer, inner, dotted := strings.Cut(key, ".")
	if i, ok := t.nested[outer]; ok && dotted && i >= 0 {
		return &t.all[i], inner
	}
	return nil, key
}

// keyAt is a key's place: the key, its value, and the value's end.
type keyAt struct {
	name              string
	start, value, end int
}

func missing(at Place) error {
	return Problem{Thing: at.List, Value: strconv.Itoa(at.Index + 1), Remedy: "the document has no such table; it may have changed meanwhile"}
}

func find(text []byte, at Place) (*table, error) {
	all, err := tables(text)
	if err != nil {
		return nil, err
	}
	for i := range all {
		if all[i].list == at.List && all[i].index == at.Index && (at.List != "" || i == 0) {
			return &all[i], nil
		}
	}
	return nil, missing(at)
}

// tables finds every table of a document, the document itself first.
func tables(text []byte) ([]table, error) {
	if _, err := Parse("", text); err != nil {
		return nil, err
	}
	var p unstable.Parser
	p.Reset(text)
	all := []table{{nested: map[string]int{}}}
	counts := map[string]int{}
	last := map[string]int{}
	for p.NextExpression() {
		e := p.Expression()
		var names []string
		first, after := -1, 0
		for it := e.Key(); it.Next(); {
			k := it.Node()
			names = append(names, string(k.Data))
			if first < 0 {
				first = int(k.Raw.Offset)
			}
			after = int(k.Raw.Offset + k.Raw.Length)
		}
		path := strings.Join(names, ".")
		switch e.Kind {
		case unstable.KeyValue:
			t := &all[len(all)-1]
			end := int(e.Raw.Offset + e.Raw.Length)
			value := after
			for value < end && text[value] != '=' {
				value++
			}
			value++
			for value < end && (text[value] == ' ' || text[value] == '\t') {
				value++
			}
			for end > value && (text[end-1] == ' ' || text[end-1] == '\t' || text[end-1] == '\r' || text[end-1] == '\n') {
				end--
			}
			t.keys = append(t.keys, keyAt{name: path, start: first, value: value, end: end})
			t.end = lineEnd(text, end)
		case unstable.Table, unstable.ArrayTable:
			t := table{path: path, start: first, end: lineEnd(text, after), nested: map[string]int{}}
			if e.Kind == unstable.ArrayTable {
				t.list, t.index = path, counts[path]
				counts[path]++
			}
			above, name, known := 0, path, true
			if dot := strings.LastIndexByte(path, '.'); dot > 0 {
				if above, known = last[path[:dot]]; known {
					name = path[dot+1:]
				} else { // [prices.seed] without [prices]
					above, name = 0, strings.Split(path, ".")[0]
				}
			}
			if _, again := all[above].nested[name]; again || !known || e.Kind == unstable.ArrayTable {
				all[above].nested[name] = -1
			} else {
				all[above].nested[name] = len(all)
			}
			last[path] = len(all)
			all = append(all, t)
		}
	}
	for i := range all {
		all[i].all = all
	}
	return all, p.Error()
}

func splice(text []byte, from, to int, with string) []byte {
	return slices.Concat(text[:from], []byte(with), text[to:])
}

func lineStart(text []byte, at int) int {
	for at > 0 && text[at-1] != '\n' {
		at--
	}
	return at
}

// lineEnd is the place after the end of the line.
func lineEnd(text []byte, at int) int {
	for at < len(text) {
		at++
		if text[at-1] == '\n' {
			break
		}
	}
	return at
}

// lineBefore is the line break that is wanting before a place.
func lineBefore(text []byte, at int) string {
	if at > 0 && text[at-1] != '\n' {
		return "\n"
	}
	return ""
}

// bareKey writes a key, in quotes where TOML wants them.
func bareKey(key string) string {
	for _, c := range key {
		if !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' || c == '-') {
			return Quote(key)
		}
	}
	if key == "" {
		return `""`
	}
	return key
}

// Values are the texts and numbers of a table by key, as a form shows them, those of
// tables within as "soil.pH"; lists are left out.
func Values(text []byte, at Place) (map[string]string, error) {
	t, err := find(text, at)
	if err != nil {
		return nil, err
	}
	return t.values(text)
}

// ValuesOf are the values of every table under [[list]], in order; see Values.
func ValuesOf(text []byte, list string) ([]map[string]string, error) {
	all, err := tables(text)
	if err != nil {
		return nil, err
	}
	var out []map[string]string
	for i := range all {
		if all[i].list != list {
			continue
		}
		values, err := all[i].values(text)
		if err != nil {
			return nil, err
		}
		out = append(out, values)
	}
	return out, nil
}

func (t *table) values(text []byte) (map[string]string, error) {
	out := map[string]string{}
	for _, k := range t.keys {
		root, err := Parse("", slices.Concat([]byte("v = "), text[k.value:k.end]))
		if err != nil {
			return nil, err
		}
		switch v := root.table["v"]; v.Kind {
		case Table:
			for _, inner := range v.Keys {
				if x := v.table[inner]; x.Kind != Table && x.Kind != Array {
					out[k.name+"."+inner] = x.Text
				}
			}
		case Array:
		default:
			out[k.name] = v.Text
		}
	}
	if t.list == "" && t.path == "" {
		return out, nil // of the document itself only its own keys
	}
	for name, i := range t.nested {
		if i < 0 {
			continue
		}
		inner, err := t.all[i].values(text)
		if err != nil {
			return nil, err
		}
		for key, v := range inner {
			out[name+"."+key] = v
		}
	}
	return out, nil
}

// AppendIn adds a table under [[list]] to what belongs to another: after its own tables.
func AppendIn(text []byte, in Place, list string, pairs ...Pair) ([]byte, error) {
	all, err := tables(text)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(all, func(t table) bool { return t.list == in.List && t.index == in.Index })
	if i < 0 || in.List == "" {
		return nil, missing(in)
	}
	at := all[i].end
	for _, t := range all[i+1:] {
		if !strings.HasPrefix(t.path, in.List+".") {
			break
		}
		at = t.end
	}
	return splice(text, at, at, lineBefore(text, at)+written(list, pairs)), nil
}

// written is a table as text.
func written(list string, pairs []Pair) string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n[[%s]]\n", list)
	for _, p := range pairs {
		fmt.Fprintf(&b, "%s = %s\n", bareKey(p.Key), p.Value)
	}
	return b.String()
}

// Lines are the lines, from 1, on which the keys of a table stand; under "" that of its
// header.
func Lines(text []byte, at Place) (map[string]int, error) {
	t, err := find(text, at)
	if err != nil {
		return nil, err
	}
	line := func(offset int) int { return 1 + strings.Count(string(text[:offset]), "\n") }
	out := map[string]int{"": line(t.start)}
	for _, k := range t.keys {
		out[k.name] = line(k.start)
		if outer, _, dotted := strings.Cut(k.name, "."); dotted && out[outer] == 0 {
			out[outer] = line(k.start)
		}
	}
	for name, i := range t.nested {
		if i < 0 || at.List == "" {
			continue
		}
		sub := &t.all[i]
		out[name] = line(sub.start)
		for _, k := range sub.keys {
			out[name+"."+k.name] = line(k.start)
		}
	}
	return out, nil
}

// Count is how many tables a document has under [[list]].
func Count(text []byte, list string) int {
	all, err := tables(text)
	if err != nil {
		return 0
	}
	n := 0
	for _, t := range all {
		if t.list == list {
			n++
		}
	}
	return n
}
