package journal

import (
	"cmp"
	"slices"
)

// Standing is the facts in force: what was neither corrected nor withdrawn, in
// the order of date, moment of recording, device and sequence. It does not depend
// on the order given.
//
// If several entries correct the same one, directly or by correcting each other,
// the one recorded last is in force. A correction whose original is not here (not
// yet merged) is in force. Where different entries share an identity, all stand,
// and a correction of that identity replaces those of its own kind and no other
// correction than of its kind; if there is none of its kind, or it withdraws, it
// replaces all.
//
// Values that no farm can have count as not said, and a fact that means nothing without
// them does not stand; Check asks about them.
func Standing(entries []Entry) []Entry {
	var out []Entry
	for _, e := range inForce(entries) {
		if e, ok := e.believed(); ok {
			out = append(out, e)
		}
	}
	return out
}

// inForce is Standing as it was written down, whether it can be or not.
func inForce(entries []Entry) []Entry {
	t := trace(entries)
	var out []keyed
	for i, e := range t.all {
		if t.stands(i) && e.Kind() != KindWithdrawn {
			out = append(out, e)
		}
	}
	slices.SortFunc(out, func(a, b keyed) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), recordedFirst(a, b))
	})
	facts := make([]Entry, len(out))
	for i, k := range out {
		facts[i] = k.Entry
	}
	return facts
}

// corrections knows which entry corrects which.
type corrections struct {
	all       []keyed // each once, as recorded
	byID      map[ID][]int
	corrected []bool
	last      map[origin]int // of all that correct one origin, the one in force
}

// origin is what a chain of corrections goes back to: an identity, and where
// several entries share it, the kind too.
type origin struct {
	id   ID
	kind Kind
}

func trace(entries []Entry) *corrections {
	merged, _ := merge(entries)
	t := &corrections{all: keys(merged), byID: map[ID][]int{}, last: map[origin]int{}}
	t.corrected = make([]bool, len(t.all))
	for i, e := range t.all {
		t.byID[e.ID] = append(t.byID[e.ID], i)
	}
	for _, e := range t.all {
		for _, j := range t.targets(e.Entry) {
			t.corrected[j] = true
		}
	}
	// Those recorded later overwrite earlier ones; one that was itself corrected
	// counts only where, in a ring of corrections, there is no other.
	for _, corrected := range []bool{true, false} {
		for i, e := range t.all {
			if !e.Corrects.None() && t.corrected[i] == corrected {
				t.last[t.origin(e.Entry)] = i
			}
		}
	}
	return t
}

// targets are the entries that one replaces.
func (t *corrections) targets(e Entry) []int {
	if e.Corrects.None() {
		return nil
	}
	named := t.byID[e.Corrects]
	var same []int
	for _, i := range named {
		if t.all[i].Kind() == e.Kind() {
			same = append(same, i)
		}
	}
	if e.Kind() == KindWithdrawn || len(same) == 0 {
		return named
	}
	return same
}

// origin is what a correction goes back to.
func (t *corrections) origin(e Entry) origin {
	root := t.root(e)
	if len(t.byID[root]) > 1 {
		return origin{root, e.Kind()}
	}
	return origin{id: root}
}

// root is the identity at the beginning of a chain of corrections. In a ring it is
// the least identity.
func (t *corrections) root(e Entry) ID {
	at := e.Corrects
	path := []ID{e.ID}
	for {
		if i := slices.Index(path, at); i >= 0 {
			return slices.MinFunc(path[i:], func(a, b ID) int {
				return cmp.Or(cmp.Compare(a.Device, b.Device), cmp.Compare(a.Sequence, b.Sequence))
			})
		}
		path = append(path, at)
		next := ID{}
		for _, i := range t.byID[at] {
			if c := t.all[i].Corrects; !c.None() {
				next = c
				break
			}
		}
		if next.None() {
			return at
		}
		at = next
	}
}

// stands tells whether an entry is in force.
func (t *corrections) stands(i int) bool {
	if e := t.all[i]; !e.Corrects.None() {
		return t.last[t.origin(e.Entry)] == i
	}
	return !t.corrected[i]
}
