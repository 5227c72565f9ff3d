package journal

import (
	"errors"
	"strings"
	"testing"
	"time"

	"rowen/internal/document"
	"rowen/quantity"
)

func known() Names {
	return Names{
		Fields: []string{"North Six", "North", "Mill Flat", "12", "Far Out", "Hay Field"}, Groups: []string{"Milkers", "Heifers"},
		Stores: []string{"Bale row", "Bunker", "Hay barn"}, Lots: []string{"W1"},
		Crops: []string{"sorghum-sudangrass", "pearl-millet", "teff"}, Today: quantity.NewDate(2026, time.July, 20),
	}
}

func TestPhrases(t *testing.T) {
	for phrase, want := range map[string]string{
		"height 31 in 28 in 33 in on North Six 12 July":                  "2026-07-12 height, North Six: heights 31 in; 28 in; 33 in",
		"cut Mill Flat wrap 36 bales 980 lb 52 % stubble 4 in":           "2026-07-20 cut, Mill Flat: use wrap, stubble 4 in, moisture 52 %, bales 36, each 980 lb",
		"grazed North Six in Milkers 62":                                 "2026-07-20 grazing-in, North Six, Milkers: head 62",
		"out North Six residual 7 in":                                    "2026-07-20 grazing-out, North Six: residual 7 in",
		"frost 30 F North Six":                                           "2026-07-20 frost, North Six: minimum 30 F",
		"rain 0.6 in":                                                    "2026-07-20 rain: rain 0.6 in",
		"fed Bale row 12 bales 980 lb each":                              "2026-07-20 fed, Bale row: bales 12, each 980 lb",
		"fed Bale row 12 bales to Milkers":                               "2026-07-20 fed, Milkers, Bale row: bales 12",
		"lab North Six nitrate 1200 ppm NO3-N dry":                       "2026-07-20 lab, North Six: nitrate 1200 ppm, nitrate as NO3-N, nitrate basis dry",
		"lab North Six nitrate 1200 ppm dry no3-n prussic 90 ppm as fed": "2026-07-20 lab, North Six: prussic 90 ppm, prussic basis as fed, nitrate 1200 ppm, nitrate as NO3-N, nitrate basis dry",
		"sowed North Six sorghum-sudangrass 42 lb/ac":                    "2026-07-20 sown, North Six: crop sorghum-sudangrass, rate 42 lb/ac",
		"shoots North Six":                                               "2026-07-20 shoots, North Six",
		"Height 31in on NORTH six, yesterday":                            "2026-07-19 height, North Six: heights 31in",
		"height 12 in on 12 on 12 July":                                  "2026-07-12 height, 12: heights 12 in",
		"height 3 ft North 2025-08-01":                                   "2025-08-01 height, North: heights 3 ft",
		"sown pearl millet on North, 12 lb/ac, area 50 % June 3 2025":    "2025-06-03 sown, North: crop pearl-millet, rate 12 lb/ac, area share 50 %",
		"stage boot North Six":                                           "2026-07-20 stage, North Six: stage boot",
		"stage 0.6 soft dough North Six":                                 "2026-07-20 stage, North Six: stage soft dough, stage number 0.6",
		"emerged North Six 400,000 /ac":                                  "2026-07-20 emergence, North Six: emerged yes, plants 400,000 /ac",
		"not emerged North Six":                                          "2026-07-20 emergence, North Six: emerged no",
		"grazed North Six out residual 7 in Milkers":                     "2026-07-20 grazing-out, North Six, Milkers: residual 7 in",
		"grazed Far Out in Milkers":                                      "2026-07-20 grazing-in, Far Out, Milkers",
		"grazed North Six 1,200 Heifers":                                 "2026-07-20 grazing-in, North Six, Heifers: head 1200",
		"grazed North Six in Heifers 62 cows":                            "2026-07-20 grazing-in, North Six, Heifers: head 62",
		"cut hay Hay Field 40 bales into Hay barn lot H1":                "2026-07-20 cut, Hay Field, Hay barn, H1: use hay, bales 40",
		"cut Mill Flat swath 80 % 52 % 3 loads 9 ton":                    "2026-07-20 cut, Mill Flat: swath 80 %, moisture 52 %, loads 3, each 9 ton",
		"frost -2 C North Six leaf killed":                               "2026-07-20 frost, North Six: minimum -2 C, leaf killed",
		"frost North Six not looked":                                     "2026-07-20 frost, North Six",
		"drought North Six":                                              "2026-07-20 drought, North Six",
		"drought over North Six 1.2 in":                                  "2026-07-20 drought-ended, North Six: rain 1.2 in",
		"hail North Six 30 %":                                            "2026-07-20 hail, North Six: damage 30 %",
		"fertilised North Six urea 130 lb/ac nitrogen 60 lb/ac":          "2026-07-20 fertiliser, North Six: product urea, rate 130 lb/ac, nitrogen 60 lb/ac",
		"manured North Six pit 5,000 gal/ac":                             "2026-07-20 manure, North Six: product pit, volume 5,000 gal/ac",
		"bought Hay barn 6 ton feed grass hay dm 88 %":                   "2026-07-20 bought, Hay barn: feed grass hay, amount 6 ton, dry matter 88 %",
		"sold W1 4 bales":                                                "2026-07-20 sold, W1: bales 4",
		"measured Bunker 120 ton dm 34 %":                                "2026-07-20 store-measured, Bunker: amount 120 ton, dry matter 34 %",
		"arrived Heifers 5 head":                                         "2026-07-20 animals-in, Heifers: head 5",
		"left Heifers 3":                                                 "2026-07-20 animals-out, Heifers: head 3",
		"label North Six Weedaway plant-back 120 d grazing wait 14 d":    "2026-07-20 label, North Six: product Weedaway, plant back 120 d, grazing wait 14 d",
		"label North Six 2,4-D grazing 7 d":                              "2026-07-20 label, North Six: product 2,4-D, grazing wait 7 d",
		"label North Six Weedaway,Plus 2,4,5-T 12 July plant-back 30 d":  "2026-07-12 label, North Six: product Weedaway,Plus 2,4,5-T, plant back 30 d",
		"sprayed 2,4-DB, Weedaway on North Six":                          "2026-07-20 label, North Six: product 2,4-DB Weedaway",
		"fertilised North Six 10-10-10 200 lb/ac n 20 lb/ac":             "2026-07-20 fertiliser, North Six: product 10-10-10, rate 200 lb/ac, nitrogen 20 lb/ac",
		"tilled North Six disc":                                          "2026-07-20 tilled, North Six: how disc",
		"ended North Six":                                                "2026-07-20 ended, North Six",
		"lab W1 dm 48 % cp 14 % ndf 55 % ph 4.6 sampled 12 July":         "2026-07-20 lab, W1: dry matter 48 %, protein 14 %, ndf 55 %, ph 4.6, sampled 2026-07-12",
		"correct barn:12 height 13 in on North Six 12 July":              "2026-07-12 height, North Six: heights 13 in, corrects barn:12",
		"withdraw barn:12":                                               "2026-07-20 withdrawn, corrects barn:12",
		"rain 0.6 in note gauge, second reading":                         "2026-07-20 rain: rain 0.6 in",
	} {
		e, err := ParsePhrase(phrase, known())
		if err != nil {
			t.Errorf("%q: %v", phrase, err)
			continue
		}
		if e.String() != want {
			t.Errorf("%q:\ngot  %s\nwant %s", phrase, e, want)
		}
	}
	if e, err := ParsePhrase("rain 0.6 in note gauge, read twice", known()); err != nil || e.Note != "gauge, read twice" {
		t.Errorf("note %q, %v", e.Note, err)
	}
}

// What is not understood is named, with what was understood and what to write.
func TestUnclearPhrases(t *testing.T) {
	for _, c := range []struct{ phrase, thing, value, remedy string }{
		{"", "phrase", "", "begin with what happened"},
		{"heigth 31 in on North Six", "phrase", "heigth", "did you mean height?"},
		{"height 31 on North Six", "understood: height, North Six", "31", "a unit is missing"},
		{"height 31 lb on North Six", "understood: height, North Six", "31 lb", "no place for it"},
		{"height 31 in on Nroth Six", "understood: height: heights 31 in", "Nroth Six", "did you mean North Six?"},
		{"height 31 in", "understood: height: heights 31 in", "", "field: it is missing"},
		{"height on North Six", "understood: height, North Six", "", "heights: it is missing"},
		{"height 31 in North Six 12 July 13 July", "understood: 2026-07-12 height, North Six: heights 31 in", "13 July", "a second date"},
		{"height 31 in North Six 30 February", "understood: height, North Six: heights 31 in", "30", "a unit is missing"},
		{"label North Six Weedaway 14 d", "understood: label, North Six: product Weedaway", "14 d", "no place for it"},
		{"fertilised North Six urea 130lbs/acr", "understood: fertiliser, North Six: product urea", "130lbs/acr", "a unit is missing"},
		{"height 2,4-D on North Six", "understood: height, North Six", "2,4-D", "a unit is missing"},
		{"cut Mill Flat 52 % 48 %", "understood: cut, Mill Flat: moisture 52 %", "48 %", "no place for it"},
		{"cut Mill Flat stubble 4", "understood: cut, Mill Flat", "stubble 4", "a unit is missing"},
		{"cut Mill Flat 130 %", "understood: cut, Mill Flat", "130 %", "write such as"},
		{"lab North Six 1200 ppm", "understood: lab, North Six", "1200 ppm", "no place for it"},
		{"lab North Six", "understood: lab, North Six", "", "at least one"},
		{"sowed North Six tefff 8 lb/ac", "understood: sown, North Six", "tefff", "did you mean teff?"},
		{"fed Bael row 12 bales", "understood: fed: feed Bael row, bales 12", "", "did you mean Bale row?"},
		{"grazed North Six in 62", "understood: grazing-in, North Six: head 62", "", "group: it is missing"},
		{"withdraw 12", "phrase", "12", "withdraw barn:12"},
		{"correct", "phrase", "", "say which entry"},
		{"frost 30 F\xff", "phrase", "frost 30 F\xff", "UTF-8"},
	} {
		_, err := ParsePhrase(c.phrase, known())
		var problems document.Problems
		if !errors.As(err, &problems) {
			t.Errorf("%q: %v", c.phrase, err)
			continue
		}
		p := problems[0]
		if !strings.HasPrefix(p.Thing, c.thing) || p.Value != c.value || !strings.Contains(p.Remedy, c.remedy) {
			t.Errorf("%q: %v\nwant thing %q, value %q, remedy %q", c.phrase, err, c.thing, c.value, c.remedy)
		}
	}
	n := known()
	n.Today = 0
	if _, err := ParsePhrase("rain 0.6 in", n); err == nil || !strings.Contains(err.Error(), "on which day?") {
		t.Errorf("without today: %v", err)
	}
}

func TestNearestYear(t *testing.T) {
	for _, c := range []struct{ today, phrase, want string }{
		{"2026-01-03", "28 December", "2025-12-28"},
		{"2026-12-30", "2 January", "2027-01-02"},
		{"2026-07-20", "22 July", "2026-07-22"},
		{"2026-07-20", "Jan 19", "2026-01-19"},
		{"2026-07-20", "19 January", "2026-01-19"},
		{"2026-02-01", "29 February", "2024-02-29"},
		{"2026-07-20", "yesterday", "2026-07-19"},
	} {
		n := Names{Today: must(quantity.ParseDate(c.today))}
		e, err := ParsePhrase("rain 1 in "+c.phrase, n)
		if err != nil || e.Date.String() != c.want {
			t.Errorf("%s seen from %s: %s, %v; want %s", c.phrase, c.today, e.Date, err, c.want)
		}
	}
	if _, err := ParsePhrase("rain 1 in 29 February 2025", known()); err == nil {
		t.Error("29 February 2025 was taken as a day")
	}
}

// The examples that are shown to people are understood.
func TestShownPhrases(t *testing.T) {
	if len(Phrases()) < len(Kinds()) {
		t.Errorf("%d phrases for %d kinds", len(Phrases()), len(Kinds()))
	}
	for _, phrase := range Phrases() {
		if e, err := ParsePhrase(phrase, known()); err != nil || len(e.unstamped()) > 0 {
			t.Errorf("%q: %v", phrase, err)
		}
	}
}

func FuzzParsePhrase(f *testing.F) {
	for _, phrase := range Phrases() {
		f.Add(phrase)
	}
	f.Add("correct barn:1 cut 12 12 in 12 July 2025 swath 80 % note x")
	f.Add("grazed Far Out out in 1,2 head , ;")
	f.Add("height 1e308 in on Far Out")
	f.Add("cut Far Out wrap 36 bales 1e300 lb")
	f.Fuzz(func(t *testing.T, phrase string) {
		e, err := ParsePhrase(phrase, known())
		if err == nil {
			if p := e.unstamped(); len(p) > 0 {
				t.Fatalf("%q: read as what cannot be kept: %v", phrase, p)
			}
			return
		}
		var problems document.Problems
		if !errors.As(err, &problems) || len(problems) == 0 {
			t.Fatalf("%q: %v", phrase, err)
		}
		for _, p := range problems {
			if p.Thing == "" || p.Remedy == "" {
				t.Fatalf("%q: %v", phrase, p)
			}
		}
	})
}
