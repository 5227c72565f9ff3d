package document_test

import (
	"strings"
	"testing"

	"rowen/internal/document"
)

// Many edits at once are the same as one after the other.
func TestApply(t *testing.T) {
	edits := []document.Edit{
		{document.Place{List: "group", Index: 1}, "note", `"n"`},
		{document.Place{List: "field", Index: 1}, "outline", `"o"`},
		{document.Place{List: "field", Index: 1}, "name", ""},
		{document.Place{List: "field", Index: 0}, "soil.pH", "7"},
		{document.Place{List: "field", Index: 0}, "name", `"A longer one"`},
		{document.Place{}, "name", ""},
		{document.Place{List: "field", Index: 1}, "not.there", ""},
	}
	for _, text := range []string{edited, strings.TrimSuffix(edited, "\n")} {
		want := []byte(text)
		for _, e := range edits {
			var err error
			if e.Value == "" {
				want, err = document.Unset(want, e.At, e.Key)
			} else {
				want, err = document.Set(want, e.At, e.Key, e.Value)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		got, err := document.Apply([]byte(text), edits...)
		if err != nil || string(got) != string(want) {
			t.Errorf("%v\n%s\nwant\n%s", err, got, want)
		}
	}
	for name, edits := range map[string][]document.Edit{
		"no such table":   {{document.Place{List: "field", Index: 9}, "name", `"x"`}},
		"one key twice":   {{document.Place{List: "field"}, "name", `"x"`}, {document.Place{List: "field"}, "name", `"y"`}},
		"one pair braces": {{document.Place{List: "field"}, "soil.pH", "7"}, {document.Place{List: "field"}, "soil.depth", `"1 m"`}},
	} {
		if got, err := document.Apply([]byte(edited), edits...); err == nil {
			t.Errorf("%s:\n%s", name, got)
		}
	}
	a, b := document.Pair{Key: "name", Value: `"a"`}, document.Pair{Key: "name", Value: `"b"`}
	one, err := document.Append([]byte(edited), "field", a)
	if err == nil {
		one, err = document.Append(one, "field", b)
	}
	if both, err2 := document.AppendAll([]byte(edited), "field", []document.Pair{a}, []document.Pair{b}); err != nil || err2 != nil || string(both) != string(one) {
		t.Errorf("%v, %v\n%s\nwant\n%s", err, err2, both, one)
	}
}
