package document_test

import (
	"errors"
	"strings"
	"testing"

	"rowen/internal/document"
	"rowen/quantity"
)

const farm = `rowen = 1
name = "Brook End"

[[field]]
name = "North Six"
area = "12.4"
pH = 70
soil = { texture = "loam" }

[[field]]
name = "Low"
area = 5
aera = "3 ac"
`

// All problems come at once, each with its line.
func TestAllProblemsAtOnce(t *testing.T) {
	root, err := document.Parse("farm.toml", []byte(farm))
	if err != nil {
		t.Fatal(err)
	}
	r := &document.Reader{File: "farm.toml"}
	top := r.At(root, "")
	top.Number("rowen", 0, 1, 1)
	if top.Text("name") != "Brook End" {
		t.Error("name not read")
	}
	for _, f := range top.Tables("field", func(in document.In) string { return `field "` + in.Text("name") + `"` }) {
		document.Quantity(f, "area", 0, quantity.ParseArea)
		f.Number("pH", 6.5, 3, 10)
		soil, ok := f.Table("soil", f.Thing+": soil")
		if ok && soil.Text("texture") != "loam" {
			t.Error("inline table not read")
		}
		f.Unknown()
	}
	top.Unknown()
	want := []string{
		`farm.toml:6: field "North Six": area: "12.4": a unit is missing; write "12.4 ac" or "12.4 ha"`,
		`farm.toml:7: field "North Six": pH: "70": it must lie between 3 and 10`,
		`farm.toml:12: field "Low": area: "5": a bare number has no unit; write it with its unit and in quotes, such as "5 ac"`,
		`farm.toml:13: field "Low": aera: no such key here; did you mean area?`,
	}
	if got := r.Problems.Error(); got != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", got, strings.Join(want, "\n"))
	}
}

func TestSyntax(t *testing.T) {
	for text, line := range map[string]int{
		"a = 1\nb = \n":            2,
		"a = 1\na = 2\n":           2,
		"[x]\na = 1\n[x]\n":        3,
		"a = 1\nb = \"\xff\"":      2,
		"a = \"open\nb = 1\n":      1,
		"a = 1\n[[a]]\nb = 1":      2,
		strings.Repeat("x", 2<<20): 1,
	} {
		_, err := document.Parse("f.toml", []byte(text))
		var p document.Problem
		if !errors.As(err, &p) {
			t.Errorf("%.30q: %v is no Problem", text, err)
			continue
		}
		if p.Line != line {
			t.Errorf("%.30q: line %d, want %d (%v)", text, p.Line, line, err)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(farm))
	f.Add([]byte("a.b.c = [1, \"x\", {d = 2}]\n[[q.r]]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		root, err := document.Parse("f", data)
		if (root == nil) == (err == nil) {
			t.Fatal("neither tree nor error")
		}
	})
}
