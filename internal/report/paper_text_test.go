package report

import (
	"bytes"
	"strings"
	"testing"

	"rowen/quantity"
	"rowen/say"
)

func TestDrawn(t *testing.T) {
	for text, want := range map[string]string{
		"Höfe, Łąka, Ελιά, Поле ½ §": "Höfe, Łąka, Ελιά, Поле ½ §",
		"Barn 🐄":                      "Barn \uFFFD",
		"𝔽arm 𝟙":                      "\uFFFDarm \uFFFD",
		"حقل":                         "\uFFFD\uFFFD\uFFFD",
		"農場":                          "\uFFFD\uFFFD",
		"e\u0301":                     "e\uFFFD",
		"\u200fMill\u202e Flat\u200b": "Mill Flat",
		"sun \u2600\ufe0f":            "sun \uFFFD",
		"a\x00b\x1bc\u0085":           "a\uFFFDb\uFFFDc\uFFFD",
		"bad \xff\xf0\x9f":            "bad \uFFFD\uFFFD\uFFFD",
		"one\r\ntwo\tthree":           "one\ntwo three",
		"\uFFFD":                      "\uFFFD",
	} {
		if got := drawn(text); got != want {
			t.Errorf("%q is drawn as %q, want %q", text, got, want)
		}
	}
}

// FuzzPDF writes a small paper of any words: it becomes a whole paper, in every place
// where a person's words can stand.
func FuzzPDF(f *testing.F) {
	for _, text := range []string{
		"North Six", "Barn 🐄", "𝔽𝕚𝕖𝕝𝕕", "حقل الشمال", "e\u0301\u0301\u0301", "\u200f\u202eleft", "a\x00b", "\xff\xfe\xf0\x9f", "\u2028\u2029", "👩\u200d🌾",
		"", " ", "\n\n", "{pages}", "(\\)", "\U0010ffff", strings.Repeat("W", 3000), strings.Repeat("農 ", 900),
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 4000 {
			t.Skip("names are bounded far below")
		}
		paper := &Paper{Title: text, Farm: text, Foot: text, Under: say.Name(text), Blocks: []Block{{
			Heading: say.Name(text), Text: []say.Line{say.Name(text)}, Together: true,
			Table: &Table{Name: "t", Columns: []Column{headed(text, text, 1), headed("Number", "", 0.1)}, Rows: [][]Cell{{word(text), figure(1, 0)}, {strong(text), strong(text)}}},
			Years: []*Outcome{{Year: 2020, Rows: []Row{{Name: "1 " + text, Demand: 1}}}}, Top: 1,
		}}}
		for _, size := range PaperSizes {
			var out bytes.Buffer
			if err := WritePDF(&out, paper, size, quantity.US); err != nil {
				t.Fatalf("%q: %v", text, err)
			}
			if !bytes.HasPrefix(out.Bytes(), []byte("%PDF-")) || !bytes.HasSuffix(out.Bytes(), []byte("%%EOF\n")) {
				t.Errorf("%q: the paper is not whole", text)
			}
		}
	})
}
