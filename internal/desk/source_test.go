package desk_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"rowen/internal/desk"
	"rowen/journal"
	"rowen/quantity"
)

func source(t *testing.T, name string) *desk.Source {
	t.Helper()
	path := filepath.Join("..", "..", "examples", name)
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s := &desk.Source{Name: path, Text: text}
	if log, err := journal.Read(desk.JournalOf(path)); err == nil {
		s.Entries, _ = journal.Merge(log.Entries)
	}
	return s
}

// A farm in memory is read as the same farm in files is.
func TestSourceIsItsFile(t *testing.T) {
	c, err := desk.Catalogue(nil)
	if err != nil {
		t.Fatal(err)
	}
	d := desk.NewDesk(c)
	same := func(what string, a, b any) {
		t.Helper()
		x, err1 := json.Marshal(a)
		y, err2 := json.Marshal(b)
		if err1 != nil || err2 != nil || string(x) != string(y) {
			for i := range min(len(x), len(y)) {
				if x[i] != y[i] {
					t.Fatalf("%s differs: %.200s\nand %.200s", what, x[max(0, i-80):], y[max(0, i-80):])
				}
			}
			t.Fatalf("%s differs in length, %d and %d", what, len(x), len(y))
		}
	}
	for _, name := range []string{"dairy.toml", "sheep.toml"} {
		s := source(t, name)
		s.Units = quantity.US
		if name == "sheep.toml" {
			s.Units = quantity.Metric
		}
		got, err := d.Plan(t.Context(), s)
		if err != nil {
			t.Fatal(err)
		}
		want, _, err := desk.Plan(t.Context(), desk.Request{Farm: s.Name})
		if err != nil {
			t.Fatal(err)
		}
		same(name+": the plan", got.Plan, want)
		on, _ := quantity.ParseDate("2026-11-26")
		day, err := d.Today(t.Context(), s, on)
		if err != nil {
			t.Fatal(err)
		}
		page, _, err := desk.Today(t.Context(), desk.TodayRequest{Farm: s.Name, Date: "2026-11-26"})
		if err != nil {
			t.Fatal(err)
		}
		same(name+": the day", day.Page, page)
		if again, err := d.Plan(t.Context(), s); err != nil || again != got {
			t.Errorf("%s: the plan was made twice, %v", name, err)
		}
	}
}
