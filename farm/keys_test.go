package farm_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"rowen/farm"
	"rowen/internal/document"
	"rowen/quantity"
)

// sheet is a small farm with places for a field's, a sowing's and the farm's own lines.
// Lines are counted from the first of "rowen = 1".
func sheet(top, field, sowing, end string) string {
	return fmt.Sprintf(`rowen = 1
name = "Keys"
latitude = 43.0
longitude = -74.5
first_year = 2027
%s
[[field]]
name = "Home"
area = "12 ac"
%s
[[field]]
name = "Pasture"
area = "20 ac"
stand = "grass-clover"
[[group]]
name = "Cows"
class = "beef cow"
[[group.period]]
from = "1 Nov"
head = 12
weight = "1,200 lb"
[[sowing]]
field = "Home"
crop = "sudangrass"
use = "wrap"
%s
%s
`, top, field, sowing, end)
}

// lineOf is the line of a document on which a text stands, from 1.
func lineOf(t *testing.T, text, what string) int {
	t.Helper()
	before, _, found := strings.Cut(text, what)
	if !found {
		t.Fatalf("%q is not in the document", what)
	}
	return 1 + strings.Count(before, "\n")
}

const organicTop = "organic = true"

// Each new key's bad value gives one problem, on its line, with what to do.
func TestNewKeysAreChecked(t *testing.T) {
	machine := func(lines string) string { return "[[machine]]\nname = \"Mower\"\n" + lines }
	heap := func(lines string) string {
		return "[[manure]]\nname = \"Pit\"\namount = \"300 ton\"\nnitrogen = \"10 lb/ton\"\n" + lines
	}
	const rest = "phosphate = \"4 lb/ton\"\npotash = \"8 lb/ton\"\n"
	const whole = "price = 20000\nhours = 100\nwidth = \"9 ft\"\nspeed = \"6 mph\"\n"
	for _, c := range []struct {
		name                    string
		top, field, sowing, end string
		at                      string // the text whose line the problem names
		value, remedy           string
		among                   bool // the problem may have others of the same line beside it
	}{
		{name: "a soil test without its method", field: `soil_test = { phosphorus = "22 ppm" }`, at: "soil_test", remedy: "Mehlich 3"},
		{name: "a method whose bands are not known", field: `soil_test = { method = "Olsen", phosphorus = "22 ppm" }`, at: "soil_test", value: "Olsen", remedy: "write one of: Mehlich 3, Modified Morgan"},
		{name: "a buffer beyond any", field: `soil_test = { method = "Mehlich 3", buffer_pH = 9.5 }`, at: "soil_test", value: "9.5", remedy: "8.2"},
		{name: "phosphorus without a unit", field: `soil_test = { method = "Mehlich 3", phosphorus = 22 }`, at: "soil_test", value: "22", remedy: "unit"},
		{name: "no such status", field: `status = "organic-ish"`, at: "status", value: "organic-ish", remedy: `"certified", "transition" or "conventional"`},
		{name: "certified too soon", field: "status = \"certified\"\nlast_prohibited = \"2025-06-01\"", at: "last_prohibited", value: "2025-06-01", remedy: `status = "transition"`},
		{name: "certified too soon on an organic farm", top: organicTop, field: `last_prohibited = "2025-06-01"`, at: "last_prohibited", value: "2025-06-01", remedy: "36 months"},
		{name: "a past without its year", field: "[[field.past]]\ncrop = \"oats\"", at: "[[field.past]]", remedy: "year = 2025"},
		{name: "a past of no crop", field: "[[field.past]]\nyear = 2025\ncrop = \"moonwort\"", at: "crop = \"moonwort\"", value: "moonwort", remedy: "no such crop in the catalogue; write one of:"},
		{name: "a past of no century", field: "[[field.past]]\nyear = 25\ncrop = \"oats\"", at: "year = 25", value: "25", remedy: "1950", among: true},
		{name: "a slope without a unit", field: "slope = 8", at: "slope", value: "8", remedy: "unit"},
		{name: "a buffer without a unit", field: "buffer = 25", at: "buffer", value: "25", remedy: "unit"},
		{name: "ammonium beyond the nitrogen", end: heap("ammonium = \"12 lb/ton\"\n" + rest), at: "ammonium", value: "12 lb/ton", remedy: "part of the nitrogen"},
		{name: "manure without its potash", end: heap("ammonium = \"4 lb/ton\"\nphosphate = \"4 lb/ton\"\n"), at: "[[manure]]", remedy: `potash = "8 lb/ton"`},
		{name: "a machine of no known work", end: machine("work = \"knitting\"\n" + whole), at: "work", value: "knitting", remedy: "write one of: [mowing raking baling chopping drilling]"},
		{name: "a machine without work", end: machine(whole), at: "[[machine]]", remedy: `work = "mowing"`},
		{name: "a machine for nothing", end: machine("work = \"mowing\"\n" + strings.Replace(whole, "20000", "0", 1)), at: "price", remedy: "more than nothing", among: true},
		{name: "a machine that never runs", end: machine("work = \"mowing\"\n" + strings.Replace(whole, "hours = 100", "hours = 0", 1)), at: "hours", remedy: "more than nothing", among: true},
		{name: "treated seed on certified land", top: organicTop, sowing: "treated = true", at: "treated", value: "true", remedy: "not allowed on certified or transition land"},
		{name: "treated seed in transition", field: `status = "transition"`, sowing: "treated = true", at: "treated", value: "true", remedy: "transition land"},
		{name: "herbicide on certified land", top: organicTop, sowing: `termination = "herbicide"`, at: "termination", value: "herbicide", remedy: "plough, roll or cut it"},
		{name: "mineral nitrogen in transition", field: `status = "transition"`, sowing: `nitrogen = "40 lb/ac"`, at: "nitrogen", value: "40 lb/ac", remedy: "write manure = ..."},
		{name: "mineral nitrogen on a certified field", field: `status = "certified"`, sowing: `nitrogen = "40 lb/ac"`, at: "nitrogen", value: "40 lb/ac", remedy: "no mineral nitrogen"},
		{name: "a bag that is mostly coat", sowing: `coating = "70 %"`, at: "coating", value: "70 %", remedy: "share of the bag that is not seed"},
		{name: "no such termination", sowing: `termination = "prayer"`, at: "termination", value: "prayer", remedy: `write one of: ["ploughed" "herbicide"`},
		{name: "an interval without its label", sowing: `plant_back = "2027-06-01"`, at: "[[sowing]]", remedy: "name the label"},
		{name: "a grazing interval without its label", sowing: `graze_after = "2027-08-01"`, at: "[[sowing]]", remedy: "label = \"...\""},
		{name: "an unknown key of a soil test", field: `soil_test = { method = "Mehlich 3", colour = "brown" }`, at: "soil_test", remedy: "colour"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := sheet(c.top, c.field, c.sowing, c.end)
			_, err := farm.Parse("keys.toml", []byte(text), catalogue(t))
			var problems document.Problems
			if !errors.As(err, &problems) {
				t.Fatalf("no problem: %v\n%s", err, text)
			}
			if len(problems) != 1 && !c.among {
				t.Errorf("%d problems, one thing is wrong:\n%v", len(problems), err)
			}
			p := problems[0]
			for _, other := range problems {
				if c.among && strings.Contains(other.Error(), c.remedy) {
					p = other
				}
			}
			if want := lineOf(t, text, c.at); p.Line != want || p.File != "keys.toml" {
				t.Errorf("%s:%d, it stands on line %d: %v", p.File, p.Line, want, p)
			}
			if c.value != "" && p.Value != c.value {
				t.Errorf("value %q, want %q", p.Value, c.value)
			}
			if !strings.Contains(p.Error(), c.remedy) || p.Thing == "" {
				t.Errorf("%v\nwant %q in it", p, c.remedy)
			}
		})
	}
}

// All that is wrong is told at once, in the order of its lines.
func TestNewKeysAllAtOnce(t *testing.T) {
	text := sheet("", "status = \"maybe\"\nsoil_test = { method = \"Olsen\" }", "coating = \"80 %\"\ntermination = \"prayer\"", "[[machine]]\nname = \"x\"\nwork = \"knitting\"\n")
	_, err := farm.Parse("keys.toml", []byte(text), catalogue(t))
	var problems document.Problems
	if !errors.As(err, &problems) || len(problems) < 5 {
		t.Fatalf("%v", err)
	}
	for i := 1; i < len(problems); i++ {
		if problems[i].Line < problems[i-1].Line {
			t.Errorf("line %d after line %d", problems[i].Line, problems[i-1].Line)
		}
	}
}

// What is right is read as it is written.
func TestNewKeysAreRead(t *testing.T) {
	text := sheet("grass_fed = true", `slope = "9 %"
shade = true
lane = false
conventional_neighbour = true
buffer = "25 ft"
status = "transition"
last_prohibited = "2025-06-01"
soil_test = { method = "mehlich 3", date = "2026-04-02", phosphorus = "22 ppm", potassium = "160 ppm", buffer_pH = 6.4 }
[[field.past]]
year = 2025
crop = "oats"
manure = "10 ton/ac"
[[field.past]]
year = 2026
crop = "corn-silage"`, `product = "Sweet 7"
supplier = "Valley Seed"
germination = "80 %"
coating = "30 %"
organic_seed_search = "three dealers"
termination = "ploughed"
plant_back = "2027-06-01"
label = "as entered"`, `[[manure]]
name = "Pit"
amount = "600 ton"
nitrogen = "10 lb/ton"
ammonium = "5 lb/ton"
phosphate = "4 lb/ton"
potash = "8 lb/ton"
[[machine]]
name = "Mower"
work = "mowing"
price = 20000
hours = 100
width = "9 ft"
speed = "6 mph"`)
	f, err := farm.Parse("keys.toml", []byte(text), catalogue(t))
	if err != nil {
		t.Fatal(err)
	}
	g := &f.Fields[0].Ground
	if g.Status != farm.Transition || !g.Shade || g.Lane || !g.Neighbour || g.Prohibited != quantity.NewDate(2025, 6, 1) || !f.GrassFed {
		t.Errorf("ground: %+v", g)
	}
	if off(float64(g.Test.P), 22e-6) || off(float64(g.Test.K), 160e-6) || g.Test.BufferPH != 6.4 || off(float64(g.Slope), 0.09) {
		t.Errorf("soil test: %+v, slope %v", g.Test, g.Slope)
	}
	if len(g.Past) != 2 || g.Past[1].Crop != "corn-silage" || off(g.Past[0].Manure.TonsPerAcre(), 10) {
		t.Errorf("past: %+v", g.Past)
	}
	s := &f.Plan.Sowings[0]
	if s.Seed.Product != "Sweet 7" || off(float64(s.Seed.Coating), 0.3) || s.Before.PlantBack != quantity.NewDate(2027, 6, 1) {
		t.Errorf("sowing: %+v %+v", s.Seed, s.Before)
	}
	if m := f.Manures[0]; off(m.Amount.Tons(), 600) || off(float64(m.Nitrogen)*2000, 10) || off(float64(m.Ammonium)*2000, 5) {
		t.Errorf("manure: %+v", m)
	}
	if m := f.Machines[0]; m.Work != "mowing" || m.Years != 10 || off(float64(m.Width/quantity.Foot), 9) {
		t.Errorf("machine: %+v", m)
	}
}

// off tells whether a number is off.
func off(got, want float64) bool { return got < want*(1-1e-9) || got > want*(1+1e-9) }

// Ground is what its farm is, until it says otherwise; an old substance does not matter.
func TestStatusFollowsTheFarm(t *testing.T) {
	for _, c := range []struct {
		top, field string
		want       farm.Certification
	}{
		{"", "", farm.Conventional},
		{organicTop, "", farm.Certified},
		{organicTop, `status = "conventional"`, farm.Conventional},
		{"", "status = \"certified\"\nlast_prohibited = \"2020-06-01\"", farm.Certified},
	} {
		f, err := farm.Parse("keys.toml", []byte(sheet(c.top, c.field, "", "")), catalogue(t))
		if err != nil {
			t.Fatal(err)
		}
		if got := f.Fields[0].Ground.Status; got != c.want {
			t.Errorf("%q %q: %v, want %v", c.top, c.field, got, c.want)
		}
	}
}
