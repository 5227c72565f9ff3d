package desk

import (
	"testing"

	"rowen/examples"
	"rowen/farm"
	"rowen/season"
	"rowen/weather"
)

// BenchmarkPlan30x40 is what a moved sowing costs the desk: a farm of 30 fields read,
// compiled and run over 40 weather years, with what it is held against, and made a page
// model; the weather is known and ready.
func BenchmarkPlan30x40(b *testing.B) {
	c, err := Catalogue(nil)
	if err != nil {
		b.Fatal(err)
	}
	many, err := examples.LargeDairy(3)
	if err != nil {
		b.Fatal(err)
	}
	text := []byte(many)
	s := weather.Valley(42, 2025)
	s.Prepare()
	first, err := farm.Parse("farm", text, c)
	if err != nil {
		b.Fatal(err)
	}
	years, notices, err := choose(s, first.FeedYear, "40")
	if err != nil {
		b.Fatal(err)
	}
	under := &sky{season.NewSky(years), years, notices}
	for b.Loop() {
		f, err := farm.Parse("farm", text, c)
		if err != nil {
			b.Fatal(err)
		}
		p, r, err := planOn(b.Context(), Request{Farm: "farm"}, c, f, s, "", under)
		if err != nil {
			b.Fatal(err)
		}
		if len(r.Years) != 40 || len(f.Fields) != 30 || len(p.Figures) == 0 {
			b.Fatalf("%d years, %d fields", len(r.Years), len(f.Fields))
		}
	}
}
