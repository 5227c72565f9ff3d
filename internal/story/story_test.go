package story_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

// document is a story's farm document, with changes made to its text.
func document(t *testing.T, name string, changes ...string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", name+".toml"))
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i+1 < len(changes); i += 2 {
		if n := bytes.Count(text, []byte(changes[i])); n != 1 {
			t.Fatalf("%s.toml holds %q %d times", name, changes[i], n)
		}
		text = bytes.Replace(text, []byte(changes[i]), []byte(changes[i+1]), 1)
	}
	return text
}

func catalogue(t *testing.T) *crop.Catalogue {
	t.Helper()
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// read is the farm of a document that must be sound.
func read(t *testing.T, text []byte) *farm.Farm {
	t.Helper()
	f, err := farm.Parse("story.toml", text, catalogue(t))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// refused is what is wrong with a document.
func refused(t *testing.T, text []byte, want ...string) {
	t.Helper()
	_, err := farm.Parse("story.toml", text, catalogue(t))
	if err == nil {
		t.Errorf("the document is accepted; want %q", want)
		return
	}
	for _, w := range want {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("%v\ndoes not say %q", err, w)
		}
	}
	if !strings.Contains(err.Error(), "story.toml:") {
		t.Errorf("no line is named: %v", err)
	}
}

// valley is the valley's years; cold lowers every month's temperatures, °C.
func valley(t *testing.T, n int, cold float64) []weather.Year {
	t.Helper()
	normals := weather.ValleyNormals
	for m := range normals.TMax {
		normals.TMax[m] -= cold
		normals.TMin[m] -= cold
	}
	g := weather.FromNormals(weather.ValleyStation, &normals)
	s := g.Generate(weather.ValleySeed, quantity.NewDate(2025-n, 1, 1), n+1)
	s.Prepare()
	years, _ := s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, n)
	if len(years) != n {
		t.Fatalf("%d feed years", len(years))
	}
	return years
}

// lived is a farm's plan over weather years.
func lived(t *testing.T, f *farm.Farm, years []weather.Year) season.Result {
	t.Helper()
	m, problems := season.Compile(f, &f.Plan, years)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	opening, err := m.SpunUp(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.Run(context.Background(), opening, m.Years())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// screen is the plan as it is printed.
func screen(t *testing.T, f *farm.Farm, r *season.Result) string {
	t.Helper()
	var out bytes.Buffer
	p := report.Build(f, r, nil, report.Manifest{}, "a station", nil)
	if err := report.WriteText(&out, p, quantity.US); err != nil {
		t.Fatal(err)
	}
	return out.String()
}
