package journal

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"io"
	"strconv"
	"time"
	"unicode/utf8"

	"rowen/internal/document"
)

// The file is UTF-8 text, one JSON object a line, ended by a line feed:
//
//	{"v":1,"date":"2026-07-12","at":"2026-07-12T21:04:05Z","device":"barn","seq":12,
//	 "kind":"height","field":"North Six","heights":["31 in","28 in"],"sum":"5d2c0a1b"}
//
// (broken here to fit.) Members stand in a fixed order and are left out where
// nothing is said. The last member is the CRC-32C (Castagnoli) of all bytes of the
// line before `,"sum"`, in eight hex digits: it finds damage, not forgery.

// maxLine is the longest line written or read, in bytes.
const maxLine = 1 << 20

// reserved are the members that are no values of a fact.
var reserved = map[string]bool{
	"v": true, "date": true, "at": true, "device": true, "seq": true, "kind": true, "field": true, "group": true,
	"store": true, "lot": true, "note": true, "corrects": true, "sum": true,
}

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

const sumOpens = `,"sum":"`

// sumBytes is the length of the closing checksum: `,"sum":"5d2c0a1b"}`.
const sumBytes = len(sumOpens) + 8 + len(`"}`)

// seal closes a line with its checksum.
func seal(line []byte) []byte {
	return fmt.Appendf(line, "%s%08x\"}", sumOpens, crc32.Checksum(line, castagnoli))
}

// encode writes an entry as its line, without the line feed. Two entries are the
// same if their lines are.
func encode(e Entry) []byte {
	b := make([]byte, 0, 256)
	b = fmt.Appendf(b, `{"v":%d,"date":"%s","at":"%s","device":`, max(e.Version, Version), e.Date, e.Recorded.UTC().Format(time.RFC3339Nano))
	b = quote(b, e.Device)
	b = strconv.AppendUint(append(b, `,"seq":`...), e.Sequence, 10)
	b = member(b, "kind", string(e.Kind()))
	for p, name := range placeNames {
		b = member(b, name, *place(p).named(&e))
	}
	for _, s := range slotsOf(e.Fact) {
		b = appendSlot(b, s)
	}
	b = member(b, "note", e.Note)
	if !e.Corrects.None() {
		b = member(b, "corrects", e.Corrects.String())
	}
	if len(e.Later) > 2 {
		b = append(append(b, ','), e.Later[1:len(e.Later)-1]...)
	}
	return seal(b)
}

// member writes a text if there is one.
func member(b []byte, name, text string) []byte {
	if text == "" {
		return b
	}
	return quote(append(quote(append(b, ','), name), ':'), text)
}

// appendSlot writes a value: counts as numbers, truths as such, lists as lists,
// amounts as texts with their units.
func appendSlot(b []byte, s slot) []byte {
	text := s.value.text()
	if text == "" {
		return b
	}
	switch v := s.value.(type) {
	case count:
		return append(append(quote(append(b, ','), s.name), ':'), text...)
	case truth:
		return strconv.AppendBool(append(quote(append(b, ','), s.name), ':'), *v.at)
	case lengths:
		b = append(quote(append(b, ','), s.name), ":["...)
		for i, one := range v.list() {
			if i > 0 {
				b = append(b, ',')
			}
			b = quote(b, one)
		}
		return append(b, ']')
	}
	return member(b, s.name, text)
}

// quote writes a JSON string, escaping only what must be.
func quote(b []byte, s string) []byte {
	const hex = "0123456789abcdef"
	b = append(b, '"')
	for _, c := range s {
		switch {
		case c == '"' || c == '\\':
			b = append(b, '\\', byte(c))
		case c == '\n':
			b = append(b, '\\', 'n')
		case c == '\t':
			b = append(b, '\\', 't')
		case c < 0x20 || c == 0x7f:
			b = append(b, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
		default:
			b = utf8.AppendRune(b, c)
		}
	}
	return append(b, '"')
}

// lines writes entries as lines; if one cannot be kept, none is written.
func lines(file string, entries []Entry) ([]byte, error) {
	var out bytes.Buffer
	var problems document.Problems
	for _, e := range entries {
		found := e.Problems()
		line := encode(e)
		if len(found) == 0 && len(line) > maxLine {
			found = document.Problems{{Thing: "entry " + e.ID.String(), Remedy: "it is longer than a million bytes; shorten the note"}}
		}
		for _, p := range found {
			p.File = file
			problems = append(problems, p)
		}
		out.Write(line)
		out.WriteByte('\n')
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return out.Bytes(), nil
}

// Encode writes entries as lines of a journal. Nothing is written if one of them
// cannot be kept: the error is then document.Problems, with all there are.
func Encode(w io.Writer, entries ...Entry) error {
	data, err := lines("journal", entries)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}
