package journal

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rowen/quantity"
)

var today = quantity.NewDate(2026, time.July, 20)

// farm is an invented farm: teff on North Six, sown on 1 June; nothing on Waste.
func farm() Facts {
	return Facts{
		Today: today, Zone: time.FixedZone("", -4*3600),
		Fields: []string{"North Six", "Mill Flat", "Waste"}, Groups: []string{"Milkers", "Heifers"},
		Stores: []string{"Bale row", "Bunker"}, Lots: []string{},
		Stand: func(field string, on quantity.Date) (Stand, bool) {
			return Stand{Crop: "teff", Limit: MustSay[quantity.Length]("48 in").SI(), Sown: quantity.NewDate(2026, time.June, 1)}, field != "Waste"
		},
		Stock: func(store, lot string) (quantity.Mass, bool) {
			return 100 * quantity.Ton, store == "Bunker"
		},
	}
}

// phrases makes entries of a device from phrases, each recorded in the evening of
// its day.
func phrases(t *testing.T, texts ...string) []Entry {
	t.Helper()
	f := farm()
	names := Names{Fields: append(f.Fields, "Norht Six"), Groups: f.Groups, Stores: f.Stores, Lots: []string{"W1"}, Today: today}
	var out []Entry
	for i, text := range texts {
		e, err := ParsePhrase(text, names)
		if err != nil {
			t.Fatal(err)
		}
		e.ID = ID{"barn", uint64(i + 1)}
		e.Recorded = e.Date.Time().Add(24*time.Hour + time.Duration(i)*time.Minute)
		out = append(out, e)
	}
	return out
}

func TestQuestions(t *testing.T) {
	for _, c := range []struct {
		entries []string
		asked   []string // a part of each question, in order
	}{
		{[]string{"height 31 in on North Six 12 July"}, nil},
		{[]string{"height 9 ft on North Six 12 July"}, []string{"is that 9 in?"}},
		{[]string{"height 310 in on North Six 12 July"}, []string{"a digit too many"}},
		{[]string{"height 90 in on North Six 12 July"}, []string{"is that 90 cm?"}},
		{[]string{"height 7 in on North Six 12 July", "height 8 in on North Six 12 July"}, nil},
		{[]string{"height 7 in on North Six 12 July", "height 15 in on North Six 12 July"}, []string{"which is right?"}},
		{[]string{"height 31 in on North Six 22 July"}, []string{"still to come", "after today"}},
		{[]string{"height 31 in on Norht Six 12 July"}, []string{"did you mean North Six?"}},
		{[]string{"height 31 in on Waste 12 July"}, []string{"nothing is known to grow"}},
		{[]string{"cut North Six 20 May"}, []string{"teff was sown on 2026-06-01, after this"}},
		{[]string{"out North Six residual 7 in 12 July"}, []string{"a group came out, but no entry says"}},
		{[]string{"grazed North Six in Milkers 62 11 July", "out North Six Milkers residual 7 in 12 July"}, nil},
		{[]string{"grazed North Six in Milkers 62 11 July", "out North Six residual 7 in 12 July", "out North Six Milkers 13 July"}, []string{"Milkers came out"}},
		{[]string{"grazed North Six in Milkers 11 July", "grazed North Six in Milkers 15 July"}, []string{"did not come out"}},
		{[]string{"lab North Six prussic 300 ppm 12 July"}, []string{"of dry matter, or as fed?"}},
		{[]string{"lab North Six nitrate 1200 ppm dry 12 July"}, []string{"NO3-N, NO3 or KNO3?"}},
		{[]string{"lab North Six nitrate 1200 ppm NO3-N as fed 12 July"}, []string{"needs the sample's dry matter"}},
		{[]string{"lab North Six nitrate 1200 ppm NO3-N as fed moisture 80 % 12 July"}, nil},
		{[]string{"lab North Six moisture 80 % dm 30 % 12 July"}, []string{"do not make 100 %"}},
		{[]string{"lab North Six adf 50 % ndf 40 % ph 12 12 July"}, []string{"swapped", "pH of 12"}},
		{[]string{"cut North Six 96 % 12 July"}, []string{"moisture of 96 %"}},
		{[]string{"cut North Six 36 bales 9 lb 12 July"}, []string{"a bale of 9 lb"}},
		{[]string{"cut North Six stubble 4 ft 12 July"}, []string{"is that 4 in?"}},
		{[]string{"height 30 in on North Six 12 July", "height 9 in on North Six 13 July"}, []string{"which is right?"}},
		{[]string{"height 30 in on North Six 12 July", "cut North Six 12 July", "height 9 in on North Six 13 July"}, nil},
		{[]string{"height 30 in on North Six 12 July", "height 9 in on North Six 14 July"}, nil},
		{[]string{"frost 80 F North Six 12 July"}, []string{"F or C?"}},
		{[]string{"rain 20 in 12 July"}, []string{"in or mm?"}},
		{[]string{"cut North Six 36 bales 980 lb lot W1 2 July", "fed W1 40 bales 12 July"}, []string{"only 36 should be left"}},
		{[]string{"cut North Six 36 bales 980 lb lot W1 2 July", "fed W1 30 bales 12 July", "sold W1 6 bales 13 July"}, nil},
		{[]string{"fed Bale row 40 bales 12 July"}, nil}, // nobody knows what was there
		{[]string{"fed Bunker 60 ton 11 July", "fed Bunker 60 ton 12 July"}, []string{"only 40 ton should be left"}},
		{[]string{"measured Bunker 10 ton 11 July", "fed Bunker 12 ton 12 July"}, []string{"only 10 ton"}},
		{[]string{"emerged North Six 10 June", "not emerged North Six 12 June"}, []string{"which is right?"}},
		{[]string{"height 9 ft on North Six 12 July", "correct barn:1 height 9 in on North Six 12 July"}, nil},
		{[]string{"height 9 ft on North Six 12 July", "withdraw barn:1 12 July"}, nil},
		{[]string{"correct phone:9 height 9 in on North Six 12 July"}, []string{"phone:9, which is not here"}},
		{[]string{"height 9 in on North Six 12 July", "correct barn:1 height 8 in on North Six 12 July", "correct barn:1 height 7 in on North Six 12 July"}, []string{"already corrected by barn:2"}},
	} {
		questions := Check(phrases(t, c.entries...), farm())
		ok := len(questions) == len(c.asked)
		for i := range min(len(questions), len(c.asked)) {
			ok = ok && strings.Contains(questions[i].String(), c.asked[i]) && !strings.Contains(questions[i].Text.String(), "%!") && questions[i].Severity != Refused
		}
		if !ok {
			t.Errorf("%q: asked %v, want %q", c.entries, questions, c.asked)
		}
	}
}

// Without what grew there, a cut soon before a sowing is asked about.
func TestCutBeforeSowing(t *testing.T) {
	f := farm()
	f.Stand = nil
	for text, want := range map[string]int{"cut North Six 20 May": 1, "cut North Six 20 February": 0} {
		if got := Check(phrases(t, text, "sowed North Six teff 8 lb/ac 1 June"), f); len(got) != want {
			t.Errorf("%s: %v", text, got)
		}
	}
}

// A clock in another zone is mentioned, not refused.
func TestClocks(t *testing.T) {
	e := phrases(t, "height 31 in on North Six 12 July")[0]
	for _, c := range []struct {
		recorded time.Time
		zone     *time.Location
		want     string
	}{
		{time.Date(2026, 7, 13, 1, 0, 0, 0, time.UTC), farm().Zone, ""}, // still the evening of the 12th there
		{time.Date(2026, 7, 12, 2, 0, 0, 0, time.UTC), farm().Zone, "up to 3 h before the day began on the farm"},
		{time.Date(2026, 7, 12, 2, 0, 0, 0, time.UTC), nil, ""},
		{time.Date(2026, 7, 11, 8, 0, 0, 0, time.UTC), nil, "up to 3 h before the day began anywhere"},
		{time.Date(2026, 8, 1, 8, 0, 0, 0, time.UTC), farm().Zone, "after today"},
	} {
		f := farm()
		f.Zone, e.Recorded = c.zone, c.recorded
		got := Check([]Entry{e}, f)
		switch {
		case c.want == "" && len(got) == 0:
		case c.want != "" && len(got) == 1 && got[0].Severity == Said && strings.Contains(got[0].Text.String(), c.want):
		default:
			t.Errorf("%v in %v: %v, want %q", c.recorded, c.zone, got, c.want)
		}
	}
}

// Only what cannot be is refused, and then nothing else is asked about it.
func TestRefused(t *testing.T) {
	got := Check([]Entry{{Fact: Height{}}, {}}, farm())
	if len(got) == 0 {
		t.Fatal("nothing is refused")
	}
	for _, q := range got {
		if q.Severity != Refused {
			t.Errorf("%s: %s", q.Severity, q)
		}
	}
}

// A shared identity is asked about.
func TestSharedIdentity(t *testing.T) {
	all := phrases(t, "height 31 in on North Six 12 July", "frost 30 F North Six 12 July")
	all[1].ID = all[0].ID
	if got := Check(all, farm()); len(got) != 1 || !strings.Contains(got[0].Text.String(), "2 different entries are called barn:1") {
		t.Error(got)
	}
}

// Whatever is in a journal, checking it gives the same questions in the same
// order.
func TestCheckIsDeterministic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := someEntries.Draw(t, "entries")
		for _, f := range []Facts{farm(), {}} {
			a := Check(all, f)
			slices.Reverse(all)
			b := Check(all, f)
			if fmt.Sprint(a) != fmt.Sprint(b) {
				t.Fatalf("%v\n%v", a, b)
			}
			for _, q := range a {
				if len(q.Text) == 0 || q.Severity == Refused {
					t.Fatalf("question %q", q)
				}
			}
		}
	})
}
