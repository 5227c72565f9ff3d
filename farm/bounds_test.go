package farm_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"rowen/farm"
	"rowen/internal/document"
)

// herdSheet is a small farm whose field, animals, store and machine are written by keys.
func herdSheet(field, period, rest string) string {
	return fmt.Sprintf(`rowen = 1
name = "Bounds"
latitude = 43.0
longitude = -74.5
first_year = 2027
[[field]]
name = "Pasture"
stand = "grass-clover"
%s
[[group]]
name = "Cows"
class = "dairy cow in milk"
[[group.period]]
from = "1 Nov"
%s
%s
`, field, period, rest)
}

// What no farm has is refused, each with its bounds in the remedy, on its line.
func TestBounds(t *testing.T) {
	const area, cows = `area = "20 ac"`, "head = 12\nweight = \"1,300 lb\""
	machine := func(lines string) string {
		return "[[machine]]\nname = \"x\"\nwork = \"mowing\"\nprice = 20000\n" + lines
	}
	seeding := func(line string) string {
		return "[[field]]\nname = \"Home\"\narea = \"12 ac\"\n[[sowing]]\nfield = \"Home\"\ncrop = \"sudangrass\"\nuse = \"wrap\"\n" + line
	}
	for _, c := range []struct{ field, period, rest, at, remedy string }{
		{`area = "1e300 ac"`, cows, "", "area", "100,000 ha"},
		{`area = "1e9 ac"`, cows, "", "area", "250,000 ac"},
		{`area = "1e-300 ac"`, cows, "", "area", "10 m2"},
		{`area = "-22 ac"`, cows, "", "area", "10 m2"},
		{area + "\ndistance = \"1e300 mi\"", cows, "", "distance", "30 mi"},
		{area + "\nmanure = \"-1 lb/ac\"", cows, "", "manure", "890 lb/ac"},
		{area + "\nsoil = { depth = \"1e-320 in\" }", cows, "", "soil", "2 in"},
		{area + "\nsoil = { organic_matter = \"1e300 %\" }", cows, "", "soil", "100 %"},
		{area, "head = 1e-320\nweight = \"1,300 lb\"", "", "head", "0.1 and 100,000 head"},
		{area, "head = 1e-300\nweight = \"1,300 lb\"", "", "head", "0.1 and 100,000 head"},
		{area, "head = 1e300\nweight = \"1,300 lb\"", "", "head", "100000"},
		{area, "head = inf\nweight = \"1,300 lb\"", "", "head", "100000"},
		{area, "head = nan\nweight = \"1,300 lb\"", "", "head", "100000"},
		{area, "head = 12\nweight = \"1e300 lb\"", "", "weight", "4,400 lb"},
		{area, "head = 12\nweight = \"1e-320 lb\"", "", "weight", "2.2 lb"},
		{area, cows + "\nmilk = \"1e308 lb/d\"", "", "milk", "220 lb/d"},
		{area, cows + "\nmilk = \"500 lb/d\"", "", "milk", "220 lb/d"},
		{area, cows + "\nmilk = \"50 lb/d\"\nfat = \"1e300 %\"", "", "fat", "20 %"},
		{area, cows + "\ngrain = \"1e300 lb/d\"", "", "grain", "110 lb/d"},
		{area, cows + "\ngain = \"1e300 lb/d\"", "", "gain", "11 lb/d"},
		{area, cows, "[[store]]\nname = \"B\"\nkind = \"bunker\"\ncapacity = \"1e12 ton\"", "capacity", "1,000,000 t"},
		{area, cows, "[limits]\nnitrogen = \"1e300 lb/ac\"", "nitrogen", "1,000 kg/ha"},
		{area, cows, "[prices]\nbought_hay = \"1e300 USD/ton\"", "bought_hay", "4,500,000 for a pound"},
		{area, cows, "[custom]\nbale = \"1e-320 lb\"", "bale", "11,000 lb"},
		{area, cows, machine("hours = 1e-320\nwidth = \"9 ft\"\nspeed = \"6 mph\""), "hours", "3,000 hours"},
		{area, cows, machine("hours = 100\nwidth = \"1e-320 ft\"\nspeed = \"6 mph\""), "width", "160 ft"},
		{area, cows, machine("hours = 100\nwidth = \"9 ft\"\nspeed = \"1e300 mph\""), "speed", "65 mph"},
		{area, cows, seeding(`nitrogen = "-1 lb/ac"`), "nitrogen", "890 lb/ac"},
		{area, cows, seeding(`rate = "1e-300 lb/ac"`), "rate", "0.05 lb/ac"},
		{area, cows, seeding(`germination = "1e-320 %"`), "germination", "1 % and 100 %"},
		{area, cows, seeding(`plants = "390,000,000 /ac"`), "plants", "890 lb/ac"},
		{area, cows, seeding(`part = "1e-300 ac"`), "part", "10 m2"},
	} {
		text := herdSheet(c.field, c.period, c.rest)
		_, err := farm.Parse("b.toml", []byte(text), catalogue(t))
		var problems document.Problems
		if !errors.As(err, &problems) || len(problems) != 1 {
			t.Errorf("%s: one problem is wanted: %v\n%s", c.at, err, text)
			continue
		}
		p := problems[0]
		if !strings.Contains(p.Remedy, c.remedy) || !strings.Contains(p.Thing, c.at) && c.at != "soil" || !strings.Contains(strings.Split(text, "\n")[p.Line-1], c.at) {
			t.Errorf("%v\nwant %q of %s", p, c.remedy, c.at)
		}
	}
	// All at once.
	_, err := farm.Parse("b.toml", []byte(herdSheet(`area = "1e300 ac"`, "head = 1e-320\nweight = \"1e300 lb\"\nmilk = \"1e308 lb/d\"", "")), catalogue(t))
	if problems := (document.Problems)(nil); !errors.As(err, &problems) || len(problems) != 4 {
		t.Errorf("four problems are wanted: %v", err)
	}
}
