package desk

import (
	"context"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/crop"
	"rowen/farm"
	"rowen/journal"
	"rowen/quantity"
	"rowen/season"
)

// written is a number of a document behind its key, with or without a unit.
var written = regexp.MustCompile(`(\w+ = "?)(-?[0-9][0-9.,]*)`)

// numbers are what people, slips and tricks write.
var numbers = []float64{0, 1e-320, 1e-300, 1e-9, 0.1, 1, 7, 100, 1e4, 1e5, 1e6, 1e9, 1e12, 1e300, 1e308, -1, -1e300}

// anyFarm is an example's document in which some numbers are others.
func anyFarm(t *rapid.T, text string) string {
	at := written.FindAllStringSubmatchIndex(text, -1)
	for range rapid.IntRange(1, 4).Draw(t, "changes") {
		m := at[rapid.IntRange(1, len(at)-1).Draw(t, "which")]
		was, _ := strconv.ParseFloat(strings.ReplaceAll(text[m[4]:m[5]], ",", ""), 64)
		number := was * math.Pow(10, rapid.Float64Range(-5, 5).Draw(t, "times"))
		if rapid.Bool().Draw(t, "odd") {
			number = rapid.SampledFrom(numbers).Draw(t, "number")
		}
		as := strconv.FormatFloat(number, 'g', 6, 64)
		if !strings.HasSuffix(text[m[2]:m[3]], `"`) && !strings.ContainsAny(as, ".e") {
			as += ".0"
		}
		if strings.HasPrefix(text[m[2]:m[3]], "first_year") || strings.HasPrefix(text[m[2]:m[3]], "rowen") {
			continue
		}
		text = text[:m[4]] + as + text[m[5]:]
		at = written.FindAllStringSubmatchIndex(text, -1)
	}
	return text
}

// A farm document with any numbers has problems, or is planned with figures that are
// numbers: JSON has no others.
func TestAnyFarmIsPlanned(t *testing.T) {
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	s := valley(3)
	var examples []string
	for _, name := range []string{"dairy", "beef", "sheep"} {
		text, err := os.ReadFile("../../examples/" + name + ".toml")
		if err != nil {
			t.Fatal(err)
		}
		examples = append(examples, string(text))
	}
	planned := 0
	rapid.Check(t, func(t *rapid.T) {
		text := anyFarm(t, rapid.SampledFrom(examples).Draw(t, "farm"))
		f, err := farm.Parse("any.toml", []byte(text), c)
		if err != nil {
			return
		}
		years, _ := s.FeedYears(f.FeedYear, 2)
		p, _, err := planOn(context.Background(), Request{Farm: "any.toml", Workers: 1}, c, f, s, "", &sky{season.NewSky(years), years, nil})
		if err != nil {
			if strings.Contains(err.Error(), "defect") {
				t.Fatalf("%v\n%s", err, text)
			}
			return
		}
		planned++
		if _, err := json.Marshal(p); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
	})
	if planned < 5 {
		t.Errorf("only %d farms were planned: the numbers are too odd to tell anything", planned)
	}
}

// facts are what a journal says with numbers, each %s being one.
var facts = []string{
	`"kind":"height","field":%q,"heights":["%s in","%s cm"]`,
	`"kind":"cut","field":%q,"use":"wrap","stubble":"%s in","moisture":"50 %%","bales":36,"each":"%s lb"`,
	`"kind":"fertiliser","field":%q,"product":"urea","rate":"%s lb/ac","nitrogen":"%s kg/ha"`,
	`"kind":"manure","field":%q,"volume":"%s gal/ac","nitrogen":"%s lb/ac"`,
	`"kind":"frost","field":%q,"minimum":"%s F"`,
	`"kind":"grazing-out","field":%q,"residual":"%s in"`,
	`"kind":"label","field":%q,"product":"X","plant_back":"%s d","grazing_wait":"%s weeks"`,
	`"kind":"rain","field":%q,"rain":"%s in"`,
	`"kind":"lab","field":%q,"nitrate":"%s ppm","nitrate_basis":"dry","prussic":"%s ppm","dry_matter":"%s %%"`,
	`"kind":"fed","field":%q,"store":"Bales","amount":"%s ton","dry_matter":"%s %%"`,
	`"kind":"store-measured","store":"Bales","field":%q,"bales":12,"each":"%s lb"`,
	`"kind":"shoots","field":%q,"shoots_height":"%s in"`,
	`"kind":"sown","field":%q,"crop":"oats","rate":"%s lb/ac","seeds":"%s /ac"`,
}

// anyFact is an entry as a journal of any age may hold it, if it is one at all.
func anyFact(t *rapid.T, f *farm.Farm, first quantity.Date, seq int) []journal.Entry {
	pattern := rapid.SampledFrom(facts).Draw(t, "fact")
	args := []any{f.Fields[rapid.IntRange(0, len(f.Fields)-1).Draw(t, "field")].Name}
	for range strings.Count(pattern, "%s") {
		number := math.Pow(10, rapid.Float64Range(-3, 6).Draw(t, "power"))
		if rapid.IntRange(0, 3).Draw(t, "odd") == 0 {
			number = rapid.SampledFrom(numbers).Draw(t, "number")
		}
		args = append(args, strconv.FormatFloat(number, 'g', 6, 64))
	}
	day := first + quantity.Date(rapid.IntRange(120, 280).Draw(t, "day"))
	body := fmt.Sprintf(`{"v":1,"date":"%s","at":"2025-07-09T20:00:00Z","device":"barn","seq":%d,`, day, seq) + fmt.Sprintf(pattern, args...)
	log, err := journal.ReadAll("any", strings.NewReader(fmt.Sprintf("%s,\"sum\":\"%08x\"}", body, crc32.Checksum([]byte(body), crc32.MakeTable(crc32.Castagnoli)))))
	if err != nil {
		t.Fatal(err)
	}
	return log.Entries
}

// A journal that holds any numbers is read, and the day's page says numbers.
func TestAnyJournalIsRead(t *testing.T) {
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	f, err := farm.Read("../../examples/beef.toml", c)
	if err != nil {
		t.Fatal(err)
	}
	s := valley(3)
	today := quantity.NewDate(2025, 8, 10)
	read := 0
	rapid.Check(t, func(t *rapid.T) {
		var entries []journal.Entry
		for i := range rapid.IntRange(1, 5).Draw(t, "facts") {
			entries = append(entries, anyFact(t, f, quantity.NewDate(2024, 11, 1), i+1)...)
		}
		if len(entries) == 0 {
			return
		}
		read++
		r := &TodayRequest{Date: today.String(), Workers: 1}
		d, err := gathered(c, f, r, s, today, entries)
		if err != nil {
			t.Fatal(err)
		}
		if err := d.read(context.Background(), r, entries); err != nil {
			t.Fatalf("%v\n%v", err, entries)
		}
		text, err := json.Marshal(d.page())
		if err != nil || strings.Contains(string(text), "NaN") || strings.Contains(string(text), "Inf ") {
			t.Fatalf("%v\n%v\n%s", err, entries, text)
		}
	})
	if read < 5 {
		t.Errorf("only %d journals were read: the numbers are too odd to tell anything", read)
	}
}

// Farms at the bounds of every quantity at once are planned too.
func TestFarmsAtTheBounds(t *testing.T) {
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	s := valley(3)
	years, _ := s.FeedYears(quantity.MonthDay{Month: 11, Day: 1}, 2)
	const pattern = `rowen = 1
name = "Bounds"
latitude = 43.0
longitude = -74.5
first_year = 2027
[[field]]
name = "Pasture"
area = %[1]q
distance = %[2]q
manure = %[3]q
stand = "grass-clover"
use = "graze"
soil = { pH = 6.4, organic_matter = %[4]q, depth = %[5]q }
[[field]]
name = "Home"
area = %[1]q
[[group]]
name = "Cows"
class = %[6]q
[[group.period]]
from = "1 Nov"
head = %[7]s
weight = %[8]q
%[9]s
gain = %[10]q
grain = %[11]q
[[store]]
name = "B"
kind = "bunker"
capacity = %[12]q
[[stock]]
store = "B"
feed = "haylage"
amount = %[12]q
[[sowing]]
field = "Home"
crop = "sudangrass"
use = "wrap"
rate = %[13]q
manure = %[3]q
[custom]
bale = %[14]q
mowing = %[15]q
`
	least := []any{"10 m2", "0 m", "0 kg/ha", "0 %", "5.1 cm", "", "0.1", "1 kg", "", "-5 kg/d", "0 kg/d", "0 t", "0.05 kg/ha", "1 kg", "0 USD/ac"}
	most := []any{"100000 ha", "50 km", "1000 kg/ha", "100 %", "20 m", "", "100000", "2000 kg", "", "5 kg/d", "50 kg/d", "1000000 t", "1000 kg/ha", "5000 kg", "4000000000 USD/ac"}
	for which := range 8 {
		for _, class := range []string{"dairy cow in milk", "dairy heifer", "beef cow", "growing cattle", "growing lamb", "ewe", "horse"} {
			args := make([]any, len(least))
			for i := range args {
				// All least, all most, and each with the other's ground, animals or feed.
				from := least
				if which&1 != 0 && i < 5 || which&2 != 0 && i >= 5 && i < 11 || which&4 != 0 && i >= 11 {
					from = most
				}
				args[i] = from[i]
			}
			args[5], args[8] = class, ""
			if class == "dairy cow in milk" {
				args[8] = `milk = "0.1 kg/d"`
				if which&2 != 0 {
					args[8] = `milk = "99.9 kg/d"`
				}
			}
			text := fmt.Sprintf(pattern, args...)
			f, err := farm.Parse("bounds.toml", []byte(text), c)
			if err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
			p, _, err := planOn(context.Background(), Request{Farm: "bounds.toml", Workers: 1}, c, f, s, "", &sky{season.NewSky(years), years, nil})
			if err != nil {
				t.Errorf("%s, %d: %v", class, which, err)
			} else if _, err := json.Marshal(p); err != nil {
				t.Errorf("%s, %d: %v\n%s", class, which, err, text)
			}
		}
	}
}
