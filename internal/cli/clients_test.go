package cli_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rowen/internal/cli"
)

// frozen holds an output against the one kept, or renews it.
func frozen(t *testing.T, folder, name, got string) {
	t.Helper()
	path := filepath.Join(folder, name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n"); got != string(want) {
		for i := range g {
			if i >= len(w) || g[i] != w[i] {
				t.Errorf("%s:%d is now\n%s", name, i+1, g[i])
				return
			}
		}
		t.Errorf("%s is shorter now: %d lines", name, len(g))
	}
}

func golden(t *testing.T) string {
	t.Helper()
	folder, err := filepath.Abs(filepath.Join("testdata", "golden"))
	if err != nil {
		t.Fatal(err)
	}
	return folder
}

// written down: phrases into the journal beside a farm document, each behind its day.
func writeDown(t *testing.T, farm string, phrases ...string) {
	t.Helper()
	for _, p := range phrases {
		on, phrase, _ := strings.Cut(p, " ")
		if _, problems, code := run(t, "record", farm, phrase, "--date", on, "--device", "test", "--sure"); code != cli.OK {
			t.Fatalf("%s: %s", p, problems)
		}
	}
}

// clients is the list as JSON.
func clients(t *testing.T, args ...string) (page struct {
	Farms  int `json:"farms_read"`
	Broken int `json:"farms_left_out"`
	Items  []struct {
		Kind, Farm, Contact, Message, By string
		Fields, Reasons                  []string
	}
	Quiet []string `json:"farms_that_want_nothing"`
}, problems string, code int) {
	t.Helper()
	text, problems, code := run(t, append([]string{"today", "--json"}, args...)...)
	if text != "" {
		if err := json.Unmarshal([]byte(text), &page); err != nil {
			t.Fatal(err)
		}
	}
	return page, problems, code
}

// The list over the demo farms, frozen, and the same whatever the workers.
func TestGoldenClients(t *testing.T) {
	folder := golden(t)
	root(t)
	text, problems, code := run(t, "today", "examples", "--date", "2025-07-10")
	if code != cli.OK {
		t.Fatal(problems)
	}
	frozen(t, folder, "clients.txt", text)
	if one, _, _ := run(t, "today", "examples", "--date", "2025-07-10", "--workers", "1"); one != text {
		t.Error("another list with one worker")
	}
}

// Every kind of item at its place: who is in danger comes first, and no message
// names another farm.
func TestClientsRanking(t *testing.T) {
	root(t)
	dir := village(t, map[string][]string{"dairy": nil, "beef": nil, "sheep": nil})
	writeDown(t, filepath.Join(dir, "dairy.toml"), "2025-06-15 sowed North Six sorghum-sudangrass-bmr 42 lb/ac", "2025-07-08 height 14 in 15 in 13 in on North Six", "2025-07-09 grazed North Six in Heifers")
	writeDown(t, filepath.Join(dir, "beef.toml"), "2025-06-10 sowed Road Field sorghum-sudangrass 40 lb/ac", "2025-07-08 height 14 in on Ridge", "2025-07-08 label Hollow Weedaway grazing 30 d")
	forecast := filepath.Join(dir, "coming.csv")
	night := func(tmin string) {
		text := "date,tmax_c,tmin_c,rain_mm,latitude\n"
		for _, d := range []string{"11", "12", "13", "14"} {
			text += "2025-07-" + d + ",22," + tmin + ",0,43.05\n"
		}
		if err := os.WriteFile(forecast, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ tmin, kind string }{{"-1", "frost tonight"}, {"1.5", "near frost tonight"}, {"9", ""}} {
		night(c.tmin)
		page, problems, code := clients(t, dir, "--date", "2025-07-10", "--forecast", forecast)
		if code != cli.OK || page.Farms != 3 || len(page.Items) == 0 {
			t.Fatalf("exit %d, %d farms\n%s", code, page.Farms, problems)
		}
		first := page.Items[0]
		if first.Kind != "animals where a gate holds" || first.Farm != "Fallow Brook" || !strings.Contains(first.Message, "take the Heifers off North Six") || !strings.Contains(strings.Join(first.Reasons, " "), "prussic acid") {
			t.Errorf("first is %+v", first)
		}
		frosts := 0
		for i, x := range page.Items {
			if strings.Contains(x.Kind, "frost") {
				if frosts++; x.Kind != c.kind || i > 2 {
					t.Errorf("%s at %s °C, at place %d", x.Kind, c.tmin, i+1)
				}
			}
			if n := strings.Count(x.Message, ". ") + 1; n > 4 || x.Message == "" || x.Contact == "" || x.By == "" || len(x.Reasons) == 0 {
				t.Errorf("%d sentences: %+v", n, x)
			}
			for _, other := range []string{"Fallow Brook", "Stone Gate", "Thorn Bank"} {
				if strings.Contains(x.Message, other) {
					t.Errorf("a message names a farm: %q", x.Message)
				}
			}
		}
		if want := map[bool]int{true: 2, false: 0}[c.kind != ""]; frosts != want {
			t.Errorf("%s °C: %d farms hear of frost, want %d", c.tmin, frosts, want)
		}
	}
}

// A label's wait holds animals too.
func TestClientsLabelHolds(t *testing.T) {
	root(t)
	dir := village(t, map[string][]string{"beef": nil})
	farm := filepath.Join(dir, "beef.toml")
	writeDown(t, farm, "2025-07-01 label Ridge Weedaway grazing 30 d", "2025-07-09 grazed Ridge in Cows")
	page, problems, code := clients(t, dir, "--date", "2025-07-10", "--no-stock")
	if code != cli.OK || len(page.Items) == 0 || page.Items[0].Kind != "animals where a gate holds" || !slices.Equal(page.Items[0].Fields, []string{"Ridge"}) || !strings.Contains(page.Items[0].Message, "Weedaway") {
		t.Errorf("exit %d %s: %+v", code, problems, page.Items)
	}
}

// Dry days are told where something is ready to mow, and not where a label holds it.
func TestClientsDryDays(t *testing.T) {
	root(t)
	dir := village(t, map[string][]string{"dairy": nil})
	farm, forecast := filepath.Join(dir, "dairy.toml"), filepath.Join(dir, "coming.csv")
	days := func(rain ...string) {
		text := "date,tmax_c,tmin_c,rain_mm,latitude\n"
		for i, mm := range rain {
			text += "2025-07-" + []string{"11", "12", "13", "14"}[i] + ",24,12," + mm + ",43.05\n"
		}
		if err := os.WriteFile(forecast, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kinds := func() (out []string) {
		page, problems, code := clients(t, dir, "--date", "2025-07-10", "--forecast", forecast, "--no-stock")
		if code != cli.OK {
			t.Fatal(problems)
		}
		for _, x := range page.Items {
			if slices.Contains(x.Fields, "Upper Meadow") {
				out = append(out, x.Kind+" "+x.By)
			}
		}
		return out
	}
	writeDown(t, farm, "2025-07-09 height 19 in on Upper Meadow")
	for _, c := range []struct {
		rain []string
		want string
	}{{[]string{"0", "0", "0", "9"}, "dry days to mow 2025-07-11"}, {[]string{"9", "0", "0.4", "9"}, "dry days to mow 2025-07-12"}, {[]string{"0", "9", "0", "9"}, "ready now 2025-07-10"}} {
		days(c.rain...)
		if got := kinds(); !slices.Equal(got, []string{c.want}) {
			t.Errorf("rain %v: %q, want %q", c.rain, got, c.want)
		}
	}
	writeDown(t, farm, "2025-07-09 label Upper Meadow Weedaway grazing 30 d")
	days("0", "0", "0", "0")
	if got := kinds(); !slices.Equal(got, []string{"ready, held 2025-07-10"}) {
		t.Errorf("a label holds it: %q", got)
	}
}

// Without a forecast in autumn nobody is told that all is well.
func TestClientsFrostUnknown(t *testing.T) {
	root(t)
	dir := village(t, map[string][]string{"beef": nil})
	writeDown(t, filepath.Join(dir, "beef.toml"), "2025-06-10 sowed Road Field sorghum-sudangrass 40 lb/ac")
	page, problems, code := clients(t, dir, "--date", "2025-09-25", "--no-stock")
	if code != cli.OK || len(page.Items) == 0 || page.Items[0].Kind != "frost not known" || !strings.Contains(page.Items[0].Message, "no forecast") {
		t.Errorf("exit %d %s: %+v", code, problems, page.Items)
	}
}

// A farm with problems is told by file and line, and the others go on.
func TestClientsGoOn(t *testing.T) {
	root(t)
	dir := village(t, map[string][]string{"dairy": {`area = "22 ac"`, `area = 22`}, "sheep": nil, "beef": {`name = "Stone Gate"`, "name = \"Stone Gate\"\nweather = \"none.csv\""}})
	page, problems, code := clients(t, dir, "--date", "2025-07-10")
	if code != cli.Problem || page.Farms != 1 || page.Broken != 2 || len(page.Items) == 0 || page.Items[0].Farm != "Thorn Bank" {
		t.Errorf("exit %d: %+v", code, page)
	}
	for _, want := range []string{"dairy.toml:", "a bare number has no unit", "beef.toml", "none.csv"} {
		if !strings.Contains(problems, want) {
			t.Errorf("no %q in\n%s", want, problems)
		}
	}
	for _, args := range [][]string{{dir, "--journal", "x.journal"}, {dir, "--calendar", "x.ics"}, {dir, "--units", "feet"}, {t.TempDir()}, {dir, "--date", "July"}} {
		if text, problems, code := run(t, append([]string{"today"}, args...)...); code != cli.Problem || text != "" || problems == "" {
			t.Errorf("%v: exit %d %q", args[1:], code, problems)
		}
	}
}

// A whole season looked back on, frozen.
func TestGoldenReview(t *testing.T) {
	folder := golden(t)
	root(t)
	dir := village(t, map[string][]string{"dairy": nil})
	farm := filepath.Join(dir, "dairy.toml")
	before, problems, code := run(t, "review", farm, "--date", "2025-10-31")
	if code != cli.OK || !strings.Contains(before, "no journal entries") || strings.Contains(before, "weighed in") {
		t.Fatalf("exit %d\n%s%s", code, problems, before)
	}
	writeDown(t, farm,
		"2025-05-20 height 11 in 12 in 10 in on Barn Pasture", "2025-05-21 grazed Barn Pasture in Milkers", "2025-05-24 out Barn Pasture residual 4 in",
		"2025-05-30 cut Upper Meadow wrap 150 bales 980 lb 52 % stubble 4 in", "2025-06-14 sowed North Six sorghum-sudangrass-bmr 42 lb/ac",
		"2025-07-12 cut Upper Meadow wrap stubble 4 in", "2025-08-01 height 34 in 36 in 33 in on North Six", "2025-08-03 grazed North Six in Milkers", "2025-08-07 out North Six residual 8 in",
		"2025-08-10 drought North Six")
	text, problems, code := run(t, "review", farm, "--date", "2025-10-31")
	if code != cli.OK {
		t.Fatal(problems)
	}
	frozen(t, folder, "review-dairy.txt", text)
	out, _, code := run(t, "review", farm, "--date", "2025-10-31", "--json")
	if code != cli.OK || !json.Valid([]byte(out)) || bytes.Contains([]byte(out), []byte("NaN")) {
		t.Errorf("exit %d, JSON\n%s", code, out)
	}
}
