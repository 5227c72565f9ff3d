package suggest

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/document"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

// ask is a request over a farm of the examples and the invented valley's weather.
func ask(t testing.TB, name string, years int, edit ...string) *Request {
	t.Helper()
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	f, err := farm.Read("../examples/"+name+".toml", c)
	if err != nil {
		t.Fatal(err)
	}
	if len(edit) > 0 {
		text := strings.NewReplacer(edit...).Replace(string(f.Document.Text))
		if text == string(f.Document.Text) {
			t.Fatal("the edit changed nothing")
		}
		if f, err = farm.Parse(name, []byte(text), c); err != nil {
			t.Fatal(err)
		}
	}
	s := weather.Valley(years+1, 2025)
	s.Prepare()
	all, _ := s.FeedYears(f.FeedYear, 0)
	return &Request{Farm: f, Catalogue: c, Years: all[max(0, len(all)-years):], Plans: 1, Risk: 0.3}
}

// is tells whether a plan goes by a name.
func is(x *Plan, name string) bool { return x.Name == name || slices.Contains(x.Also, name) }

func found(t testing.TB, r *Request) *Suggestion {
	t.Helper()
	s, err := Find(context.Background(), r)
	solves(t, err)
	return s
}

// A suggestion keeps its proof, does not lose to the present plan in its own reckoning,
// and its plans differ.
func TestFind(t *testing.T) {
	ctx := context.Background()
	r := ask(t, "beef", 8)
	r.Plans = 3
	s := found(t, r)
	if len(s.Plans) < 2 {
		t.Fatalf("%d plans", len(s.Plans))
	}
	first := &s.Plans[0]
	// What the table calls suggested and cheapest is so in the table.
	for i := range s.Plans {
		x := &s.Plans[i]
		if x.Run.Objective < first.Run.Objective {
			t.Errorf("plan %d is better in the coupled season than the suggested: %.0f, %.0f", i, x.Run.Objective, first.Run.Objective)
		}
		for _, y := range s.Plans {
			if is(x, averageName) && y.Run.Expected < x.Run.Expected || is(x, badName) && y.Run.Bad < x.Run.Bad {
				t.Errorf("plan %d is called %q %q, and another costs less", i, x.Name, x.Also)
			}
		}
	}
	// Found in another order they are put in this one, each with a proof of its own.
	turned := *s
	turned.Plans = []Plan{s.Plans[1], s.Plans[0]}
	solves(t, turned.settle(ctx))
	if x := &turned.Plans[0]; !slices.Equal(x.At, first.At) || x.Choice.Objective != x.judged.Objective || !slices.Equal(x.Choice.At, x.At) {
		t.Errorf("the better plan found second is not put first: %v", x.At)
	}
	if g := first.Choice.Gap(); g > usualGap || first.Choice.Bound > first.Choice.Objective+1e-6 {
		t.Errorf("gap %.4f, bound %.0f, cost %.0f", g, first.Choice.Bound, first.Choice.Objective)
	}
	known, err := first.p.Judge(ctx, first.p.point(s.Present.At))
	solves(t, err)
	if known.Objective < first.Choice.Objective*(1-usualGap) {
		t.Errorf("the present plan is reckoned %.0f, below the suggested %.0f", known.Objective, first.Choice.Objective)
	}
	for i := range s.Plans {
		for k := range i {
			if !first.p.differs(s.Plans[i].At, s.Plans[k].At) {
				t.Errorf("plans %d and %d are the same in kind", i, k)
			}
		}
	}
	e, err := s.Explain(ctx, first)
	solves(t, err)
	if len(e.Fields) != len(r.Farm.Fields) || len(e.Sowings) == 0 {
		t.Fatalf("%d fields and %d sowings explained", len(e.Fields), len(e.Sowings))
	}
	for _, f := range e.Fields {
		for _, n := range f.Next {
			if n.Behind > 0 && math.Abs(n.Cheaper-n.Behind) > 1e-9 {
				t.Errorf("%+v", n)
			}
		}
	}
	u, err := s.OnUnseen(ctx)
	solves(t, err)
	if len(u.Learnt)+len(u.Judged) != len(r.Years) || u.Foresight > u.Lines[0].Reckoned+1e-6 {
		t.Errorf("learnt %v, judged %v, foresight %.0f above %.0f", u.Learnt, u.Judged, u.Foresight, u.Lines[0].Reckoned)
	}
	for _, y := range u.Learnt {
		if slices.Contains(u.Judged, y) {
			t.Errorf("%d was learnt from and judged", y)
		}
	}
	// Dearer forage costs no less, and fewer animals no more.
	for _, c := range []struct {
		Change
		sign float64
	}{{Change{Name: "forage", Forage: 1.5}, 1}, {Change{Name: "head", Head: 0.8}, -1}} {
		w, err := s.Again(ctx, c.Change)
		solves(t, err)
		if (w.Kept-first.Choice.Objective)*c.sign < -1e-6*first.Choice.Objective || w.Best > w.Kept*(1+1e-9) {
			t.Errorf("%s: kept %.0f, best %.0f, was %.0f", c.Name, w.Kept, w.Best, first.Choice.Objective)
		}
	}
}

// The document with the plan written in is the plan: it reads back, and the season makes
// of it what it made of the plan.
func TestPlanRunsFromItsDocument(t *testing.T) {
	ctx := context.Background()
	r := ask(t, "beef", 8)
	r.Split = true
	s := found(t, r)
	x := &s.Plans[0]
	var add []farm.Sowing
	for _, w := range x.Plan.Sowings {
		if !s.Own(x, w.Field) {
			add = append(add, w)
		}
	}
	text := r.Farm.Replant(func(i int) bool { return !s.Own(x, r.Farm.Plan.Sowings[i].Field) }, add)
	f, err := farm.Parse("new.toml", text, r.Catalogue)
	if err != nil {
		t.Fatal(err)
	}
	m, problems := season.Compile(f, &f.Plan, r.Years)
	if len(problems) > 0 {
		t.Fatal(document.Problems(problems))
	}
	opening, err := m.SpunUp(ctx)
	if err != nil {
		t.Fatal(err)
	}
	got, err := m.Run(ctx, opening, m.Years())
	if err != nil {
		t.Fatal(err)
	}
	for y := range got.Years {
		a, b := got.Years[y].Money, x.Run.Result.Years[y].Money
		if math.Abs(a.Work-b.Work) > 1e-3*(1+b.Work) || math.Abs(a.Seed-b.Seed) > 1e-3*(1+b.Seed) {
			t.Errorf("year %d: the document costs %+v, the plan %+v", y, a, b)
		}
	}
}

// Holds and what is to be avoided are kept.
func TestHoldAndAvoid(t *testing.T) {
	r := ask(t, "beef", 6)
	r.Hold, r.Avoid = []Hold{{"Road Field", "pearl-millet"}, {"Ridge", AsItIs}}, []string{"forage-rape"}
	s := found(t, r)
	x := &s.Plans[0]
	if got := s.Carries(x, 3); !strings.Contains(got, "pearl-millet") || strings.Contains(got, "forage-rape") {
		t.Errorf("Road Field carries %s", got)
	}
	if got := s.Carries(x, 0); got != AsItIs {
		t.Errorf("Ridge carries %s", got)
	}
}

// Limits are kept, and where they cannot be, those that conflict are named in farm words.
func TestLimits(t *testing.T) {
	r := ask(t, "beef", 6)
	r.Limits.Seeding = 4 * quantity.Hectare // Road Field is larger
	s := found(t, r)
	for _, w := range s.Plans[0].Plan.Sowings {
		if r.Farm.Ground(&w) > r.Limits.Seeding {
			t.Errorf("%s is sown on %v", w.Mix.Name, r.Farm.Ground(&w))
		}
	}
	r = ask(t, "beef", 6)
	r.Hold, r.Limits.Cash = []Hold{{"Road Field", "pearl-millet"}}, 50
	_, err := Find(context.Background(), r)
	var none *ErrNone
	if !errors.As(err, &none) {
		t.Fatalf("millet for 50 dollars: %v", err)
	}
	if text := err.Error(); !strings.Contains(text, "seed and seedbed cost at most 50") || !strings.Contains(text, "Road Field carries one programme") {
		t.Errorf("the conflict is told as %q", text)
	}
	r = ask(t, "beef", 6)
	r.Limits.Labour = 0.5
	if _, err = Find(context.Background(), r); !errors.As(err, &none) || !strings.Contains(err.Error(), "hours of field work") {
		t.Errorf("half an hour of work: %v", err)
	}
}

// Requests that contradict themselves are refused, all problems at once.
func TestContradictions(t *testing.T) {
	r := ask(t, "beef", 2)
	r.Risk, r.Plans = 1.5, -1
	r.Hold = []Hold{{"Road Field", "teff"}, {"No Field", "teff"}, {"Ridge", AsItIs}, {"Ridge", "oats"}, {"Hollow", "moon-grass"}}
	r.Avoid = []string{"teff", "sun-grass"}
	err := r.Check()
	var problems document.Problems
	if !errors.As(err, &problems) || len(problems) != 8 {
		t.Fatalf("%d problems:\n%v", len(problems), err)
	}
	for name, hold := range map[string][]Hold{
		"ruled out": {{"Far Meadow", "forage-rape"}}, // cannot be grazed
		"together":  {{"Road Field", "teff"}, {"Road Field", "pearl-millet"}},
	} {
		r := ask(t, "beef", 2)
		r.Hold = hold
		_, err := Find(context.Background(), r)
		if !errors.As(err, &problems) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		t.Log(problems)
	}
}

// A farm that wants nothing is told so, and nothing is suggested.
func TestNoGap(t *testing.T) {
	r := ask(t, "beef", 6, "head = 42", "head = 4", "head = 24", "head = 2")
	s := found(t, r)
	if !s.NoGap || len(s.Plans) != 0 {
		t.Errorf("no gap: %v, %d plans", s.NoGap, len(s.Plans))
	}
}

// Free feed, one field, and a second's time: an answer, or a sentence.
func TestOddFarms(t *testing.T) {
	t.Run("prices of nothing", func(t *testing.T) {
		r := ask(t, "beef", 4, "[[sowing]]", "[prices]\nbought_hay = \"0 USD/ton\"\nbought_forage = \"0 USD/ton\"\ngrain = \"0 USD/ton\"\nprotein = \"0 USD/ton\"\nstored_forage = \"0 USD/ton\"\n\n[[sowing]]")
		s := found(t, r)
		for i := range r.Farm.Fields {
			if got := s.Carries(&s.Plans[0], i); got != AsItIs {
				t.Errorf("where all feed is free %s is sown with %s", r.Farm.Fields[i].Name, got)
			}
		}
	})
	t.Run("one field", func(t *testing.T) {
		r := ask(t, "beef", 4)
		r.Farm.Fields = r.Farm.Fields[3:]
		r.Farm.Plan.Sowings = nil
		s := found(t, r)
		if len(s.Plans) != 1 || s.Plans[0].Choice.Gap() > usualGap {
			t.Errorf("%d plans, gap %.3f", len(s.Plans), s.Plans[0].Choice.Gap())
		}
	})
	t.Run("a moment", func(t *testing.T) {
		r := ask(t, "beef", 12)
		r.Limit = time.Millisecond
		s, err := Find(context.Background(), r)
		if err == nil && !s.Stopped && s.Plans[0].Choice.Gap() > usualGap {
			t.Error("a search without time says that it is done")
		}
		if err != nil && !errors.Is(err, ErrNoPoint) {
			t.Error(err)
		}
	})
	t.Run("stopped", func(t *testing.T) {
		ctx, cancel := context.WithCancel(context.Background())
		r := ask(t, "beef", 6)
		r.Plans = 3
		r.Progress = func(p Progress) {
			if strings.HasPrefix(p.Text.String(), "looking further") {
				cancel()
			}
		}
		s, err := Find(ctx, r)
		if err != nil {
			t.Fatal(err)
		}
		if !s.Stopped || len(s.Plans) == 0 {
			t.Errorf("stopped %v with %d plans", s.Stopped, len(s.Plans))
		}
	})
}

// What is ruled out says by which rule and whose.
func TestRefusals(t *testing.T) {
	r := ask(t, "beef", 4)
	s := found(t, r)
	rules := map[string]bool{}
	for _, x := range s.Refused {
		rules[x.Rule] = true
		if x.Text == "" || x.Source == "" || x.Stand == "" {
			t.Errorf("a refusal without its reason: %+v", x)
		}
	}
	for _, want := range []string{"use", "field", "renewal", "feed year", "store"} {
		if !rules[want] {
			t.Errorf("no stand was ruled out by %q: %v", want, rules)
		}
	}
}
