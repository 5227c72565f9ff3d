package season_test

import (
	"context"
	"math"
	"path/filepath"
	"reflect"
	"testing"

	"rowen/crop"
	"rowen/farm"
	"rowen/feed"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

func load(t testing.TB, name string) *farm.Farm {
	t.Helper()
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	f, err := farm.Read(filepath.Join("..", "examples", name+".toml"), c)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func valley(n int) []weather.Year {
	s := weather.Valley(n+1, 2020)
	s.Prepare()
	y, _ := s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, n)
	return y
}

func run(t testing.TB, f *farm.Farm, n, workers int) (*season.Model, season.Result) {
	t.Helper()
	m, problems := season.Compile(f, &f.Plan, valley(n))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	m.Workers = workers
	open, err := m.SpunUp(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.Run(context.Background(), open, m.Years())
	if err != nil {
		t.Fatal(err)
	}
	return m, r
}

var examples = []string{"dairy", "beef", "sheep"}

// Every kilogram, every millimetre: what came in went out or is still there.
func TestBalancesClose(t *testing.T) {
	for _, name := range examples {
		_, r := run(t, load(t, name), 12, 0)
		for i := range r.Years {
			y := &r.Years[i]
			for k, p := range y.Pools {
				in, out := p.Opening+p.In+p.Bought, p.Eaten+p.Lost+p.Closing
				if math.Abs(in-out) > 1e-9*max(1, in) {
					t.Errorf("%s %d: %v: in %g, out %g", name, y.ID, feed.Kind(k), in, out)
				}
			}
			if e := y.Water.In - y.Water.Out - y.Water.Change; math.Abs(e) > 1e-9*y.Water.In {
				t.Errorf("%s %d: water off by %g m³", name, y.ID, e)
			}
			for row := range y.Ledger {
				l := &y.Ledger[row]
				fed := l.Short
				for _, v := range l.Fed {
					if v < 0 {
						t.Errorf("%s %d row %d: %v", name, y.ID, row, l.Fed)
					}
					fed += v
				}
				if math.Abs(fed-l.Demand) > 1e-9*max(1, l.Demand) {
					t.Errorf("%s %d row %d: fed %g of %g", name, y.ID, row, fed, l.Demand)
				}
			}
			for f := range y.Fields {
				x := &y.Fields[f]
				if math.Abs(x.Harvested-x.Stored-x.FieldLoss-x.Lying) > 1e-9*max(1, x.Harvested) {
					t.Errorf("%s %d field %d: harvested %g, stored %g, lost %g", name, y.ID, f, x.Harvested, x.Stored, x.FieldLoss)
				}
			}
		}
	}
}

// The same plan from one worker and from eight, bit for bit.
func TestWorkersDoNotMatter(t *testing.T) {
	f := load(t, "dairy")
	_, a := run(t, f, 6, 1)
	_, b := run(t, f, 6, 8)
	if !reflect.DeepEqual(a, b) {
		t.Error("results differ")
	}
}

// Silage waits three weeks before it is fed, eight where prussic acid was a risk.
func TestSilageWaits(t *testing.T) {
	f := load(t, "dairy")
	_, r := run(t, f, 20, 0)
	lots := 0
	for i := range r.Years {
		for _, lot := range r.Years[i].Closing {
			if lot.Field < 0 || !lot.Kind.Ferments() {
				continue
			}
			lots++
			if wait := lot.Ready - lot.Stored; wait != 21 && wait != 56 {
				t.Errorf("a lot of %v waits %d days", lot.Kind, wait)
			}
		}
	}
	if lots == 0 {
		t.Error("no silage was made")
	}
}

// More feed in store never makes a year shorter of home-grown feed to eat, and a
// farm without its sowings never spends on seed.
func TestMonotone(t *testing.T) {
	f := load(t, "dairy")
	_, base := run(t, f, 10, 0)
	gap := func(r season.Result) (sum float64) {
		for i := range r.Years {
			for h := range r.Years[i].Ledger {
				sum += r.Years[i].Ledger[h].Gap
			}
		}
		return sum
	}
	rich := load(t, "dairy")
	for i := range rich.Stock {
		rich.Stock[i].Amount *= 1.5
	}
	if _, r := run(t, rich, 10, 0); gap(r) > gap(base) {
		t.Errorf("more stock, larger gap: %.0f against %.0f", gap(r), gap(base))
	}
	bare := load(t, "dairy")
	bare.Plan.Sowings = nil
	_, r := run(t, bare, 10, 0)
	if r.Years[0].Money.Seed != 0 {
		t.Error("seed without a sowing")
	}
	if r.Years[r.Middle].Shortage < base.Years[base.Middle].Shortage {
		t.Error("bare cropland leaves the farm less short than sown")
	}
}

// Resume goes on where Until stopped, to the same end.
func TestResume(t *testing.T) {
	f := load(t, "dairy")
	m, whole := run(t, f, 2, 0)
	open, err := m.SpunUp(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	id := m.Years()[1]
	day := whole.Years[1].First + 220
	snap, err := m.Until(context.Background(), open, id, day)
	if err != nil {
		t.Fatal(err)
	}
	rest, err := m.Resume(context.Background(), snap, []weather.YearID{id})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(rest.Years[0].Closing, whole.Years[1].Closing) {
		t.Error("the resumed year ends with other stores")
	}
	snap.Engine = "another"
	if _, err := m.Resume(context.Background(), snap, []weather.YearID{id}); err == nil {
		t.Error("another engine's snapshot was taken")
	}
}

// The bad year is a real year: one in five is as short or shorter.
func TestRanks(t *testing.T) {
	_, r := run(t, load(t, "dairy"), 30, 0)
	worse := 0
	for i := range r.Years {
		if r.Years[i].Shortage >= r.Years[r.Bad].Shortage {
			worse++
		}
		if r.Years[i].Shortage > r.Years[r.Worst].Shortage {
			t.Error("the worst is not the worst")
		}
	}
	if worse != 6 {
		t.Errorf("%d of 30 years are as short as the bad one", worse)
	}
}

// widen divides the dairy example's ten fields into so many times as many.
func widen(f *farm.Farm, times int) {
	fields := f.Fields
	f.Fields = nil
	var sowings []farm.Sowing
	for k := range times {
		for i, x := range fields {
			x.Area /= quantity.Area(times)
			f.Fields = append(f.Fields, x)
			for _, s := range f.Plan.Sowings {
				if s.Field == i {
					s.Field = k*len(fields) + i
					sowings = append(sowings, s)
				}
			}
		}
	}
	f.Plan.Sowings = sowings
}

func benchmark(b *testing.B, years, times int) {
	f := load(b, "dairy")
	widen(f, times)
	m, problems := season.Compile(f, &f.Plan, valley(years))
	if len(problems) > 0 {
		b.Fatal(problems)
	}
	open, err := m.SpunUp(context.Background())
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Run(context.Background(), open, m.Years()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFarm30x40(b *testing.B) { benchmark(b, 30, 4) }

// Growth with years and fields, two points each.
func BenchmarkFarm15x40(b *testing.B) { benchmark(b, 15, 4) }
func BenchmarkFarm30x80(b *testing.B) { benchmark(b, 30, 8) }

// small reads a small farm: one field, a few cows and the sowings of a test.
func small(t testing.TB, field, sowings string) *farm.Farm {
	t.Helper()
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	f, err := farm.Parse("small.toml", []byte(`rowen = 1
name = "Small"
latitude = 43.0
longitude = -74.5
first_year = 2027
[[field]]
name = "Home"
area = "12 ac"
`+field+`
[[field]]
name = "Pasture"
area = "20 ac"
stand = "grass-clover"
use = "graze"
[[group]]
name = "Cows"
class = "beef cow"
[[group.period]]
from = "1 Nov"
head = 12
weight = "1,200 lb"
[[store]]
name = "Bales"
kind = "wrapped bales"
capacity = "400 ton"
`+sowings), c)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// A staggered sowing is sown in blocks, each some days after the one before, and
// together they are the field.
func TestStagger(t *testing.T) {
	f := small(t, "", "[[sowing]]\nfield = \"Home\"\ncrop = \"sorghum-sudangrass\"\nuse = \"graze\"\nblocks = 3\nstagger = \"10 d\"\n")
	if len(f.Plan.Sowings) != 3 || math.Abs(float64(f.Plan.Sowings[0].Area)*3-float64(f.Fields[0].Area)) > 1 {
		t.Fatalf("%d sowings of %v", len(f.Plan.Sowings), f.Plan.Sowings[0].Area)
	}
	_, r := run(t, f, 8, 0)
	told := 0
	for i := range r.Years {
		var sown []quantity.Date
		for _, s := range r.Years[i].Sowings {
			if s.Sown != 0 {
				sown = append(sown, s.Sown)
			}
		}
		for k := 1; k < len(sown); k++ {
			if sown[k]-sown[k-1] < 6 { // ten, less what rain held the one before
				t.Errorf("%d: blocks sown %v", r.Years[i].ID, sown)
			}
			told++
		}
	}
	if told < 10 {
		t.Errorf("only %d pairs of blocks were sown", told)
	}
}

// Rye then a summer annual: the rye is cut before the drill comes.
func TestDoubleCrop(t *testing.T) {
	f := small(t, "stand = \"cereal-rye\"\nuse = \"wrap\"\n", "[[sowing]]\nfield = \"Home\"\ncrop = \"sudangrass\"\nuse = \"wrap\"\n")
	_, r := run(t, f, 10, 0)
	both := 0
	for i := range r.Years {
		var cut, sown quantity.Date
		for _, e := range r.Years[i].Events {
			if e.Kind == season.Cut && cut == 0 {
				cut = e.Date
			}
			if e.Kind == season.Sown && sown == 0 {
				sown = e.Date
			}
		}
		if cut != 0 && sown != 0 {
			both++
			if sown < cut {
				t.Errorf("%d: drilled on %v into rye that was cut on %v", r.Years[i].ID, sown, cut)
			}
		}
	}
	if both < 8 {
		t.Errorf("both crops in %d of 10 years", both)
	}
}

// Bare ground after a failed sowing is drilled again while its window is open, and
// some sowings do fail.
func TestFailureIsDrilledAgain(t *testing.T) {
	f := small(t, "weedy = true\n", "[[sowing]]\nfield = \"Home\"\ncrop = \"teff\"\nuse = \"hay\"\nno_till = true\nbroadcast = true\n[[store]]\nname = \"Barn\"\nkind = \"barn\"\ncapacity = \"400 ton\"\n")
	_, r := run(t, f, 60, 0)
	failed, again := 0, 0
	for i := range r.Years {
		// A field's paddocks are sown together and fail together.
		after, drilled := false, false
		for _, e := range r.Years[i].Events {
			after = after || e.Kind == season.EstablishmentFailed
			drilled = drilled || e.Kind == season.Sown && after
		}
		if after {
			failed++
		}
		if drilled {
			again++
		}
	}
	t.Logf("the sowing failed in %d of 60 years and was drilled again in %d", failed, again)
	if failed < 2 || failed > 15 || again == 0 || again > failed {
		t.Errorf("the sowing failed in %d of 60 years and was drilled again in %d", failed, again)
	}
}
