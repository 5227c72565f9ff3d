package account_test

import (
	"math"
	"strings"
	"testing"

	"rowen/account"
	"rowen/farm"
)

// advice is what rotation says of a farm's field in its first year.
func advice(t *testing.T, f *farm.Farm, field int) (out []account.Advice) {
	t.Helper()
	y := live(t, f)[0]
	for _, a := range account.RotationOf(f, &y) {
		if a.Source == "" || a.Text == "" {
			t.Errorf("advice without source or text: %+v", a)
		}
		if a.Field == field {
			out = append(out, a)
		}
	}
	return out
}

// says tells whether any advice holds a text, and whether it is a Stop.
func says(list []account.Advice, text string) (said, stop bool) {
	for _, a := range list {
		if strings.Contains(a.Text, text) {
			return true, a.Stop
		}
	}
	return false, false
}

// past is an earlier year of a field.
func past(year, crop string) string {
	return "[[field.past]]\nyear = " + year + "\ncrop = \"" + crop + "\"\n"
}

func TestWhatMayNotFollow(t *testing.T) {
	const alfalfa, brassica = "no alfalfa straight after alfalfa", "no brassica after brassica"
	for _, c := range []struct {
		name, field, sowing, text string
		said, stop                bool
	}{
		{"alfalfa on alfalfa", `stand = "alfalfa"`, sowing("Home", "alfalfa", "hay"), alfalfa, true, true},
		{"an alfalfa mixture on alfalfa", `stand = "alfalfa"`, sowing("Home", "alfalfa-grass", "hay"), alfalfa, true, true},
		{"alfalfa on an alfalfa mixture", `stand = "alfalfa-grass"`, sowing("Home", "alfalfa", "hay"), alfalfa, true, true},
		{"a summer annual between is no year", `stand = "alfalfa"`, sowing("Home", "oats", "wrap", `on = "2027-04-20"`) + sowing("Home", "alfalfa", "hay", `on = "2027-08-10"`), alfalfa, true, true},
		{"last year's alfalfa", past("2026", "alfalfa"), sowing("Home", "alfalfa", "hay"), alfalfa, true, true},
		{"a year of corn between", past("2026", "corn-silage") + past("2025", "alfalfa"), sowing("Home", "alfalfa", "hay"), "alfalfa", false, false},
		{"last year is not told", past("2025", "alfalfa"), sowing("Home", "alfalfa", "hay"), "last year's crop is not written", true, false},
		{"alfalfa on grass", `stand = "cool-grass"`, sowing("Home", "alfalfa", "hay"), "alfalfa straight", false, false},
		{"blocks lie side by side", "", sowing("Home", "alfalfa", "hay", "blocks = 2", `stagger = "10 d"`), "alfalfa straight", false, false},
		{"rape after last year's turnip", past("2026", "turnip"), sowing("Home", "forage-rape", "graze"), brassica, true, true},
		{"rape after turnip two years ago", past("2025", "turnip"), sowing("Home", "forage-rape", "graze"), brassica, true, true},
		{"kale three years ago", past("2024", "kale"), sowing("Home", "forage-rape", "graze"), "brassicas stood here 3 years ago", true, false},
		{"rape six years ago", past("2021", "forage-rape"), sowing("Home", "forage-rape", "graze"), "brassica", false, false},
		{"two in one year", "", sowing("Home", "turnip", "graze", `on = "2027-04-25"`) + sowing("Home", "forage-rape", "graze", `on = "2027-07-20"`), brassica, true, true},
		{"a brassica mixture", past("2026", "millet-rape"), sowing("Home", "millet-rape", "graze"), brassica, true, true},
		{"blocks of rape", "", sowing("Home", "forage-rape", "graze", "blocks = 3", `stagger = "10 d"`), brassica, false, false},
		{"no-till into sod", `stand = "cool-grass"`, sowing("Home", "sudangrass", "wrap", "no_till = true"), "slugs", true, false},
		{"no-till into stubble", past("2026", "oats"), sowing("Home", "sudangrass", "wrap", "no_till = true"), "slugs", false, false},
		{"a sod that nobody ends", `stand = "cool-grass"`, sowing("Home", "sudangrass", "wrap"), "does not say how", true, false},
		{"a sod that frost is to end", `stand = "cool-grass"`, sowing("Home", "sudangrass", "wrap", `termination = "winterkilled"`), "not ended by frost", true, false},
		{"a ploughed sod", `stand = "cool-grass"`, sowing("Home", "sudangrass", "wrap", `termination = "ploughed"`), "ended", false, false},
		{"frost-seeded millet", "", sowing("Home", "pearl-millet", "wrap", "frost_seeded = true"), "frost-seeding is for clovers", true, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := parse(t, head+pasture+field("Home", c.field)+suckler+stores+c.sowing)
			list := advice(t, f, 1)
			if said, stop := says(list, c.text); said != c.said || stop != c.stop {
				t.Errorf("%q said %v, stop %v; want %v, %v: %+v", c.text, said, stop, c.said, c.stop, list)
			}
		})
	}
}

// A bare steep slope warns; a sward, a cover sown after the crop and level ground do
// not, and half a field left bare does.
func TestSteepSlopes(t *testing.T) {
	const bare = "bare over winter"
	for _, c := range []struct {
		name, slope, stand, plan string
		said                     bool
	}{
		{"bare", "10 %", "", "", true},
		{"level", "4 %", "", "", false},
		{"an annual", "10 %", "", sowing("Home", "sudangrass", "wrap"), true},
		{"a sward", "10 %", `stand = "cool-grass"`, "", false},
		{"rye after the annual", "10 %", "", sowing("Home", "oats", "wrap", `on = "2027-04-20"`) + sowing("Home", "cereal-rye", "wrap", `on = "2027-09-05"`, `by = "2027-10-20"`), false},
		{"an annual on a sward", "12 %", `stand = "cool-grass"`, sowing("Home", "sudangrass", "wrap"), true},
		{"an annual on a part of a sward", "12 %", `stand = "cool-grass"`, sowing("Home", "sudangrass", "wrap", `part = "6 ac"`), true},
	} {
		f := parse(t, head+pasture+field("Home", c.stand, "slope = \""+c.slope+"\"")+suckler+stores+c.plan)
		if said, _ := says(advice(t, f, 1), bare); said != c.said {
			t.Errorf("%s: said %v", c.name, said)
		}
	}
}

// Weeds ask for a fifth more seed: 30 lb of sudangrass become 36.
func TestAgainstWeeds(t *testing.T) {
	of := func(weedy, rate string) (float64, string) {
		f := parse(t, head+pasture+field("Home", "weedy = "+weedy)+suckler+stores+sowing("Home", "pearl-millet", "wrap", "rate = \""+rate+"\""))
		for _, a := range advice(t, f, 1) {
			if a.AdjustedRate > 0 {
				return a.AdjustedRate, a.Text
			}
		}
		return 0, ""
	}
	got, text := of("true", "10 lb/ac")
	if math.Abs(got-12) > 1e-9 || !strings.Contains(text, "12 lb/ac") {
		t.Errorf("%g lb/ac: %s", got, text)
	}
	if got, _ := of("false", "10 lb/ac"); got != 0 {
		t.Errorf("%g lb/ac on clean ground", got)
	}
	if got, _ := of("true", "60 lb/ac"); got != 0 {
		t.Errorf("%g lb/ac where the rate is high already", got)
	}
}

// Alfalfa loses 14 % of its plants a year: 0.86 to the 2nd is 74 %, to the 3rd 64 %,
// below the 65 % of renewal. In its third year it has one more; in its fourth none.
func TestRenewal(t *testing.T) {
	say := func(age, plan string) string {
		f := parse(t, head+pasture+field("Home", `stand = "alfalfa"`, `use = "hay"`, "age = "+age)+suckler+stores+plan)
		for _, a := range advice(t, f, 1) {
			if strings.Contains(a.Text, "plants are left") {
				return a.Text
			}
		}
		return ""
	}
	if got := say("3", ""); !strings.Contains(got, "about 74 %") || !strings.Contains(got, "in about 1 years") {
		t.Errorf("third year: %q", got)
	}
	got := say("4", "")
	if !strings.Contains(got, "about 64 %") || !strings.Contains(got, "renew it") {
		t.Errorf("fourth year: %q", got)
	}
	c, _ := catalogue()
	alfalfa := c.Find("alfalfa")
	// Seedbed 55, drilling 22, and the seed.
	f := parse(t, head+pasture+suckler+stores)
	cost := 55 + 22 + float64(alfalfa.Sowing.Drilled)*float64(f.SeedPrice(alfalfa))*4046.8564224
	if want := "about " + whole(cost) + " USD/ac"; !strings.Contains(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got := say("4", sowing("Home", "corn-silage", "silage")); got != "" {
		t.Errorf("a sward that the plan ends is renewed: %q", got)
	}
}

// Scouting follows the plan: no alfalfa pest where corn has taken its place in May.
func TestScouting(t *testing.T) {
	f := parse(t, head+pasture+field("Home", `stand = "alfalfa"`, `use = "wrap"`)+suckler+stores+sowing("Home", "corn-silage", "silage", `on = "2027-05-20"`))
	weevil, hopper, corn := false, false, false
	for _, s := range account.ScoutsOf(f) {
		if s.Field != 1 {
			continue
		}
		weevil = weevil || strings.Contains(s.Text, "weevil")
		hopper = hopper || strings.Contains(s.Text, "leafhopper")
		corn = corn || strings.Contains(s.Text, "whorl")
	}
	if !weevil || hopper || !corn {
		t.Errorf("weevil %v, leafhopper %v, corn's armyworm %v; want true, false, true", weevil, hopper, corn)
	}
}
