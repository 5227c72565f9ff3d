package document

import (
	"cmp"
	"slices"
	"strings"
)

// Clash tells whether two people's changes of one text meet in a value, or one took out a
// table in which the other changed something.
func Clash(yours, theirs []Change) bool {
	for _, a := range yours {
		for _, b := range theirs {
			if a.At.Index < 0 || a.At != b.At {
				continue
			}
			if a.Key == b.Key && a.value == b.value {
				continue
			}
			if a.Key == b.Key || a.Key == "" || b.Key == "" {
				return true
			}
		}
	}
	return false
}

// Merge puts what yours says otherwise than base into theirs, and nothing besides: what
// both changed is as in yours. A change in a table that theirs does not have any more is
// a Problem.
func Merge(base, yours, theirs []byte) ([]byte, error) {
	changes, err := Compare(base, yours)
	if err != nil {
		return nil, err
	}
	a, err := blocks(base)
	if err != nil {
		return nil, err
	}
	b, err := blocks(theirs)
	if err != nil {
		return nil, err
	}
	place := map[Place]Place{}
	for i, j := range aligned(a, b) {
		if j >= 0 {
			place[a[i].at] = b[j].at
		}
	}
	text := theirs
	var gone []Place
	for _, c := range changes {
		at, there := place[c.At]
		switch {
		case c.added != nil:
			continue
		case c.Key == "" && there:
			gone = append(gone, at)
			continue
		case c.Key == "":
			continue // both took it out
		case !there:
			return nil, Problem{Thing: c.Thing + ": " + c.Key, Value: c.Now, Remedy: "another window took this out meanwhile; open the page again"}
		case c.value == "":
			text, err = Unset(text, at, c.Key)
		default:
			text, err = Set(text, at, c.Key, c.value)
		}
		if err != nil {
			return nil, err
		}
	}
	// Tables within go first, and the last first, so that places stay what they are.
	slices.SortFunc(gone, func(a, b Place) int {
		return cmp.Or(cmp.Compare(strings.Count(b.List, "."), strings.Count(a.List, ".")), cmp.Compare(b.Index, a.Index))
	})
	for _, at := range gone {
		if text, err = Delete(text, at); err != nil {
			return nil, err
		}
	}
	for _, c := range changes {
		if c.added == nil {
			continue
		}
		if c.added.inner {
			return nil, Problem{Thing: c.Thing, Remedy: "it has tables of its own; put it in on the page Document"}
		}
		if !strings.Contains(c.At.List, ".") {
			text, err = Append(text, c.At.List, c.added.pairs...)
		} else {
			up, there := place[c.parent]
			switch {
			case c.parent.Index < 0: // put in just now, as the last
				up, there = Place{c.parent.List, Count(text, c.parent.List) - 1}, true
			case there:
				for _, at := range gone {
					if at.List == up.List && at.Index < up.Index {
						up.Index--
					}
				}
			}
			if !there || slices.Contains(gone, place[c.parent]) {
				return nil, Problem{Thing: c.Thing, Remedy: "another window took out what it belongs to; open the page again"}
			}
			text, err = AppendIn(text, up, c.At.List, c.added.pairs...)
		}
		if err != nil {
			return nil, err
		}
	}
	return text, nil
}
