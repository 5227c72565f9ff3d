// Package trial lays out field plot trials and reads their harvest: it
// randomises a design, draws the map that is carried into the field, makes the
// harvest sheet and works the filled sheet into yields. It tests no differences:
// means alone do not tell whether treatments differ.
package trial

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"rowen/handbook/stats"
	"rowen/internal/document"
	"rowen/quantity"
)

// Kind is an experimental design.
type Kind uint8

// The designs. Blocks lie one behind the other, block 1 at the front.
//
// Source: Cochran & Cox 1957, Experimental Designs, chapters 4 and 7; Gomez &
// Gomez 1984, Statistical Procedures for Agricultural Research, chapters 2 and 3
// (both from memory).
const (
	// Block is a randomised complete block: every treatment once in every block.
	Block Kind = iota
	// Split is a split plot: the treatments to main plots, randomised within the
	// block, the second factor to subplots, randomised within each main plot.
	Split
	// Latin is a Latin square: every treatment once in every row and every column;
	// its rows are the blocks.
	Latin
	// Strip is a strip plot (split block): the treatments to strips across the
	// block, the second factor to strips along it, each randomised in every block.
	Strip
)

var kinds = [...]struct{ word, name string }{
	Block: {"block", "Randomised complete block"},
	Split: {"split", "Split plot"},
	Latin: {"latin", "Latin square"},
	Strip: {"strip", "Strip plot"},
}

// String is the word that ParseKind reads.
func (k Kind) String() string { return kinds[k].word }

// ParseKind reads "block", "split", "latin" or "strip".
func ParseKind(s string) (Kind, error) {
	for k := range kinds {
		if kinds[k].word == s {
			return Kind(k), nil
		}
	}
	return 0, document.Problem{File: designFile, Thing: "kind", Value: s, Remedy: kindRemedy}
}

const kindRemedy = "no such design; write block, split, latin or strip"

// Limits of a design.
const (
	MaxPlots = 1000 // more than a crew harvests in a season
	MaxName  = 40   // characters of a treatment's name: two still fit side by side on the map

	minLatin, maxLatin = 3, 12 // treatments of a Latin square

	maxSide  = 1000 * quantity.Metre // of a plot, an alley or a border: more is a slip of the unit
	maxGuard = 20
)

// designFile stands for a file name in the problems of a design.
const designFile = "design"

// Design is a trial to lay out.
type Design struct {
	Kind       Kind
	Treatments []string // in main plots (Split) or strips across the block (Strip)
	Second     []string // the second factor, of Split and Strip alone
	Blocks     int      // 2 or more; a Latin square has as many as treatments, or 0 to say so
	Seed       uint64   // the same seed gives the same map

	PlotWidth  quantity.Length // across the field, side by side
	PlotLength quantity.Length // away from the front
	Alley      quantity.Length // between blocks
	Guards     int             // guard plots at each end of every row, not harvested
	Border     quantity.Length // sown all round, outside the guard plots
}

// shape is rows and columns of plots in one block.
func (d *Design) shape() (rows, columns int) {
	switch d.Kind {
	case Split:
		return 1, len(d.Treatments) * len(d.Second)
	case Strip:
		return len(d.Treatments), len(d.Second)
	}
	return 1, len(d.Treatments)
}

// twoFactors tells whether the design has a second factor.
func (d *Design) twoFactors() bool { return d.Kind == Split || d.Kind == Strip }

// tidy copies the design with spaces around and within names put right, and a
// Latin square's blocks filled in.
func (d Design) tidy() Design {
	tidy := func(names []string) (out []string) {
		for _, n := range names {
			out = append(out, strings.Join(strings.Fields(n), " "))
		}
		return out
	}
	d.Treatments, d.Second = tidy(d.Treatments), tidy(d.Second)
	if d.Kind == Latin && d.Blocks == 0 {
		d.Blocks = len(d.Treatments)
	}
	return d
}

// problems is everything wrong with a tidy design.
func (d *Design) problems() (out document.Problems) {
	report := func(thing, value, remedy string) {
		out = append(out, document.Problem{File: designFile, Thing: thing, Value: value, Remedy: remedy})
	}
	if int(d.Kind) >= len(kinds) {
		report("kind", strconv.Itoa(int(d.Kind)), kindRemedy)
		return out
	}
	names := func(thing string, list []string) {
		if len(list) < 2 {
			report(thing+"s", strconv.Itoa(len(list)), "a trial compares at least 2; name them")
		}
		seen := map[string]bool{}
		for _, n := range list {
			if remedy := nameRemedy(n); remedy != "" {
				report(thing, n, remedy)
			}
			if folded := strings.ToLower(n); seen[folded] {
				report(thing, n, "named twice; give each a name of its own")
			} else {
				seen[folded] = true
			}
		}
	}
	names("treatment", d.Treatments)
	n := len(d.Treatments)
	switch {
	case d.twoFactors():
		names("second treatment", d.Second)
	case len(d.Second) > 0:
		report("second treatment", d.Second[0], "a "+d.Kind.String()+" design has one factor; choose split or strip, or leave the second out")
	}
	if d.Kind == Latin {
		if n >= 2 && n < minLatin || n > maxLatin {
			report("treatments", strconv.Itoa(n), fmt.Sprintf("a Latin square takes %d to %d; choose the block design", minLatin, maxLatin))
		}
		if d.Blocks != n {
			report("blocks", strconv.Itoa(d.Blocks), fmt.Sprintf("a Latin square has as many rows as treatments; give %d, or leave it out", n))
		}
	} else if d.Blocks < 2 {
		report("blocks", strconv.Itoa(d.Blocks), "a trial needs at least 2 blocks (replications); 4 are usual")
	}
	if rows, columns := d.shape(); rows > MaxPlots || columns > MaxPlots || rows*columns > 0 && d.Blocks > MaxPlots/(rows*columns) {
		report("plots", fmt.Sprintf("%d blocks of %d x %d", d.Blocks, rows, columns), fmt.Sprintf("more than %d plots; take fewer treatments or blocks", MaxPlots))
	}
	length := func(thing string, l quantity.Length, least quantity.Length, remedy string) {
		switch {
		case math.IsNaN(float64(l)) || l < least:
			report(thing, l.String(), remedy)
		case l > maxSide:
			report(thing, l.String(), "longer than 1,000 m; look at the unit")
		}
	}
	length("plot width", d.PlotWidth, quantity.Inch, "a plot is at least an inch wide; give a width such as 5 ft")
	length("plot length", d.PlotLength, quantity.Inch, "a plot is at least an inch long; give a length such as 20 ft")
	length("alley", d.Alley, 0, "less than nothing; give a width such as 6 ft, or 0 ft for none")
	length("border", d.Border, 0, "less than nothing; give a width such as 10 ft, or 0 ft for none")
	if d.Guards < 0 || d.Guards > maxGuard {
		report("guards", strconv.Itoa(d.Guards), fmt.Sprintf("give 0 to %d guard plots at each end of a row", maxGuard))
	}
	return out
}

// nameRemedy says what is wrong with a treatment's name; empty if nothing is.
func nameRemedy(n string) string {
	first, _ := utf8.DecodeRuneInString(n)
	switch {
	case n == "":
		return "a name is missing; write it"
	case !utf8.ValidString(n) || strings.ContainsFunc(n, func(r rune) bool { return !unicode.IsPrint(r) }):
		return "it holds characters that cannot be printed; write the name anew"
	case utf8.RuneCountInString(n) > MaxName:
		return fmt.Sprintf("longer than %d characters; shorten it", MaxName)
	case !unicode.IsLetter(first) && !unicode.IsDigit(first):
		return "a spreadsheet could take this for a formula; begin with a letter or a digit"
	}
	return ""
}

// Plot is one plot as laid in the field.
type Plot struct {
	Number    int // 101, 102, ... in block 1; 1001, ... where a block has 100 plots or more
	Block     int // from 1, at the front
	Row       int // of the whole field, from 1, at the front
	Column    int // from 1, at the left as seen from the front; guard plots are not counted
	Treatment string
	Second    string // empty with one factor
	// X and Y are the plot's near left corner, from the near left corner of the
	// ground: across, and away from the front.
	X, Y quantity.Length
}

// Map is a trial laid out.
type Map struct {
	Design        Design // as laid: names tidied
	Plots         []Plot // by number
	Rows, Columns int    // of plots in the whole field, without guards
	// Width (across) and Length (away from the front) are the ground needed, with
	// alleys, guard plots and border.
	Width, Length quantity.Length
}

// Ground is the area of ground needed, alleys, guard plots and border included.
func (m *Map) Ground() quantity.Area { return quantity.Area(m.Width * m.Length) }

// at is the plot at a row and column, both from 0.
func (m *Map) at(row, column int) *Plot {
	return &m.Plots[row*m.Columns+turned(row, column, m.Columns)]
}

// turned counts the columns of every second row from the right, so that the
// numbers run to and fro as a person walks.
func turned(row, column, columns int) int {
	if row%2 == 1 {
		return columns - 1 - column
	}
	return column
}

// Lay randomises a design and numbers its plots to and fro. Errors are
// document.Problems, all at once.
func Lay(d Design) (*Map, error) {
	d = d.tidy()
	if p := d.problems(); len(p) > 0 {
		return nil, p
	}
	rows, columns := d.shape()
	hundred := 100
	if rows*columns >= hundred {
		hundred = 1000
	}
	m := &Map{
		Design: d, Rows: rows * d.Blocks, Columns: columns,
		Width:  2*d.Border + quantity.Length(columns+2*d.Guards)*d.PlotWidth,
		Length: 2*d.Border + quantity.Length(rows*d.Blocks)*d.PlotLength + quantity.Length(d.Blocks-1)*d.Alley,
	}
	for b := range d.Blocks {
		treatment := d.randomise(b)
		for r := range rows {
			for i := range columns {
				row := b*rows + r
				column := turned(row, i, columns)
				p := Plot{
					Number: (b+1)*hundred + r*columns + i + 1, Block: b + 1, Row: row + 1, Column: column + 1,
					X: d.Border + quantity.Length(d.Guards+column)*d.PlotWidth,
					Y: d.Border + quantity.Length(row)*d.PlotLength + quantity.Length(b)*d.Alley,
				}
				first, second := treatment(r, column)
				p.Treatment = d.Treatments[first]
				if d.twoFactors() {
					p.Second = d.Second[second]
				}
				m.Plots = append(m.Plots, p)
			}
		}
	}
	return m, nil
}

// randomise draws one block: which treatment, and which of the second factor,
// stands at a row and column of it, all from 0. Every block, and every main plot
// of a split plot, has a stream of its own.
func (d *Design) randomise(block int) func(row, column int) (first, second int) {
	n := len(d.Treatments)
	perm := func(n int, purpose string, of ...int64) []int {
		return stats.Stream(d.Seed, "trial: "+purpose, of...).Perm(n)
	}
	b := int64(block)
	switch d.Kind {
	case Split:
		main := perm(n, "main plots", b)
		k := len(d.Second)
		sub := make([][]int, n)
		for i := range sub {
			sub[i] = perm(k, "subplots", b, int64(i))
		}
		return func(_, column int) (int, int) { return main[column/k], sub[column/k][column%k] }
	case Latin:
		// The cyclic standard square with rows, columns and letters drawn. Squares
		// that are no such rearrangement are never drawn; every treatment still has
		// the same chance at every plot, which is what the design rests on.
		rows, columns, letters := perm(n, "latin rows"), perm(n, "latin columns"), perm(n, "latin letters")
		return func(_, column int) (int, int) { return letters[(rows[block]+columns[column])%n], 0 }
	case Strip:
		across, along := perm(n, "strips across", b), perm(len(d.Second), "strips along", b)
		return func(row, column int) (int, int) { return across[row], along[column] }
	}
	order := perm(n, "block", b)
	return func(_, column int) (int, int) { return order[column], 0 }
}
