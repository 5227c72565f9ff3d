package desk_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/crop"
	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/quantity"
)

func rank(t *testing.T, r desk.RankRequest) []*report.Ranking {
	t.Helper()
	if r.Years == "" {
		r.Years = "2006-2020"
	}
	got, err := desk.Rank(r)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// The order keeps what Ranking says of it, on any ground, and every reason has a
// source.
func TestRankingKeepsItsOrder(t *testing.T) {
	for _, soil := range []string{"silt loam, well drained, pH 6.4", "silt loam, poorly drained, pH 5.6", "loamy sand, excessively drained, pH 5.2", "clay, very poorly drained, pH 7.8"} {
		for _, use := range []string{"", "graze", "hay"} {
			page := rank(t, desk.RankRequest{Soil: soil, For: use, All: true})[0]
			if len(page.Stands) < 40 {
				t.Fatalf("%s: %d stands", soil, len(page.Stands))
			}
			for i := range page.Stands {
				s := &page.Stands[i]
				worst := crop.Suited
				for _, r := range s.Reasons {
					worst = max(worst, r.Suitability)
					if r.Source == "" || r.Text == "" || r.Rule == "" {
						t.Errorf("%s on %s: %+v", s.Name, soil, r)
					}
				}
				if s.Class != worst.String() {
					t.Errorf("%s on %s is %s, its worst reason %v", s.Name, soil, s.Class, worst)
				}
				if i == 0 {
					continue
				}
				o := &page.Stands[i-1]
				if o.Suitability > s.Suitability || o.Suitability == s.Suitability && (o.Middle < s.Middle || o.Middle == s.Middle && o.Growth < s.Growth) {
					t.Errorf("%s: %s stands before %s", soil, o.Name, s.Name)
				}
			}
		}
	}
}

// The farm's own facts: its rotation, its horses, ground that animals cannot reach,
// certified land, and what was assumed.
func TestRankReadsTheFarm(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "examples", "dairy.toml"))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "farm.toml")
	changed := strings.Replace(string(text), `past = [ { year = 2026, crop = "corn-silage", manure = "20 ton/ac" }, { year = 2025, crop = "sorghum-sudangrass" }`, `past = [ { year = 2026, crop = "turnip" }, { year = 2025, crop = "sorghum-sudangrass" }`, 1)
	changed = strings.Replace(changed, "[[group]]\nname = \"Dry cows\"", "[[group]]\nname = \"Dry cows\"\nhorses = true", 1)
	if strings.Count(changed, "turnip") != 1 || strings.Count(changed, "horses = true") != 1 {
		t.Fatal("the example has changed")
	}
	if err := os.WriteFile(path, []byte(changed), 0o644); err != nil {
		t.Fatal(err)
	}
	page := rank(t, desk.RankRequest{Farm: path, Field: "Mill Flat", For: "graze"})[0]
	said := func(name, rule string) string {
		for i := range page.Stands {
			if s := &page.Stands[i]; s.Name == name {
				for _, r := range s.Reasons {
					if r.Rule == rule && r.Suitability > crop.Suited {
						return r.Text + " / " + r.Source
					}
				}
			}
		}
		return ""
	}
	for _, k := range []struct{ stand, rule, want string }{
		{"forage-rape", "rotation", "no brassica after brassica"},
		{"millet-rape", "rotation", "Delaware"},
		{"sudangrass", "horses", "never fed to horses"},
		{"pearl-millet", "use", "animals cannot graze this field / farm document"},
		{"teff", "use", "shallow roots: grazing pulls it up / common practice"},
	} {
		if got := said(k.stand, k.rule); !strings.Contains(got, k.want) {
			t.Errorf("%s, %s: %q does not say %q", k.stand, k.rule, got, k.want)
		}
	}
	if got := said("pearl-millet", "horses") + said("pearl-millet", "rotation"); got != "" {
		t.Errorf("of pearl millet is said: %s", got)
	}
	var out bytes.Buffer
	if err := report.WriteRanking(&out, page, quantity.Metric); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Mill Flat (Fallow Brook)", "certified land: for every stand: synthetic nitrogen is prohibited", "t/ha", "7 CFR 205"} {
		if !strings.Contains(strings.Join(strings.Fields(out.String()), " "), want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if text, err := json.Marshal(page); err != nil || !bytes.Contains(text, []byte(`"rule":"rotation"`)) {
		t.Errorf("as JSON: %v", err)
	}
	// Without a field: what is bare or sown. All of the example's three.
	if pages := rank(t, desk.RankRequest{Farm: path, Years: "2015-2016"}); len(pages) != 3 || pages[0].Field != "North Six" {
		t.Errorf("%d pages", len(pages))
	}
}

func TestRankRefuses(t *testing.T) {
	example := filepath.Join("..", "..", "examples", "dairy.toml")
	for _, k := range []struct {
		r    desk.RankRequest
		want string
	}{
		{desk.RankRequest{}, "name a farm document, or a soil"},
		{desk.RankRequest{Farm: example, Soil: "loam"}, "name a farm document, or a soil"},
		{desk.RankRequest{Farm: example, Field: "North Sax"}, `no field has this name; write one of "Barn Pasture"`},
		{desk.RankRequest{Soil: "lome"}, "--soil: texture"},
		{desk.RankRequest{Soil: "loam", For: "bale"}, `--for "bale": write graze, wrap`},
		{desk.RankRequest{Soil: "loam", For: "leave"}, `--for "leave"`},
		{desk.RankRequest{Soil: "loam", Years: "1700-1701"}, "no usable feed year"},
	} {
		if _, err := desk.Rank(k.r); err == nil || !strings.Contains(err.Error(), k.want) {
			t.Errorf("%+v: %v, want %q", k.r, err, k.want)
		}
	}
}
