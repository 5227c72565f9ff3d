package cli_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	ics "github.com/arran4/golang-ical"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"rowen/internal/cli"
)

// root makes the project's folder the working folder, and out a scratch one.
func root(t *testing.T) string {
	t.Helper()
	t.Chdir(filepath.Join("..", ".."))
	return t.TempDir()
}

func run(t *testing.T, args ...string) (string, string, int) {
	t.Helper()
	return answer(t, "", args...)
}

// answer runs with lines to read.
func answer(t *testing.T, in string, args ...string) (string, string, int) {
	t.Helper()
	var out, err bytes.Buffer
	code := cli.Run(args, strings.NewReader(in), &out, &err)
	return out.String(), err.String(), code
}

// fields splits a command line as a shell does with double quotes.
func fields(line string) (out []string) {
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			out = append(out, part)
		} else {
			out = append(out, strings.Fields(part)...)
		}
	}
	return out
}

// Every command line that help shows runs.
func TestHelpExamples(t *testing.T) {
	out := root(t)
	seen := 0
	for _, command := range []string{"plan", "suggest", "today", "mow", "review", "record", "explain", "check", "book", "start", "grow", "weather", "crops", "rank", "bulletin", "visit", "hazards", "plots", "validate", "words", "version"} {
		help, _, code := run(t, command, "--help")
		if code != cli.OK {
			t.Errorf("%s --help ends with %d", command, code)
		}
		for _, line := range cli.Examples[command] {
			seen++
			if !strings.Contains(strings.Join(strings.Fields(help), " "), strings.Join(strings.Fields(line), " ")) {
				t.Errorf("%s --help does not show %q", command, line)
			}
			args := fields(strings.ReplaceAll(line, " out", " "+out))[1:]
			for i := range args {
				args[i] = strings.Replace(args[i], "out/plan.json", filepath.Join(out, "plan.json"), 1)
			}
			if command == "validate" {
				if _, err := os.Stat(args[2]); err != nil {
					continue // the stations are not here
				}
			}
			text, problems, code := run(t, args...)
			if code != cli.OK || text == "" {
				t.Errorf("%s: exit %d\n%s", line, code, problems)
			}
		}
	}
	if seen < 12 {
		t.Errorf("only %d examples", seen)
	}
}

// The files of a plan, opened by readers that are not ours.
func TestPlanFiles(t *testing.T) {
	out := root(t)
	if _, problems, code := run(t, "plan", "examples/dairy.toml", "--years", "2010-2019", "--out", out); code != cli.OK {
		t.Fatal(problems)
	}
	text, err := os.ReadFile(filepath.Join(out, "plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	schema, err := jsonschema.NewCompiler().Compile(filepath.Join("docs", "plan.schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if err := schema.Validate(value); err != nil {
		t.Errorf("plan.json does not keep docs/plan.schema.json: %v", err)
	}
	calendar, err := os.ReadFile(filepath.Join(out, "calendar.ics"))
	if err != nil {
		t.Fatal(err)
	}
	cal, err := ics.ParseCalendar(bytes.NewReader(calendar))
	if err != nil || len(cal.Events()) < 8 {
		t.Errorf("calendar: %v", err)
	}
	for _, line := range strings.Split(string(calendar), "\r\n") {
		if len(line) > 75 {
			t.Errorf("calendar line of %d octets: %q", len(line), line)
		}
	}
	page, err := os.ReadFile(filepath.Join(out, "plan.html"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Fallow Brook", "What to sow", "prussic acid", "Assumed", "Sources", "<svg", "veterinarian"} {
		if !bytes.Contains(page, []byte(want)) {
			t.Errorf("plan.html lacks %q", want)
		}
	}
	for _, bad := range []string{"http://", "https://", "NaN", "Inf", "%!"} {
		if bytes.Contains(page, []byte(bad)) {
			t.Errorf("plan.html holds %q", bad)
		}
	}
	ledger, _ := os.ReadFile(filepath.Join(out, "ledger.csv"))
	if n := bytes.Count(ledger, []byte("\n")); n != 73 {
		t.Errorf("ledger.csv has %d lines, want a head and 72", n)
	}
	again := t.TempDir()
	if _, _, code := run(t, "plan", "examples/dairy.toml", "--years", "2010-2019", "--out", again, "--workers", "1"); code != cli.OK {
		t.Fatal("second plan failed")
	}
	for _, name := range []string{"plan.json", "plan.html", "ledger.csv", "seed-order.csv", "calendar.ics"} {
		a, _ := os.ReadFile(filepath.Join(out, name))
		b, err := os.ReadFile(filepath.Join(again, name))
		if err != nil || !bytes.Equal(a, b) {
			t.Errorf("%s differs between two runs", name)
		}
	}
}

// Every figure of a plan opens, and a figure that was tampered with does not.
func TestExplain(t *testing.T) {
	out := root(t)
	path := filepath.Join(out, "plan.json")
	if _, problems, code := run(t, "plan", "examples/sheep.toml", "--years", "2010-2012", "--out", out); code != cli.OK {
		t.Fatal(problems)
	}
	list, _, _ := run(t, "explain", path)
	keys := strings.Split(strings.TrimSpace(list), "\n")
	if len(keys) < 20 {
		t.Errorf("%d figures", len(keys))
	}
	for _, line := range keys {
		key := strings.Fields(line)[0]
		if text, problems, code := run(t, "explain", path, key); code != cli.OK || !strings.Contains(text, "source") {
			t.Errorf("%s: exit %d %s", key, code, problems)
		}
	}
	text, _ := os.ReadFile(path)
	var plan map[string]any
	if err := json.Unmarshal(text, &plan); err != nil {
		t.Fatal(err)
	}
	figure := plan["figures"].([]any)[0].(map[string]any)
	figure["value"] = figure["value"].(float64) + 1
	changed, _ := json.Marshal(plan)
	if err := os.WriteFile(path, changed, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, problems, code := run(t, "explain", path, figure["key"].(string)); code != cli.Problem || !strings.Contains(problems, "made again") {
		t.Errorf("a changed figure: exit %d %s", code, problems)
	}
	if _, problems, code := run(t, "explain", path, "nothing"); code != cli.Problem || !strings.Contains(problems, "no such figure") {
		t.Errorf("an unknown key: exit %d %s", code, problems)
	}
}

// Bad input: a clear error, an exit code that is not 0, nothing written, and what
// stood before still whole.
func TestBadInput(t *testing.T) {
	dir := root(t)
	good, err := os.ReadFile("examples/dairy.toml")
	if err != nil {
		t.Fatal(err)
	}
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	swap := func(old, new string) string {
		if !strings.Contains(string(good), old) {
			t.Fatalf("the example has no %q", old)
		}
		return strings.Replace(string(good), old, new, 1)
	}
	out := filepath.Join(dir, "out")
	if err := os.Mkdir(out, 0o755); err != nil {
		t.Fatal(err)
	}
	before := write("out/plan.json", "what stood before")
	for name, c := range map[string]struct{ text, want string }{
		"bare number":     {swap(`area = "22 ac"`, `area = 22`), "a bare number has no unit"},
		"no unit":         {swap(`area = "22 ac"`, `area = "22"`), `a unit is missing; write "22 ac" or "22 ha"`},
		"wrong unit":      {swap(`area = "22 ac"`, `area = "22 lb"`), "this is a mass; an area is wanted"},
		"negative area":   {swap(`area = "22 ac"`, `area = "-22 ac"`), "a piece of ground has between"},
		"pH 70":           {swap("pH = 6.5", "pH = 70"), "it must lie between 3 and 10"},
		"unknown crop":    {swap(`crop = "corn-silage"`, `crop = "corn-silige"`), "no such crop in the catalogue"},
		"unknown field":   {swap(`field = "North Six"`, `field = "North Sax"`), "no field has this name"},
		"overlap":         {string(good) + "\n[[sowing]]\nfield = \"Mill Flat\"\ncrop = \"pearl-millet\"\non = \"2027-04-01\"\n", "it overlaps the sowing on line"},
		"organic N":       {string(good) + "\n[[sowing]]\nfield = \"Upper Meadow\"\ncrop = \"pearl-millet\"\nnitrogen = \"50 lb/ac\"\n", "an organic farm uses no mineral nitrogen"},
		"empty herd":      {regexp.MustCompile(`head = \d+`).ReplaceAllString(string(good), "head = 0"), "there are no animals"},
		"no grazing":      {strings.NewReplacer(`use = "graze"`, `use = "wrap"`).Replace(string(good)), "nothing is there to graze"},
		"unknown key":     {swap(`units = "us"`, `unit = "us"`), "did you mean units?"},
		"syntax":          {swap(`units = "us"`, `units = `), "TOML"},
		"invalid UTF-8":   {swap("Fallow Brook\"", "Fallow \xff\""), "not valid UTF-8"},
		"10 MB line":      {"rowen = 1\nname = \"" + strings.Repeat("x", 10<<20) + "\"\n", "longer than a million characters"},
		"texture":         {swap(`texture = "sandy loam"`, `texture = "sandloam"`), "is unknown; write one of"},
		"too much stock":  {swap(`amount = "45 ton"`, `amount = "450 ton"`), "more than the store holds"},
		"parts too large": {swap(`field = "North Six"`, "field = \"North Six\"\npart = \"99 ac\""), "it must lie between nothing and the field's"},
	} {
		path := write("bad.toml", c.text)
		for _, args := range [][]string{{"check", path}, {"plan", path, "--out", out}} {
			text, problems, code := run(t, args...)
			if code != cli.Problem || !strings.Contains(problems, c.want) || text != "" {
				t.Errorf("%s: %s: exit %d, want %q in\n%s", name, args[0], code, c.want, problems)
			}
			if name != "empty herd" && name != "no grazing" && !strings.Contains(problems, "bad.toml:") {
				t.Errorf("%s: no line is named: %s", name, problems)
			}
		}
	}
	entries, _ := os.ReadDir(out)
	if got, err := os.ReadFile(before); err != nil || string(got) != "what stood before" || len(entries) != 1 {
		t.Errorf("something was written: %v", entries)
	}
	for name, c := range map[string]struct{ text, want string }{
		"truncated": {"USW00094728201701TMAX  100  W   5", "length"},
		"garbled":   {"date,tmax_c,tmin_c,rain_mm\n2017-01-01,x,1,0\n", "not a number"},
		"too short": {"date,tmax_c,tmin_c,rain_mm\n2017-01-01,5,1,0\n", "no usable feed year"},
	} {
		path := write("weather.csv", c.text)
		if _, problems, code := run(t, "plan", "examples/dairy.toml", "--weather", path, "--out", out); code != cli.Problem || !strings.Contains(problems, c.want) {
			t.Errorf("%s weather: exit %d %s", name, code, problems)
		}
	}
	if _, problems, code := run(t, "plan", "examples/dairy.toml", "--years", "2015-2016", "--out", filepath.Join(before, "sub")); code != cli.Problem || !strings.Contains(problems, "cannot make folder") {
		t.Errorf("unwritable folder: exit %d %s", code, problems)
	}
	if _, _, code := run(t, "plan"); code != cli.Usage {
		t.Errorf("no farm: exit %d", code)
	}
	if _, _, code := run(t, "sow"); code != cli.Usage {
		t.Errorf("no such command: exit %d", code)
	}
}

// Eight numbers are enough: what start writes can be planned.
func TestStart(t *testing.T) {
	dir := root(t)
	path := filepath.Join(dir, "mine.toml")
	_, problems, code := run(t, "start", "--place", "42.4,-76.5", "--animals", "40", "--weight", "1,250 lb", "--sward", "60 ha", "--cropland", "6 ha", "--stored", "90 t", "--turnout", "6 May", "--first-year", "2027", "--out", path)
	if code != cli.OK {
		t.Fatal(problems)
	}
	text, problems, code := run(t, "plan", path, "--years", "2015-2019")
	if code != cli.OK || !strings.Contains(text, "Our farm") {
		t.Errorf("exit %d\n%s%s", code, text, problems)
	}
	// Asked instead: a wrong answer is asked again, and what comes out is planned.
	text, problems, code = answer(t, "43.1,-74.5\n70\n48\n48 lb/d\n180 ac\n40 ac\n250 ton\n5 May\n2027\n", "start")
	if code != cli.OK || !strings.Contains(problems, "write milk a day") || !strings.Contains(text, "48 lb/d") {
		t.Errorf("asked: exit %d\n%s%s", code, text, problems)
	}
	if _, problems, code := answer(t, "43.1,-74.5\n", "start"); code != cli.Problem || !strings.Contains(problems, "no answer") {
		t.Errorf("answers that end early: exit %d %s", code, problems)
	}
	if _, problems, code := run(t, "start", "--place", "here", "--animals", "4", "--milk", "1 lb/d", "--sward", "1 ac", "--cropland", "1 ac", "--stored", "1 t", "--turnout", "6 May", "--first-year", "2027"); code != cli.Problem || !strings.Contains(problems, "latitude and longitude") {
		t.Errorf("a bad place: exit %d %s", code, problems)
	}
}

// Invented weather that was printed is read again and plans a farm.
func TestGeneratedWeatherPlans(t *testing.T) {
	dir := root(t)
	text, problems, code := run(t, "weather", "--generate", "12", "--seed", "3")
	if code != cli.OK {
		t.Fatal(problems)
	}
	path := filepath.Join(dir, "invented.csv")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	if text, problems, code := run(t, "plan", "examples/sheep.toml", "--weather", path); code != cli.OK || !strings.Contains(text, "11 years") {
		t.Errorf("exit %d\n%s%s", code, text, problems)
	}
}

// Real weather plans too: St Johnsbury, Vermont, put right by Albany.
func TestRealWeather(t *testing.T) {
	root(t)
	data := filepath.Join("..", "shared", "data")
	if _, err := os.Stat(data); err != nil {
		t.Skip("real weather is not here: skipped")
	}
	text, problems, code := run(t, "plan", "examples/dairy.toml", "--weather", filepath.Join(data, "weather-daily-northeast-2000-2018", "USC00437054.csv"), "--neighbour", filepath.Join(data, "weather-daily-albany-ny", "USW00014735.csv"))
	if code != cli.OK || !strings.Contains(text, "(2001-2018)") {
		t.Errorf("exit %d\n%s%s", code, text, problems)
	}
}
