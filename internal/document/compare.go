package document

import (
	"bytes"
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// Change is one value that stands otherwise in a later text of a document, or a whole
// table that was put in or taken out.
type Change struct {
	At       Place  // of the table in the earlier text; its Index is -1 where it was put in
	Thing    string // the table in words: its list, and what names it there
	Key      string // "soil.pH"; empty: the whole table
	Was, Now string // as a form shows them; empty: not there

	value  string // Now as TOML writes it
	added  *block
	parent Place // of a table put in: the table to which it belongs, in the earlier text
}

// block is a table of a list, or the document itself, with every value in it: those of
// single tables within count as its own, by dotted keys.
type block struct {
	at     Place
	parent int // the block to which it belongs; 0: the document
	thing  string
	keys   []string
	value  map[string]string // as TOML writes it, by key
	shown  map[string]string
	pairs  []Pair // as its own lines have them
	inner  bool   // it has tables under headers of their own
}

func (b *block) put(key string, n *Node) {
	b.keys = append(b.keys, key)
	b.value[key], b.shown[key] = n.toml(), n.Text
	if n.Kind == Array || n.Kind == Table {
		b.shown[key] = b.value[key]
	}
}

// blocks reads a document as its tables, the document itself first.
func blocks(text []byte) ([]block, error) {
	all, err := tables(text)
	if err != nil {
		return nil, err
	}
	var out []block
	owner := func(path string) int { // the last table of a list on the way to a path
		for i := len(out) - 1; i > 0; i-- {
			if strings.HasPrefix(path, out[i].at.List+".") {
				return i
			}
		}
		return 0
	}
	for n := range all {
		t := &all[n]
		to, prefix := owner(t.path), ""
		if n == 0 || t.list != "" {
			out = append(out, block{at: Place{t.list, t.index}, parent: to, value: map[string]string{}, shown: map[string]string{}})
			to = len(out) - 1
		} else {
			out[to].inner = true
			prefix = t.path + "."
			if to > 0 {
				prefix = strings.TrimPrefix(prefix, out[to].at.List+".")
			}
		}
		for _, k := range t.keys {
			root, err := Parse("", slices.Concat([]byte("v = "), text[k.value:k.end]))
			if err != nil {
				return nil, err
			}
			v := root.table["v"]
			if prefix == "" {
				out[to].pairs = append(out[to].pairs, Pair{k.name, string(text[k.value:k.end])})
			}
			if v.Kind != Table {
				out[to].put(prefix+k.name, v)
				continue
			}
			for _, inner := range v.Keys {
				out[to].put(prefix+k.name+"."+inner, v.table[inner])
			}
		}
	}
	for i := range out {
		out[i].thing = out[i].named(out)
	}
	return out, nil
}

// named is a table in words: a period by its group, a sowing by its field and crop.
func (b *block) named(all []block) string {
	if b.at.List == "" {
		return ""
	}
	words := []string{b.at.List[strings.LastIndexByte(b.at.List, '.')+1:]}
	if b.parent > 0 {
		words = append(words, all[b.parent].thing+",", words[0], strconv.Itoa(b.among(all)))
		words = words[1:]
	}
	if name := b.shown["name"]; name != "" {
		return strings.Join(append(words, name), " ")
	}
	for _, key := range []string{"field", "crop", "store", "feed"} {
		if v := b.shown[key]; v != "" {
			words = append(words, v)
		}
	}
	return strings.Join(words, " ")
}

// among is a table's place, from 1, among those of its list that belong where it does.
func (b *block) among(all []block) int {
	n := 1
	for i := range all {
		if all[i].at.List == b.at.List && all[i].parent == b.parent && all[i].at.Index < b.at.Index {
			n++
		}
	}
	return n
}

// likeness tells how far two tables are the same one: 0 not at all. One that has kept its
// name is the same; else half of its values must be.
func likeness(a, b *block) int {
	same := 0
	for k, v := range a.value {
		if b.value[k] == v {
			same++
		}
	}
	if name := a.value["name"]; name != "" && name == b.value["name"] {
		return 1000 + same
	}
	if 2*same < max(len(a.value), len(b.value)) {
		return 0
	}
	return same
}

// aligned gives for every table of a text the same one of another, or -1: those of a list
// in their order, so that they are as alike as can be.
func aligned(a, b []block) []int {
	to := make([]int, len(a))
	for i := range to {
		to[i] = -1
	}
	to[0] = 0
	for _, list := range lists(a) {
		of := func(all []block) (at []int) {
			for i := range all {
				if all[i].at.List == list {
					at = append(at, i)
				}
			}
			return at
		}
		one, other := of(a), of(b)
		best := make([][]int, len(one)+1)
		for i := range best {
			best[i] = make([]int, len(other)+1)
		}
		like := func(i, j int) int {
			if x, y := &a[one[i]], &b[other[j]]; to[x.parent] == y.parent {
				return likeness(x, y)
			}
			return 0
		}
		for i := len(one) - 1; i >= 0; i-- {
			for j := len(other) - 1; j >= 0; j-- {
				best[i][j] = max(best[i+1][j], best[i][j+1])
				if l := like(i, j); l > 0 {
					best[i][j] = max(best[i][j], l+best[i+1][j+1])
				}
			}
		}
		for i, j := 0, 0; i < len(one) && j < len(other); {
			switch l := like(i, j); {
			case l > 0 && best[i][j] == l+best[i+1][j+1]:
				to[one[i]] = other[j]
				i, j = i+1, j+1
			case best[i][j] == best[i+1][j]:
				i++
			default:
				j++
			}
		}
	}
	return to
}

// lists are the names of a document's lists, those of tables within behind the others.
func lists(all []block) (out []string) {
	for i := range all {
		if list := all[i].at.List; list != "" && !slices.Contains(out, list) {
			out = append(out, list)
		}
	}
	slices.SortStableFunc(out, func(a, b string) int { return cmp.Compare(strings.Count(a, "."), strings.Count(b, ".")) })
	return out
}

// Compare tells value by value what a later text of a document says otherwise than an
// earlier one. Comments and the way of writing are no values.
func Compare(was, now []byte) ([]Change, error) {
	if bytes.Equal(was, now) {
		return nil, nil
	}
	a, err := blocks(was)
	if err != nil {
		return nil, err
	}
	b, err := blocks(now)
	if err != nil {
		return nil, err
	}
	to := aligned(a, b)
	from := make([]int, len(b))
	for i := range from {
		from[i] = -1
	}
	var out []Change
	for i := range a {
		x := &a[i]
		if to[i] < 0 {
			if to[x.parent] >= 0 {
				out = append(out, Change{At: x.at, Thing: x.thing, Was: x.summary()})
			}
			continue
		}
		y := &b[to[i]]
		from[to[i]] = i
		keys := slices.Clone(x.keys)
		for _, k := range y.keys {
			if _, there := x.value[k]; !there {
				keys = append(keys, k)
			}
		}
		for _, k := range keys {
			if x.value[k] != y.value[k] {
				out = append(out, Change{At: x.at, Thing: x.thing, Key: k, Was: x.shown[k], Now: y.shown[k], value: y.value[k]})
			}
		}
	}
	for j := range b {
		if y := &b[j]; from[j] < 0 {
			c := Change{At: Place{y.at.List, -1}, Thing: y.thing, Now: y.summary(), added: y}
			switch up := from[y.parent]; {
			case up >= 0:
				c.parent = a[up].at
			default: // of a table that was put in itself
				c.parent = Place{b[y.parent].at.List, -1}
			}
			out = append(out, c)
		}
	}
	return out, nil
}

// summary is a whole table on one line.
func (b *block) summary() string {
	var parts []string
	for _, k := range b.keys {
		parts = append(parts, k+" "+b.shown[k])
	}
	return strings.Join(parts, ", ")
}
