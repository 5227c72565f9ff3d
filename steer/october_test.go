package steer_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
	"rowen/steer"
	"rowen/weather"
)

// octoberFarm is an invented farm: sorghum-sudangrass regrowing beside pearl millet
// that had drought and heavy nitrogen.
const octoberFarm = `rowen = 1
name = "Sorrel End"
latitude = 43.05
longitude = -74.48
elevation = "820 ft"
time_zone = "America/New_York"
currency = "USD"
units = "us"
feed_year = "1 Nov"
first_year = 2025
turnout = "4 May"
housing = "28 Oct"

[[field]]
name = "Low Piece"
area = "12 ac"
soil = { texture = "silt loam", drainage = "well drained", pH = 6.4 }

[[field]]
name = "High Piece"
area = "10 ac"
soil = { texture = "loam", drainage = "well drained", pH = 6.2 }

[[group]]
name = "Cows"
class = "beef cow"
%s
[[group.period]]
from = "1 Nov"
head = 30
weight = "1,300 lb"

[[store]]
name = "Row"
kind = "wrapped bales"
capacity = "200 ton"

[[sowing]]
field = "Low Piece"
crop = "sorghum-sudangrass"
use = "graze"

[[sowing]]
field = "High Piece"
crop = "pearl-millet"
use = "graze"
`

// october is the farm with mild nights but for those given, by date.
type october struct {
	t       *testing.T
	farm    *farm.Farm
	series  *weather.Series
	entries []journal.Entry
}

func newOctober(t *testing.T, group string, nights map[string]float64) *october {
	t.Helper()
	o := &october{t: t, series: weather.Valley(12, 2025)}
	var err error
	if o.farm, err = farm.Parse("october.toml", []byte(fmt.Sprintf(octoberFarm, group)), catalogue); err != nil {
		t.Fatal(err)
	}
	o.series.Prepare()
	from := o.at("2025-05-20")
	for d := from; d <= o.at("2025-10-31"); d++ {
		day := &o.series.Days[d-o.series.First]
		day.TMin, day.TMax = max(day.TMin, 9), max(day.TMax, 18)
		day.Rain = 4 * float64(d%4/3) // a shower every fourth day: neither drought nor relief
	}
	for text, fahrenheit := range nights {
		day := &o.series.Days[o.at(text)-o.series.First]
		day.TMin = (fahrenheit - 32) / 1.8
	}
	o.say("2025-06-05 sowed Low Piece sorghum-sudangrass 40 lb/ac", "2025-06-10 sowed High Piece pearl-millet 16 lb/ac",
		"2025-08-20 cut Low Piece wrap 60 bales 900 lb 55 % stubble 6 in")
	return o
}

func (o *october) at(text string) quantity.Date {
	d, err := quantity.ParseDate(text)
	if err != nil {
		o.t.Fatal(err)
	}
	return d
}

// say writes phrases down, each behind its date.
func (o *october) say(phrases ...string) {
	o.t.Helper()
	for _, p := range phrases {
		on, text, _ := strings.Cut(p, " ")
		e, err := journal.ParsePhrase(text, journal.Names{Fields: []string{"Low Piece", "High Piece"}, Groups: []string{"Cows"}, Stores: []string{"Row"}, Lots: []string{"Low Piece, 2025-10-20"}, Today: o.at(on)})
		if err != nil {
			o.t.Fatalf("%s: %v", p, err)
		}
		e.ID = journal.ID{Device: "test", Sequence: uint64(len(o.entries) + 1)}
		e.Recorded = o.at(on).Time().Add(18 * time.Hour)
		o.entries = append(o.entries, e)
	}
}

// read reads a day.
func (o *october) read(on string, tonight ...float64) *steer.Day {
	o.t.Helper()
	day := o.at(on)
	years, known, err := o.series.Present(o.farm.FeedYear, day)
	if err != nil {
		o.t.Fatal(err)
	}
	q := &steer.Request{Farm: o.farm, Catalogue: catalogue, Entries: journal.Standing(o.entries), Years: years, Known: known, Today: day, Seed: 1}
	for _, f := range tonight {
		w := years[0].Days[known]
		w.TMin = (f - 32) / 1.8
		q.Forecast = append(q.Forecast, w)
	}
	d, err := steer.Read(context.Background(), q)
	if err != nil {
		o.t.Fatal(err)
	}
	return d
}

func gate(t *testing.T, gates []handbook.Gate, name string) handbook.Gate {
	t.Helper()
	for _, g := range gates {
		if g.Name == name {
			return g
		}
	}
	t.Fatalf("no gate of %s among %d", name, len(gates))
	return handbook.Gate{}
}

// mentions tells whether a gate gives a reason, or lacks a fact, with these words.
func mentions(g handbook.Gate, words string) bool {
	return slices.ContainsFunc(g.Reasons, func(r handbook.Reason) bool { return strings.Contains(r.Text, words) }) ||
		slices.ContainsFunc(g.Missing, func(m string) bool { return strings.Contains(m, words) })
}

func (o *october) prussic(d *steer.Day) handbook.Gate {
	o.t.Helper()
	return gate(o.t, d.Fields[0].Gates, "prussic acid")
}

func (o *october) hold(d *steer.Day, words ...string) {
	o.t.Helper()
	g := o.prussic(d)
	if g.Answer != handbook.Hold {
		o.t.Errorf("%s: prussic acid says %s", d.Today, g.Answer)
	}
	for _, w := range words {
		if !mentions(g, w) {
			o.t.Errorf("%s: nothing of %q in %v, missing %v", d.Today, w, g.Reasons, g.Missing)
		}
	}
}

// The October of the story: Hold throughout, each night with its own reason.
func TestOctober(t *testing.T) {
	o := newOctober(t, "", map[string]float64{"2025-10-08": 34, "2025-10-10": 30, "2025-10-15": 23})
	o.say("2025-10-07 height 20 in 21 in 19 in on Low Piece")
	// 34 on a clear calm night: the Caution speaks already, and the height holds.
	d := o.read("2025-10-07", 34)
	o.hold(d, "below 24 in", "36 °F")
	if !slices.ContainsFunc(d.Alarms, func(a say.Line) bool {
		return strings.Contains(a.String(), "Low Piece") && strings.Contains(a.String(), "34 °F")
	}) {
		t.Errorf("no alarm of the cold night: %q", d.Alarms)
	}
	// 30 starts the wait, and nobody has looked.
	o.say("2025-10-11 height 20 in on Low Piece")
	o.hold(o.read("2025-10-11"), "less than 14 days", "look")
	// 23 starts it again and is no kill without a look.
	o.hold(o.read("2025-10-15"), "look")
	if f := o.read("2025-10-24").Fields[0]; f.Now.Frost != 9 {
		t.Errorf("%d days since the last frost, want 9: the later frost starts the wait again", f.Now.Frost)
	}
	o.hold(o.read("2025-10-24"), "less than 14 days")
	// Green shoots keep the Hold, and not for the days alone.
	o.say("2025-10-25 shoots Low Piece", "2025-10-30 height 20 in on Low Piece")
	o.hold(o.read("2025-10-30"), "shoots")
	// A result without its basis asks for it, and for the dry matter.
	o.say("2025-10-30 lab Low Piece prussic acid 480 ppm")
	o.hold(o.read("2025-10-30"), "basis", "dry matter")
}

// A station that was mild does not outvote somebody who saw the frost.
func TestFrostSeenCounts(t *testing.T) {
	o := newOctober(t, "", nil)
	o.say("2025-10-12 frost Low Piece 31 F", "2025-10-14 height 44 in 46 in 45 in on Low Piece")
	o.hold(o.read("2025-10-14"), "less than 14 days")
}

// Horses: Hold always, however tall and unhurt it stands.
func TestHorsesHold(t *testing.T) {
	o := newOctober(t, "horses = true\n", nil)
	o.say("2025-10-07 height 50 in 52 in 51 in on Low Piece")
	o.hold(o.read("2025-10-07"), "horses")
	o = newOctober(t, "", nil)
	o.say("2025-10-07 height 50 in 52 in 51 in on Low Piece")
	if g := o.prussic(o.read("2025-10-07")); g.Answer == handbook.Hold {
		t.Errorf("cows: %v %v", g.Reasons, g.Missing)
	}
}

// Pearl millet: prussic acid does not apply; after drought and heavy nitrogen nitrate
// holds until it is tested, and a test that counts opens it.
func TestMilletNitrate(t *testing.T) {
	o := newOctober(t, "", nil)
	o.say("2025-09-05 fertilised High Piece urea 260 lb/ac nitrogen 120 lb/ac", "2025-09-25 drought High Piece", "2025-10-06 height 30 in 31 in on High Piece")
	d := o.read("2025-10-07")
	for _, g := range d.Fields[1].Gates {
		if g.Name == "prussic acid" && g.Answer != handbook.Clear {
			t.Errorf("prussic acid speaks of millet: %v", g.Reasons)
		}
	}
	if g := gate(t, d.Fields[1].Gates, "nitrate"); g.Answer != handbook.Hold || !mentions(g, "drought") {
		t.Errorf("nitrate says %s: %v", g.Answer, g.Reasons)
	}
	o.say("2025-10-07 drought over High Piece 0.8 in")
	if g := gate(t, o.read("2025-10-08").Fields[1].Gates, "nitrate"); g.Answer != handbook.Hold {
		t.Errorf("the day after the rain nitrate says %s", g.Answer)
	}
}

// Bales from the frosted stand: eight weeks, then a test.
func TestFrostedBales(t *testing.T) {
	o := newOctober(t, "", map[string]float64{"2025-10-10": 30})
	o.say("2025-10-20 cut Low Piece wrap 20 bales 900 lb 60 % stubble 6 in")
	lot := func(on string) handbook.Gate {
		d := o.read(on)
		for _, l := range d.Lots {
			if l.Cut == o.at("2025-10-20") {
				return gate(t, l.Gates, "prussic acid")
			}
		}
		t.Fatalf("%s: no such lot", on)
		return handbook.Gate{}
	}
	if g := lot("2025-10-30"); g.Answer != handbook.Hold || !mentions(g, "8 weeks") {
		t.Errorf("after ten days: %s %v", g.Answer, g.Reasons)
	}
	// The wait does not end with the feed year, and time alone makes nothing safe.
	if g := lot("2025-11-20"); g.Answer != handbook.Hold || !mentions(g, "8 weeks") {
		t.Errorf("after a month: %s %v", g.Answer, g.Reasons)
	}
	if g := lot("2025-12-20"); g.Answer == handbook.Clear || !mentions(g, "test") {
		t.Errorf("after two months, not tested: %s %v", g.Answer, g.Reasons)
	}
	// The lot of August, unhurt, is three weeks and more in store and asks for nothing.
	for _, l := range o.read("2025-10-30").Lots {
		if l.Cut == o.at("2025-08-20") {
			if g := gate(t, l.Gates, "prussic acid"); g.Answer != handbook.Clear {
				t.Errorf("August's bales: %s %v", g.Answer, g.Reasons)
			}
		}
	}
}

// When a fact arrives the list changes at once and says why.
func TestFactChangesList(t *testing.T) {
	o := newOctober(t, "", nil)
	before := o.read("2025-07-18").Fields[0]
	o.say("2025-07-18 height 40 in 41 in 39 in on Low Piece")
	after := o.read("2025-07-18").Fields[0]
	if before.Need == after.Need || before.Say.String() == after.Say.String() {
		t.Errorf("before %v %q, after %v %q", before.Need, before.Say, after.Need, after.Say)
	}
	if !after.Moved || after.Now.Height.Middle < 90 || after.Now.Height.Middle > 112 {
		t.Errorf("height %v after a stick read 40 in", after.Now.Height)
	}
}

// Animals on growth that is meant for bales are judged as grazing it.
func TestAnimalsOnGrowthForBales(t *testing.T) {
	o := newOctober(t, "", nil)
	o.farm.Plan.Sowings[0].Then = crop.Wrap
	o.say("2025-10-05 height 20 in 21 in on Low Piece", "2025-10-06 grazed Low Piece in Cows 30")
	d := o.read("2025-10-07")
	o.hold(d, "keep stock off")
	if d.Fields[0].Need != steer.TakeOff {
		t.Errorf("cows stand in short sorghum and the list says %q", d.Fields[0].Say)
	}
}

// A label's wait holds until its day, and says which.
func TestLabelHolds(t *testing.T) {
	o := newOctober(t, "", nil)
	o.say("2025-09-20 label High Piece Clearfall grazing wait 30 days", "2025-10-06 height 30 in 31 in on High Piece")
	g := gate(t, o.read("2025-10-07").Fields[1].Gates, "label of Clearfall")
	if g.Answer != handbook.Hold || g.Until.String() != "2025-10-20" {
		t.Errorf("%s until %q: %v", g.Answer, g.Until, g.Reasons)
	}
	if f := o.read("2025-10-07").Fields[1]; f.Need == steer.UseNow {
		t.Errorf("ready now under a label: %q", f.Say)
	}
	if g := gate(t, o.read("2025-10-20").Fields[1].Gates, "label of Clearfall"); g.Answer != handbook.Clear {
		t.Errorf("after its wait: %s", g.Answer)
	}
	o.say("2025-10-08 label High Piece Otherol")
	if g := gate(t, o.read("2025-10-09").Fields[1].Gates, "label of Otherol"); g.Answer != handbook.Hold || !mentions(g, "label") {
		t.Errorf("a label that nobody read: %s %v", g.Answer, g.Missing)
	}
}

// What was written down before the feed year turned holds after it.
func TestTurnOfTheYear(t *testing.T) {
	o := newOctober(t, "", map[string]float64{"2025-10-29": 30})
	o.say("2025-10-20 label High Piece Clearfall plant-back 120 d grazing wait 60 d", "2025-10-31 grazed Low Piece in Cows 30")
	d := o.read("2025-11-03")
	if g := gate(t, d.Fields[1].Gates, "label of Clearfall"); g.Answer != handbook.Hold || g.Until.String() != "2025-12-19" {
		t.Errorf("the label on 3 November: %s until %q", g.Answer, g.Until)
	}
	o.hold(d, "less than 14 days")
	if d.Fields[0].Need != steer.TakeOff {
		t.Errorf("cows on frosted sorghum on 3 November: %q", d.Fields[0].Say)
	}
	o.say("2025-11-04 out Low Piece residual 6 in", "2025-11-05 tilled Low Piece disc")
	if f := o.read("2025-11-20").Fields[0]; f.History.Stands {
		t.Error("what was disced stands again")
	}
}

// A horse on the farm takes nothing from what holds cows, and the shortest spot speaks.
func TestStrictestOfEach(t *testing.T) {
	o := newOctober(t, "horses = true\n", nil)
	o.farm.Fields[1].Stands, _ = catalogue.Mix("alfalfa")
	o.farm.Plan.Sowings = o.farm.Plan.Sowings[:1]
	o.farm.Fields[1].Use = crop.Graze
	o.entries = o.entries[:1]
	if g := gate(t, o.read("2025-06-20").Fields[1].Gates, "bloat"); g.Answer == handbook.Clear {
		t.Errorf("bloat on alfalfa with cows and a horse: %s", g.Answer)
	}
	o = newOctober(t, "", nil)
	o.say("2025-10-07 height 40 in 18 in 42 in on Low Piece")
	o.hold(o.read("2025-10-07"), "below 24 in")
}

// A missing night hides a frost: then frost is not known.
func TestMissingNight(t *testing.T) {
	o := newOctober(t, "", nil)
	o.say("2025-10-09 height 50 in 52 in 51 in on Low Piece")
	if g := o.prussic(o.read("2025-10-09")); g.Answer == handbook.Hold {
		t.Fatalf("before: %v", g.Reasons)
	}
	o.series.Days[o.at("2025-10-05")-o.series.First].Marks |= weather.TMinFilled
	o.hold(o.read("2025-10-09"), "frost")
}

// Nitrogen of which nobody knows how much counts as heavy; a cold night that somebody saw
// asks for a look; a lot keeps what its growth had been through.
func TestUnknownCounts(t *testing.T) {
	o := newOctober(t, "", nil)
	o.say("2025-09-10 fertilised High Piece urea", "2025-09-25 drought High Piece", "2025-10-06 height 30 in 31 in on High Piece")
	if g := gate(t, o.read("2025-10-07").Fields[1].Gates, "nitrate"); g.Answer != handbook.Hold {
		t.Errorf("drought and nitrogen that nobody knows: %s %v", g.Answer, g.Reasons)
	}
	o.say("2025-10-08 frost Low Piece 34 F", "2025-10-08 height 50 in 52 in 51 in on Low Piece")
	if g := o.prussic(o.read("2025-10-08")); g.Answer == handbook.Clear || !mentions(g, "36 °F") {
		t.Errorf("34 °F seen: %s %v", g.Answer, g.Reasons)
	}
	o.say("2025-10-08 cut High Piece wrap 20 bales 900 lb 55 % stubble 6 in")
	for _, l := range o.read("2025-10-20").Lots {
		if l.Field == 1 {
			if g := gate(t, l.Gates, "nitrate"); g.Answer != handbook.Hold {
				t.Errorf("bales of it: %s %v", g.Answer, g.Reasons)
			}
		}
	}
}

// Sown in parts, a tall part says nothing of the youngest.
func TestParts(t *testing.T) {
	o := newOctober(t, "", nil)
	o.entries = nil
	o.say("2025-06-05 sowed Low Piece sorghum-sudangrass 40 lb/ac share 50 %", "2025-07-05 sowed Low Piece sorghum-sudangrass 40 lb/ac share 50 %", "2025-08-01 height 50 in 52 in on Low Piece")
	d := o.read("2025-08-01")
	o.hold(d)
	if !slices.ContainsFunc(d.Fields[0].History.Questions, func(q say.Line) bool { return strings.Contains(q.String(), "parts") }) {
		t.Errorf("nothing asked: %q", d.Fields[0].History.Questions)
	}
}

// What a document says of a label holds in the season as what the journal says.
func TestDocumentLabel(t *testing.T) {
	o := newOctober(t, "", nil)
	b := &o.farm.Plan.Sowings[1].Before
	b.Label, b.PlantBack, b.GrazeAfter = "Clearfall", o.at("2025-06-20"), o.at("2025-09-01")
	all := o.entries
	o.entries = nil
	if f := o.read("2025-06-15").Fields[1]; f.Need == steer.SowNow || !strings.Contains(f.Say.String(), "Clearfall") {
		t.Errorf("before the plant-back day: %q", f.Say)
	}
	o.entries = all
	if g := gate(t, o.read("2025-08-15").Fields[1].Gates, "label of Clearfall"); g.Answer != handbook.Hold || g.Until.String() != "2025-09-01" {
		t.Errorf("before its grazing day: %s until %q", g.Answer, g.Until)
	}
	if g := gate(t, o.read("2025-09-02").Fields[1].Gates, "label of Clearfall"); g.Answer != handbook.Clear {
		t.Errorf("after it: %s", g.Answer)
	}
}

// A lot says what was written of it: pieces, dry matter from weight and moisture, and
// the laboratory's latest figures.
func TestLotAsWritten(t *testing.T) {
	o := newOctober(t, "", nil)
	lot := func(on string) *steer.Lot {
		t.Helper()
		for _, l := range o.read(on).Lots {
			if l.Cut == o.at("2025-08-20") {
				return &l
			}
		}
		t.Fatal("the lot of 20 August is gone")
		return nil
	}
	if l := lot("2025-10-20"); l.Pieces.Bales != 60 || math.Abs(l.DM-60*900*0.45359237*0.45) > 1e-6 || l.Moisture != 0.55 || l.CP != 0 || l.Tested != 0 {
		t.Errorf("as put up: %+v", l)
	}
	for _, on := range []string{"2025-10-01", "2025-10-10"} {
		name := "Low Piece, 2025-08-20"
		cp := map[string]string{"2025-10-01": "13 %", "2025-10-10": "14 %"}[on]
		o.entries = append(o.entries, journal.Entry{Date: o.at(on), Lot: name, Fact: journal.Lab{Protein: journal.MustSay[quantity.Fraction](cp), NDF: journal.MustSay[quantity.Fraction]("58 %")}})
	}
	if l := lot("2025-10-20"); math.Abs(l.CP-0.14) > 1e-9 || math.Abs(l.NDF-0.58) > 1e-9 || l.Tested != o.at("2025-10-10") {
		t.Errorf("tested twice: %+v", l)
	}
	if l := lot("2025-10-05"); math.Abs(l.CP-0.13) > 1e-9 {
		t.Errorf("before the second result: %+v", l)
	}
}
