package cli_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/internal/cli"
)

// sorghumJournal writes down that North Six carries sorghum-sudangrass.
func sorghumJournal(t *testing.T, dir string) string {
	t.Helper()
	path := filepath.Join(dir, "dairy.journal")
	for _, phrase := range []string{"sowed North Six sorghum-sudangrass-bmr 40 lb/ac 1 June", "height 46 in 48 in 44 in on North Six"} {
		if _, problems, code := run(t, "record", "examples/dairy.toml", phrase, "--journal", path, "--date", "2025-07-25", "--sure"); code != cli.OK {
			t.Fatal(problems)
		}
	}
	return path
}

// The screens of a wrapped sward, of dry hay and of a thick-stemmed stand, frozen.
func TestMowGolden(t *testing.T) {
	folder, err := filepath.Abs(filepath.Join("testdata", "golden"))
	if err != nil {
		t.Fatal(err)
	}
	path := sorghumJournal(t, root(t))
	for name, args := range map[string][]string{
		"mow.txt":         fields(cli.Examples["mow"][0])[1:],
		"mow-hay.txt":     fields(cli.Examples["mow"][1])[1:],
		"mow-sorghum.txt": {"mow", "examples/dairy.toml", "north six", "--journal", path, "--date", "2025-07-25", "--use", "wrap"},
		"mow-chop.txt":    {"mow", "examples/dairy.toml", "North Six", "--journal", path, "--date", "2025-07-25", "--use", "chop", "--swath", "0.4"},
	} {
		text, problems, code := run(t, args...)
		if code != cli.OK {
			t.Fatalf("%s: %s", name, problems)
		}
		for _, bad := range []string{"NaN", "Inf", "%!", "\n\n\n"} {
			if strings.Contains(text, bad) {
				t.Errorf("%s holds %q", name, bad)
			}
		}
		file := filepath.Join(folder, name)
		if *update {
			if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if text != string(want) {
			t.Errorf("%s is now\n%s", name, text)
		}
	}
}

// What must not be made is refused with the reason, and what is wrong is told.
func TestMowRefuses(t *testing.T) {
	path := sorghumJournal(t, root(t))
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"North Six", "--use", "hay"}, "not for hay: its thick stems dry too slowly"},
		{[]string{"North Six", "--use", "silage"}, `--use "silage": write wrap, chop`},
		{[]string{"North Sax"}, "no field has this name; write one of"},
		{[]string{"Gravel Bank"}, "nothing stands there to mow"},
		{[]string{"North Six", "--swath", "7"}, "share of the cut width"},
		{[]string{"North Six", "--swath", "0"}, "share of the cut width"},
		{[]string{"North Six", "--swath", "NaN"}, "share of the cut width"},
		{[]string{"North Six", "--diameter", "40 ft"}, "a round bale measures"},
		{[]string{"North Six", "--width", "4"}, "unit"},
		{[]string{"North Six", "--units", "imperial"}, "--units"},
	} {
		text, problems, code := run(t, append([]string{"mow", "examples/dairy.toml"}, append(c.args, "--journal", path, "--date", "2025-07-25")...)...)
		if code != cli.Problem || text != "" || !strings.Contains(problems, c.want) {
			t.Errorf("%v: exit %d, %q, want %q", c.args, code, problems, c.want)
		}
	}
}

// A forecast counts to its first hole, and the hole is told.
func TestMowForecast(t *testing.T) {
	dir := root(t)
	type page struct {
		Forecast int `json:"forecast_days"`
		Days     []struct {
			Forecast int     `json:"forecast_days"`
			Mown     float64 `json:"dry_enough_to_mow_percent"`
			Dry      float64 `json:"in_before_rain_percent"`
		} `json:"days"`
		Best    string   `json:"best_day"`
		Notices []string `json:"notices"`
	}
	ask := func(name string, rain func(day int) string) (p page) {
		t.Helper()
		path := filepath.Join(dir, name+".csv")
		text := "date,tmax_c,tmin_c,rain_mm,solar_mj\n"
		for day := 3; day <= 12; day++ {
			text += fmt.Sprintf("2025-06-%02d,27,12,%s,25\n", day, rain(day))
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		out, problems, code := run(t, "mow", "examples/dairy.toml", "Upper Meadow", "--date", "2025-06-02", "--conditioned", "--forecast", path, "--json")
		if code != cli.OK {
			t.Fatal(problems)
		}
		if err := json.Unmarshal([]byte(out), &p); err != nil || len(p.Days) != 7 {
			t.Fatalf("%v: %s", err, out)
		}
		return p
	}
	fine := ask("fine", func(int) string { return "0" })
	if fine.Forecast != 10 || fine.Days[0].Dry < 99 || fine.Best != "2025-06-03" || len(fine.Notices) != 0 {
		t.Errorf("ten fine days: %+v", fine)
	}
	wet := ask("wet", func(day int) string {
		if day < 6 {
			return "9"
		}
		return "0"
	})
	if wet.Days[0].Mown != 0 || wet.Days[0].Dry != 0 || wet.Best != "2025-06-06" {
		t.Errorf("rain to the fifth: %+v", wet)
	}
	hole := ask("hole", func(day int) string {
		if day == 6 {
			return ""
		}
		return "0"
	})
	if hole.Forecast != 3 || hole.Days[3].Forecast != 0 || len(hole.Notices) != 1 || !strings.Contains(hole.Notices[0], "hole on 2025-06-06") {
		t.Errorf("a hole on the sixth: %+v", hole)
	}
	if hole.Days[3].Mown >= 100 || hole.Days[3].Mown == 0 {
		t.Errorf("past the hole other years speak: %+v", hole.Days[3])
	}
}
