package say_test

import (
	"bytes"
	"encoding/gob"
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"rowen/quantity"
	"rowen/say"
)

// A sentence is made once and told in two languages.
func ExampleThat() {
	german := say.Tongue{"ready to %s from %s": "ab %[2]s bereit zum %[1]s", "graze": "Weiden", "%d %s": "%d. %s", "May": "Mai"}
	l := say.That("ready to %s from %s", "graze", quantity.MonthDay{Month: time.May, Day: 12})
	fmt.Println(l)
	fmt.Println(l.In(german))
	// Output:
	// ready to graze from 12 May
	// ab 12. Mai bereit zum Weiden
}

func ExampleAnd() {
	fmt.Println(say.And(say.Name("Croft"), say.Name("Ridge"), say.Name("Beck")))
	// Output: Croft, Ridge and Beck
}

func TestLine(t *testing.T) {
	tongue := say.Tongue{"bloat": "météorisation", "hold for %s": "attendre: %s", "%s; next: %s": "%s; puis: %s", "Mar": "mars"}
	for _, c := range []struct {
		line         say.Line
		plain, other string
	}{
		{nil, "", ""},
		{say.Name("100 % Clover"), "100 % Clover", "100 % Clover"},
		{say.Name(""), "", ""},
		{say.That("hold for %s", "bloat"), "hold for bloat", "attendre: météorisation"},
		{say.That("%s; next: %s", say.That("hold for %s", "bloat"), "North Six"), "hold for bloat; next: North Six", "attendre: météorisation; puis: North Six"},
		{say.That("%.0f %% of %d", 12.4, 3), "12 % of 3", "12 % of 3"},
		{say.Start(say.That("hold for %s", "bloat")), "Hold for bloat", "Attendre: météorisation"},
		{say.Start(nil), "", ""},
		{say.Join("; ", nil, say.Name("a"), nil, say.Name("b")), "a; b", "a; b"},
		{say.Join("; ", nil), "", ""},
		{say.And(), "", ""},
		{say.And(say.Name("a"), say.Name("b")), "a and b", "a and b"},
		{say.Name("16 Mar"), "16 Mar", "16 mars"},
		{say.Name("16 Mars"), "16 Mars", "16 Mars"},
		{say.That("%s", quantity.NewDate(2026, 3, 1)), "2026-03-01", "2026-03-01"},
	} {
		if got := c.line.String(); got != c.plain {
			t.Errorf("%v in English is %q, want %q", []any(c.line), got, c.plain)
		}
		if got := c.line.In(tongue); got != c.other {
			t.Errorf("%v is %q, want %q", []any(c.line), got, c.other)
		}
	}
}

// A line is text to JSON, left out where it says nothing, and whole to gob, so that what
// is kept can still be told in any language.
func TestLineIsKept(t *testing.T) {
	type kept struct {
		A say.Line `json:"a"`
		B say.Line `json:"b,omitempty"`
	}
	was := kept{A: say.That("%s on %s", say.That("frost"), quantity.MonthDay{Month: time.October, Day: 8})}
	text, err := json.Marshal(was)
	if err != nil || string(text) != `{"a":"frost on 8 Oct"}` {
		t.Errorf("%s, %v", text, err)
	}
	var read kept
	if err := json.Unmarshal(text, &read); err != nil || read.A.String() != "frost on 8 Oct" {
		t.Errorf("%v, %v", read, err)
	}
	var b bytes.Buffer
	var back kept
	if err := gob.NewEncoder(&b).Encode(was); err != nil {
		t.Fatal(err)
	}
	if err := gob.NewDecoder(&b).Decode(&back); err != nil {
		t.Fatal(err)
	}
	if got := back.A.In(say.Tongue{"frost": "Frost", "Oct": "Okt"}); got != "Frost on 8 Okt" {
		t.Errorf("packed and unpacked it says %q", got)
	}
}
