package solver

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// ReadMPS reads a model in free MPS, or in fixed MPS whose names hold no spaces.
// The first row of kind N is the objective; others are rows without bounds. Where
// readers differ in what a file means, it is refused with what to write instead.
// The error holds every problem with its line, up to fifty.
func ReadMPS(r io.Reader) (*Model, error) {
	p := &mpsReader{m: NewModel(""), rows: map[string]Row{}, cols: map[string]Col{}, sets: map[string]string{}}
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, 0, 1<<16), 1<<20)
	for !p.ended && lines.Scan() {
		p.line++
		p.read(lines.Text())
	}
	if err := lines.Err(); err != nil {
		p.say("%v", err)
	} else if !p.ended {
		p.say("the file ends without ENDATA")
	}
	p.finish()
	if p.count > mostProblems {
		p.problems = append(p.problems, fmt.Errorf("mps: and %d problems more", p.count-mostProblems))
	}
	if len(p.problems) > 0 {
		return nil, errors.Join(p.problems...)
	}
	if err := p.m.Validate(); err != nil {
		return nil, err
	}
	return p.m, nil
}

type mpsReader struct {
	m        *Model
	line     int
	section  string
	ended    bool
	whole    bool // between INTORG and INTEND
	hasCost  bool
	costName string
	kinds    []byte            // by Row
	rows     map[string]Row    // without the objective
	cols     map[string]Col    //
	sets     map[string]string // the one name of right sides, ranges and bounds
	sides    []float64         // by Row
	ranges   []float64         // by Row; NaN for none
	bounded  []bool            // by Col: a bound was given
	lowered  []bool            // by Col: its lower bound was given
	current  string            // the column of the last line
	seen     map[string]bool   // its rows

	problems []error
	count    int
}

func (p *mpsReader) say(format string, a ...any) {
	if p.count++; p.count <= mostProblems {
		p.problems = append(p.problems, fmt.Errorf("mps: line %d: "+format, append([]any{p.line}, a...)...))
	}
}

func (p *mpsReader) read(line string) {
	if strings.HasPrefix(line, "*") {
		return
	}
	fields := strings.Fields(line)
	if len(fields) == 0 {
		return
	}
	if line[0] != ' ' && line[0] != '\t' {
		p.head(fields)
		return
	}
	switch p.section {
	case "OBJSENSE":
		p.sense(fields[0])
	case "ROWS":
		p.row(fields)
	case "COLUMNS":
		p.column(fields)
	case "RHS", "RANGES":
		p.vector(fields)
	case "BOUNDS":
		p.bound(fields)
	case "":
		p.say("%q stands before any section", fields[0])
	}
}

func (p *mpsReader) head(fields []string) {
	p.section = strings.ToUpper(fields[0])
	switch p.section {
	case "NAME":
		if len(fields) > 1 {
			p.m.name = fields[1]
		}
	case "OBJSENSE":
		if len(fields) > 1 {
			p.sense(fields[1])
		}
	case "ROWS", "COLUMNS", "RHS", "RANGES", "BOUNDS":
	case "ENDATA":
		p.ended = true
	default:
		p.say("section %q is not read here; known are NAME, OBJSENSE, ROWS, COLUMNS, RHS, RANGES, BOUNDS and ENDATA", fields[0])
	}
}

func (p *mpsReader) sense(word string) {
	switch strings.ToUpper(word) {
	case "MAX", "MAXIMIZE", "MAXIMISE":
		p.m.Maximise()
	case "MIN", "MINIMIZE", "MINIMISE":
		p.m.Minimise()
	default:
		p.say("%q is no sense of an objective; write MIN or MAX", word)
	}
}

func (p *mpsReader) row(f []string) {
	if len(f) != 2 {
		p.say("a row is a letter and a name; %d words stand here", len(f))
		return
	}
	kind, name := strings.ToUpper(f[0]), f[1]
	if _, twice := p.rows[name]; twice || p.hasCost && name == p.costName {
		p.say("row %q is there already", name)
		return
	}
	switch kind {
	case "N":
		if !p.hasCost {
			p.hasCost, p.costName = true, name
			return
		}
	case "E", "G", "L":
	default:
		p.say("row %q is of kind %q; write N, E, G or L", name, f[0])
		return
	}
	p.rows[name] = p.m.Row(name, math.Inf(-1), math.Inf(1))
	p.kinds = append(p.kinds, kind[0])
	p.sides = append(p.sides, 0)
	p.ranges = append(p.ranges, math.NaN())
}

func (p *mpsReader) column(f []string) {
	if len(f) == 3 && f[1] == "'MARKER'" {
		switch f[2] {
		case "'INTORG'":
			p.whole = true
		case "'INTEND'":
			p.whole = false
		default:
			p.say("marker %s is not read here; known are 'INTORG' and 'INTEND'", f[2])
		}
		return
	}
	if len(f) != 3 && len(f) != 5 {
		p.say("a column is a name and one or two pairs of row and number; %d words stand here", len(f))
		return
	}
	c, old := p.cols[f[0]]
	if !old {
		c = p.m.add(f[0], 0, math.Inf(1), 0, p.whole)
		p.cols[f[0]] = c
		p.bounded, p.lowered = append(p.bounded, false), append(p.lowered, false)
		p.current, p.seen = f[0], map[string]bool{}
	} else if p.current != f[0] {
		p.say("column %q goes on after another has begun; keep its lines together", f[0])
		return
	}
	for i := 1; i < len(f); i += 2 {
		v, ok := p.number(f[i+1])
		if !ok {
			continue
		}
		if p.seen[f[i]] {
			p.say("column %q has a second number in row %q", f[0], f[i])
			continue
		}
		p.seen[f[i]] = true
		if p.hasCost && f[i] == p.costName {
			p.m.cost[c] = v
		} else if r, ok := p.findRow(f[i]); ok {
			p.m.Set(r, c, v)
		}
	}
}

// vector reads a line of right sides or ranges, whose set may have no name.
func (p *mpsReader) vector(f []string) {
	if len(f)%2 == 1 {
		if !p.sameSet(f[0]) {
			return
		}
		f = f[1:]
	}
	if len(f) != 2 && len(f) != 4 {
		p.say("a line of %s is one or two pairs of row and number", p.section)
		return
	}
	for i := 0; i < len(f); i += 2 {
		v, ok := p.number(f[i+1])
		if !ok {
			continue
		}
		switch isCost := p.hasCost && f[i] == p.costName; {
		case isCost && p.section == "RHS":
			p.m.offset = -v
		case isCost:
			p.say("the objective %q has no range", f[i])
		default:
			if r, ok := p.findRow(f[i]); ok {
				if p.section == "RHS" {
					p.sides[r] = v
				} else {
					p.ranges[r] = v
				}
			}
		}
	}
}

func (p *mpsReader) bound(f []string) {
	kind := strings.ToUpper(f[0])
	needs := 1
	switch kind {
	case "LO", "UP", "FX", "LI", "UI":
	case "FR", "MI", "PL", "BV":
		needs = 0
	default:
		p.say("a bound of kind %q is not read here; known are LO, UP, FX, FR, MI, PL, BV, LI and UI", f[0])
		return
	}
	rest := f[1:]
	// Some writers put a number, of no meaning, after a kind that needs none.
	switch {
	case len(rest) == needs+2, needs == 0 && len(rest) == 3:
		if !p.sameSet(rest[0]) {
			return
		}
		rest = rest[1:]
	case len(rest) != needs+1:
		p.say("a bound of kind %s is a set, a column and %d number; %d words stand here", kind, needs, len(f))
		return
	}
	c, ok := p.cols[rest[0]]
	if !ok {
		p.say("column %q is not among COLUMNS", rest[0])
		return
	}
	v := 0.0
	if needs == 1 {
		if v, ok = p.anyNumber(rest[1]); !ok {
			return
		}
	}
	p.setBound(kind, c, v)
}

func (p *mpsReader) setBound(kind string, c Col, v float64) {
	m := p.m
	p.bounded[c] = true
	whole := false
	switch kind {
	case "LO", "LI":
		m.colLo[c], p.lowered[c], whole = v, true, kind == "LI"
	case "UP", "UI":
		if v < 0 && !p.lowered[c] {
			p.say("column %q has an upper bound below 0 and no lower one, which readers take differently; write an LO or MI before it", m.colNames[c])
		}
		m.colUp[c], whole = v, kind == "UI"
	case "FX":
		m.colLo[c], m.colUp[c], p.lowered[c] = v, v, true
	case "FR":
		m.colLo[c], m.colUp[c], p.lowered[c] = math.Inf(-1), math.Inf(1), true
	case "MI":
		m.colLo[c], p.lowered[c] = math.Inf(-1), true
	case "PL":
		m.colUp[c] = math.Inf(1)
	case "BV":
		m.colLo[c], m.colUp[c], p.lowered[c], whole = 0, 1, true, true
	}
	if whole && !m.integer[c] {
		m.integer[c] = true
		m.integerColumns++
	}
}

// finish turns kinds, right sides and ranges into bounds of rows.
func (p *mpsReader) finish() {
	for r, kind := range p.kinds {
		lo, up, side, wide := math.Inf(-1), math.Inf(1), p.sides[r], p.ranges[r]
		switch kind {
		case 'E':
			lo, up = side, side
			if wide > 0 {
				up += wide
			} else if wide < 0 {
				lo += wide
			}
		case 'G':
			lo = side
			if !math.IsNaN(wide) {
				up = lo + math.Abs(wide)
			}
		case 'L':
			up = side
			if !math.IsNaN(wide) {
				lo = up - math.Abs(wide)
			}
		}
		p.m.SetRowBounds(Row(r), lo, up)
	}
	for c, bounded := range p.bounded {
		if p.m.integer[c] && !bounded {
			p.say("column %q takes whole numbers and has no bounds, which readers take differently; write a UP or PL for it", p.m.colNames[c])
		}
	}
}

func (p *mpsReader) findRow(name string) (Row, bool) {
	r, ok := p.rows[name]
	if !ok {
		p.say("row %q is not among ROWS", name)
	}
	return r, ok
}

// sameSet says whether a set of right sides, ranges or bounds is the first one:
// a file may hold several, for several models.
func (p *mpsReader) sameSet(name string) bool {
	first, ok := p.sets[p.section]
	if !ok {
		p.sets[p.section] = name
		return true
	}
	if first != name {
		p.say("%s has a second set, %q after %q; keep one", p.section, name, first)
	}
	return first == name
}

func (p *mpsReader) number(text string) (float64, bool) {
	v, ok := p.anyNumber(text)
	if ok && !finite(v) {
		p.say("%q is not finite", text)
		return 0, false
	}
	return v, ok
}

func (p *mpsReader) anyNumber(text string) (float64, bool) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) {
		p.say("%q is not a number", text)
		return 0, false
	}
	return v, true
}
