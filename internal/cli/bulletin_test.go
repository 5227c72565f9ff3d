package cli_test

import (
	"bytes"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rowen/internal/cli"
)

// village makes a folder of farm documents from the demo farms: name to changes,
// old and new in turn.
func village(t *testing.T, farms map[string][]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, change := range farms {
		demo, _, _ := strings.Cut(name, "-")
		text, err := os.ReadFile(filepath.Join("examples", demo+".toml"))
		if err != nil {
			t.Fatal(err)
		}
		for i := 0; i+1 < len(change); i += 2 {
			if !strings.Contains(string(text), change[i]) {
				t.Fatalf("%s has no %q", demo, change[i])
			}
		}
		if err := os.WriteFile(filepath.Join(dir, name+".toml"), []byte(strings.NewReplacer(change...).Replace(string(text))), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// written is every file of a folder by name.
func written(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil
	}
	out := map[string]string{}
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = string(text)
	}
	return out
}

// The bulletin and a visit sheet of the demo farms, frozen.
func TestGoldenBulletin(t *testing.T) {
	folder, err := filepath.Abs(filepath.Join("testdata", "golden"))
	if err != nil {
		t.Fatal(err)
	}
	root(t)
	for name, args := range map[string][]string{
		"bulletin.txt":     {"bulletin", "examples", "--on", "2025-06-10"},
		"visit-dairy.txt":  {"visit", "examples/dairy.toml", "--on", "2025-06-10"},
		"visit-sheep.txt":  {"visit", "examples/sheep.toml", "--on", "2025-09-25"},
		"bulletin-far.txt": {"bulletin", "examples", "--on", "2031-09-25", "--units", "metric"},
	} {
		text, problems, code := run(t, args...)
		if code != cli.OK {
			t.Fatalf("%v: %s", args, problems)
		}
		path := filepath.Join(folder, name)
		if *update {
			if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if text != string(want) {
			g, w := strings.Split(text, "\n"), strings.Split(string(want), "\n")
			for i := range g {
				if i >= len(w) || g[i] != w[i] {
					t.Errorf("%s:%d is now\n%s", name, i+1, g[i])
					break
				}
			}
		}
	}
	for _, line := range strings.Split(string(must(os.ReadFile(filepath.Join(folder, "bulletin.txt")))), "\n") {
		if n := len([]rune(line)); n > 120 {
			t.Errorf("a line of %d columns: %s", n, line)
		}
	}
}

func must(b []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return b
}

// A farm that does not consent is counted and appears nowhere: not on the screen,
// not beside it, in no file and no file's name.
func TestWithoutConsent(t *testing.T) {
	out := root(t)
	dir := village(t, map[string][]string{
		"dairy": {}, "beef": {}, "sheep-a": {},
		"dairy-quiet": {`name = "Fallow Brook"`, `name = "Quillwort Hall"`, "consent = true", "consent = false", "555-0101", "555-0999", "North Six", "Quillwort Six"},
		"beef-silent": {`name = "Stone Gate"`, `name = "Quillwort End"`, "consent = true", "", "555-0102", "555-0999", "Road Field", "Quillwort Road"},
	})
	text, beside, code := run(t, "bulletin", dir, "--on", "2025-06-10", "--out", out)
	if code != cli.OK {
		t.Fatalf("exit %d %s", code, beside)
	}
	if !strings.Contains(text, "2 farms left out for want of consent") || !strings.Contains(text, "3 farms in this bulletin") {
		t.Errorf("not counted:\n%s", text)
	}
	files := written(t, out)
	if len(files) != 9 {
		t.Errorf("%d files", len(files))
	}
	files["the screen"], files["beside the screen"] = text, beside
	for name, text := range files {
		for _, bad := range []string{"quillwort", "555-0999"} {
			if strings.Contains(strings.ToLower(text+name), bad) {
				t.Errorf("%s tells of a farm that did not consent (%q)", name, bad)
			}
		}
	}
	if !strings.Contains(files["bulletin.html"], "Fallow Brook") {
		t.Error("a farm that consented is missing")
	}
	// A farm that does not consent does not lift a comparison over four, either.
	if !strings.Contains(text, "withheld: it needs 4 farms that consent, and there are 3") || strings.Contains(files["comparison.html"], "<table") || strings.Count(files["comparison.csv"], "\n") != 2 {
		t.Errorf("the comparison is not withheld:\n%s", files["comparison.csv"])
	}
}

// Five farms are compared under letters, without a name, a contact or a field; a
// column that fewer than four share is not shown.
func TestComparison(t *testing.T) {
	out := root(t)
	dir := village(t, map[string][]string{
		"dairy": {}, "dairy-b": {`name = "Fallow Brook"`, `name = "Alder Farm"`, `amount = "125 ton"`, `amount = "60 ton"`},
		"beef": {}, "beef-b": {`name = "Stone Gate"`, `name = "Birch Farm"`, `area = "46 ac"`, `area = "30 ac"`}, "sheep": {},
	})
	text, problems, code := run(t, "bulletin", dir, "--on", "2025-06-10", "--out", out)
	if code != cli.OK || !strings.Contains(text, "5 farms under letters") {
		t.Fatalf("exit %d %s\n%s", code, problems, text)
	}
	files := written(t, out)
	rows, err := csv.NewReader(strings.NewReader(files["comparison.csv"])).ReadAll()
	if err != nil || len(rows) != 6 {
		t.Fatalf("%v, %d rows", err, len(rows))
	}
	for i, row := range rows[1:] {
		if row[0] != string(rune('A'+i)) {
			t.Errorf("row %d is %q", i, row[0])
		}
		for _, cell := range row[1:] {
			if _, err := strconv.ParseFloat(cell, 64); err != nil && cell != "" {
				t.Errorf("%q is no number", cell)
			}
		}
	}
	for _, name := range []string{"comparison.html", "comparison.csv"} {
		for _, bad := range []string{"Fallow", "Alder", "Stone", "Birch", "Thorn", "555-", "North Six", "Winnock", "dairy", "beef", "sheep", "brassica"} {
			if strings.Contains(files[name], bad) && bad != "brassica" || strings.Contains(strings.Join(rows[0], " "), bad) {
				t.Errorf("%s tells %q", name, bad)
			}
		}
	}
	if !strings.Contains(files["comparison.html"], "and brassicas, which fewer than 4 farms grow") || !strings.Contains(files["comparison.html"], "Letters follow a hash") {
		t.Error("what is left out, or how letters are given, is not said")
	}
	letters := map[string]bool{}
	for name, text := range files {
		if m := regexp.MustCompile(`comparison between farms this farm is ([A-E])\.`).FindStringSubmatch(text); m != nil {
			letters[m[1]] = true
			if !strings.HasPrefix(name, "visit-") {
				t.Errorf("%s tells a letter", name)
			}
		}
	}
	if len(letters) != 5 {
		t.Errorf("visit sheets tell %d letters", len(letters))
	}
	again := t.TempDir()
	if _, _, code := run(t, "bulletin", dir, "--on", "2025-06-10", "--out", again, "--workers", "1"); code != cli.OK {
		t.Fatal("second bulletin failed")
	}
	for name, text := range written(t, again) {
		if text != files[name] {
			t.Errorf("%s differs between two runs", name)
		}
	}
}

// Seed by supplier is the sum of the farms, and both of what each farm's own plan
// orders; a cell that a spreadsheet would run is made harmless, and pages escape
// what they print.
func TestSeedSumsAndEscapes(t *testing.T) {
	out := root(t)
	dir := village(t, map[string][]string{
		"dairy": {`supplier = "Mill Lane Seeds"
maturity_days`, "supplier = \"=HYPERLINK(1)\"\nmaturity_days", `"Early Bramble"`, `"@corn"`},
		"sheep": {`name = "Thorn Bank"`, `name = "-1+<script>x</script>"`}, "beef": {"consent = true", ""},
	})
	if _, problems, code := run(t, "bulletin", dir, "--on", "2025-06-10", "--out", out); code != cli.OK {
		t.Fatal(problems)
	}
	files := written(t, out)
	sums := func(name string) (bags int, cost float64) {
		rows, err := csv.NewReader(strings.NewReader(files[name])).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		at := map[string]int{}
		for i, head := range rows[0] {
			at[head] = i
		}
		for _, row := range rows[1:] {
			for _, cell := range row {
				if cell != "" && strings.ContainsRune("=+-@", rune(cell[0])) {
					t.Errorf("%s: %q would be run", name, cell)
				}
			}
			n, _ := strconv.Atoi(row[at["bags"]])
			money, _ := strconv.ParseFloat(row[at["cost"]], 64)
			bags, cost = bags+n, cost+money
		}
		return bags, cost
	}
	bags, cost := sums("seed-by-supplier.csv")
	parts, split := sums("seed-by-farm.csv")
	if bags != parts || cost != split || bags == 0 {
		t.Errorf("%d bags and %g, by farm %d and %g", bags, cost, parts, split)
	}
	if !strings.Contains(files["seed-by-supplier.csv"], "'=HYPERLINK(1)") || strings.Contains(files["seed-by-supplier.csv"], "Thorn") {
		t.Error(files["seed-by-supplier.csv"])
	}
	for name, text := range files {
		if strings.HasSuffix(name, ".html") && strings.Contains(text, "<script") {
			t.Errorf("%s runs what a document holds", name)
		}
		for _, bad := range []string{"NaN", "Inf", "%!", "http://", "https://"} {
			if strings.Contains(text, bad) {
				t.Errorf("%s holds %q", name, bad)
			}
		}
	}
	if _, ok := files["visit-1-script-x-script.html"]; !ok {
		t.Error("no visit sheet under a plain name")
	}
}

// A farm with problems is told by file and line; the others are printed, nothing
// is written, and the exit code says so.
func TestBrokenFarmInFolder(t *testing.T) {
	out := root(t)
	dir := village(t, map[string][]string{
		"dairy": {}, "beef-a": {`area = "46 ac"`, `area = "46"`}, "sheep-a": {"latitude = 42.98", "latitude = 42.98\nweather = \"nothing.csv\""},
	})
	text, problems, code := run(t, "bulletin", dir, "--on", "2025-06-10", "--out", filepath.Join(out, "new"))
	if code != cli.Problem {
		t.Fatalf("exit %d", code)
	}
	for _, want := range []string{"beef-a.toml:", "a unit is missing", "sheep-a.toml: farm", "nothing.csv", "nothing was written"} {
		if !strings.Contains(problems, want) {
			t.Errorf("no %q in\n%s", want, problems)
		}
	}
	if !strings.Contains(text, "1. Fallow Brook") || !strings.Contains(text, "2 farms left out for problems") {
		t.Errorf("the others did not go on:\n%s", text)
	}
	if files := written(t, filepath.Join(out, "new")); len(files) != 0 {
		t.Errorf("%d files written", len(files))
	}
	alone := village(t, map[string][]string{"beef-a": {`area = "46 ac"`, `area = "46"`}})
	if text, _, code := run(t, "bulletin", alone); code != cli.Problem || text != "" {
		t.Errorf("a folder of one broken farm: exit %d, %q", code, text)
	}
}

func TestBulletinBadInput(t *testing.T) {
	out := root(t)
	for name, c := range map[string]struct {
		args []string
		want string
	}{
		"empty folder": {[]string{"bulletin", t.TempDir(), "--out", out}, "no farm document (*.toml) lies in it"},
		"no folder":    {[]string{"bulletin", filepath.Join(out, "nowhere")}, "give the folder that holds your farm documents"},
		"a file":       {[]string{"bulletin", "examples/dairy.toml"}, "give the folder that holds your farm documents"},
		"bad date":     {[]string{"bulletin", "examples", "--on", "10 June"}, "--on"},
		"bad units":    {[]string{"bulletin", "examples", "--units", "cubits"}, "--units"},
		"no farm":      {[]string{"visit", filepath.Join(out, "none.toml")}, "none.toml"},
	} {
		text, problems, code := run(t, c.args...)
		if code != cli.Problem || text != "" || !strings.Contains(problems, c.want) {
			t.Errorf("%s: exit %d, %q, %s", name, code, text, problems)
		}
	}
	if files := written(t, out); len(files) != 0 {
		t.Errorf("%d files written", len(files))
	}
	text, problems, code := run(t, "bulletin", village(t, map[string][]string{"beef": {"consent = true", ""}}), "--on", "2025-06-10")
	if code != cli.OK || !strings.Contains(text, "0 farms in this bulletin. 1 farm left out for want of consent") {
		t.Errorf("nobody consents: exit %d %s\n%s", code, problems, text)
	}
}

// A date outside the record is said to be so, and the years speak.
func TestBulletinOutsideTheRecord(t *testing.T) {
	root(t)
	for _, on := range []string{"2031-06-10", "1950-06-10"} {
		text, problems, code := run(t, "bulletin", "examples", "--on", on)
		if code != cli.OK || !strings.Contains(text, "does not hold this date; usual is") || !strings.Contains(text, "not measured") || strings.Contains(text, "NaN") {
			t.Errorf("%s: exit %d %s\n%s", on, code, problems, text)
		}
	}
}

// A visit sheet is one page of Letter, of a small farm and of one with forty
// fields.
func TestVisitIsOnePage(t *testing.T) {
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("no Chromium on this machine: the sheet was not printed")
	}
	out := root(t)
	var fields strings.Builder
	for i := range 40 {
		fields.WriteString("\n[[field]]\nname = \"Outlying Meadow " + strconv.Itoa(i) + "\"\narea = \"3 ac\"\nsoil = { texture = \"loam\", drainage = \"well drained\", pH = 6.5 }\nstand = \"grass-clover\"\nuse = \"hay\"\n")
	}
	dir := village(t, map[string][]string{"dairy": {}, "sheep": {}, "dairy-large": {`name = "Fallow Brook"`, `name = "Wide Acres"`, "# --- Animals", fields.String() + "\n# --- Animals"}})
	if _, problems, code := run(t, "bulletin", dir, "--on", "2025-06-10", "--out", out); code != cli.OK {
		t.Fatal(problems)
	}
	for _, name := range []string{"visit-fallow-brook", "visit-thorn-bank", "visit-wide-acres"} {
		pdf := filepath.Join(out, name+".pdf")
		cmd := exec.Command(chromium, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", "--user-data-dir="+t.TempDir(), "--print-to-pdf="+pdf, "file://"+filepath.ToSlash(filepath.Join(out, name+".html")))
		if text, err := cmd.CombinedOutput(); err != nil {
			t.Skipf("the browser does not start here: %v %s", err, text)
		}
		text, err := os.ReadFile(pdf)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(regexp.MustCompile(`/Type\s*/Page\b[^s]`).FindAll(text, -1)); n != 1 || !bytes.HasPrefix(text, []byte("%PDF-")) {
			t.Errorf("%s takes %d pages", name, n)
		}
	}
}
