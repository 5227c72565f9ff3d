package journal

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"rowen/internal/document"
)

// The sheet is CSV after RFC 4180, UTF-8, with a header and one row an entry.
// Columns may stand in any order; date and kind must be there, others may be
// missing:
//
//	date                  2026-07-12
//	recorded              the moment in UTC, 2026-07-12T21:04:05Z
//	device, sequence      the entry's identity; both or neither: an entry without
//	                      is new and is numbered by Record
//	kind                  height, cut, ... (Kinds)
//	field group store lot names
//	crop ... why          the values, each with its unit ("31 in"; "52 %"), a list
//	                      parted by ";" (Columns gives all of them)
//	note                  free text, may hold several lines
//	corrects              the entry that is corrected, barn:12
//	version, later        what a later program wrote, kept as it is
//
// A spreadsheet runs a cell that begins with = + - @ (or a tab) as a formula. Such
// a cell is written with an apostrophe before it, and one that begins with
// apostrophes and such a sign, or with two apostrophes, with one more; reading
// takes that one away again. So '=1 comes back as =1, and 'twas stays as it is.

// head and tail are the columns around the values.
var (
	head = []string{"date", "recorded", "device", "sequence", "kind", "field", "group", "store", "lot"}
	tail = []string{"note", "corrects", "version", "later"}
)

// valueColumns are the names of all values, each once.
var valueColumns = func() []string {
	var out []string
	seen := map[string]bool{}
	for i := range schemas {
		_, _ = schemas[i].fill(func(slots []slot) error {
			for _, s := range slots {
				if !seen[s.name] {
					seen[s.name] = true
					out = append(out, s.name)
				}
			}
			return nil
		})
	}
	return out
}()

// Columns is the header of the sheet.
func Columns() []string {
	return append(append(append([]string{}, head...), valueColumns...), tail...)
}

// runs are the beginnings of cells that a spreadsheet does not take as text.
const runs = "=+-@\t\r\n"

// guard makes a cell that a spreadsheet shows as it is.
func guard(cell string) string {
	if cell == "" {
		return cell
	}
	if strings.IndexByte(runs, cell[0]) >= 0 || cell[0] == '\'' && len(cell) > 1 && strings.IndexByte(runs+"'", cell[1]) >= 0 {
		return "'" + cell
	}
	return cell
}

// unguard is the cell before guard.
func unguard(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.IndexByte(runs+"'", cell[1]) >= 0 {
		return cell[1:]
	}
	return cell
}

// WriteCSV writes entries as a sheet, in the order given; ReadCSV gives the same
// entries back. Entries without identity are written too. Nothing is written if
// one of them cannot be kept: the error is then document.Problems.
func WriteCSV(w io.Writer, entries []Entry) error {
	var problems document.Problems
	for _, e := range entries {
		if e.ID.None() {
			problems = append(problems, e.unstamped()...)
		} else {
			problems = append(problems, e.faults()...)
		}
	}
	if len(problems) > 0 {
		return problems
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true // as the standard has it; a note's line feeds come back as such
	if err := out.Write(Columns()); err != nil {
		return err
	}
	for _, e := range entries {
		if err := out.Write(row(e)); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// row is an entry's cells in the order of Columns.
func row(e Entry) []string {
	cells := map[string]string{
		"date": e.Date.String(), "kind": string(e.Kind()), "field": e.Field, "group": e.Group,
		"store": e.Store, "lot": e.Lot, "note": e.Note, "later": e.Later,
	}
	if !e.Recorded.IsZero() {
		cells["recorded"] = e.Recorded.UTC().Format(time.RFC3339Nano)
	}
	if !e.ID.None() {
		cells["device"], cells["sequence"] = e.Device, strconv.FormatUint(e.Sequence, 10)
	}
	if !e.Corrects.None() {
		cells["corrects"] = e.Corrects.String()
	}
	if e.Version > 0 {
		cells["version"] = strconv.Itoa(e.Version)
	}
	for _, s := range slotsOf(e.Fact) {
		cells[s.name] = s.value.text()
	}
	columns := Columns()
	out := make([]string, len(columns))
	for i, name := range columns {
		out[i] = guard(cells[name])
	}
	return out
}

// trimmed is a cell as its values read it: foreign sheets pad theirs.
func trimmed(cell string) string {
	if !utf8.ValidString(cell) {
		return cell
	}
	return strings.TrimSpace(cell)
}
