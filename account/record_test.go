package account_test

import (
	"strings"
	"testing"

	"rowen/account"
	"rowen/farm"
	"rowen/season"
)

const organicHead = head + "organic = true\n"

func record(t *testing.T, text string) (*account.Record, string, *farm.Farm) {
	t.Helper()
	f := parse(t, text)
	y := live(t, f)[0]
	r := account.RecordOf(f, &y)
	return r, strings.Join(r.Missing, "\n"), f
}

// What an inspector would miss is missed, thing by thing, and only there.
func TestRecordMissing(t *testing.T) {
	full := past("2026", "corn-silage") + past("2025", "alfalfa") + past("2024", "alfalfa")
	for _, c := range []struct {
		name, text, missing string
		want                bool
	}{
		{"no search for organic seed", organicHead + pasture + field("Home", full) + suckler + stores + sowing("Home", "sudangrass", "wrap"), "no search for organic seed", true},
		{"a search is recorded", organicHead + pasture + field("Home", full) + suckler + stores + sowing("Home", "sudangrass", "wrap", `organic_seed_search = "three dealers, 4 Jan"`), "organic seed", false},
		{"organic seed", organicHead + pasture + field("Home", full) + suckler + stores + sowing("Home", "sudangrass", "wrap", "organic_seed = true"), "organic seed", false},
		{"conventional ground", head + pasture + field("Home") + suckler + stores + sowing("Home", "sudangrass", "wrap"), "organic seed", false},
		{"no buffer", organicHead + pasture + field("Home", "conventional_neighbour = true", full) + suckler + stores, "no buffer is written", true},
		{"a buffer", organicHead + pasture + field("Home", "conventional_neighbour = true", `buffer = "25 ft"`, full) + suckler + stores, "buffer", false},
		{"a conventional field needs none", head + pasture + field("Home", "conventional_neighbour = true") + suckler + stores, "buffer", false},
		{"no history", organicHead + pasture + field("Home") + suckler + stores, "Home: three years of history are asked; 0 are written", true},
		{"a history", organicHead + pasture + field("Home", full) + suckler + stores, "Home: three years", false},
		{"one year told twice", organicHead + pasture + field("Home", past("2026", "oats")+past("2026", "turnip")) + suckler + stores, "Home: three years of history are asked; 1 are written", true},
		{"no day in transition", head + pasture + field("Home", `status = "transition"`) + suckler + stores, "day of the last prohibited substance", true},
		{"a day in transition", head + pasture + field("Home", `status = "transition"`, `last_prohibited = "2025-06-01"`) + suckler + stores, "prohibited", false},
	} {
		if _, missing, _ := record(t, c.text); strings.Contains(missing, c.missing) != c.want {
			t.Errorf("%s: missing are\n%s", c.name, missing)
		}
	}
}

// Every acre is in one status; a herd kept in fails the pasture rule unless exempt.
func TestRecordGroundAndGrazing(t *testing.T) {
	kept := strings.Replace(cows, `class = "dairy cow in milk"`, "class = \"dairy cow in milk\"\ngrazes = false", 1)
	mixed := organicHead + pasture + field("Home", `status = "transition"`) + field("Rented", `status = "conventional"`)
	r, missing, f := record(t, mixed+kept+stores)
	if r.Certified < 29.9 || r.Certified > 30.1 || r.Transition < 19.9 || r.Conventional < 19.9 || len(r.Fields) != len(f.Fields) {
		t.Errorf("%.1f, %.1f and %.1f ac", r.Certified, r.Transition, r.Conventional)
	}
	if len(r.Classes) != 1 || r.Classes[0].Passes || !strings.Contains(missing, "30 % and 120 days") {
		t.Errorf("a herd that never grazes: %+v\n%s", r.Classes, missing)
	}
	for _, c := range []struct{ lines, want string }{{"conventional_neighbour = true", "MISSING"}, {"conventional_neighbour = true\nbuffer = \"25 ft\"", "25 ft"}, {"", "none needed"}} {
		r, _, _ := record(t, organicHead+pasture+field("Home", c.lines)+suckler+stores)
		if got := r.Fields[1].Buffer; got != c.want {
			t.Errorf("buffer %q, want %q", got, c.want)
		}
	}
	exempt := strings.Replace(kept, "grazes = false", "grazes = false\npasture_exemption = \"dry-off, one week\"", 1)
	if r, missing, _ := record(t, mixed+exempt+stores); !r.Classes[0].Passes || strings.Contains(missing, "120 days") {
		t.Errorf("exempt: %+v\n%s", r.Classes, missing)
	}
}

// Grain fed, grain bought and cereals cut with grain in them are named; grass is not.
func TestGrassFed(t *testing.T) {
	fed := head + "grass_fed = true\n" + pasture + field("Home")
	for _, c := range []struct {
		name, text, says string
	}{
		{"corn silage", fed + suckler + stores + sowing("Home", "corn-silage", "silage"), "cut with grain in it"},
		{"corn that stands", head + "grass_fed = true\n" + pasture + field("Home", `stand = "oats"`, `use = "silage"`) + suckler + stores, "cut with grain in it"},
	} {
		f := parse(t, c.text)
		y := live(t, f)[0]
		if out := strings.Join(account.GrassFedOf(f, &y), "\n"); !strings.Contains(out, c.says) {
			t.Errorf("%s: %q", c.name, out)
		}
	}
	c, err := catalogue()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := farm.Parse("fed.toml", []byte(fed+cows+stores), c); err == nil || !strings.Contains(err.Error(), "grass-fed programme refuses grain") {
		t.Errorf("grain by habit: %v", err)
	}
	// What a grass-fed farm lacks it buys as forage, or goes short of.
	hungry := parse(t, head+"grass_fed = true\n"+field("Yard")+strings.Replace(strings.Replace(cows, "grain = \"8 lb/d\"\n", "", 1), "class =", "grazes = false\nclass =", 1)+stores)
	if y := live(t, hungry)[0]; y.Money.Grain+y.Money.Protein > 0 || y.Money.BoughtForage <= 0 {
		t.Errorf("grain for %.0f, meal for %.0f, forage for %.0f", y.Money.Grain, y.Money.Protein, y.Money.BoughtForage)
	}
	clean := parse(t, fed+suckler+stores+sowing("Home", "sudangrass", "wrap"))
	if out := account.GrassFedOf(clean, &season.YearResult{}); len(out) != 0 {
		t.Errorf("a plan of grass: %q", out)
	}
	clean.GrassFed = false
	bought := season.YearResult{Money: season.Money{Grain: 1}}
	if out := account.GrassFedOf(clean, &bought); out != nil {
		t.Errorf("a farm outside the programme: %q", out)
	}
	clean.GrassFed = true
	if out := account.GrassFedOf(clean, &bought); len(out) != 1 {
		t.Errorf("grain bought: %q", out)
	}
}

// A swath grazed where it lies is on the record, and counts as pasture.
func TestSwathsCount(t *testing.T) {
	r, _, _ := record(t, organicHead+pasture+field("Home")+suckler+stores+sowing("Home", "oats", "graze", "swath_grazed = true"))
	if len(r.Swaths) != 1 || r.Swaths[0] != "Home" {
		t.Errorf("swaths %q", r.Swaths)
	}
	c, err := catalogue()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := farm.Parse("x.toml", []byte(organicHead+pasture+field("Home")+suckler+stores+sowing("Home", "oats", "wrap", "swath_grazed = true")), c); err == nil || !strings.Contains(err.Error(), "swath_grazed") {
		t.Errorf("a swath that is wrapped: %v", err)
	}
}
