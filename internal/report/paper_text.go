package report

import (
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

// noGlyph stands on a paper for a character that its fonts cannot draw, so that a reader
// sees that something is wanting there.
const noGlyph = '\uFFFD'

// typefaces are the fonts of papers, regular and bold; noGlyph and plain letters are in
// both.
var typefaces = sync.OnceValue(func() (out []*sfnt.Font) {
	for _, file := range [][]byte{goregular.TTF, gobold.TTF} {
		f, err := sfnt.Parse(file)
		if err != nil {
			panic("a font that came with the program cannot be read: " + err.Error())
		}
		out = append(out, f)
	}
	return out
})

// drawn is a text as the fonts of papers can draw it. People call their farms and fields
// what they like, and the writer of pages fails on characters that a font does not know:
// those become noGlyph before anything is measured. Marks without a look of their own,
// such as those of the direction of writing, are left out.
func drawn(text string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c >= ' ' && c <= '~' || c == '\n':
			return c
		case c == '\t':
			return ' '
		case c == '\r', unicode.Is(unicode.Cf, c), unicode.Is(unicode.Variation_Selector, c):
			return -1
		}
		for _, f := range typefaces() {
			if glyph, err := f.GlyphIndex(nil, c); err != nil || glyph == 0 || unicode.IsControl(c) {
				return noGlyph
			}
		}
		return c
	}, text)
}

// MultiCell, CellFormat, SplitText and GetStringWidth are the page writer's own, over
// text that can be drawn.
func (d *pdf) MultiCell(w, h float64, text, border, align string, fill bool) {
	d.Fpdf.MultiCell(w, h, drawn(text), border, align, fill)
}

// CellFormat: see MultiCell.
func (d *pdf) CellFormat(w, h float64, text, border string, ln int, align string, fill bool, link int, address string) {
	d.Fpdf.CellFormat(w, h, drawn(text), border, ln, align, fill, link, address)
}

// SplitText: see MultiCell.
func (d *pdf) SplitText(text string, w float64) []string { return d.Fpdf.SplitText(drawn(text), w) }

// GetStringWidth: see MultiCell.
func (d *pdf) GetStringWidth(text string) float64 { return d.Fpdf.GetStringWidth(drawn(text)) }
