package document

import (
	"slices"
	"strings"
)

// Edit gives one key of a table a value, as Set does; none takes it out, as Unset does.
type Edit struct {
	At         Place
	Key, Value string
}

// Apply makes many edits, as if one after the other, and reads the text only once. Two
// edits of one key, or of keys that are written in one pair of braces, are refused.
func Apply(text []byte, edits ...Edit) ([]byte, error) {
	all, err := tables(text)
	if err != nil {
		return nil, err
	}
	at := map[Place]*table{}
	for i := range all {
		if all[i].list != "" || i == 0 {
			at[Place{all[i].list, all[i].index}] = &all[i]
		}
	}
	cuts := make([]cut, len(edits))
	for i, e := range edits {
		t := at[e.At]
		if t == nil {
			return nil, missing(e.At)
		}
		if e.Value == "" {
			cuts[i], err = t.unset(text, e.Key)
		} else {
			cuts[i], err = t.set(text, e.Key, e.Value)
		}
		if err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(cuts, func(a, b cut) int { return a.from - b.from })
	var out strings.Builder
	done := 0
	for _, c := range cuts {
		if c.from < done {
			return nil, Problem{Thing: "document", Remedy: "two changes at once meet in one place; make them one after the other"}
		}
		out.Write(text[done:c.from])
		out.WriteString(c.with)
		done = c.to
	}
	out.Write(text[done:])
	return []byte(out.String()), nil
}
