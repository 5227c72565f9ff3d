package journal

import (
	"cmp"
	"slices"
	"strings"
)

// Conflict is two or more different entries under one identity: a device was
// copied with its count, or a file was changed. All are kept; a person must say
// which are true: by withdrawing the identity, which takes back all of them, and
// entering the true ones again.
type Conflict struct {
	ID      ID
	Entries []Entry // different, in the order of Merge
}

// Error shows every entry of the conflict.
func (c Conflict) Error() string {
	shown := make([]string, len(c.Entries))
	for i, e := range c.Entries {
		shown[i] = e.String() + ", recorded " + e.Recorded.UTC().Format("2006-01-02T15:04:05Z")
	}
	return "two devices go by one name, or a file was changed: entry " + c.ID.String() + " is\n  " +
		strings.Join(shown, "\n  ") + "\nall are kept; withdraw " + c.ID.String() + ", which takes back all of them, and enter again what is true; give each device a name of its own"
}

// keyed is an entry with its line, which decides what is the same.
type keyed struct {
	Entry
	line string
}

func keys(entries []Entry) []keyed {
	out := make([]keyed, len(entries))
	for i, e := range entries {
		out[i] = keyed{e, string(encode(e))}
	}
	return out
}

// recordedFirst orders by moment of recording, device, sequence, and then by what
// is said, so that the order never depends on where entries came from.
func recordedFirst(a, b keyed) int {
	return cmp.Or(a.Recorded.Compare(b.Recorded), cmp.Compare(a.Device, b.Device), cmp.Compare(a.Sequence, b.Sequence), cmp.Compare(a.line, b.line))
}

// Merge joins journals: every entry once, in the order in which they were
// recorded (moment, device, sequence). The same entry in several journals is one.
// Different entries under one identity are all kept and returned as conflicts too,
// in order of identity. The order of the journals does not matter, nor how they
// are grouped, nor how often one is merged.
//
// Entries must have their identity; see Record.
func Merge(journals ...[]Entry) ([]Entry, []Conflict) {
	return merge(slices.Concat(journals...))
}

func merge(entries []Entry) ([]Entry, []Conflict) {
	all := keys(entries)
	slices.SortFunc(all, recordedFirst)
	all = slices.CompactFunc(all, func(a, b keyed) bool { return a.line == b.line })
	out := make([]Entry, len(all))
	byID := map[ID][]Entry{}
	for i, k := range all {
		out[i] = k.Entry
		byID[k.ID] = append(byID[k.ID], k.Entry)
	}
	var conflicts []Conflict
	for _, e := range out {
		if same := byID[e.ID]; len(same) > 1 && same[0].Equal(e) {
			conflicts = append(conflicts, Conflict{e.ID, same})
		}
	}
	slices.SortFunc(conflicts, func(a, b Conflict) int {
		return cmp.Or(cmp.Compare(a.ID.Device, b.ID.Device), cmp.Compare(a.ID.Sequence, b.ID.Sequence))
	})
	return out, conflicts
}
