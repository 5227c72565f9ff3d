package document_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"rowen/internal/document"
)

const edited = `rowen = 1
# the farm
name = "A" # kept

[[field]]
name = "One" # first
soil = { texture = "loam",
  pH = 6 }

# about two
# and more
[[field]]
name = "Two"

[[group]]
name = "Herd"

[[group.period]]
head = 3

[[group]]
name = "Others"
`

func TestEdit(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func([]byte) ([]byte, error)
		from string
		to   string
	}{
		{"a value in its place", func(b []byte) ([]byte, error) {
			return document.Set(b, document.Place{List: "field"}, "name", document.Quote(`O"ne`))
		}, `name = "One" # first`, `name = "O\"ne" # first`},
		{"a value over lines", func(b []byte) ([]byte, error) {
			return document.Set(b, document.Place{List: "field"}, "soil", "{ pH = 7 }")
		}, "{ texture = \"loam\",\n  pH = 6 }", "{ pH = 7 }"},
		{"a value within braces", func(b []byte) ([]byte, error) {
			return document.Set(b, document.Place{List: "field"}, "soil.pH", "7.1")
		}, "{ texture = \"loam\",\n  pH = 6 }", "{ texture = \"loam\", pH = 7.1 }"},
		{"a value out of braces", func(b []byte) ([]byte, error) {
			return document.Unset(b, document.Place{List: "field"}, "soil.texture")
		}, "{ texture = \"loam\",\n  pH = 6 }", "{ pH = 6 }"},
		{"braces that were not there", func(b []byte) ([]byte, error) {
			return document.Set(b, document.Place{List: "field", Index: 1}, "soil.pH", "5")
		}, "name = \"Two\"\n", "name = \"Two\"\nsoil = { pH = 5 }\n"},
		{"a key more", func(b []byte) ([]byte, error) {
			return document.Set(b, document.Place{List: "field", Index: 1}, "area", `"3 ac"`)
		}, "name = \"Two\"\n", "name = \"Two\"\narea = \"3 ac\"\n"},
		{"a key of the document", func(b []byte) ([]byte, error) {
			return document.Set(b, document.Place{}, "organic", "true")
		}, "# kept\n", "# kept\norganic = true\n"},
		{"a key less", func(b []byte) ([]byte, error) {
			return document.Unset(b, document.Place{List: "field"}, "soil")
		}, "soil = { texture = \"loam\",\n  pH = 6 }\n", ""},
		{"a table less, with what is said of it", func(b []byte) ([]byte, error) {
			return document.Delete(b, document.Place{List: "field", Index: 1})
		}, "\n# about two\n# and more\n[[field]]\nname = \"Two\"\n", ""},
		{"a table less, with its own", func(b []byte) ([]byte, error) {
			return document.Delete(b, document.Place{List: "group"})
		}, "\n[[group]]\nname = \"Herd\"\n\n[[group.period]]\nhead = 3\n", ""},
		{"a table more", func(b []byte) ([]byte, error) {
			return document.Append(b, "field", document.Pair{Key: "name", Value: `"Three"`})
		}, "name = \"Two\"\n", "name = \"Two\"\n\n[[field]]\nname = \"Three\"\n"},
		{"a table more of another", func(b []byte) ([]byte, error) {
			return document.AppendIn(b, document.Place{List: "group"}, "group.period", document.Pair{Key: "head", Value: "4"})
		}, "head = 3\n", "head = 3\n\n[[group.period]]\nhead = 4\n"},
		{"the first of its list", func(b []byte) ([]byte, error) {
			return document.Append(b, "sowing", document.Pair{Key: "field", Value: `"Two"`})
		}, "name = \"Others\"\n", "name = \"Others\"\n\n[[sowing]]\nfield = \"Two\"\n"},
	} {
		got, err := c.do([]byte(edited))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if want := strings.Replace(edited, c.from, c.to, 1); string(got) != want || want == edited {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, want)
		}
	}
}

// A table of the document's own, not there yet, under a header, in braces.
func TestEditPlainTable(t *testing.T) {
	for _, c := range [][2]string{
		{"a = 1\n[[field]]\nname = \"A\"\n", "a = 1\nprices = { grain = \"3\" }\n[[field]]\nname = \"A\"\n"},
		{"a = 1\n[prices]\nhay = \"2\"\n[[field]]\n", "a = 1\n[prices]\nhay = \"2\"\ngrain = \"3\"\n[[field]]\n"},
		{"[prices]\ngrain = \"1\" # old\n", "[prices]\ngrain = \"3\" # old\n"},
		{"prices = { hay = \"2\" }\n", "prices = { hay = \"2\", grain = \"3\" }\n"},
		{"prices.hay = \"2\"\n", "prices.hay = \"2\"\nprices.grain = \"3\"\n"},
	} {
		got, err := document.Set([]byte(c[0]), document.Place{}, "prices.grain", `"3"`)
		if err != nil || string(got) != c[1] {
			t.Errorf("%q became %q, %v", c[0], got, err)
		}
	}
}

func TestEditRefuses(t *testing.T) {
	if _, err := document.Set([]byte(edited), document.Place{List: "field", Index: 2}, "name", `"x"`); err == nil {
		t.Error("a table that is not there was changed")
	}
	if _, err := document.Set([]byte("a = [\n"), document.Place{}, "b", "1"); err == nil {
		t.Error("a document that cannot be read was changed")
	}
	if _, err := document.Set([]byte("[[field]]\nname = \"A\"\n[field.soil]\npH = 6\n"), document.Place{List: "field"}, "soil", "{}"); err == nil {
		t.Error("a table with its own header was given a second time")
	}
}

// Whatever text is set, reading gives it back, and taking the key away again gives
// the first document back.
func TestEditComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := strings.ToValidUTF8(rapid.String().Draw(t, "value"), "?")
		at := document.Place{List: "field", Index: rapid.IntRange(0, 1).Draw(t, "table")}
		got, err := document.Set([]byte(edited), at, "note", document.Quote(value))
		if err != nil {
			t.Fatal(err)
		}
		root, err := document.Parse("x", got)
		if err != nil {
			t.Fatalf("%v\n%s", err, got)
		}
		r := &document.Reader{}
		fields := r.At(root, "").Tables("field", func(document.In) string { return "" })
		if back := fields[at.Index].Text("note"); back != value {
			t.Fatalf("%q came back as %q", value, back)
		}
		undone, err := document.Unset(got, at, "note")
		if err != nil || string(undone) != edited {
			t.Fatalf("%v\n%s", err, undone)
		}
	})
}

func TestValuesAndLines(t *testing.T) {
	at := document.Place{List: "group.period"}
	values, err := document.Values([]byte(edited), at)
	if err != nil || values["head"] != "3" {
		t.Errorf("values %v, %v", values, err)
	}
	lines, err := document.Lines([]byte(edited), at)
	if err != nil || lines[""] != 18 || lines["head"] != 19 {
		t.Errorf("lines %v, %v", lines, err)
	}
	if n := document.Count([]byte(edited), "field"); n != 2 {
		t.Errorf("%d fields", n)
	}
}

// A table under a header of its own is read and changed like one in braces.
func TestTableUnderItsHeader(t *testing.T) {
	doc := []byte("[prices]\ngrain = \"300 per ton\"\n\n[[field]]\nname = \"A\"\n[field.soil]\npH = 6.1 # measured\n\n[[field]]\nname = \"B\"\n[field.soil]\ntexture = \"loam\"\n")
	at := document.Place{List: "field", Index: 1}
	all, err := document.ValuesOf(doc, "field")
	if err != nil || all[0]["soil.pH"] != "6.1" || all[1]["soil.texture"] != "loam" || all[1]["soil.pH"] != "" {
		t.Errorf("%v, %v", all, err)
	}
	lines, err := document.Lines(doc, at)
	if err != nil || lines["soil"] != 11 || lines["soil.texture"] != 12 {
		t.Errorf("%v, %v", lines, err)
	}
	for _, step := range []struct{ key, value, want string }{
		{"soil.texture", `"clay"`, "\n[field.soil]\ntexture = \"clay\"\n"},
		{"soil.pH", "5.9", "texture = \"clay\"\npH = 5.9\n"},
		{"soil.texture", "", "[field.soil]\npH = 5.9\n"},
		{"note", `"wet"`, "name = \"B\"\nnote = \"wet\"\n[field.soil]"},
	} {
		if step.value == "" {
			doc, err = document.Unset(doc, at, step.key)
		} else {
			doc, err = document.Set(doc, at, step.key, step.value)
		}
		if err != nil || !strings.Contains(string(doc), step.want) {
			t.Fatalf("%s = %s: %v\n%s", step.key, step.value, err, doc)
		}
	}
	if !strings.Contains(string(doc), "pH = 6.1 # measured\n") {
		t.Errorf("the other field's table was touched:\n%s", doc)
	}
	if doc, err = document.Unset(doc, document.Place{}, "prices.grain"); err != nil || strings.Contains(string(doc), "grain") {
		t.Errorf("%v\n%s", err, doc)
	}
}

func TestMarked(t *testing.T) {
	text := []byte("name = \"A\" # (assumed)\n[[field]]\nname = \"One\"\narea = \"3 ac\" # (assumed share)\nsoil = { pH = 6 } # (assumed)\nstand = \"x # (assumed)\"\n")
	marks, err := document.Marked(text, "(assumed")
	if err != nil || len(marks) != 3 {
		t.Fatalf("%v, %v", marks, err)
	}
	if m := marks[1]; m.Thing != "One" || m.Key != "area" || m.Value != "3 ac" || m.Kind != document.Text {
		t.Errorf("%+v", m)
	}
	if m := marks[2]; m.Kind != document.Table || m.Value != "{ pH = 6 }" {
		t.Errorf("%+v", m)
	}
	got, err := document.Unmark(text, marks[1].At, "area")
	if err != nil || strings.Contains(string(got), "share") || !strings.Contains(string(got), "area = \"3 ac\"\n") {
		t.Errorf("%s, %v", got, err)
	}
}

// Whatever document can be read: a value set is read back, and the document without it
// can still be read.
func FuzzEdit(f *testing.F) {
	f.Add([]byte(edited), "note", "text")
	f.Add([]byte("[[field]]\r\nname = 'A'\r\n[field.soil]\r\npH = 6"), "soil.pH", "7")
	f.Add([]byte("[[field]]\na.b = 1 # x\n"), "a.c", "\x00")
	f.Fuzz(func(t *testing.T, text []byte, key, value string) {
		if _, err := document.Parse("x", text); err != nil || !utf8.ValidString(key) {
			t.Skip()
		}
		at := document.Place{List: "field"}
		got, err := document.Set(text, at, key, document.Quote(strings.ToValidUTF8(value, "?")))
		if err != nil {
			t.Skip()
		}
		if _, err := document.Parse("x", got); err != nil {
			t.Fatalf("%q = %q made a document that cannot be read: %v\n%q", key, value, err, got)
		}
		if values, err := document.Values(got, at); err != nil || !strings.Contains(key, ".") && values[key] != strings.ToValidUTF8(value, "?") {
			t.Fatalf("%q came back as %q, %v\n%q", value, values[key], err, got)
		}
		without, err := document.Unset(got, at, key)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := document.Parse("x", without); err != nil {
			t.Fatalf("without %q: %v\n%q", key, err, without)
		}
	})
}
