package account_test

import (
	"testing"

	"rowen/account"
	"rowen/crop"
	"rowen/farm"
)

// What may not follow what, by what stands there and by the years told.
func TestSuccession(t *testing.T) {
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range []struct {
		sown, stands string
		past         []farm.Past
		want         string // forbidden, warned or nothing
	}{
		{"alfalfa", "alfalfa-grass", nil, "forbidden"},
		{"alfalfa", "", []farm.Past{{Year: 2026, Crop: "corn-silage"}, {Year: 2025, Crop: "alfalfa"}}, ""},
		{"alfalfa", "", []farm.Past{{Year: 2025, Crop: "alfalfa"}}, "warned"},
		{"forage-rape", "turnip", nil, "forbidden"},
		{"forage-rape", "", []farm.Past{{Year: 2025, Crop: "kale"}}, "forbidden"},
		{"forage-rape", "", []farm.Past{{Year: 2023, Crop: "kale"}}, "warned"},
		{"forage-rape", "", []farm.Past{{Year: 2020, Crop: "kale"}}, ""},
		{"millet-rape", "", []farm.Past{{Year: 2026, Crop: "millet-rape"}}, "forbidden"},
		{"pearl-millet", "turnip", nil, ""},
		{"sorghum-sudangrass", "", nil, ""},
	} {
		mix, ok := c.Mix(k.sown)
		stands, _ := c.Mix(k.stands)
		if !ok {
			t.Fatal(k.sown)
		}
		f := &farm.Farm{Target: 2027, Fields: []farm.Field{{Name: "Six Acres", Stands: stands, Ground: farm.Ground{Past: k.past}}}}
		got := ""
		for _, a := range account.Succession(f, 0, &mix) {
			got = "warned"
			if a.Stop {
				got = "forbidden"
			}
			if a.Source == "" || a.Text == "" || a.Field != 0 {
				t.Errorf("%+v", a)
			}
		}
		if got != k.want {
			t.Errorf("%s on %q after %v: %q, want %q", k.sown, k.stands, k.past, got, k.want)
		}
	}
}
