package account_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/account"
	"rowen/crop"
	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

// demo is a demo farm lived through some of the valley's years.
func demo(t *testing.T, name string, change func(string) string) (*farm.Farm, *season.Result, *account.Weeks) {
	t.Helper()
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join("..", "examples", name+".toml"))
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		text = []byte(change(string(text)))
	}
	f, err := farm.Parse(name+".toml", text, c)
	if err != nil {
		t.Fatal(err)
	}
	s := weather.Valley(11, 2025)
	s.Prepare()
	years, _ := s.FeedYears(f.FeedYear, 10)
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
	return f, &r, account.WeeksOf(s)
}

func said(all []account.Reason, u account.Urgency, part string) bool {
	return slices.ContainsFunc(all, func(r account.Reason) bool { return r.Urgency == u && strings.Contains(r.Text, part) })
}

func TestReasons(t *testing.T) {
	f, r, w := demo(t, "dairy", nil)
	autumn := account.ReasonsOf(f, r, w, quantity.NewDate(2025, 9, 25))
	if !said(autumn, account.Today, "sorghum on North Six") {
		t.Errorf("no word of frost on sorghum at the end of September: %v", autumn)
	}
	winter := account.ReasonsOf(f, r, w, quantity.NewDate(2025, 2, 10))
	if slices.ContainsFunc(winter, func(r account.Reason) bool { return strings.Contains(r.Text, "sorghum on") }) {
		t.Errorf("sorghum stands in February: %v", winter)
	}
	june := account.ReasonsOf(f, r, w, quantity.NewDate(2025, 6, 10))
	for _, want := range []struct {
		u    account.Urgency
		part string
	}{
		{account.Today, "Corn for silage"}, {account.ThisWeek, "Sorghum-sudangrass, brown midrib on North Six, if it is not sown yet: open until 20 Jul"},
		{account.NextVisit, "no soil test on 1 of 10 fields"}, {account.NextVisit, "older than three years"}, {account.NextVisit, "the organic record lacks"},
	} {
		if !said(june, want.u, want.part) {
			t.Errorf("no %q %v in %v", want.part, want.u, june)
		}
	}
	for i := 1; i < len(june); i++ {
		if june[i].Urgency < june[i-1].Urgency {
			t.Errorf("not in order of urgency: %v", june)
		}
	}
}

// A record that cannot tell about frost speaks up where sorghum may stand.
func TestUnknownFrostIsSpokenOf(t *testing.T) {
	f, r, _ := demo(t, "dairy", nil)
	blind := account.WeeksOf(&weather.Series{Station: weather.Station{Latitude: 43}, First: quantity.NewDate(2020, 1, 1)})
	if all := account.ReasonsOf(f, r, blind, quantity.NewDate(2025, 8, 20)); !said(all, account.Today, "cannot tell how often it freezes") {
		t.Errorf("silent: %v", all)
	}
}

// A farm with half its feed runs out before turn-out in the bad year, and says so;
// near the day it is for today.
func TestFeedRunsOut(t *testing.T) {
	f, r, w := demo(t, "dairy", func(text string) string {
		return strings.NewReplacer(`amount = "125 ton"`, `amount = "20 ton"`, `amount = "110 ton"`, `amount = "10 ton"`, `area = "38 ac"`, `area = "8 ac"`, `area = "34 ac"`, `area = "4 ac"`).Replace(text)
	})
	from, lacking, ok := account.RunsOut(f, &r.Years[r.Bad])
	if !ok || lacking <= 0 || from >= f.Turnout.OnOrAfter(r.Years[r.Bad].First) {
		t.Fatalf("runs out %v, %v, %g", ok, from, lacking)
	}
	_, month, day := from.Civil()
	near := quantity.NewDate(2025, month, day) - 10
	if all := account.ReasonsOf(f, r, w, near); !said(all, account.Today, "home feed runs out") {
		t.Errorf("not for today ten days before: %v", all)
	}
	if all := account.ReasonsOf(f, r, w, quantity.NewDate(2025, 7, 1)); !said(all, account.NextVisit, "home feed runs out") {
		t.Errorf("in July it is for the next visit: %v", all)
	}
}

func TestWindow(t *testing.T) {
	f, _, w := demo(t, "dairy", nil)
	for _, c := range []struct {
		on            quantity.Date
		open, watched bool
	}{
		{quantity.NewDate(2025, 5, 5), false, false}, {quantity.NewDate(2025, 5, 6), false, true}, {quantity.NewDate(2025, 5, 20), true, true},
		{quantity.NewDate(2025, 7, 20), true, true}, {quantity.NewDate(2025, 7, 21), false, false}, {quantity.NewDate(2031, 6, 1), true, true},
	} {
		got := account.WindowOf(f, w, 0, c.on) // sorghum-sudangrass, 20 May to 20 July
		if got.Open != c.open || got.Watched != c.watched {
			t.Errorf("%v: open %v, watched %v (%v to %v)", c.on, got.Open, got.Watched, got.Opens, got.Closes)
		}
	}
}

func TestSoilTestAge(t *testing.T) {
	on := quantity.NewDate(2025, 6, 10)
	for _, c := range []struct {
		test         farm.SoilTest
		missing, old bool
	}{
		{farm.SoilTest{}, true, false}, {farm.SoilTest{Method: "Mehlich 3"}, false, true},
		{farm.SoilTest{Method: "Mehlich 3", Date: quantity.NewDate(2022, 6, 10)}, false, false}, {farm.SoilTest{Method: "Mehlich 3", Date: quantity.NewDate(2022, 6, 9)}, false, true},
	} {
		if missing, old := account.TestAge(&farm.Field{Ground: farm.Ground{Test: c.test}}, on); missing != c.missing || old != c.old {
			t.Errorf("%+v: missing %v, old %v", c.test, missing, old)
		}
	}
}

// What is due lies in the window, in order, and a cut taken paddock by paddock is
// one cut.
func TestDue(t *testing.T) {
	f, r, _ := demo(t, "dairy", nil)
	for _, on := range []quantity.Date{quantity.NewDate(2025, 6, 10), quantity.NewDate(2025, 10, 25), quantity.NewDate(2024, 2, 29)} {
		last := on
		cuts := map[int]int{}
		for _, d := range account.DueOf(f, r, on, 42) {
			if d.On < last || d.On > on+42 {
				t.Errorf("%v: %+v", on, d)
			}
			last = d.On
			if d.Kind == account.DueCut {
				cuts[d.Field]++
			}
		}
		for field, n := range cuts {
			if n > 2 {
				t.Errorf("%v: %d cuts of %s in six weeks", on, n, f.Fields[field].Name)
			}
		}
	}
	spring := account.DueOf(f, r, quantity.NewDate(2025, 5, 20), 42)
	if !slices.ContainsFunc(spring, func(d account.Due) bool {
		return d.Kind == account.DueSowing && d.What == "sow Sorghum-sudangrass, brown midrib"
	}) {
		t.Errorf("no sowing due at the end of May: %+v", spring)
	}
}

// The order of letters: a permutation, the same for the same documents whatever
// their order, another on another date, and not that of names.
func TestLetters(t *testing.T) {
	var documents [][]byte
	for i := range 8 {
		documents = append(documents, fmt.Appendf(nil, "name = \"farm %c\"", 'a'+i))
	}
	on := quantity.NewDate(2025, 6, 10)
	order := account.Letters(on, documents)
	if sorted := slices.Sorted(slices.Values(order)); !slices.Equal(sorted, []int{0, 1, 2, 3, 4, 5, 6, 7}) {
		t.Fatalf("not a permutation: %v", order)
	}
	if slices.IsSorted(order) {
		t.Error("the order of letters is that of names")
	}
	back := slices.Clone(documents)
	slices.Reverse(back)
	for k, i := range account.Letters(on, back) {
		if 7-i != order[k] {
			t.Errorf("place %d changes with the order of files", k)
		}
	}
	if slices.Equal(order, account.Letters(on+7, documents)) {
		t.Error("the next issue has the same letters")
	}
	if a, z, aa := account.Letter(0), account.Letter(25), account.Letter(26); a != "A" || z != "Z" || aa != "AA" {
		t.Error(a, z, aa)
	}
}

// Seed by supplier adds up to what the farms order, whatever they order.
func TestSeedAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var seeds []account.FarmSeed
		var bags int
		var pounds, cost float64
		for i := range rapid.IntRange(0, 30).Draw(t, "lines") {
			o := account.SeedOrder{
				Supplier: rapid.SampledFrom([]string{"", "North Seed", "South Seed"}).Draw(t, "supplier"), Product: rapid.SampledFrom([]string{"", "P1"}).Draw(t, "product"),
				Crop: rapid.SampledFrom([]string{"Teff", "Rye"}).Draw(t, "crop"), Organic: rapid.Bool().Draw(t, "organic"), Bag: 50,
				Pounds: float64(rapid.IntRange(1, 4000).Draw(t, "pounds")), Bags: rapid.IntRange(1, 80).Draw(t, "bags"), Cost: float64(rapid.IntRange(1, 9000).Draw(t, "cost")),
			}
			seeds = append(seeds, account.FarmSeed{Farm: i % 5, Order: o, Currency: "USD"})
			bags, pounds, cost = bags+o.Bags, pounds+o.Pounds, cost+o.Cost
		}
		lines := account.BySupplier(seeds)
		seen := map[string]bool{}
		for i, l := range lines {
			bags, pounds, cost = bags-l.Bags, pounds-l.Pounds, cost-l.Cost
			key := fmt.Sprint(l.Supplier, l.Product, l.Crop, l.Organic, l.Untreated)
			if seen[key] || l.Farms < 1 || l.Farms > 5 {
				t.Fatalf("line %d twice, or of %d farms", i, l.Farms)
			}
			seen[key] = true
			if l.Supplier == "" && i+1 < len(lines) && lines[i+1].Supplier != "" {
				t.Fatal("seed without a supplier comes last")
			}
		}
		if bags != 0 || pounds != 0 || cost != 0 {
			t.Fatalf("off by %d bags, %g lb, %g", bags, pounds, cost)
		}
	})
}

// A farm's line: shares lie between 0 and 1, and what it does not grow has no
// yield.
func TestCompare(t *testing.T) {
	f, r, _ := demo(t, "sheep", nil)
	c := account.CompareOf(f, r)
	if !(c.HomeShare > 0.5 && c.HomeShare <= 1 && c.Pasture > 0.2 && c.Pasture < 1 && c.Cost > 0 && c.GapMiddle >= 0 && c.GapBad >= 0) {
		t.Errorf("%+v", c)
	}
	for k, class := range account.StandClasses {
		grown := class == "grass" || class == "clover-rich" || class == "brassicas"
		if !grown && c.Yield[k] == c.Yield[k] {
			t.Errorf("%s: yield %g of nothing", class, c.Yield[k])
		}
	}
}
