package crop_test

import (
	"strings"
	"testing"

	"rowen/crop"
	"rowen/handbook"
	"rowen/handbook/hazard"
)

func load(t testing.TB, office ...crop.Office) *crop.Catalogue {
	t.Helper()
	c, err := crop.Load(office...)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Every number of the catalogue carries a source and lies in its range.
func TestEveryParameterIsSourced(t *testing.T) {
	c := load(t)
	if len(c.Crops) < 30 {
		t.Errorf("%d crops", len(c.Crops))
	}
	for _, k := range c.Crops {
		if k.Title == "" || k.Sowing.Source.Reading == 0 || k.Fit.Source.Reading == 0 {
			t.Errorf("%s: title, sowing or fit without source", k.Name)
		}
		for _, d := range crop.Definitions {
			p, ok := k.Growth[d.Name]
			if ok != d.For(k.Life) || ok && (p.Source.Reading == 0 || p.Unit != d.Unit) {
				t.Errorf("%s: %s: %+v", k.Name, d.Name, p)
			}
			if p.Source.Reading == handbook.Fitted && p.Value != 0 && d.Name != "leaf_end" && !(p.Low < p.High) {
				t.Errorf("%s: %s is fitted and has no range", k.Name, d.Name)
			}
		}
		for u := crop.Leave + 1; u < crop.Uses; u++ {
			if r := k.Uses[u]; r.Allowed && (r.Source.Reading == 0 || r.Ready <= 0 && r.ReadyAt <= 0) {
				t.Errorf("%s: use %v has no source or nothing that makes it ready", k.Name, u)
			}
		}
	}
}

// The sorghums carry the prussic acid risk, brown midrib included; the millets
// and the rest do not; a mixture's rules are its parts' strictest.
func TestHazardsAndMixes(t *testing.T) {
	c := load(t)
	for name, want := range map[string]hazard.PrussicRisk{
		"sorghum-sudangrass": hazard.PrussicSorghum, "sorghum-sudangrass-bmr": hazard.PrussicSorghum,
		"pearl-millet": hazard.NoPrussic, "corn-silage": hazard.NoPrussic, "cool-grass": hazard.NoPrussic,
	} {
		if got := c.Find(name).Prussic; got != want {
			t.Errorf("%s: risk %d, want %d", name, got, want)
		}
	}
	bmr, plain := c.Find("sorghum-sudangrass-bmr"), c.Find("sorghum-sudangrass")
	if bmr.Growth["ndfd_old"].Value <= plain.Growth["ndfd_old"].Value || len(bmr.Cautions) == 0 {
		t.Error("brown midrib is not better digested, or lost its cautions")
	}
	m, ok := c.Mix("millet-rape")
	if !ok || len(m.Parts) != 2 || m.Uses[crop.Hay].Allowed || !m.Uses[crop.Graze].Allowed {
		t.Errorf("millet-rape: %+v", m.Uses)
	}
	joined, err := crop.Join([]crop.Part{{Crop: c.Find("pearl-millet")}, {Crop: c.Find("forage-rape")}})
	if err != nil || joined.Uses[crop.Graze].MinRest != c.Find("forage-rape").Uses[crop.Graze].MinRest {
		t.Error("a mixture without rules of its own does not take the longer rest")
	}
}

func TestOverrideIsNeverSilent(t *testing.T) {
	c := load(t, crop.Office{Name: "office.toml", Text: []byte("rowen = 1\n[source.ours]\ntitle = \"our plots\"\nreading = \"read\"\n[[crop]]\nname = \"pearl-millet\"\n[crop.growth]\nrue = { value = 3.4, source = \"ours\" }\n")})
	c0 := load(t).Find("pearl-millet")
	if len(c.Overrides) != 1 || c.Overrides[0].Was != c0.Growth["rue"].Value || c.Overrides[0].Is != 3.4 || c.Overrides[0].At != "office.toml:8" {
		t.Errorf("%+v", c.Overrides)
	}
	if p := c.Find("pearl-millet").Growth["rue"]; p.Overridden == "" {
		t.Error("the parameter does not say that it was replaced")
	}
}

func TestProblemsAtOnce(t *testing.T) {
	_, err := crop.Load(crop.Office{Name: "o.toml", Text: []byte(`rowen = 1
[[crop]]
name = "pearl-millet"
life = "biennial"
[crop.growth]
rue = { value = 99, source = "nobody" }
rua = { value = 1, source = "fit" }
[crop.use.graze]
ready = "20"
source = "fit"
`)})
	if err == nil {
		t.Fatal("read")
	}
	for _, want := range []string{
		`o.toml:4: crop "pearl-millet": life: "biennial": write "annual" or "perennial" or "winter"`,
		"o.toml:6: crop \"pearl-millet\": growth: rue: value: \"99\": it must lie between 0.5 and 6",
		"no [source.nobody] is given",
		`o.toml:7: crop "pearl-millet": growth: rua: "rua": no such growth parameter`,
		`o.toml:9: crop "pearl-millet": use graze: ready: "20": a unit is missing`,
	} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("missing %q in\n%v", want, err)
		}
	}
}

func FuzzLoad(f *testing.F) {
	f.Add([]byte("rowen = 1\n[[crop]]\nname = \"x\"\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		_, _ = crop.Load(crop.Office{Name: "fuzz", Text: data})
	})
}

// The whole catalogue is read at every start.
func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		load(b)
	}
}
