package farm_test

import (
	"os"
	"strings"
	"testing"

	"rowen/crop"
	"rowen/farm"
)

// A document with other sowings reads back as the farm with those sowings, and keeps
// every other line.
func TestReplant(t *testing.T) {
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"dairy", "beef", "sheep"} {
		path := "../examples/" + name + ".toml"
		f, err := farm.Read(path, c)
		if err != nil {
			t.Fatal(err)
		}
		teff, _ := c.Mix("teff")
		oats, _ := c.Mix("oats")
		add := []farm.Sowing{
			{Field: 0, Mix: oats, Use: crop.Wrap, Area: f.Fields[0].Area / 2},
			{Field: 1, Mix: teff, Use: crop.Hay, Then: crop.Hay, From: f.FirstDay() + 220, By: f.FirstDay() + 250},
		}
		text := f.Replant(func(i int) bool { return i == 0 }, add)
		g, err := farm.Parse(path, text, c)
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, text)
		}
		want := len(f.Plan.Sowings) - min(1, len(f.Plan.Sowings)) + 2
		if len(g.Plan.Sowings) != want {
			t.Fatalf("%s: %d sowings, want %d", name, len(g.Plan.Sowings), want)
		}
		last := g.Plan.Sowings[want-2:]
		for i := range add {
			a, b := &add[i], &last[i]
			if a.Field != b.Field || a.Mix.Name != b.Mix.Name || a.Use != b.Use || a.From != b.From || a.By != b.By {
				t.Errorf("%s: sowing %d reads back as %+v", name, i, b)
			}
			if d := float64(a.Area - b.Area); d > 1 || d < -1 {
				t.Errorf("%s: part %v reads back as %v", name, a.Area, b.Area)
			}
		}
		if b := last[0].Manure; b != farm.UsualManure {
			t.Errorf("%s: manure %v is not the usual", name, b)
		}
		was, _ := os.ReadFile(path)
		head, _, _ := strings.Cut(string(was), "[[sowing]]")
		if !strings.HasPrefix(string(text), head) {
			t.Errorf("%s: the document above its sowings changed", name)
		}
	}
}
