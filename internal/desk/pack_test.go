package desk

import (
	"bytes"
	"encoding/json"
	"reflect"
	"testing"

	"rowen/examples"
)

// A plan that was packed is the plan that was made: the same as JSON, and the same board,
// every figure opens to the same.
func TestPackedPlan(t *testing.T) {
	c, err := Catalogue(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"dairy", "sheep", "beef"} {
		text, err := examples.Files.ReadFile(name + ".toml")
		if err != nil {
			t.Fatal(err)
		}
		made, err := NewDesk(c).Plan(t.Context(), &Source{Name: name, Text: text})
		if err != nil {
			t.Fatal(err)
		}
		packed, err := pack(made)
		if err != nil {
			t.Fatal(err)
		}
		again, err := unpack[Planned](packed)
		if err != nil {
			t.Fatal(err)
		}
		one, err1 := json.Marshal(made.Plan)
		two, err2 := json.Marshal(again.Plan)
		if err1 != nil || err2 != nil || !bytes.Equal(one, two) {
			t.Errorf("%s: another plan came out of it (%v, %v)", name, err1, err2)
		}
		if !reflect.DeepEqual(made.Board, again.Board) {
			t.Errorf("%s: another board came out of it", name)
		}
		t.Logf("%s: %d bytes of JSON, %d packed", name, len(one), len(packed))
	}
}
