package farm

import (
	"fmt"
	"strings"

	"rowen/quantity"
)

// Eight is what a person must know to begin: place, animals, milk or weight, owned
// acres in sward, cropland acres, stored feed on hand, turn-out and first year.
// Everything else is assumed, and listed.
type Eight struct {
	Name                string
	Latitude, Longitude float64
	Class               string
	Head                float64
	Milk                quantity.MassPerTime // of a dairy cow; or
	Weight              quantity.Mass        // of any other animal
	Sward, Cropland     quantity.Area
	Stored              quantity.Mass // dry matter
	Turnout             quantity.MonthDay
	FirstYear           int
	Organic             bool
	Units               quantity.System
}

// Document writes a farm document from the eight numbers, ready to be read,
// checked and corrected line by line.
func (e Eight) Document() string {
	u := e.Units
	dairy := strings.HasPrefix(e.Class, "dairy cow in milk")
	weight := e.Weight
	if weight == 0 {
		weight = 1300 * quantity.Pound
	}
	var b strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	p("rowen = 1\n")
	p("# Begun from eight numbers. Lines marked (assumed) are guesses: correct them one")
	p("# by one, and check with: rowen check FARM.toml")
	p("name = %q", e.Name)
	p("latitude = %g\nlongitude = %g", e.Latitude, e.Longitude)
	p("units = %q\norganic = %v\nfirst_year = %d\nturnout = %q\n", u, e.Organic, e.FirstYear, e.Turnout)
	field := func(name string, area quantity.Area, lines ...string) {
		if area <= 0 {
			return
		}
		p("[[field]]\nname = %q\narea = %q # (assumed share)", name, area.In(u))
		p(`soil = { texture = "silt loam", drainage = "well drained", pH = 6.4 } # (assumed)`)
		for _, l := range lines {
			p("%s", l)
		}
		p("")
	}
	sward := `stand = "grass-clover" # (assumed)`
	field("Near pasture", e.Sward*0.30, sward, `use = "graze"`)
	field("Far pasture", e.Sward*0.25, sward, `use = "graze"`, `first_cut = "wrap" # (assumed)`)
	field("Meadow", e.Sward*0.45, sward, `use = "wrap" # (assumed)`, "grazeable = false")
	field("Cropland", e.Cropland)
	p("[[group]]\nname = \"Herd\"\nclass = %q\n\n[[group.period]]\nfrom = \"1 Nov\"\nhead = %g\nweight = %q", e.Class, e.Head, weight.In(u))
	if dairy {
		p("milk = %q\ngrain = \"8 lb/d\" # (assumed)", e.Milk.In(u))
	}
	p("")
	capacity := max(float64(e.Stored)*2, e.Head*float64(weight)*0.025*200)
	p("[[store]]\nname = \"Bales\"\nkind = \"wrapped bales\"\ncapacity = %q # (assumed)\n", quantity.Mass(capacity).In(u))
	if e.Stored > 0 {
		p("[[stock]]\nstore = \"Bales\"\nfeed = \"baleage\" # (assumed)\namount = %q\n", e.Stored.In(u))
	}
	if e.Cropland > 0 {
		p("# (assumed) an annual for the summer slump on the cropland")
		p("[[sowing]]\nfield = \"Cropland\"\ncrop = \"pearl-millet\"\nuse = \"graze\"")
	}
	return b.String()
}
