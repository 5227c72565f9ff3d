package journal

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"rowen/internal/document"
	"rowen/quantity"
)

// jsonMember is one member of a line, its value as written.
type jsonMember struct {
	name string
	raw  []byte
}

// errTwice tells of a name that stands twice in one object.
var errTwice = errors.New("a name stands twice")

// membersOf splits a JSON object, and nothing besides it, into its members.
func membersOf(object []byte) ([]jsonMember, error) {
	d := json.NewDecoder(bytes.NewReader(object))
	open, err := d.Token()
	if err != nil {
		return nil, err
	}
	if open != json.Delim('{') {
		return nil, errors.New("not a JSON object")
	}
	var out []jsonMember
	seen := map[string]bool{}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return nil, err
		}
		text, _ := name.(string)
		if seen[text] {
			return nil, errTwice
		}
		seen[text] = true
		var raw json.RawMessage
		if err := d.Decode(&raw); err != nil {
			return nil, err
		}
		out = append(out, jsonMember{text, raw})
	}
	if _, err := d.Token(); err != nil {
		return nil, err
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, errors.New("more follows the object")
	}
	return out, nil
}

// laterText writes members as one JSON object, by name and without spaces.
func laterText(members []jsonMember) string {
	if len(members) == 0 {
		return ""
	}
	sorted := slices.Clone(members)
	slices.SortFunc(sorted, func(a, b jsonMember) int { return cmp.Compare(a.name, b.name) })
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range sorted {
		if i > 0 {
			b.WriteByte(',')
		}
		b.Write(quote(nil, m.name))
		b.WriteByte(':')
		if err := json.Compact(&b, m.raw); err != nil {
			return ""
		}
	}
	b.WriteByte('}')
	return b.String()
}

// lineReader turns the members of one line into an entry.
type lineReader struct {
	entry    Entry
	members  map[string]jsonMember
	order    []jsonMember
	problems document.Problems
}

func (l *lineReader) report(thing, value, remedy string) {
	l.problems = append(l.problems, document.Problem{Thing: thing, Value: value, Remedy: remedy})
}

// decode reads a line whose checksum is right.
func decode(members []jsonMember) (Entry, document.Problems) {
	l := lineReader{members: map[string]jsonMember{}, order: members}
	for _, m := range members {
		l.members[m.name] = m
	}
	version := l.version()
	l.common()
	if len(l.problems) > 0 {
		return Entry{}, l.problems
	}
	kind := Kind(l.text("kind"))
	s := schemaByKind[kind]
	if s != nil {
		e, problems := l.known(s, version)
		if len(problems) == 0 {
			return e, nil
		}
		// A later version may say more with a known word than this program can
		// read: then the line is kept as it is.
		if version <= Version {
			return Entry{}, problems
		}
	} else if version <= Version {
		l.report("kind", string(kind), "no such kind; write one of "+kindList())
		return Entry{}, l.problems
	}
	e := l.entry
	e.Fact, e.Version = Other{kind}, version
	e.Later = laterText(l.rest(nil))
	return e, e.faults()
}

// known reads a line whose kind this program knows.
func (l *lineReader) known(s *schema, version int) (Entry, document.Problems) {
	e := l.entry
	var problems document.Problems
	var slots []slot
	e.Fact, _ = s.fill(func(all []slot) error {
		slots = all
		for _, one := range all {
			m, ok := l.members[one.name]
			if !ok {
				if one.need {
					problems = append(problems, document.Problem{Thing: string(s.kind) + ": " + one.name, Remedy: "it is missing"})
				}
				continue
			}
			text, err := scalar(m.raw)
			if err == nil {
				err = one.value.read(text)
			}
			if err != nil {
				problems = append(problems, document.Problem{Thing: string(s.kind) + ": " + one.name, Value: string(m.raw), Remedy: remedy(err)})
			}
		}
		return nil
	})
	rest := l.rest(slots)
	if version > Version {
		e.Version, e.Later = version, laterText(rest)
	} else if len(rest) > 0 {
		problems = append(problems, document.Problem{Thing: string(s.kind) + ": " + rest[0].name, Value: string(rest[0].raw), Remedy: "no such value in a fact of this kind"})
	}
	if len(problems) == 0 {
		problems = e.faults()
	}
	return e, problems
}

// rest is every member that is neither common nor one of the slots.
func (l *lineReader) rest(slots []slot) []jsonMember {
	var out []jsonMember
	for _, m := range l.order {
		known := reserved[m.name]
		for _, s := range slots {
			known = known || s.name == m.name
		}
		if !known {
			out = append(out, m)
		}
	}
	return out
}

func (l *lineReader) version() int {
	raw := string(l.members["v"].raw)
	v, err := strconv.Atoi(raw)
	if err != nil || v < 1 {
		l.report("version", raw, fmt.Sprintf("not a version; a line begins with {\"v\":%d", Version))
	}
	return v
}

// common reads what every entry has.
func (l *lineReader) common() {
	e := &l.entry
	date, err := quantity.ParseDate(l.text("date"))
	if err != nil {
		l.report("date", l.text("date"), remedy(err))
	}
	e.Date = date
	at, err := time.Parse(time.RFC3339Nano, l.text("at"))
	if err != nil {
		l.report("recorded", l.text("at"), `not a moment; it is written "2026-07-12T21:04:05Z"`)
	}
	e.Recorded = at.UTC()
	e.Device = l.text("device")
	e.Sequence, err = strconv.ParseUint(string(l.members["seq"].raw), 10, 64)
	if err != nil {
		l.report("sequence", string(l.members["seq"].raw), "not a whole number from 1")
	}
	for p, name := range placeNames {
		*place(p).named(e) = l.text(name)
	}
	e.Note = l.text("note")
	if id := l.text("corrects"); id != "" {
		if e.Corrects, err = ParseID(id); err != nil {
			l.report("corrects", id, remedy(err))
		}
	}
}

// text is a member that must be a text, empty if it is not given.
func (l *lineReader) text(name string) string {
	m, ok := l.members[name]
	if !ok {
		return ""
	}
	var s string
	if m.raw[0] != '"' || json.Unmarshal(m.raw, &s) != nil {
		l.report(name, string(m.raw), "a text in quotes is wanted")
		return ""
	}
	return s
}

// scalar is a member's value as the text that a slot reads.
func scalar(raw []byte) (string, error) {
	var v any
	if err := json.Unmarshal(raw, &v); err != nil {
		return "", err
	}
	switch v := v.(type) {
	case string:
		if v == "" {
			return "", errors.New("it is empty; leave it out")
		}
		return v, nil
	case float64:
		return string(raw), nil
	case bool:
		if v {
			return "yes", nil
		}
		return "no", nil
	case []any:
		parts := make([]string, len(v))
		for i, one := range v {
			text, ok := one.(string)
			if !ok || text == "" || strings.Contains(text, ";") {
				return "", errors.New("a list of texts is wanted")
			}
			parts[i] = text
		}
		if len(parts) == 0 {
			return "", errors.New("the list is empty; leave it out")
		}
		return strings.Join(parts, "; "), nil
	}
	return "", errors.New("a text, a number, a truth or a list is wanted")
}

// tornLine tells whether a line is the beginning of one and no more: it was cut
// off while it was written. A power cut may leave zero bytes in its place.
func tornLine(line []byte) bool {
	whole := bytes.TrimRight(line, "\x00")
	if len(whole) == 0 {
		return true
	}
	if whole[0] != '{' {
		return false
	}
	_, err := membersOf(cutRune(whole))
	return errors.Is(err, io.ErrUnexpectedEOF) || err == io.EOF
}

// cutRune drops the beginning of a character that was cut off at the end.
func cutRune(line []byte) []byte {
	for i := 1; i < utf8.UTFMax && i <= len(line); i++ {
		if c := line[len(line)-i]; utf8.RuneStart(c) {
			if c >= utf8.RuneSelf && !utf8.FullRune(line[len(line)-i:]) {
				return line[:len(line)-i]
			}
			break
		}
	}
	return line
}
