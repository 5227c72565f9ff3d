package cli_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/internal/cli"
	"rowen/internal/report"
	"rowen/internal/solver"
)

func TestMain(m *testing.M) {
	if solver.IsChild() {
		os.Exit(solver.RunChild())
	}
	os.Exit(m.Run())
}

// A suggestion is printed, its page and data are written, and the new document plans.
func TestSuggest(t *testing.T) {
	out := root(t)
	fresh := filepath.Join(out, "new.toml")
	args := []string{"suggest", "examples/beef.toml", "--years", "2013-2020", "--plans", "2", "--what-if", "avoid forage-rape", "--out", out, "--write", fresh}
	text, problems, code := run(t, args...)
	if code != cli.OK {
		t.Fatalf("exit %d\n%s", code, problems)
	}
	for _, want := range []string{"on the coupled farm", "no plan is below", "Why the first of them", "What if", "not chosen on", "Ruled out", "Weighed by", "veterinarian"} {
		if !strings.Contains(text, want) {
			t.Errorf("the screen does not say %q", want)
		}
	}
	if !strings.Contains(problems, "no plan is below") {
		t.Errorf("no progress with bound and gap:\n%s", problems)
	}
	data, err := os.ReadFile(filepath.Join(out, "suggest.json"))
	if err != nil {
		t.Fatal(err)
	}
	var page report.Suggestion
	if err := json.Unmarshal(data, &page); err != nil {
		t.Fatal(err)
	}
	var first *report.SuggestedPlan
	for i := range page.Plans {
		if page.Plans[i].Suggested && first == nil {
			first = &page.Plans[i]
		}
	}
	if first == nil || first.Proven > 0.01 || first.Bound <= 0 {
		t.Fatalf("%+v", first)
	}
	html, err := os.ReadFile(filepath.Join(out, "suggest.html"))
	if err != nil || strings.Count(string(html), "<svg") != 2 || strings.Contains(string(html), "ZgotmplZ") {
		t.Errorf("the page has %d drawings, %v", strings.Count(string(html), "<svg"), err)
	}
	planned, problems, code := run(t, "plan", fresh, "--years", "2013-2020")
	if code != cli.OK {
		t.Fatalf("the new document does not plan: %s", problems)
	}
	for _, f := range first.Fields {
		if f.Changed && f.Programme != "as it is" && !strings.Contains(planned, f.Field) {
			t.Errorf("the plan of the new document does not sow %s", f.Field)
		}
	}
	if _, problems, code = run(t, args...); code != cli.Problem || !strings.Contains(problems, "it is there already") {
		t.Errorf("a second writing ends with %d: %s", code, problems)
	}
}

// What cannot be asked is refused with a remedy.
func TestSuggestRefuses(t *testing.T) {
	root(t)
	for _, x := range []struct {
		flag, value, want string
	}{
		{"--hold", "Road Field", "write a field and a crop"},
		{"--hold", "Moon=teff", "no field has this name"},
		{"--avoid", "moon-grass", "no such stand"},
		{"--risk", "2", "write a weight from 0"},
		{"--what-if", "forage more", "--what-if"},
		{"--most-sown", "12", "--most-sown"},
		{"--most-crop", "12 ac", "--most-crop"},
		{"--sale", "12 ac", "--sale"},
	} {
		_, problems, code := run(t, "suggest", "examples/beef.toml", "--years", "2019-2020", "--brief", x.flag, x.value)
		if code != cli.Problem || !strings.Contains(problems, x.want) {
			t.Errorf("%s %q: exit %d, %s", x.flag, x.value, code, problems)
		}
	}
}
