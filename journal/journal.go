// Package journal is the farm's record of dated facts: what was sown, measured,
// grazed, cut, fed, tested and seen. Facts are only ever added; a later entry may
// correct or withdraw an earlier one, and nothing is rewritten, so that copies
// kept on several devices can be joined without loss.
//
// The room knows entries, their file, their sheet, their short phrases, and the
// questions that a careful clerk would ask. It may not know how plants grow, what
// a farm document looks like, or what is safe: the rooms above read its facts and
// decide.
package journal

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"rowen/quantity"
)

// Version is the version of the line format that this program writes.
const Version = 1

// ID names an entry for good: the device that made it and that device's own
// count of entries, from 1.
type ID struct {
	Device   string // 1 to 32 letters, digits, ".", "_" or "-"
	Sequence uint64
}

// None tells that no entry is named.
func (id ID) None() bool { return id == ID{} }

// String writes the identity as "barn:12".
func (id ID) String() string {
	return id.Device + ":" + strconv.FormatUint(id.Sequence, 10)
}

// ParseID reads "barn:12".
func ParseID(s string) (ID, error) {
	device, count, ok := strings.Cut(strings.TrimSpace(s), ":")
	n, err := strconv.ParseUint(count, 10, 64)
	if !ok || err != nil || n == 0 || !isDevice(device) || strconv.FormatUint(n, 10) != count {
		return ID{}, refuse(s, `not the name of an entry; write device and number, such as "barn:12"`)
	}
	return ID{device, n}, nil
}

// Entry is one dated fact. The names (field, group, store, lot) are those of the
// farm document; which of them an entry needs, its kind tells. An empty Field is
// the farm as a whole.
type Entry struct {
	ID
	Date     quantity.Date // the farm's day on which it was so
	Recorded time.Time     // the moment it was written down, UTC
	Field    string
	Group    string
	Store    string
	Lot      string
	Fact     Fact
	Note     string // free text; may hold several lines
	Corrects ID     // the entry that this one replaces or withdraws; none if it is zero

	// Version is that of a line written by a later program, else 0. Later is what
	// such a line said and this program cannot read: a JSON object, kept whole.
	Version int
	Later   string
}

// Fact is what an entry says: one of the types of this package, given by value.
// A switch over its type reads it:
//
//	switch f := e.Fact.(type) {
//	case journal.Height:
//		mean := f.Mean()
type Fact interface {
	// Kind is the word by which the fact is stored.
	Kind() Kind
}

// Kind is the word by which a kind of fact is stored.
type Kind string

// The kinds.
const (
	KindSown         Kind = "sown"
	KindEmergence    Kind = "emergence"
	KindHeight       Kind = "height"
	KindStage        Kind = "stage"
	KindGrazingIn    Kind = "grazing-in"
	KindGrazingOut   Kind = "grazing-out"
	KindCut          Kind = "cut"
	KindFertiliser   Kind = "fertiliser"
	KindManure       Kind = "manure"
	KindFrost        Kind = "frost"
	KindShoots       Kind = "shoots"
	KindDrought      Kind = "drought"
	KindDroughtEnded Kind = "drought-ended"
	KindHail         Kind = "hail"
	KindLab          Kind = "lab"
	KindBought       Kind = "bought"
	KindSold         Kind = "sold"
	KindFed          Kind = "fed"
	KindMeasured     Kind = "store-measured"
	KindAnimalsIn    Kind = "animals-in"
	KindAnimalsOut   Kind = "animals-out"
	KindRain         Kind = "rain"
	KindLabel        Kind = "label"
	KindTilled       Kind = "tilled"
	KindEnded        Kind = "ended"
	KindWithdrawn    Kind = "withdrawn"
)

// Kind is the kind of the entry's fact, empty if it has none.
func (e Entry) Kind() Kind {
	if e.Fact == nil {
		return ""
	}
	return e.Fact.Kind()
}

// Equal tells whether two entries say the same, word for word.
func (e Entry) Equal(o Entry) bool { return string(encode(e)) == string(encode(o)) }

// String writes the entry on one line for a person:
//
//	2026-07-12 height, North Six: heights 31 in; 28 in; 33 in (barn:12)
func (e Entry) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s", e.Date, e.Kind())
	for _, name := range []string{e.Field, e.Group, e.Store, e.Lot} {
		if name != "" {
			b.WriteString(", " + name)
		}
	}
	sep := ": "
	for _, s := range slotsOf(e.Fact) {
		if text := s.value.text(); text != "" {
			b.WriteString(sep + strings.ReplaceAll(s.name, "_", " ") + " " + text)
			sep = ", "
		}
	}
	if !e.Corrects.None() {
		fmt.Fprintf(&b, ", corrects %s", e.Corrects)
	}
	if !e.ID.None() {
		fmt.Fprintf(&b, " (%s)", e.ID)
	}
	return b.String()
}

// isDevice tells whether a text may name a device.
func isDevice(s string) bool {
	if len(s) == 0 || len(s) > 32 {
		return false
	}
	for _, c := range []byte(s) {
		if !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '.' || c == '_' || c == '-') {
			return false
		}
	}
	return true
}
