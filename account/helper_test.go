package account_test

import (
	"context"
	"fmt"
	"strings"
	"sync"

	"pgregory.net/rapid"

	"rowen/crop"
	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

var catalogue = sync.OnceValues(func() (*crop.Catalogue, error) { return crop.Load() })

// years are three years of the generated valley, feed years from November.
var years = sync.OnceValue(func() []weather.Year {
	s := weather.Valley(4, 2020)
	s.Prepare()
	y, _ := s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, 3)
	return y
})

// check is what tests and property tests have in common.
type check interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

func parse(t check, text string) *farm.Farm {
	t.Helper()
	c, err := catalogue()
	if err != nil {
		t.Fatal(err)
	}
	f, err := farm.Parse("invented.toml", []byte(text), c)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return f
}

// live runs a farm's own plan through the generated years.
func live(t check, f *farm.Farm) []season.YearResult {
	t.Helper()
	m, problems := season.Compile(f, &f.Plan, years())
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	r, err := m.Run(context.Background(), m.Opening(), m.Years())
	if err != nil {
		t.Fatal(err)
	}
	return r.Years
}

// yearWith is the first year of a farm's run in which something happened.
func yearWith(t check, f *farm.Farm, happened func(*season.YearResult) bool) season.YearResult {
	t.Helper()
	for _, y := range live(t, f) {
		if happened(&y) {
			return y
		}
	}
	t.Fatal("it happened in no year")
	return season.YearResult{}
}

// The blocks of an invented farm.
const (
	head = "rowen = 1\nname = \"Invented\"\nlatitude = 43.0\nlongitude = -74.5\nfirst_year = 2027\n"
	cows = `
[[group]]
name = "Milkers"
class = "dairy cow in milk"
[[group.period]]
from = "1 Nov"
head = 30
weight = "1,250 lb"
milk = "45 lb/d"
grain = "8 lb/d"
`
	suckler = `
[[group]]
name = "Sucklers"
class = "beef cow"
[[group.period]]
from = "1 Nov"
head = 20
weight = "1,200 lb"
`
	stores = `
[[store]]
name = "Row"
kind = "wrapped bales"
capacity = "600 ton"
[[store]]
name = "Pit"
kind = "bunker"
capacity = "600 ton"
[[store]]
name = "Barn"
kind = "barn"
capacity = "400 ton"
`
	pasture = `
[[field]]
name = "Pasture"
area = "30 ac"
stand = "grass-clover"
`
)

// field is a field's lines.
func field(name string, lines ...string) string {
	return fmt.Sprintf("\n[[field]]\nname = %q\narea = \"20 ac\"\n%s\n", name, strings.Join(lines, "\n"))
}

// sowing is a sowing's lines.
func sowing(on, crop, use string, lines ...string) string {
	return fmt.Sprintf("\n[[sowing]]\nfield = %q\ncrop = %q\nuse = %q\n%s\n", on, crop, use, strings.Join(lines, "\n"))
}

// richTest is a soil test with much potassium and phosphorus.
const richTest = `soil_test = { method = "Mehlich 3", phosphorus = "90 ppm", potassium = "320 ppm" }`

// anyFarm draws a small farm that reads and runs.
func anyFarm(t *rapid.T) *farm.Farm {
	var b strings.Builder
	organic := rapid.Bool().Draw(t, "organic")
	fmt.Fprintf(&b, "%sorganic = %v\n", head, organic)
	b.WriteString(pasture)
	n := rapid.IntRange(1, 4).Draw(t, "fields")
	var plan string
	for i := range n {
		name := fmt.Sprintf("Field %d", i)
		var lines []string
		stands := rapid.SampledFrom([]string{"", `stand = "cool-grass"` + "\nuse = \"wrap\"", `stand = "alfalfa"` + "\nuse = \"wrap\"", `stand = "timothy-red-clover"` + "\nuse = \"hay\"", `stand = "cereal-rye"` + "\nuse = \"wrap\""}).Draw(t, "stand")
		lines = append(lines, stands)
		if rapid.Bool().Draw(t, "rich") {
			lines = append(lines, richTest)
		}
		if rapid.Bool().Draw(t, "transition") {
			lines = append(lines, `status = "transition"`)
		}
		lines = append(lines, fmt.Sprintf("slope = \"%d %%\"", rapid.IntRange(0, 14).Draw(t, "slope")))
		b.WriteString(field(name, lines...))
		conventional := !organic && !strings.Contains(strings.Join(lines, " "), "transition")
		var extra []string
		if conventional && rapid.Bool().Draw(t, "dressed") {
			extra = append(extra, `nitrogen = "50 lb/ac"`)
		}
		switch rapid.IntRange(0, 4).Draw(t, "sowing") {
		case 1:
			plan += sowing(name, "sudangrass", "wrap", extra...)
		case 2:
			plan += sowing(name, "corn-silage", "silage", extra...)
		case 3:
			plan += sowing(name, "sorghum-sudangrass", "wrap", append(extra, "blocks = 2\nstagger = \"10 d\"")...)
		case 4:
			plan += sowing(name, "pearl-millet", "graze", append(extra, "part = \"8 ac\"")...)
		}
	}
	b.WriteString(rapid.SampledFrom([]string{cows, suckler, cows + suckler}).Draw(t, "groups"))
	b.WriteString(stores)
	for i := range rapid.IntRange(0, 2).Draw(t, "heaps") {
		fmt.Fprintf(&b, "\n[[manure]]\nname = \"Heap %d\"\namount = \"%d ton\"\nnitrogen = \"10 lb/ton\"\nammonium = \"4 lb/ton\"\nphosphate = \"5 lb/ton\"\npotash = \"9 lb/ton\"\n", i, rapid.IntRange(0, 3000).Draw(t, "tons"))
	}
	return parse(t, b.String()+plan)
}
