package solver

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

const objectiveRow = "OBJ"

// WriteMPS writes the model in free MPS, which other solvers read. Names keep their
// letters, digits and signs; other characters become an underscore, and a name that
// is then taken gets a number. It fails only where the model is not valid or w
// fails.
func (m *Model) WriteMPS(w io.Writer) error {
	if err := m.Validate(); err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	rows := plainNames(m.rowNames, "R", objectiveRow)
	cols := plainNames(m.colNames, "C")
	// The word FREE is how some readers tell this format from the one in columns.
	fmt.Fprintf(b, "NAME %s FREE\n", plainNames([]string{m.name}, "MODEL")[0])
	if m.maximise {
		b.WriteString("OBJSENSE\n    MAX\n")
	}
	fmt.Fprintf(b, "ROWS\n N  %s\n", objectiveRow)
	for r, name := range rows {
		fmt.Fprintf(b, " %c  %s\n", m.rowKind(r), name)
	}
	m.writeColumns(b, rows, cols)
	b.WriteString("RHS\n")
	if m.offset != 0 {
		writeNumber(b, "RHS", objectiveRow, -m.offset)
	}
	for r, name := range rows {
		if side := m.side(r); side != 0 {
			writeNumber(b, "RHS", name, side)
		}
	}
	heading := "RANGES\n"
	for r, name := range rows {
		if kind := m.rowKind(r); kind == 'G' && !math.IsInf(m.rowUp[r], 1) {
			b.WriteString(heading)
			heading = ""
			writeNumber(b, "RNG", name, m.rowUp[r]-m.rowLo[r])
		}
	}
	b.WriteString("BOUNDS\n")
	for c, name := range cols {
		m.writeBounds(b, c, name)
	}
	b.WriteString("ENDATA\n")
	return b.Flush()
}

// rowKind is the letter of a row; a row with two different sides is a G with a range.
func (m *Model) rowKind(r int) byte {
	switch lo, up := m.rowLo[r], m.rowUp[r]; {
	case lo == up:
		return 'E'
	case !math.IsInf(lo, -1):
		return 'G'
	case !math.IsInf(up, 1):
		return 'L'
	}
	return 'N'
}

func (m *Model) side(r int) float64 {
	switch m.rowKind(r) {
	case 'E', 'G':
		return m.rowLo[r]
	case 'L':
		return m.rowUp[r]
	}
	return 0
}

func (m *Model) writeColumns(b *bufio.Writer, rows, cols []string) {
	b.WriteString("COLUMNS\n")
	a, whole, markers := m.columns(), false, 0
	mark := func(text string) {
		fmt.Fprintf(b, "    MARK%d  'MARKER'  '%s'\n", markers, text)
		markers++
	}
	for c, name := range cols {
		if m.integer[c] != whole {
			if whole = m.integer[c]; whole {
				mark("INTORG")
			} else {
				mark("INTEND")
			}
		}
		from, to := a.start[c], a.start[c+1]
		if m.cost[c] != 0 || from == to {
			writeNumber(b, name, objectiveRow, m.cost[c])
		}
		for i := from; i < to; i++ {
			writeNumber(b, name, rows[a.index[i]], a.value[i])
		}
	}
	if whole {
		mark("INTEND")
	}
}

// writeBounds leaves nothing to a reader's own idea of what is meant where nothing
// is said: of whole numbers, and of an upper bound below 0.
func (m *Model) writeBounds(b *bufio.Writer, c int, name string) {
	lo, up := m.colLo[c], m.colUp[c]
	bound := func(kind string, v float64) {
		fmt.Fprintf(b, " %s BND  %s  %s\n", kind, name, strconv.FormatFloat(v, 'g', -1, 64))
	}
	side := func(kind string) { fmt.Fprintf(b, " %s BND  %s\n", kind, name) }
	switch {
	case lo == up:
		bound("FX", lo)
		return
	case math.IsInf(lo, -1) && math.IsInf(up, 1):
		side("FR")
		return
	case math.IsInf(lo, -1):
		side("MI")
	case lo != 0 || up <= 0:
		bound("LO", lo)
	}
	if !math.IsInf(up, 1) {
		bound("UP", up)
	} else if m.integer[c] {
		side("PL")
	}
}

func writeNumber(b *bufio.Writer, first, second string, v float64) {
	b.WriteString("    ")
	b.WriteString(first)
	b.WriteString("  ")
	b.WriteString(second)
	b.WriteString("  ")
	b.WriteString(strconv.FormatFloat(v, 'g', -1, 64))
	b.WriteByte('\n')
}

// longestName is what the narrowest reader in use takes.
const longestName = 200

// plainNames makes names that every reader takes, each once.
func plainNames(names []string, letter string, taken ...string) []string {
	used := make(map[string]bool, len(names)+len(taken))
	for _, name := range taken {
		used[name] = true
	}
	out := make([]string, len(names))
	// A name that is fit as it stands keeps itself, whatever stands before it.
	for i, name := range names {
		if name != "" && name == plainName(name) && !used[name] {
			out[i], used[name] = name, true
		}
	}
	for i, name := range names {
		if out[i] != "" {
			continue
		}
		base := plainName(name)
		if base == "" {
			base = letter + strconv.Itoa(i)
		}
		try := base
		for n := 2; used[try]; n++ {
			try = base + "~" + strconv.Itoa(n)
		}
		out[i], used[try] = try, true
	}
	return out
}

func plainName(name string) string {
	name = strings.Map(func(r rune) rune {
		if r <= ' ' || r > '~' || r == '\'' {
			return '_'
		}
		return r
	}, name)
	if strings.HasPrefix(name, "$") || strings.HasPrefix(name, "*") {
		name = "_" + name
	}
	return name[:min(len(name), longestName)]
}
