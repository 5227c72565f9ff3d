package cli_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/internal/cli"
)

// A trial's files are written, and a sheet that may be filled in is never lost.
func TestPlotsFiles(t *testing.T) {
	out := filepath.Join(root(t), "trial")
	lay := func(seed string) (string, string, int) {
		return run(t, "plots", "--treatment", "teff", "--treatment", "rye, early", "--blocks", "3", "--plot", "5 ft x 20 ft", "--seed", seed, "--out", out)
	}
	text, problems, code := lay("7")
	if code != cli.OK {
		t.Fatal(problems)
	}
	printed, _, _ := strings.Cut(text, "\nWritten to")
	if got, err := os.ReadFile(filepath.Join(out, "map.txt")); err != nil || string(got) != printed {
		t.Errorf("map.txt is not the map printed: %v", err)
	}
	if page, err := os.ReadFile(filepath.Join(out, "map.html")); err != nil || !bytes.Contains(page, []byte("<b>302</b>")) {
		t.Errorf("map.html lacks plot 302: %v", err)
	}
	if _, problems, code := lay("7"); code != cli.OK {
		t.Errorf("the same map once more: %s", problems)
	}
	path := filepath.Join(out, "harvest.csv")
	sheet, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	filled := bytes.ReplaceAll(sheet, []byte(",,,,,,,,,\n"), []byte(",,36,20,32.4,412,84.5,,,\n"))
	if err := os.WriteFile(path, filled, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, seed := range []string{"7", "8"} {
		if _, problems, code := lay(seed); code != cli.Problem || !strings.Contains(problems, "may be filled in") {
			t.Errorf("seed %s over a filled sheet: exit %d %s", seed, code, problems)
		}
	}
	if now, _ := os.ReadFile(path); !bytes.Equal(now, filled) {
		t.Error("the filled sheet was changed")
	}
	yields, problems, code := run(t, "plots", "--harvest", path)
	if code != cli.OK || !strings.Contains(yields, "    2.41    3  rye, early\n") {
		t.Errorf("exit %d %s\n%s", code, problems, yields)
	}
}

func TestPlotsBadInput(t *testing.T) {
	out := filepath.Join(root(t), "trial")
	for name, c := range map[string]struct {
		args []string
		code int
		want []string
	}{
		"all at once": {[]string{"--treatment", "a", "--treatment", "A", "--blocks", "1", "--plot", "5 x 20 lb", "--alley", "3", "--border", "wide", "--out", out}, cli.Problem,
			[]string{`plot width: "5": a unit is missing`, `plot length: "20 lb": this is a mass`, `alley: "3"`, `border: "wide"`, "named twice", "at least 2 blocks", "6 problems; nothing was written"}},
		"plot":       {[]string{"--treatment", "a", "--treatment", "b", "--blocks", "2", "--plot", "5 ft", "--out", out}, cli.Problem, []string{`plot: "5 ft": write width x length`}},
		"design":     {[]string{"--design", "lattice", "--out", out}, cli.Problem, []string{`"lattice": no such design`}},
		"both":       {[]string{"--harvest", "h.csv", "--treatment", "a"}, cli.Usage, []string{"can't be used together"}},
		"both files": {[]string{"--harvest", "h.csv", "--out", out}, cli.Usage, []string{"can't be used together"}},
		"no sheet":   {[]string{"--harvest", filepath.Join(out, "none.csv")}, cli.Problem, []string{"filled in"}},
		"units":      {[]string{"--units", "old"}, cli.Problem, []string{"--units"}},
	} {
		_, problems, code := run(t, append([]string{"plots"}, c.args...)...)
		if code != c.code {
			t.Errorf("%s: exit %d, want %d", name, code, c.code)
		}
		for _, want := range c.want {
			if !strings.Contains(problems, want) {
				t.Errorf("%s: nothing tells %q:\n%s", name, want, problems)
			}
		}
		if _, err := os.Stat(out); err == nil {
			t.Errorf("%s: something was written", name)
		}
	}
}
