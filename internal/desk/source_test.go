package desk_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"rowen/internal/desk"
	"rowen/journal"
	"rowen/quantity"
	"rowen/weather"
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

// A day that is read again with more facts, or fewer, or others, is the day that a desk
// reads which remembers nothing.
func TestDayReadAgain(t *testing.T) {
	c, err := desk.Catalogue(nil)
	if err != nil {
		t.Fatal(err)
	}
	s := source(t, "dairy.toml")
	on, _ := quantity.ParseDate("2026-08-20")
	all := s.Entries
	if len(all) < 20 {
		t.Fatalf("%d entries are too few", len(all))
	}
	remembers, differ := desk.NewDesk(c), 0
	var last []byte
	for _, n := range []int{len(all) - 3, len(all), len(all) / 2, len(all) - 1, 0, len(all)} {
		s.Entries = all[:n]
		got, err := remembers.Today(t.Context(), s, on)
		if err != nil {
			t.Fatal(err)
		}
		want, err := desk.NewDesk(c).Today(t.Context(), s, on)
		if err != nil {
			t.Fatal(err)
		}
		x, err1 := json.Marshal(got)
		y, err2 := json.Marshal(want)
		if err1 != nil || err2 != nil || string(x) != string(y) {
			t.Errorf("with %d facts the day differs (%v, %v)", n, err1, err2)
		}
		if string(x) != string(last) {
			differ++
		}
		last = x
	}
	if differ < 4 {
		t.Errorf("only %d of the days differ: the facts say nothing", differ)
	}
}

// BenchmarkNote is what a fact costs that is written down on a day that was read.
func BenchmarkNote(b *testing.B) {
	c, err := desk.Catalogue(nil)
	if err != nil {
		b.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join("..", "..", "examples", "dairy.toml"))
	if err != nil {
		b.Fatal(err)
	}
	log, err := journal.Read(filepath.Join("..", "..", "examples", "dairy.journal"))
	if err != nil {
		b.Fatal(err)
	}
	all, _ := journal.Merge(log.Entries)
	on, _ := quantity.ParseDate("2026-08-20")
	d := desk.NewDesk(c)
	s := &desk.Source{Name: "dairy", Text: text}
	n := 0
	for b.Loop() {
		n++
		s.Entries = all[:len(all)-1-n%2]
		s.Stamp = fmt.Sprint(n)
		if _, err := d.Today(b.Context(), s, on); err != nil {
			b.Fatal(err)
		}
	}
}

// One station's file that does not say where it was measured is other weather on farms of
// other latitudes, also when one desk plans for both.
func TestStationWithoutAPlace(t *testing.T) {
	c, err := desk.Catalogue(nil)
	if err != nil {
		t.Fatal(err)
	}
	var file strings.Builder
	file.WriteString("date,tmax_c,tmin_c,rain_mm\n")
	v := weather.Valley(5, 2025)
	for i, d := range v.Days {
		fmt.Fprintf(&file, "%s,%.1f,%.1f,%.1f\n", v.First+quantity.Date(i), float64(d.TMax), float64(d.TMin), float64(d.Rain))
	}
	at := func(latitude string) *desk.Source {
		s := source(t, "sheep.toml")
		text := regexp.MustCompile(`(?m)^latitude = .*$`).ReplaceAllString(string(s.Text), "latitude = "+latitude+"\nweather = \"here.csv\"")
		return &desk.Source{Name: "farm", Text: []byte(text), Station: func(string) ([]byte, error) { return []byte(file.String()), nil }}
	}
	both := desk.NewDesk(c)
	south, err := both.Plan(t.Context(), at("40.0"))
	if err != nil {
		t.Fatal(err)
	}
	north, err := both.Plan(t.Context(), at("52.0"))
	if err != nil {
		t.Fatal(err)
	}
	alone, err := desk.NewDesk(c).Plan(t.Context(), at("52.0"))
	if err != nil {
		t.Fatal(err)
	}
	if north.Plan.Middle.Money != alone.Plan.Middle.Money || north.Plan.Middle.Gap != alone.Plan.Middle.Gap {
		t.Errorf("the northern farm was planned under the southern sky: gap %g, alone %g", north.Plan.Middle.Gap, alone.Plan.Middle.Gap)
	}
	if south.Plan.Middle.Money == north.Plan.Middle.Money {
		t.Error("latitude makes no difference: this proves nothing")
	}
}
