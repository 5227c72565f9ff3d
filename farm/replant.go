package farm

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"rowen/crop"
	"rowen/quantity"
)

// header is a line that begins a table of a document.
var header = regexp.MustCompile(`^\s*\[\[?[A-Za-z_.]+\]\]?\s*(#.*)?$`)

// Replant gives a farm's document with other sowings: the document's own are left out
// where drop says so, by index of the plan, and new ones are added after the last that
// stays. All else, comments and order among it, is kept to the letter.
func (f *Farm) Replant(drop func(i int) bool, add []Sowing) []byte {
	lines := strings.Split(string(f.Document.Text), "\n")
	gone := make([]bool, len(lines))
	for i := range f.Plan.Sowings {
		if at := f.Plan.Sowings[i].Line - 1; drop(i) && at >= 0 && at < len(lines) {
			for k := at; k < blockEnd(lines, at); k++ {
				gone[k] = true
			}
		}
	}
	var kept []string
	for k, line := range lines {
		if !gone[k] {
			kept = append(kept, line)
		}
	}
	text := strings.TrimRight(strings.Join(kept, "\n"), "\n") + "\n"
	stood := map[int]bool{}
	for i := range add {
		s := &add[i]
		text += "\n" + f.sowingText(s, stood[s.Field] || len(f.Fields[s.Field].Stands.Parts) > 0)
		stood[s.Field] = true
	}
	return []byte(text)
}

// blockEnd is the line after a table's last; comments above the next table stay with it.
func blockEnd(lines []string, at int) int {
	end := at + 1
	for k := at + 1; k < len(lines) && !header.MatchString(lines[k]); k++ {
		if t := strings.TrimSpace(lines[k]); t != "" && !strings.HasPrefix(t, "#") {
			end = k + 1
		}
	}
	for end < len(lines) && strings.TrimSpace(lines[end]) == "" {
		end++
	}
	return end
}

// sowingText writes a sowing of a named stand as a document has it.
func (f *Farm) sowingText(s *Sowing, follows bool) string {
	field := &f.Fields[s.Field]
	b := &strings.Builder{}
	say := func(key, value string) { _, _ = fmt.Fprintf(b, "%s = %s\n", key, strconv.Quote(value)) }
	b.WriteString("[[sowing]]\n")
	say("field", field.Name)
	if s.Area > 0 && s.Area < field.Area {
		say("part", strconv.FormatFloat(float64(s.Area/quantity.Acre), 'g', 8, 64)+" ac")
	}
	say("crop", s.Mix.Name)
	if follows {
		say("termination", "ploughed")
	} else {
		say("termination", "nothing stood")
	}
	say("use", s.Use.String())
	if s.Then != crop.Leave && s.Then != s.Use {
		say("then", s.Then.String())
	}
	if s.From != 0 {
		say("from", s.From.String())
	}
	if s.By != 0 {
		say("by", s.By.String())
	}
	return b.String()
}
