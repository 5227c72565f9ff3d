package desk_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"rowen/crop"
	"rowen/internal/desk"
	"rowen/journal"
	"rowen/quantity"
)

// Of each line in plain words either its entry is given or what is wrong with it; nobody
// who has gone is read on for.
func TestWorded(t *testing.T) {
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join("..", "..", "examples", "dairy.toml"))
	if err != nil {
		t.Fatal(err)
	}
	d, s := desk.NewDesk(c), &desk.Source{Name: "farm", Text: text}
	lines := []string{"height 7 in on Barn Pasture 8 July", "no such thing", "height 700 in on Barn Pasture"}
	entries, wrong, err := d.Worded(t.Context(), s, quantity.NewDate(2025, 7, 10), lines)
	if err != nil || len(entries) != 3 || wrong[0] != nil || wrong[1] == nil || wrong[2] != nil || entries[0].Kind() != journal.KindHeight || entries[0].Date != quantity.NewDate(2025, 7, 8) {
		t.Errorf("%v, %v, %v", entries, wrong, err)
	}
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	if _, _, err := d.Worded(gone, s, 0, lines); !errors.Is(err, context.Canceled) {
		t.Errorf("nobody waits: %v", err)
	}
}
