package cli_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"rowen/internal/cli"
)

// update rewrites the frozen outputs: go test ./internal/cli -run Golden -update.
// Do it with the change that moves them, and say in its message why they moved.
var update = flag.Bool("update", false, "rewrite the frozen outputs")

// Whole outputs, frozen: a plan of each demo farm with its ledger, a field sheet and
// a comparison. Whatever moves a number shows here.
func TestGolden(t *testing.T) {
	folder, err := filepath.Abs(filepath.Join("testdata", "golden"))
	if err != nil {
		t.Fatal(err)
	}
	out := root(t)
	frozen := func(name string, got []byte) {
		t.Helper()
		path := filepath.Join(folder, name)
		if *update {
			if err := os.MkdirAll(folder, 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
			return
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			g, w := bytes.Split(got, []byte("\n")), bytes.Split(want, []byte("\n"))
			for i := range g {
				if i >= len(w) || !bytes.Equal(g[i], w[i]) {
					t.Errorf("%s:%d is now\n%s", name, i+1, g[i])
					break
				}
			}
		}
	}
	for _, farm := range []string{"dairy", "beef", "sheep"} {
		_, problems, code := run(t, "plan", "examples/"+farm+".toml", "--years", "1998-2017", "--out", filepath.Join(out, farm))
		if code != cli.OK {
			t.Fatalf("%s: %s", farm, problems)
		}
		screen, _, _ := run(t, "plan", "examples/"+farm+".toml", "--years", "1998-2017")
		frozen(farm+".plan.txt", []byte(screen))
		ledger, err := os.ReadFile(filepath.Join(out, farm, "ledger.csv"))
		if err != nil {
			t.Fatal(err)
		}
		frozen(farm+".ledger.csv", ledger)
	}
	for name, args := range map[string][]string{
		"sheet-pearl-millet.txt":  {"crops", "pearl-millet"},
		"sheet-alfalfa-grass.txt": {"crops", "alfalfa-grass", "--units", "metric"},
		"sheet-rye-vetch.txt":     {"crops", "rye-vetch"},
		"compare.txt":             {"compare", "sorghum-sudangrass", "japanese-millet", "teff:hay", "forage-sorghum"},
	} {
		text, problems, code := run(t, args...)
		if code != cli.OK {
			t.Fatalf("%s: %s", name, problems)
		}
		frozen(name, []byte(text))
	}
}
