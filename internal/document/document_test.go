package document_test

import (
	"errors"
	"fmt"
	"runtime"
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

// What stands too deep is refused on its line, before it takes the memory of the machine:
// 140 KB of one dotted key took tens of gigabytes.
func TestDepth(t *testing.T) {
	for name, deep := range map[string]string{
		"a dotted key":         strings.Repeat("a.", 70000) + "b = 1",
		"a header":             "[" + strings.Repeat("a.", 70000) + "b]",
		"a list of tables":     "[[" + strings.Repeat("a.", 70000) + "b]]",
		"lists":                "v = " + strings.Repeat("[", 5000) + strings.Repeat("]", 5000),
		"inline tables":        strings.Repeat("a = {", 5000) + strings.Repeat("}", 5000),
		"a key below a header": "[" + strings.Repeat("a.", 20) + "b]\n" + strings.Repeat("c.", 20) + "d = 1",
	} {
		_, err := document.Parse("f.toml", []byte("rowen = 1\n"+deep))
		var p document.Problem
		if !errors.As(err, &p) || !strings.Contains(p.Remedy, "32") {
			t.Errorf("%s: %.200v", name, err)
			continue
		}
		if want := 2 + strings.Count(deep, "\n"); p.Line != want {
			t.Errorf("%s: line %d, want %d", name, p.Line, want)
		}
	}
	if _, err := document.Parse("f.toml", []byte(strings.Repeat("a.", 31)+"b = 1")); err != nil {
		t.Errorf("32 names in one another: %v", err)
	}
}

// A long name costs its length once, not once for each value under it: 16,000 keys under
// a name of 512 KB would have taken 8 GB.
func TestLongName(t *testing.T) {
	var text strings.Builder
	text.WriteString("[" + strings.Repeat("a", 1<<19) + "]\n")
	for i := range 16000 {
		fmt.Fprintf(&text, "k%d = 1\n", i)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	root, err := document.Parse("f.toml", []byte(text.String()))
	runtime.ReadMemStats(&after)
	if err != nil || len(root.Keys) != 1 {
		t.Fatalf("%.200v", err)
	}
	if taken := after.TotalAlloc - before.TotalAlloc; taken > 256<<20 {
		t.Errorf("it took %d MB", taken>>20)
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(farm))
	f.Add([]byte(strings.Repeat("a.", 70000) + "b = 1"))
	f.Add([]byte("[" + strings.Repeat("a.", 31) + "b]\nc = {d = [{e = 1}]}\n"))
	f.Add([]byte("v = " + strings.Repeat("[", 40) + strings.Repeat("]", 40)))
	f.Add([]byte("a.b.c = [1, \"x\", {d = 2}]\n[[q.r]]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		root, err := document.Parse("f", data)
		if (root == nil) == (err == nil) {
			t.Fatal("neither tree nor error")
		}
	})
}
