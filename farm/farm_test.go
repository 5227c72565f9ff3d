package farm_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/crop"
	"rowen/farm"
	"rowen/quantity"
)

func catalogue(t testing.TB) *crop.Catalogue {
	t.Helper()
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Every example is read without a problem, and whatever it does not say is listed.
func TestExamples(t *testing.T) {
	for _, name := range []string{"dairy", "beef", "sheep"} {
		f, err := farm.Read(filepath.Join("..", "examples", name+".toml"), catalogue(t))
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Assumed) == 0 || len(f.Fields) < 4 || len(f.Plan.Sowings) == 0 {
			t.Errorf("%s: %d assumptions, %d fields", name, len(f.Assumed), len(f.Fields))
		}
	}
}

// One square of a thousandth of a degree at 43° north: 81.5 by 111.1 m on WGS 84
// (a degree of longitude there is 81,541 m, of latitude 111,094; tables of the
// National Geospatial-Intelligence Agency, from memory).
func TestOutlineArea(t *testing.T) {
	_, area, err := farm.Outline(`{"type":"Polygon","coordinates":[[[-74.48,43.0],[-74.479,43.0],[-74.479,43.001],[-74.48,43.001],[-74.48,43.0]]]}`)
	if err != nil {
		t.Fatal(err)
	}
	want := 81.541 * 111.094
	if got := float64(area); math.Abs(got-want) > 0.001*want {
		t.Errorf("%.1f m², want %.1f", got, want)
	}
	for bad, want := range map[string]string{
		"{}": "GeoJSON", `{"type":"Point","coordinates":[1,2]}`: "Polygon",
		`{"type":"Polygon","coordinates":[[[0,0],[1,1],[0,0]]]}`: "four points", `{"type":"Polygon","coordinates":[[[0,0],[500,1],[0,1],[0,0]]]}`: "no longitude",
		// Round the pole, ten degrees wide, a bow-tie, a whole county, the size of a table.
		`{"type":"Polygon","coordinates":[[[0,89],[90,89],[180,89],[-90,89],[0,89]]]}`:                                       "85 degrees",
		`{"type":"Polygon","coordinates":[[[-80,40],[-70,40],[-70,50],[-80,50],[-80,40]]]}`:                                  "1 degree",
		`{"type":"Polygon","coordinates":[[[-74.48,43.0],[-74.47,43.01],[-74.47,43.0],[-74.48,43.012],[-74.48,43.0]]]}`:      "crosses itself",
		`{"type":"Polygon","coordinates":[[[-74.5,43],[-73.6,43],[-73.6,43.9],[-74.5,43.9],[-74.5,43]]]}`:                    "250,000 ac",
		`{"type":"Polygon","coordinates":[[[-74.48,43],[-74.47999,43],[-74.47999,43.00001],[-74.48,43.00001],[-74.48,43]]]}`: "110 ft2",
		// A hole that is no hole.
		`{"type":"Polygon","coordinates":[[[-74.48,43],[-74.47,43],[-74.47,43.01],[-74.48,43.01],[-74.48,43]],[[0,0],[1,80],[0,89],[0,0]]]}`: "85 degrees",
	} {
		if _, _, err := farm.Outline(bad); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", bad, err, want)
		}
	}
}

// A field may lie across the map's edge, and may touch itself.
func TestOutlinesThatAreFields(t *testing.T) {
	for name, good := range map[string]string{
		"the map's edge": `{"type":"Polygon","coordinates":[[[179.999,-17],[-179.999,-17],[-179.999,-16.999],[179.999,-16.999],[179.999,-17]]]}`,
		"touches itself": `{"type":"Polygon","coordinates":[[[-74.48,43],[-74.47,43],[-74.475,43.005],[-74.47,43.01],[-74.48,43.01],[-74.475,43.005],[-74.48,43]]]}`,
		"a point twice":  `{"type":"Polygon","coordinates":[[[-74.48,43],[-74.47,43],[-74.47,43],[-74.47,43.01],[-74.48,43.01],[-74.48,43]]]}`,
		"concave":        `{"type":"Polygon","coordinates":[[[-74.48,43],[-74.47,43],[-74.475,43.002],[-74.47,43.01],[-74.48,43.01],[-74.48,43]]]}`,
	} {
		if _, area, err := farm.Outline(good); err != nil || area.Hectares() < 1 {
			t.Errorf("%s: %v, %v", name, area, err)
		}
	}
	var round strings.Builder
	for i := range 6000 {
		fmt.Fprintf(&round, "[%.7f,%.7f],", -74.48+0.005*math.Cos(float64(i)/6000*2*math.Pi), 43+0.005*math.Sin(float64(i)/6000*2*math.Pi))
	}
	if _, _, err := farm.Outline(`{"type":"Polygon","coordinates":[[` + round.String() + `[-74.475,43]]]}`); err == nil || !strings.Contains(err.Error(), "5000 at most") {
		t.Errorf("6,000 points: %v", err)
	}
}

func TestFieldByOutline(t *testing.T) {
	text := `rowen = 1
name = "x"
latitude = 43.0
longitude = -74.5
first_year = 2027
[[field]]
name = "Ring"
outline = '{"type":"Polygon","coordinates":[[[-74.48,43.0],[-74.475,43.0],[-74.475,43.004],[-74.48,43.004],[-74.48,43.0]]]}'
stand = "grass-clover"
[[group]]
name = "Cows"
class = "beef cow"
[[group.period]]
from = "1 Nov"
head = 3
weight = "1,200 lb"
`
	f, err := farm.Parse("x.toml", []byte(text), catalogue(t))
	if err != nil {
		t.Fatal(err)
	}
	if ha := f.Fields[0].Area.Hectares(); ha < 17.5 || ha > 18.5 {
		t.Errorf("%.2f ha", ha)
	}
}

// What start writes reads without a problem.
func TestEight(t *testing.T) {
	for _, u := range []quantity.System{quantity.US, quantity.Metric} {
		e := farm.Eight{Name: `The "Old" farm`, Latitude: 44, Longitude: -72, Class: "dairy cow in milk", Head: 70, Milk: 50 * quantity.PoundPerDay,
			Sward: 180 * quantity.Acre, Cropland: 40 * quantity.Acre, Stored: 250 * quantity.Ton, Turnout: quantity.MonthDay{Month: 5, Day: 5}, FirstYear: 2027, Units: u, Organic: true}
		f, err := farm.Parse("new", []byte(e.Document()), catalogue(t))
		if err != nil {
			t.Fatalf("%v\n%s", err, e.Document())
		}
		var area quantity.Area
		for i := range f.Fields {
			area += f.Fields[i].Area
		}
		if math.Abs(area.Acres()-220) > 0.5 {
			t.Errorf("the fields add up to %v", area)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, name := range []string{"dairy", "beef", "sheep"} {
		text, err := os.ReadFile(filepath.Join("..", "examples", name+".toml"))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte(herdSheet(`area = "1e300 ac"`, "head = 1e-320\nweight = \"1e300 lb\"\nmilk = \"1e308 lb/d\"", "[prices]\nbought_hay = \"1.7e308 USD/g\"")))
	f.Add([]byte(herdSheet(`outline = '{"type":"Polygon","coordinates":[[[0,89],[90,89],[180,89],[-90,89],[0,89]]]}'`, "head = inf\nweight = \"1e-320 lb\"", strings.Repeat("a.", 33)+"b = 1")))
	c, err := crop.Load()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		got, err := farm.Parse("fuzz", text, c)
		if (got == nil) == (err == nil) {
			t.Fatal("neither farm nor problem")
		}
	})
}

// A required value that is blank is missing: a document with one must not be planned.
func TestBlankIsMissing(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "examples", "dairy.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ was, blank, thing string }{
		{`field = "Mill Flat"`, `field = ""`, "field"},
		{`crop = "corn-silage-early"`, `crop = " "`, "crop"},
		{`area = "22 ac"`, `area = ""`, "area"},
	} {
		doc := strings.Replace(string(text), c.was, c.blank, 1)
		if doc == string(text) {
			t.Fatalf("the example has no %s", c.was)
		}
		_, err := farm.Parse("dairy.toml", []byte(doc), catalogue(t))
		if err == nil || !strings.Contains(err.Error(), c.thing) || !strings.Contains(err.Error(), "it is missing") {
			t.Errorf("%s: %v", c.blank, err)
		}
	}
}

// A sowing is on a day that a plan can have.
func TestSowingsDay(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "examples", "dairy.toml"))
	if err != nil {
		t.Fatal(err)
	}
	doc := strings.Replace(string(text), `crop = "corn-silage-early"`, "crop = \"corn-silage-early\"\non = \"9999-12-31\"", 1)
	if _, err := farm.Parse("dairy.toml", []byte(doc), catalogue(t)); err == nil || !strings.Contains(err.Error(), "write a day from 1900 to 2200") {
		t.Errorf("a sowing in the year 9999: %v", err)
	}
}

// More than anybody farms is refused before it is grown.
func TestTooManyFields(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "examples", "dairy.toml"))
	if err != nil {
		t.Fatal(err)
	}
	many := func(n int, table string) string {
		var b strings.Builder
		b.Write(text)
		for i := range n {
			fmt.Fprintf(&b, table, i)
		}
		return b.String()
	}
	for doc, want := range map[string]string{
		many(farm.MostFields, "\n[[field]]\nname = \"X%d\"\narea = \"1 ac\"\n"):                                                      fmt.Sprintf("%d fields at most", farm.MostFields),
		many(farm.MostSowings, "\n[[sowing]]\n# %d\nfield = \"Gravel Bank\"\ncrop = \"oats\"\nuse = \"wrap\"\npart = \"0.01 ac\"\n"): fmt.Sprintf("%d sowings at most", farm.MostSowings),
	} {
		if _, err := farm.Parse("many.toml", []byte(doc), catalogue(t)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.200v, want %q", err, want)
		}
	}
}
