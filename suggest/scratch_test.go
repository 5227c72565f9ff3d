package suggest

import (
	"context"
	"os"
	"testing"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/solver"
	"rowen/weather"
)

func TestMain(m *testing.M) {
	if solver.IsChild() {
		os.Exit(solver.RunChild())
	}
	os.Exit(m.Run())
}

func request(t *testing.T, name string, years int) *Request {
	t.Helper()
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	f, err := farm.Read("../examples/"+name+".toml", c)
	if err != nil {
		t.Fatal(err)
	}
	s := weather.Valley(years+1, 2025)
	s.Prepare()
	all, _ := s.FeedYears(f.FeedYear, 0)
	return &Request{Farm: f, Catalogue: c, Years: all[max(0, len(all)-years):], Progress: func(p Progress) {
		if p.Text != "" {
			t.Log(p.Text)
		}
	}}
}

func TestScratch(t *testing.T) {
	r := request(t, "dairy", 30)
	t0 := time.Now()
	s, err := newSearch(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("search %v, %d field-years, %d refused", time.Since(t0), s.grown, len(s.refused))
	for i := range s.fields {
		t.Logf("%s: %d candidates", r.Farm.Fields[i].Name, len(s.fields[i]))
	}
	t0 = time.Now()
	p := newProgram(s, r, noRelief())
	t.Logf("program %v: %d first, %d second, %d links, classes %d", time.Since(t0), len(p.First), len(p.Second), len(p.Links), len(p.classes.list))
	t0 = time.Now()
	c, err := p.choose(context.Background(), r, p.point(make([]int, len(s.fields))), 0.01)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("choose %v, gap %.3f %%, expected %.0f bad %.0f", time.Since(t0), 100*c.Gap(), c.Judged.Expected, c.Judged.Bad)
	for i, j := range c.At {
		t.Logf("  %s: %s", r.Farm.Fields[i].Name, s.fields[i][j].Name())
	}
}
