package journal

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"rowen/internal/document"
	"rowen/quantity"
)

// maxNote is the longest note, in bytes.
const maxNote = 512 << 10

// firstDay and lastDay bound the days that can be written as year-month-day.
var firstDay, lastDay = quantity.NewDate(1, time.January, 1), quantity.NewDate(9999, time.December, 31)

// Problems is everything for which an entry cannot be kept: no kind, no field
// where one is needed, a value that cannot be. What is merely odd is a Question;
// see Check. The file of the problems is "journal".
func (e Entry) Problems() document.Problems {
	v := validator{entry: &e}
	v.stamp()
	if e.Sequence > MaxSequence {
		v.report("sequence", strconv.FormatUint(e.Sequence, 10), fmt.Sprintf("no device counts beyond %d; let the program number it", uint64(MaxSequence)))
	}
	v.common()
	v.fact()
	v.bounds()
	return v.problems
}

// unstamped is Problems for an entry that no device has taken in yet.
func (e Entry) unstamped() document.Problems {
	return append(e.unstampedFaults(), e.impossible()...)
}

// faults is everything for which a line is no entry at all. It is less than Problems:
// what was kept once is read for ever, though it would not be taken in today.
func (e Entry) faults() document.Problems {
	v := validator{entry: &e}
	v.stamp()
	v.common()
	v.fact()
	return v.problems
}

func (e Entry) unstampedFaults() document.Problems {
	v := validator{entry: &e}
	v.common()
	v.fact()
	return v.problems
}

type validator struct {
	entry    *Entry
	problems document.Problems
}

func (v *validator) report(thing, value, remedy string) {
	whole := "entry"
	if k := v.entry.Kind(); k != "" {
		whole = string(k)
	}
	if !v.entry.ID.None() {
		whole += " " + v.entry.ID.String()
	}
	v.problems = append(v.problems, document.Problem{File: "journal", Thing: whole + ": " + thing, Value: value, Remedy: remedy})
}

// stamp checks who recorded the entry and when.
func (v *validator) stamp() {
	e := v.entry
	if !isDevice(e.Device) {
		v.report("device", e.Device, `a device is named by 1 to 32 letters, digits, ".", "_" or "-", such as "barn"`)
	}
	if e.Sequence == 0 {
		v.report("sequence", "0", "a device counts its entries from 1; let the program number it")
	}
	if y := e.Recorded.UTC().Year(); y < 1 || y > 9999 || e.Recorded.IsZero() {
		v.report("recorded", e.Recorded.String(), "the moment of recording is missing or out of range; let the program set it")
	}
}

// common checks what every entry has.
func (v *validator) common() {
	e := v.entry
	if e.Date < firstDay || e.Date > lastDay {
		v.report("date", fmt.Sprint(int32(e.Date)), "the year is out of range; write a day between 0001-01-01 and 9999-12-31")
	}
	for p, name := range placeNames {
		if err := isLine(*place(p).named(e)); err != nil {
			v.report(name, *place(p).named(e), remedy(err))
		}
	}
	switch {
	case !utf8.ValidString(e.Note):
		v.report("note", e.Note, "not valid UTF-8 text; write it again")
	case len(e.Note) > maxNote:
		v.report("note", e.Note, fmt.Sprintf("longer than %d bytes; shorten it", maxNote))
	case strings.IndexFunc(e.Note, func(c rune) bool { return unicode.IsControl(c) && c != '\n' && c != '\t' }) >= 0:
		v.report("note", e.Note, "it holds a control character; end lines with a line feed alone, or call Tidy")
	}
	if !e.Corrects.None() {
		if !isDevice(e.Corrects.Device) || e.Corrects.Sequence == 0 {
			v.report("corrects", e.Corrects.String(), `not the name of an entry; write device and number, such as "barn:12"`)
		}
		if e.Corrects == e.ID {
			v.report("corrects", e.Corrects.String(), "an entry cannot correct itself; name the entry that was wrong")
		}
	}
	if e.Version != 0 && e.Version <= Version {
		v.report("version", fmt.Sprint(e.Version), "only a line of a later program carries its version; leave it 0")
	}
}

// fact checks the kind, its values and the names that it needs.
func (v *validator) fact() {
	e := v.entry
	if e.Fact == nil {
		v.report("kind", "", "it is missing; say what happened, such as "+string(KindHeight))
		return
	}
	v.later()
	if o, ok := e.Fact.(Other); ok {
		v.other(o)
		return
	}
	s := schemaByKind[e.Kind()]
	if s == nil {
		v.report("kind", string(e.Kind()), "no such kind; use a type of this package")
		return
	}
	slots, ok := s.slots(e.Fact)
	if !ok {
		v.report("fact", fmt.Sprintf("%T", e.Fact), "give the fact by value, as a type of this package")
		return
	}
	for _, one := range slots {
		v.slot(one)
	}
	if s.whole != nil {
		if missing := s.whole(slots); missing != "" {
			v.report(missing, "", "all are missing; say at least one")
		}
	}
	v.needs(s)
	if e.Kind() == KindWithdrawn && e.Corrects.None() {
		v.report("corrects", "", `say which entry is withdrawn, such as "barn:12"`)
	}
}

// slot checks that a value is one that would be read back the same.
func (v *validator) slot(s slot) {
	text := s.value.text()
	if text == "" {
		if s.need {
			v.report(s.name, "", "it is missing; a fact of this kind means nothing without it")
		}
		return
	}
	if err := s.value.read(text); err != nil {
		v.report(s.name, text, remedy(err))
	}
}

// needs checks that the names are there without which the fact has no place.
func (v *validator) needs(s *schema) {
	var missing []string
	for _, p := range s.needs {
		if *p.named(v.entry) == "" {
			missing = append(missing, placeNames[p])
		}
	}
	if s.needsOne() {
		if len(missing) == len(s.needs) {
			v.report(strings.Join(missing, " or "), "", "one of them is needed; name it")
		}
		return
	}
	for _, name := range missing {
		v.report(name, "", "it is missing; name it")
	}
}

// other checks a fact of a later version.
func (v *validator) other(o Other) {
	e := v.entry
	if err := isLine(string(o.Name)); err != nil || o.Name == "" {
		v.report("kind", string(o.Name), "no such kind; use a type of this package")
	}
	if e.Version <= Version {
		v.report("kind", string(o.Name), "no such kind in this version; write one of "+kindList())
	}
}

// later checks what is kept of a later version.
func (v *validator) later() {
	if v.entry.Later == "" {
		return
	}
	members, err := membersOf([]byte(v.entry.Later))
	kept := err == nil && len(members) > 0 && v.entry.Version > Version
	for _, m := range members {
		kept = kept && !v.taken(m.name)
	}
	if !kept || laterText(members) != v.entry.Later {
		v.report("later", v.entry.Later, "not what a later program wrote; leave it empty")
	}
}

// taken tells whether a member's name already means something in this entry.
func (v *validator) taken(name string) bool {
	if reserved[name] {
		return true
	}
	for _, s := range slotsOf(v.entry.Fact) {
		if s.name == name {
			_, other := v.entry.Fact.(Other)
			return !other
		}
	}
	return false
}

// kindList is every kind in one text.
func kindList() string {
	names := make([]string, len(schemas))
	for i := range schemas {
		names[i] = string(schemas[i].kind)
	}
	return strings.Join(names, ", ")
}

// Tidy makes an entry from a form fit to be kept: line ends of the note become
// line feeds, spaces around names go, the moment is told in UTC.
func Tidy(e Entry) Entry {
	e.Note = strings.TrimSpace(strings.ReplaceAll(strings.ReplaceAll(e.Note, "\r\n", "\n"), "\r", "\n"))
	for p := range placeNames {
		name := place(p).named(&e)
		*name = strings.Join(strings.Fields(*name), " ")
	}
	if !e.Recorded.IsZero() {
		e.Recorded = e.Recorded.Round(0).UTC()
	}
	return e
}
