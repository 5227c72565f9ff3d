package suggest

import (
	"context"
	"os"
	"strings"
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

func request(t testing.TB, name string, years int) *Request {
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
	return &Request{Farm: f, Catalogue: c, Years: all[max(0, len(all)-years):]}
}

func TestScratch(t *testing.T) {
	for _, name := range strings.Split(os.Getenv("FARMS"), ",") {
		ctx := context.Background()
		r := request(t, name, 30)
		r.Plans, r.Risk = 4, 0.3
		r.Progress = func(p Progress) {
			if p.Text != "" {
				t.Log(p.Text)
			}
		}
		t0 := time.Now()
		s, err := Find(ctx, r)
		if err != nil {
			t.Fatal(err)
		}
		t.Log("find", time.Since(t0), s.NoGap)
		show := func(x *Plan) {
			t.Logf("%s: reckoned %.0f, coupled %.0f bad %.0f shortage %.0f", x.Name, x.Reckoned, x.Run.Expected, x.Run.Bad, x.Run.Shortage)
			for i, j := range x.At {
				if s.search.fields[i][j].Leaves() {
					continue
				}
				t.Logf("    %s: %s", r.Farm.Fields[i].Name, s.search.fields[i][j].Name())
			}
		}
		show(&s.Present)
		if s.NoGap {
			continue
		}
		for i := range s.Plans {
			show(&s.Plans[i])
		}
		if s.Thumb != nil {
			show(s.Thumb)
		}
		t0 = time.Now()
		u, err := s.OnUnseen(ctx)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("unseen %v %+v", time.Since(t0), u)
		t0 = time.Now()
		e, err := s.Explain(ctx, &s.Plans[0])
		if err != nil {
			t.Fatal(err)
		}
		t.Log("explain", time.Since(t0))
		for _, w := range e.Sowings {
			t.Logf("%+v", w)
		}
		for _, w := range e.Fields {
			t.Logf("%s %+v", r.Farm.Fields[w.Field].Name, w)
		}
		t.Logf("%+v %+v", e.Stores, e.Limits)
		t0 = time.Now()
		for _, c := range []Change{{Name: "forage +25 %", Forage: 1.25}, {Name: "head +10 %", Head: 1.1}, {Name: "rain -20 %", Rain: .8}} {
			w, err := s.Again(ctx, c)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%v %s kept %.0f best %.0f gap %.2f %+v", time.Since(t0), w.Name, w.Kept, w.Best, 100*w.Gap, w.Moves)
		}
	}
}
