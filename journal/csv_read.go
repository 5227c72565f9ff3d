package journal

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"rowen/internal/document"
	"rowen/quantity"
)

// ReadCSV reads a sheet: every good row as an entry, every bad one as problems
// with line, column, value and remedy. Rows without device and sequence give
// entries without identity, for Record. The file is the name for problems.
func ReadCSV(file string, in io.Reader) ([]Entry, document.Problems) {
	s := sheet{file: file, rows: csv.NewReader(in)}
	s.rows.FieldsPerRecord = -1
	s.rows.ReuseRecord = true
	cells, ok := s.next()
	if !ok {
		if len(s.problems) == 0 {
			s.report(1, "header", "", "the sheet is empty; begin it with "+strings.Join(head, ","))
		}
		return nil, s.problems
	}
	if !s.header(cells) {
		return nil, s.problems
	}
	var out []Entry
	for {
		cells, ok := s.next()
		if !ok {
			return out, s.problems
		}
		if e, ok := s.entry(cells); ok {
			out = append(out, e)
		}
	}
}

// sheet reads rows with the columns of one header.
type sheet struct {
	file     string
	rows     *csv.Reader
	columns  []string // the name of each column, empty if it is not used
	line     int      // where the row begins
	cells    map[string]string
	problems document.Problems
}

func (s *sheet) report(line int, thing, value, remedy string) {
	s.problems = append(s.problems, document.Problem{File: s.file, Line: line, Thing: thing, Value: value, Remedy: remedy})
}

// next is the next row that is CSV at all.
func (s *sheet) next() ([]string, bool) {
	for {
		cells, err := s.rows.Read()
		var bad *csv.ParseError
		switch {
		case err == io.EOF:
			return nil, false
		case errors.As(err, &bad):
			s.report(bad.StartLine, "row", "", fmt.Sprintf("not CSV at line %d (%v); put a cell with quotes in quotes and double those inside", bad.Line, bad.Err))
		case err != nil:
			s.report(0, "sheet", "", err.Error()+"; read it again")
			return nil, false
		default:
			s.line, _ = s.rows.FieldPos(0)
			return cells, true
		}
	}
}

// header learns the columns.
func (s *sheet) header(cells []string) bool {
	known := Columns()
	if len(cells) == 1 && strings.Contains(cells[0], ";") {
		s.report(s.line, "header", cells[0], "this sheet parts its cells by semicolons; save it parted by commas")
		return false
	}
	for i, cell := range cells {
		if i == 0 {
			cell = strings.TrimPrefix(cell, "\ufeff")
		}
		name := strings.ReplaceAll(strings.ToLower(trimmed(unguard(cell))), " ", "_")
		switch {
		case name == "":
		case !slices.Contains(known, name):
			s.report(s.line, "column "+strconv.Itoa(i+1), cell, "no such column"+suggest(name, known)+"; rename it or take it out")
			name = ""
		case slices.Contains(s.columns, name):
			s.report(s.line, "column "+strconv.Itoa(i+1), cell, "it stands twice; keep one")
			name = ""
		}
		s.columns = append(s.columns, name)
	}
	for _, name := range []string{"date", "kind"} {
		if slices.Contains(s.columns, name) {
			continue
		}
		s.report(s.line, "column "+name, "", "it is missing; add the column")
	}
	return slices.Contains(s.columns, "date") && slices.Contains(s.columns, "kind")
}

// entry reads one row.
func (s *sheet) entry(cells []string) (Entry, bool) {
	before := len(s.problems)
	s.cells = map[string]string{}
	empty := true
	for i, cell := range cells {
		empty = empty && trimmed(cell) == ""
		if i < len(s.columns) && s.columns[i] != "" {
			if s.columns[i] == "note" {
				s.cells["note"] = unguard(cell)
			} else {
				s.cells[s.columns[i]] = trimmed(unguard(cell))
			}
		} else if i >= len(s.columns) && trimmed(cell) != "" {
			s.report(s.line, "cell "+strconv.Itoa(i+1), cell, "no column of the header stands above it; put cells with commas in quotes")
		}
	}
	if empty {
		return Entry{}, false
	}
	e := s.common()
	mark := len(s.problems)
	s.fact(&e)
	s.check(&e)
	// As in the file, what a later version says with a known word may be beyond
	// this program: then the row is kept as it is.
	if e.Version > Version && len(s.problems) > mark {
		s.problems = s.problems[:mark]
		e.Fact = Other{Kind(s.cells["kind"])}
		s.check(&e)
	}
	return e, len(s.problems) == before
}

// check reports for what an entry cannot be kept, unless its values were already
// found wrong.
func (s *sheet) check(e *Entry) {
	if len(s.problems) > 0 && s.problems[len(s.problems)-1].Line == s.line {
		return
	}
	problems := e.unstamped()
	if !e.ID.None() {
		problems = e.Problems()
	}
	for _, p := range problems {
		s.report(s.line, p.Thing, p.Value, p.Remedy)
	}
}

// common reads what every entry has.
func (s *sheet) common() Entry {
	e := Entry{Note: s.cells["note"], Later: s.cells["later"]}
	var err error
	if e.Date, err = quantity.ParseDate(s.cells["date"]); err != nil {
		s.report(s.line, "date", s.cells["date"], remedy(err))
	}
	if text := s.cells["recorded"]; text != "" {
		at, err := time.Parse(time.RFC3339Nano, text)
		if err != nil {
			s.report(s.line, "recorded", text, `not a moment; write it as "2026-07-12T21:04:05Z", or leave the cell empty`)
		}
		e.Recorded = at.UTC()
	}
	for p, name := range placeNames {
		*place(p).named(&e) = s.cells[name]
	}
	e.Device = s.cells["device"]
	if text := s.cells["sequence"]; text != "" || e.Device != "" {
		if e.Sequence, err = strconv.ParseUint(text, 10, 64); err != nil || e.Device == "" {
			s.report(s.line, "sequence", text, "device and sequence go together; write both, or neither for a new entry")
		}
	}
	if text := s.cells["corrects"]; text != "" {
		if e.Corrects, err = ParseID(text); err != nil {
			s.report(s.line, "corrects", text, remedy(err))
		}
	}
	if text := s.cells["version"]; text != "" {
		if e.Version, err = strconv.Atoi(text); err != nil || e.Version < 1 {
			s.report(s.line, "version", text, "not a version; leave the cell empty")
		}
		if e.Version == Version {
			e.Version = 0
		}
	}
	return e
}

// fact reads the kind and its values.
func (s *sheet) fact(e *Entry) {
	kind := strings.ToLower(s.cells["kind"])
	found := schemaByKind[Kind(kind)]
	if found == nil {
		names := make([]string, len(schemas))
		for i := range schemas {
			names[i] = string(schemas[i].kind)
		}
		s.report(s.line, "kind", s.cells["kind"], "no such kind"+suggest(kind, names)+"; write one of "+kindList())
		return
	}
	used := map[string]bool{}
	e.Fact, _ = found.fill(func(slots []slot) error {
		for _, one := range slots {
			used[one.name] = true
			text := s.cells[one.name]
			if text == "" {
				if one.need {
					s.report(s.line, kind+": "+one.name, "", "it is missing; fill the cell")
				}
				continue
			}
			if err := one.value.read(text); err != nil {
				s.report(s.line, kind+": "+one.name, text, remedy(err))
			}
		}
		return nil
	})
	for _, name := range s.columns {
		if slices.Contains(valueColumns, name) && !used[name] && s.cells[name] != "" {
			s.report(s.line, kind+": "+name, s.cells[name], "a fact of this kind has no such value; empty the cell or correct the kind")
		}
	}
}
