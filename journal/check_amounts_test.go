package journal

import (
	"strings"
	"testing"

	"rowen/quantity"
)

// sized is the invented farm with its sizes: fields of 10 ac, 62 milkers.
func sized() Facts {
	f := farm()
	f.Area = func(field string) (quantity.Area, bool) { return 10 * quantity.Acre, field != "Mill Flat" }
	f.Head = func(group string) (int, bool) { return 62, group == "Milkers" }
	return f
}

// Each amount just inside its bound is believed, just outside asked about.
func TestAmountsAskedAbout(t *testing.T) {
	for _, c := range []struct {
		entries []string
		asked   string // a part of the one question; empty: none
	}{
		{[]string{"cut North Six wrap 199 bales 1 ton 60 % 12 July"}, ""}, // 7.96 ton DM/ac
		{[]string{"cut North Six wrap 199 bales 1 ton 59 % 12 July"}, "8.2 ton/ac of dry matter"},
		{[]string{"cut North Six wrap 199 bales 1 ton 12 July"}, ""},
		{[]string{"cut North Six wrap 201 bales 1 ton 60 % 12 July"}, "20.1 ton/ac as taken off"},
		{[]string{"cut North Six silage 30 loads 10 ton 66 % 12 July"}, ""}, // 10 ton DM/ac of whole crop
		{[]string{"cut North Six silage 30 loads 10 ton 50 % 12 July"}, "15.0 ton/ac of dry matter"},
		{[]string{"cut North Six silage 41 loads 10 ton 66 % 12 July"}, "41.0 ton/ac as taken off"},
		{[]string{"cut Mill Flat wrap 900 bales 1 ton 60 % 12 July"}, ""}, // nobody knows how large it is
		{[]string{"cut North Six wrap 900 bales 12 July"}, ""},            // nobody weighed it
		{[]string{"cut North Six hay 25 % 12 July"}, ""},
		{[]string{"cut North Six hay 26 % 12 July"}, "set itself and the barn on fire"},
		{[]string{"cut North Six wrap 52 % 12 July"}, ""},
		{[]string{"lab North Six prussic 5000 ppm dry 12 July"}, ""},
		{[]string{"lab North Six prussic 5001 ppm dry 12 July"}, "5,000 ppm at most"},
		{[]string{"fertilised North Six urea nitrogen 300 lb/ac 12 July"}, ""},
		{[]string{"fertilised North Six urea nitrogen 301 lb/ac 12 July"}, "301 lb/ac of nitrogen"},
		{[]string{"manured North Six nitrogen 340 lb/ac 12 July"}, "340 lb/ac of nitrogen"},
		{[]string{"manured North Six 19,999 gal/ac 12 July"}, ""},
		{[]string{"manured North Six 20,100 gal/ac 12 July"}, "20,100 gal/ac of slurry"},
		{[]string{"sowed North Six teff 199 lb/ac 12 July"}, ""},
		{[]string{"sowed North Six teff 201 lb/ac 12 July"}, "201 lb/ac of seed"},
		{[]string{"grazed North Six in Milkers 62 12 July"}, ""},
		{[]string{"grazed North Six in Milkers 63 12 July"}, "63 head, and Milkers has 62 at most"},
		{[]string{"grazed North Six in Heifers 630 12 July"}, ""}, // nobody knows how many there are
		{[]string{"arrived Milkers 5 head 11 July", "grazed North Six in Milkers 67 12 July"}, ""},
		{[]string{"grazed North Six in Milkers 67 12 July", "arrived Milkers 5 head 13 July"}, "62 at most"},
		{[]string{"height 12 in on North Six 10 July", "grazed North Six in Milkers 11 July", "out North Six residual 12 in 12 July"}, ""},
		{[]string{"height 12 in on North Six 10 July", "grazed North Six in Milkers 11 July", "out North Six residual 13 in 12 July"}, "taller than the 12 in that was there on 2026-07-10 (barn:1)"},
		{[]string{"height 12 in on North Six 1 July", "grazed North Six in Milkers 8 July", "out North Six residual 13 in 9 July"}, ""}, // it has grown since
		{[]string{"height 12 in on North Six 10 July", "cut North Six 11 July", "grazed North Six in Milkers 11 July", "out North Six residual 13 in 12 July"}, ""},
	} {
		questions := Check(phrases(t, c.entries...), sized())
		switch {
		case c.asked == "" && len(questions) == 0:
		case c.asked != "" && len(questions) == 1 && questions[0].Severity == Asked && strings.Contains(questions[0].Text.String(), c.asked) && !strings.Contains(questions[0].Text.String(), "%!"):
		default:
			t.Errorf("%q: asked %v, want %q", c.entries, questions, c.asked)
		}
	}
}
