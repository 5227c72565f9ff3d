package cli_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/internal/cli"
)

// book is an empty journal for the demo dairy, and a file of a text beside it.
func book(t *testing.T) (record func(args ...string) (string, string, int), path string, file func(name, text string) string) {
	t.Helper()
	dir := root(t)
	path = filepath.Join(dir, "farm.journal")
	file = func(name, text string) string {
		at := filepath.Join(dir, name)
		if err := os.WriteFile(at, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return at
	}
	return func(args ...string) (string, string, int) {
		return run(t, append([]string{"record", "examples/dairy.toml", "--journal", path, "--date", "2025-07-10", "--device", "desk"}, args...)...)
	}, path, file
}

func mustRead(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	return string(text)
}

// A journal written as a sheet and read in again is the same journal, and twice is
// once.
func TestRecordSheetThereAndBack(t *testing.T) {
	record, path, file := book(t)
	sheet := file("out.csv", "")
	if text, problems, code := run(t, "record", "examples/dairy.toml", "--export", sheet); code != cli.OK || !strings.Contains(text, "26 entries") {
		t.Fatal(text, problems)
	}
	for _, want := range []string{"Kept 26 entries; 0 were there already", "Kept 0 entries; 26 were there already"} {
		if text, problems, code := record("--import", sheet); code != cli.OK || !strings.HasSuffix(text, want+"\n") {
			t.Fatalf("%s%s, want %s", text, problems, want)
		}
		if mustRead(t, path) != mustRead(t, "examples/dairy.journal") {
			t.Fatal("another journal came back")
		}
	}
	list, _, _ := record("--list")
	lines := strings.Split(strings.TrimSpace(list), "\n")
	if len(lines) != 26 || !strings.HasPrefix(lines[0], "2025-05-03 ") || !strings.HasPrefix(lines[25], "2025-07-09 ") {
		t.Errorf("listed:\n%s", list)
	}
}

// Rows are kept all or none: what is refused is kept by no flag, what is asked with
// --sure alone.
func TestRecordImport(t *testing.T) {
	record, path, file := book(t)
	const good = "date,kind,field,rain,heights\n2025-07-01,rain,,0.6 in,\n"
	for _, c := range []struct {
		name, sheet, want string
	}{
		{"bad value", good + "2025-07-02,rain,,0.6 lb,\n", "bad.csv:3"},
		{"bad kind", good + "2025-07-02,rian,,0.6 in,\n", "did you mean rain?"},
		{"no field", good + "2025-07-02,height,,,6 in\n", "field"},
	} {
		text, problems, code := record("--import", file("bad.csv", c.sheet), "--sure")
		if code != cli.Problem || !strings.Contains(problems, c.want) || mustRead(t, path) != "" {
			t.Errorf("%s: exit %d, %s%s; kept %q", c.name, code, text, problems, mustRead(t, path))
		}
	}
	odd := file("odd.csv", good+"2025-07-02,rain,,60 in,\n")
	text, problems, code := record("--import", odd)
	if code != cli.Problem || !strings.Contains(text, "asked: 2025-07-02 rain: rain 60 in: 60 in of rain in a day") || !strings.Contains(problems, "--sure") || mustRead(t, path) != "" {
		t.Errorf("asked: exit %d, %s%s", code, text, problems)
	}
	text, problems, code = record("--import", odd, "--sure")
	if code != cli.OK || !strings.Contains(text, "Kept: 2025-07-02 rain: rain 60 in (desk:2)") {
		t.Errorf("sure: exit %d, %s%s", code, text, problems)
	}
	before := mustRead(t, path)
	text, _, code = record("--import", file("good.csv", good+"2025-07-03,rain,,1 in,\n"))
	if code != cli.Problem || !strings.Contains(text, "desk:1 says the same word for word") || mustRead(t, path) != before {
		t.Errorf("twice: exit %d, %s", code, text)
	}
	text, _, code = record("--import", file("two.csv", good[:29]+"2025-07-04,rain,,1 in,\n2025-07-04,rain,,1 in,\n"))
	if code != cli.Problem || !strings.Contains(text, "another row says the same") || mustRead(t, path) != before {
		t.Errorf("two rows: exit %d, %s", code, text)
	}
	if _, problems, code := record("--import", filepath.Join(filepath.Dir(path), "none.csv")); code != cli.Problem || !strings.Contains(problems, "give its path") {
		t.Errorf("no sheet: exit %d, %s", code, problems)
	}
}

// A row changed in the sheet does not rewrite the entry; one that corrects it does.
func TestRecordImportRewrites(t *testing.T) {
	record, path, file := book(t)
	record("rain 0.6 in 8 July")
	sheet := file("farm.csv", "")
	record("--export", sheet)
	before := mustRead(t, path)
	changed := strings.Replace(mustRead(t, sheet), "0.6 in", "0.5 in", 1)
	text, problems, code := record("--import", file("changed.csv", changed), "--sure")
	if code != cli.Problem || !strings.Contains(problems, "write desk:1 under corrects") || mustRead(t, path) != before {
		t.Errorf("exit %d, %s%s", code, text, problems)
	}
	if text, problems, code := record("--import", file("right.csv", "date,kind,rain,corrects\n2025-07-08,rain,0.5 in,desk:1\n")); code != cli.OK {
		t.Error(text, problems)
	}
	if list, _, _ := record("--list"); list != "2025-07-08 rain: rain 0.5 in, corrects desk:1 (desk:2)\n" {
		t.Errorf("listed %q", list)
	}
}

// Two journals joined hold every entry once; of a conflict both sides are kept and
// told.
func TestRecordMerge(t *testing.T) {
	record, path, file := book(t)
	record("rain 0.6 in 8 July")
	other := file("other.journal", mustRead(t, path))
	record("rain 0.2 in 9 July note gauge tipped")
	for _, args := range [][]string{{"frost 30 F North Six 9 July"}, {"rain 1 in 10 July", "--device", "phone"}} {
		if text, problems, code := run(t, append([]string{"record", "examples/dairy.toml", "--journal", other, "--date", "2025-07-10", "--device", "desk", "--sure"}, args...)...); code != cli.OK {
			t.Fatal(text, problems)
		}
	}
	text, problems, code := record("--merge", other)
	if code != cli.OK || !strings.Contains(text, "Kept 2 entries; 1 were there already") || !strings.Contains(text, "two devices go by one name") {
		t.Errorf("exit %d, %s%s", code, text, problems)
	}
	list, told, _ := record("--list")
	for _, want := range []string{"rain 0.6 in (desk:1)", "rain 0.2 in (desk:2)\n  note: gauge tipped", "minimum 30 F (desk:2)", "rain 1 in (phone:1)"} {
		if !strings.Contains(list, want) {
			t.Errorf("%q is not in\n%s", want, list)
		}
	}
	if !strings.Contains(told, "desk:2") {
		t.Errorf("the conflict is not told: %s", told)
	}
	before := mustRead(t, path)
	if text, _, _ := record("--merge", other); text != "Kept 0 entries; 3 were there already\n" || mustRead(t, path) != before {
		t.Errorf("merged again: %s", text)
	}
}

// One thing at a time.
func TestRecordWants(t *testing.T) {
	record, _, _ := book(t)
	for _, args := range [][]string{{}, {"rain 1 in", "--list"}, {"--import", "a.csv", "--export", "b.csv"}} {
		if _, problems, code := record(args...); code != cli.Usage || !strings.Contains(problems, "give one of") {
			t.Errorf("%q: exit %d, %s", args, code, problems)
		}
	}
	if text, _, code := record("--list"); code != cli.OK || text != "Nothing is written down yet.\n" {
		t.Errorf("an empty journal: exit %d, %q", code, text)
	}
}

// What a farm knows is asked about: the size of its fields, the head of its groups.
func TestRecordAsksByTheFarm(t *testing.T) {
	record, path, _ := book(t)
	for phrase, want := range map[string]string{
		"cut Mill Flat hay 15 % 300 bales 1 ton":   "ton/ac of dry matter",
		"cut Mill Flat hay 28 %":                   "set itself and the barn on fire",
		"grazed Barn Pasture in Milkers 620":       "620 head, and Milkers has 62 at most",
		"manured Mill Flat 50,000 gal/ac of dairy": "more than ground takes up",
	} {
		if text, _, code := record(phrase); code != cli.Problem || !strings.Contains(text, "asked: ") || !strings.Contains(text, want) {
			t.Errorf("%s: exit %d, %s", phrase, code, text)
		}
	}
	if kept := mustRead(t, path); kept != "" {
		t.Errorf("kept %s", kept)
	}
}

// A line cut off by a power cut is told on the day's page.
func TestTodayTellsTornLine(t *testing.T) {
	_, _, file := book(t)
	whole := mustRead(t, "examples/dairy.journal")
	torn := file("torn.journal", whole[:len(whole)-30])
	for _, c := range []struct {
		journal string
		told    bool
	}{{"examples/dairy.journal", false}, {torn, true}} {
		text, problems, code := run(t, "today", "examples/dairy.toml", "--journal", c.journal, "--date", "2025-07-10", "--no-stock")
		if code != cli.OK {
			t.Fatal(problems)
		}
		if flat := strings.Join(strings.Fields(text), " "); strings.Contains(flat, "torn.journal:26") != c.told || strings.Contains(flat, "cut off while it was written") != c.told {
			t.Errorf("%s: torn line told is not %v:\n%s", c.journal, c.told, text)
		}
	}
}
