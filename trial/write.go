package trial

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"rowen/quantity"
)

const (
	textWidth = 96 // columns of a text map
	pageCells = 7  // squares of 25 mm side by side, within the margins of A4 and Letter
)

// tape writes a length as it is measured out with a tape: feet or metres, never
// inches.
func tape(l quantity.Length, u quantity.System) string {
	if u == quantity.US {
		return quantity.Digits(l.Feet(), 4) + " ft"
	}
	return quantity.Digits(l.Metres(), 4) + " m"
}

// facts are the lines above a map.
func (m *Map) facts(u quantity.System) []string {
	d := &m.Design
	what := fmt.Sprintf("%s: %d treatments, %d blocks", kinds[d.Kind].name, len(d.Treatments), d.Blocks)
	switch d.Kind {
	case Split:
		what = fmt.Sprintf("%s: %d treatments in main plots, %d in subplots, %d blocks", kinds[d.Kind].name, len(d.Treatments), len(d.Second), d.Blocks)
	case Latin:
		what = fmt.Sprintf("%s: %d treatments, each once in every row and column; a row is a block", kinds[d.Kind].name, len(d.Treatments))
	case Strip:
		what = fmt.Sprintf("%s: %d treatments in strips across, %d in strips along, %d blocks", kinds[d.Kind].name, len(d.Treatments), len(d.Second), d.Blocks)
	}
	size := fmt.Sprintf("Plots %s wide, %s long", tape(d.PlotWidth, u), tape(d.PlotLength, u))
	if d.Alley > 0 {
		size += ", alleys " + tape(d.Alley, u)
	}
	count := fmt.Sprintf("%d plots; seed %d", len(m.Plots), d.Seed)
	if d.Guards > 0 {
		count += fmt.Sprintf("; guard plots at each row end: %d", d.Guards)
	}
	if d.Border > 0 {
		size += ", border " + tape(d.Border, u)
	}
	return []string{
		what + ".",
		count + ".",
		size + ".",
		fmt.Sprintf("Ground needed: %s across, %s deep, %s.", tape(m.Width, u), tape(m.Length, u), m.Ground().In(u)),
		"Seen from the front of the field: block 1 is nearest. Numbers run to and fro.",
	}
}

// band is a row of plots, or a part of one that fits beside itself.
type band struct {
	Block, Row  int
	Head        string // of a block's first band
	Part, Parts int    // from 1, from the left
	Cells       []cell
}

// cell is a square of the map.
type cell struct {
	Number            string
	Treatment, Second string
	Guard             bool
}

// bands are the map from the far end to the front, each row split into parts of
// at most a number of cells.
func (m *Map) bands(cells int) (out []band) {
	for row := m.Rows - 1; row >= 0; row-- {
		line := make([]cell, 0, m.Columns+2*m.Design.Guards)
		guards := func() {
			for range m.Design.Guards {
				line = append(line, cell{Number: "guard", Guard: true})
			}
		}
		guards()
		for column := range m.Columns {
			p := m.at(row, column)
			line = append(line, cell{Number: strconv.Itoa(p.Number), Treatment: p.Treatment, Second: p.Second})
		}
		guards()
		block := m.at(row, 0).Block
		parts := (len(line) + cells - 1) / cells
		for i := range parts {
			// Parts of one size, so that no square stands alone.
			b := band{Block: block, Row: row + 1, Part: i + 1, Parts: parts, Cells: line[i*len(line)/parts : (i+1)*len(line)/parts]}
			if len(out) == 0 || out[len(out)-1].Block != block {
				b.Head = fmt.Sprintf("Block %d", block)
			}
			out = append(out, b)
		}
	}
	return out
}

// split says how rows that are too long for the page are shown; empty if none is.
func split(bands []band) string {
	if bands[0].Parts == 1 {
		return ""
	}
	return fmt.Sprintf("A row is too long for the page: it is shown in %d parts, the left part first.", bands[0].Parts)
}

// WriteMap writes the map as text, at most 96 columns wide, block by block as
// laid in the field, the far end at the top; longer rows are split and the map
// says so.
func WriteMap(w io.Writer, m *Map, u quantity.System) error {
	width := len("guard")
	for _, p := range m.Plots {
		width = max(width, utf8.RuneCountInString(p.Treatment), utf8.RuneCountInString(p.Second))
	}
	bands := m.bands((textWidth - 1) / (width + 3))
	b := &strings.Builder{}
	for _, line := range m.facts(u) {
		fmt.Fprintln(b, line)
	}
	if s := split(bands); s != "" {
		fmt.Fprintln(b, s)
	}
	for i := range bands {
		g := &bands[i]
		rule := strings.Repeat("+"+strings.Repeat("-", width+2), len(g.Cells)) + "+"
		if g.Head != "" {
			fmt.Fprintf(b, "\n%s\n", g.Head)
		}
		if g.Parts > 1 {
			fmt.Fprintf(b, "Row %d, part %d of %d\n", g.Row, g.Part, g.Parts)
		}
		if g.Head != "" || g.Parts > 1 {
			fmt.Fprintln(b, rule)
		}
		line := func(text func(*cell) string) {
			for c := range g.Cells {
				t := text(&g.Cells[c])
				fmt.Fprintf(b, "| %s%s ", t, strings.Repeat(" ", width-utf8.RuneCountInString(t)))
			}
			fmt.Fprintln(b, "|")
		}
		line(func(c *cell) string { return c.Number })
		line(func(c *cell) string { return c.Treatment })
		if m.Design.twoFactors() {
			line(func(c *cell) string { return c.Second })
		}
		fmt.Fprintln(b, rule)
	}
	fmt.Fprintln(b, "\nFront of the field")
	_, err := io.WriteString(w, b.String())
	return err
}

// sheetColumns are the columns of a harvest sheet, the first four filled in.
var sheetColumns = []string{"plot", "block", "treatment", "second_treatment", "strip_width_in", "strip_length_ft", "wet_lb", "sample_wet_g", "sample_dry_g", "height_in", "stage", "notes"}

// WriteHarvestSheet writes the harvest sheet as CSV, one line a plot in the order
// of harvest, with empty cells to fill; ReadHarvest reads it back.
func WriteHarvestSheet(w io.Writer, m *Map) error {
	c := csv.NewWriter(w)
	rows := [][]string{sheetColumns}
	for _, p := range m.Plots {
		row := make([]string, len(sheetColumns))
		copy(row, []string{strconv.Itoa(p.Number), strconv.Itoa(p.Block), p.Treatment, p.Second})
		rows = append(rows, row)
	}
	return c.WriteAll(rows)
}

//go:embed map.tmpl.html
var pageText string

var page = template.Must(template.New("map").Parse(pageText))

// WriteHTML writes the map and the harvest sheet as one page for printing, on A4
// or Letter. It needs no script and no network; treatments are told by name, not
// by colour.
func WriteHTML(w io.Writer, m *Map, u quantity.System) error {
	bands := m.bands(pageCells)
	return page.Execute(w, struct {
		Title, Split string
		Facts        []string
		Bands        []band
		Plots        []Plot
		TwoFactors   bool
		Blank        []string // the columns left to fill
	}{kinds[m.Design.Kind].name, split(bands), m.facts(u), bands, m.Plots, m.Design.twoFactors(),
		[]string{"strip width, in", "strip length, ft", "wet, lb", "sample wet, g", "sample dry, g", "height, in", "stage", "notes"}})
}
