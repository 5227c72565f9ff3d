package web

import (
	"bytes"
	"compress/flate"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"regexp"
	"strings"
	"time"

	"rowen/internal/document"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
)

// Limits on notes brought in: a season of one person's is far below them.
const (
	maxNotesText = 4 << 20
	maxNotes     = 5000
)

// note is one note brought in, and what becomes of it.
type note struct {
	ID    string     `json:"id"`
	Text  string     `json:"text"`
	State string     `json:"state"`
	Why   say.Line   `json:"why,omitempty"`   // it is refused
	Asked []say.Line `json:"asked,omitempty"` // what a careful clerk asks of it
	entry journal.Entry
}

// The states of a note.
const (
	noteNew      = "new"      // it would be kept, or was a moment ago
	noteAlready  = "already"  // it stood in the book before
	noteConflict = "conflict" // it is kept beside a different one of its name
	noteRefused  = "refused"
)

// judge tells of each entry what would become of it. Of a farm whose document has
// problems nothing is asked.
func (o *opened) judge(on quantity.Date, entries []journal.Entry) ([]note, error) {
	there := map[journal.ID][]journal.Entry{}
	known, _, err := o.source.Log()
	if err != nil {
		return nil, err
	}
	for _, e := range known {
		there[e.ID] = append(there[e.ID], e)
	}
	out := make([]note, len(entries))
	var fresh []journal.Entry
	for i, e := range entries {
		n := note{ID: e.ID.String(), Text: e.String(), State: noteNew, entry: e}
		if problems := e.Problems(); len(problems) > 0 {
			n.State, n.Why = noteRefused, say.Name(problems.Error())
			out[i] = n
			continue
		}
		known := there[e.ID]
		for _, k := range known {
			if k.Equal(e) {
				n.State = noteAlready
			}
		}
		if n.State == noteNew && len(known) > 0 {
			n.State = noteConflict
			n.Why = say.Name(journal.Conflict{ID: e.ID, Entries: append(known[:len(known):len(known)], e)}.Error())
		}
		if n.State != noteAlready {
			fresh = append(fresh, e)
			there[e.ID] = append(known, e)
		}
		out[i] = n
	}
	if o.farm == nil || len(fresh) == 0 {
		return out, nil
	}
	questions, err := o.desk.Asked(o.source, on, fresh...)
	if err != nil {
		return nil, err
	}
	at := map[journal.ID][]int{}
	for i := range out {
		at[out[i].entry.ID] = append(at[out[i].entry.ID], i)
	}
	for _, q := range questions {
		for _, i := range at[q.Entry.ID] {
			switch n := &out[i]; {
			case n.State == noteAlready || !n.entry.Equal(q.Entry):
			case q.Severity == journal.Refused:
				n.State, n.Why = noteRefused, q.Text
			case q.Severity == journal.Asked:
				n.Asked = append(n.Asked, q.Text)
			}
		}
	}
	return out, nil
}

// take keeps what was not refused. To take the same again changes nothing.
func (s *Server) take(ctx context.Context, o *opened, notes []note) (added int, err error) {
	var keep []journal.Entry
	for i := range notes {
		if notes[i].State != noteRefused {
			keep = append(keep, notes[i].entry)
		}
	}
	if added, err = s.book.Record(ctx, o.version.Farm, keep...); added > 0 {
		s.readBehind(ctx, o.version.Farm, o.source.Units, 0)
	}
	return added, err
}

// readNotes finds the notes in a text: codes of the field page, with whatever mail
// programs did to their lines; else lines of a journal, and notes in plain words, one a
// line. What is too much is refused before it is read; nothing is read on for a person
// who has gone.
func (s *Server) readNotes(ctx context.Context, o *opened, key, text string, on quantity.Date, now time.Time) ([]journal.Entry, document.Problems) {
	if len(text) > maxNotesText {
		return nil, document.Problems{{File: "notes", Thing: "text", Remedy: "longer than any notes; give the right file"}}
	}
	lines, problems := codes(text, key)
	var words []string
	if lines == "" && len(problems) == 0 {
		lines, words = parted(text)
	}
	if n := strings.Count(lines, "\n") + len(words); n > maxNotes {
		return nil, firstFew(append(problems, document.Problem{File: "notes", Thing: "text", Value: fmt.Sprintf("%d lines", n), Remedy: fmt.Sprintf("%d notes are the most at once; bring them in in parts", maxNotes)}))
	}
	entries, wrong := s.inWords(ctx, o, words, on, now)
	problems = append(problems, wrong...)
	log, err := journal.ReadAll("notes", strings.NewReader(lines))
	if err != nil {
		return nil, firstFew(append(problems, document.Problem{File: "notes", Thing: "text", Remedy: err.Error()}))
	}
	return append(log.Entries, entries...), firstFew(append(append(problems, log.Problems...), log.Torn...))
}

// parted parts a text into lines of a journal and notes in plain words.
func parted(text string) (lines string, words []string) {
	var journal strings.Builder
	for line := range strings.Lines(text) {
		switch line = strings.TrimSpace(line); {
		case strings.HasPrefix(line, "{"):
			journal.WriteString(line + "\n")
		case line != "":
			words = append(words, line)
		}
	}
	return journal.String(), words
}

// inWords reads notes in plain words. Each is named by the text of its line and the day,
// so that the same message brought in twice on a day counts once.
func (s *Server) inWords(ctx context.Context, o *opened, lines []string, on quantity.Date, now time.Time) (entries []journal.Entry, problems document.Problems) {
	if len(lines) == 0 {
		return nil, nil
	}
	there := map[journal.ID]journal.Entry{}
	known, _, err := o.source.Log()
	if err != nil {
		return nil, problemsOf(err)
	}
	for _, e := range known {
		there[e.ID] = e
	}
	read, wrong, err := o.desk.Worded(ctx, o.source, on, lines)
	if err != nil {
		return nil, problemsOf(err)
	}
	for i, e := range read {
		if wrong[i] != nil {
			for _, p := range problemsOf(wrong[i]) {
				p.File, p.Line = "notes", i+1
				problems = append(problems, p)
			}
			continue
		}
		sum := sha256.Sum256([]byte(now.UTC().Format(time.DateOnly) + "\n" + lines[i]))
		e.ID = journal.ID{Device: "words-" + hex.EncodeToString(sum[:8]), Sequence: 1}
		e.Recorded = now.UTC().Truncate(time.Second)
		e = journal.Tidy(e)
		if known, ok := there[e.ID]; ok {
			e = known
		}
		there[e.ID] = e
		entries = append(entries, e)
	}
	return entries, problems
}

// A code is how the field page writes notes for a message:
//
//	rowen-notes:1:0123456789abcdef:z:eJxL...:5d2c0a1b
//
// version, the farm's key, z for deflated or p for plain, the lines of a journal in
// base64url, and the CRC-32C of what stands before its colon. It finds damage, not
// forgery: what comes in is shown before it is kept.
var (
	codeOpens = regexp.MustCompile(`rowen-notes:`)
	codeWhole = regexp.MustCompile(`^(rowen-notes:1:([0-9a-f]{16}):([pz]):([A-Za-z0-9_-]*)):([0-9a-f]{8})`)
	castiron  = crc32.MakeTable(crc32.Castagnoli)
)

// codes gives the journal lines of every code in a text, all together no more than notes
// can be.
func codes(text, key string) (lines string, problems document.Problems) {
	var all strings.Builder
	report := func(remedy string) {
		problems = append(problems, document.Problem{File: "notes", Thing: "code", Remedy: remedy})
	}
	// Mail programs break long lines and quote them.
	joined := strings.Map(func(c rune) rune {
		if c == '>' || c <= ' ' || c == '\u00a0' || c == '\u200b' {
			return -1
		}
		return c
	}, text)
	for _, at := range codeOpens.FindAllStringIndex(joined, -1) {
		m := codeWhole.FindStringSubmatch(joined[at[0]:])
		switch {
		case m == nil:
			report("it is not whole: copy all of it, from rowen-notes to its end, or bring in the file")
		case fmt.Sprintf("%08x", crc32.Checksum([]byte(m[1]), castiron)) != m[5]:
			report("it was changed on its way: copy it again, or bring in the file")
		case m[2] != key:
			report("it is of another farm: bring it in there")
		default:
			text, err := unpacked(m[3], m[4])
			if err == nil && all.Len()+len(text) > maxNotesText {
				report("all codes together are longer than any notes: bring them in in parts")
				return all.String(), problems
			}
			if err != nil {
				report(err.Error())
				continue
			}
			all.WriteString(text + "\n")
		}
	}
	return all.String(), problems
}

func unpacked(how, code string) (string, error) {
	data, err := base64.RawURLEncoding.DecodeString(code)
	if err != nil {
		return "", errors.New("it was changed on its way: copy it again, or bring in the file")
	}
	if how == "z" {
		in := flate.NewReader(bytes.NewReader(data))
		if data, err = io.ReadAll(io.LimitReader(in, maxNotesText+1)); err != nil {
			return "", errors.New("it was changed on its way: copy it again, or bring in the file")
		}
	}
	if len(data) > maxNotesText {
		return "", errors.New("it is longer than any notes: it was not made by the field page")
	}
	return string(data), nil
}
