package journal

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"rowen/quantity"
)

// verb is a word that begins a phrase.
type verb struct {
	words   []string // the first is the one shown
	kind    Kind
	preset  map[string]string
	example string
}

var verbs = []verb{
	{words: []string{"height", "heights", "measured height"}, kind: KindHeight, example: `"height 31 in 28 in 33 in on North Six 12 July"`},
	{words: []string{"stage"}, kind: KindStage, example: `"stage boot North Six"`},
	{words: []string{"sowed", "sown", "sow", "seeded", "planted", "drilled", "drill"}, kind: KindSown, example: `"sowed North Six sorghum-sudangrass 42 lb/ac"`},
	{words: []string{"emerged", "up", "came up"}, kind: KindEmergence, preset: map[string]string{"emerged": "yes"}, example: `"emerged North Six 400,000 /ac"`},
	{words: []string{"not emerged", "not up", "failed"}, kind: KindEmergence, preset: map[string]string{"emerged": "no"}, example: `"not emerged North Six"`},
	{words: []string{"grazed", "grazing", "in", "turned in", "turned out to"}, kind: KindGrazingIn, example: `"grazed North Six in Milkers 62"`},
	{words: []string{"out", "off"}, kind: KindGrazingOut, example: `"out North Six residual 7 in"`},
	{words: []string{"cut", "mowed", "mown", "baled"}, kind: KindCut, example: `"cut Mill Flat wrap 36 bales 980 lb 52 % stubble 4 in"`},
	{words: []string{"fertilised", "fertilized", "fertiliser", "fertilizer"}, kind: KindFertiliser, example: `"fertilised North Six urea 130 lb/ac nitrogen 60 lb/ac"`},
	{words: []string{"manured", "manure", "slurry", "spread"}, kind: KindManure, example: `"manured North Six 5,000 gal/ac nitrogen 40 lb/ac"`},
	{words: []string{"frost"}, kind: KindFrost, example: `"frost 30 F North Six killed"`},
	{words: []string{"shoots", "regrowth"}, kind: KindShoots, example: `"shoots North Six"`},
	{words: []string{"drought"}, kind: KindDrought, example: `"drought North Six"`},
	{words: []string{"drought over", "drought ended", "drought broken"}, kind: KindDroughtEnded, example: `"drought over North Six 1.2 in"`},
	{words: []string{"hail"}, kind: KindHail, example: `"hail North Six 30 %"`},
	{words: []string{"lab", "laboratory", "test"}, kind: KindLab, example: `"lab North Six nitrate 1200 ppm NO3-N dry"`},
	{words: []string{"bought"}, kind: KindBought, example: `"bought Hay barn 40 bales 700 lb"`},
	{words: []string{"sold"}, kind: KindSold, example: `"sold Hay barn 40 bales 700 lb"`},
	{words: []string{"fed"}, kind: KindFed, example: `"fed Bale row 12 bales 980 lb"`},
	{words: []string{"measured", "store", "counted"}, kind: KindMeasured, example: `"measured Bunker 120 ton dm 34 %"`},
	{words: []string{"arrived", "animals in"}, kind: KindAnimalsIn, example: `"arrived Heifers 5 head"`},
	{words: []string{"left", "animals out"}, kind: KindAnimalsOut, example: `"left Heifers 3 head"`},
	{words: []string{"rain"}, kind: KindRain, example: `"rain 0.6 in"`},
	{words: []string{"label", "sprayed"}, kind: KindLabel, example: `"label North Six Weedaway plant-back 120 d grazing 14 d"`},
	{words: []string{"tilled", "ploughed", "plowed"}, kind: KindTilled, example: `"tilled North Six disc"`},
	{words: []string{"ended", "terminated"}, kind: KindEnded, example: `"ended North Six winterkill"`},
}

var withdrawVerb = verb{words: []string{"withdraw"}, kind: KindWithdrawn, example: `"withdraw barn:12"`}

// findVerb is the longest verb that the phrase goes on with.
func (p *phrase) findVerb() (found *verb, words int) {
	for i := range verbs {
		if _, n := p.match(p.at, verbs[i].words); n > words {
			found, words = &verbs[i], n
		}
	}
	return found, words
}

// verbNames are the verbs as shown; verbWords all their forms.
func verbNames() []string {
	out := make([]string, len(verbs), len(verbs)+2)
	for i := range verbs {
		out[i] = verbs[i].words[0]
	}
	return append(out, "correct", "withdraw")
}

func verbWords() []string {
	var out []string
	for i := range verbs {
		out = append(out, verbs[i].words...)
	}
	return append(out, "correct", "withdraw")
}

// Phrases is one example of a phrase for every verb, for a page of help.
func Phrases() []string {
	out := make([]string, 0, len(verbs)+1)
	for i := range verbs {
		out = append(out, strings.Trim(verbs[i].example, `"`))
	}
	return append(out, strings.Trim(withdrawVerb.example, `"`))
}

// startsNumber tells whether a word begins as a number does.
func startsNumber(s string) bool {
	s = strings.TrimLeft(s, "+-.")
	return s != "" && s[0] >= '0' && s[0] <= '9'
}

// isPlain tells whether a text is a number alone.
func isPlain(s string) bool {
	_, err := plain(s)
	return err == nil
}

// amountWords is how many words from a place on are one amount with its unit, or
// a plain number; 0 if they are none.
func (p *phrase) amountWords(from int) int {
	if from >= len(p.tokens) || !startsNumber(p.tokens[from]) {
		return 0
	}
	for n := longestPart; n > 0; n-- {
		if text, ok := p.span(from, n); ok && isAmount(text) {
			return n
		}
	}
	return 0
}

// isAmount tells whether a text is an amount of any type that the journal keeps.
func isAmount(text string) bool {
	for _, parse := range []func(string) (float64, error){
		parse[quantity.Length], parse[quantity.Mass], parse[quantity.MassPerArea], parse[quantity.CountPerArea], parse[quantity.Fraction],
		parse[quantity.Temperature], parse[quantity.WaterDepth], parse[quantity.Duration], parse[VolumePerArea], parse[float64],
	} {
		if _, err := parse(text); err == nil {
			return true
		}
	}
	return false
}

// dateWords is how many words from a place on are one date.
func (p *phrase) dateWords(from int) int {
	_, n := p.dateAt(from)
	return n
}

// dateAt reads the date that begins at a place; n is its number of words, 0 if
// there is none.
func (p *phrase) dateAt(from int) (d quantity.Date, n int) {
	if from >= len(p.tokens) {
		return 0, 0
	}
	if d, err := quantity.ParseDate(p.tokens[from]); err == nil {
		return d, 1
	}
	if p.known.Today != 0 {
		switch p.lower[from] {
		case "today":
			return p.known.Today, 1
		case "yesterday":
			return p.known.Today - 1, 1
		}
	}
	if from+1 >= len(p.tokens) {
		return 0, 0
	}
	return p.monthDay(from)
}

// monthDay reads "12 July" or "July 12", with or without a year.
func (p *phrase) monthDay(from int) (d quantity.Date, n int) {
	rule, err := quantity.ParseMonthDay(p.tokens[from] + " " + p.tokens[from+1])
	if err != nil {
		rule, err = quantity.ParseMonthDay(p.tokens[from+1] + " " + p.tokens[from])
	}
	if err != nil {
		return 0, 0
	}
	if year := p.yearAt(from + 2); year > 0 && ruleFits(rule, year) {
		return rule.In(year), 3
	}
	if p.known.Today == 0 {
		return 0, 0
	}
	return nearestYear(rule, p.known.Today), 2
}

// yearAt is the year at a place, 0 if there is none: four digits without a unit
// behind them.
func (p *phrase) yearAt(from int) int {
	if from >= len(p.tokens) || len(p.tokens[from]) != 4 || p.amountWords(from) > 1 {
		return 0
	}
	year, err := strconv.Atoi(p.tokens[from])
	if err != nil || year < 1900 || year >= 2200 {
		return 0
	}
	return year
}

// ruleFits tells whether a year has the day: 29 February is not in every one.
func ruleFits(rule quantity.MonthDay, year int) bool {
	_, month, day := rule.In(year).Civil()
	return month == rule.Month && day == rule.Day
}

// nearestYear is the date of a rule nearest to today; of two as near, the past.
func nearestYear(rule quantity.MonthDay, today quantity.Date) quantity.Date {
	years := []int{today.Year(), today.Year() - 1, today.Year() + 1}
	if rule.Month == time.February && rule.Day == 29 {
		// A leap day is not the first of March: the nearest year that has one.
		years = years[:0]
		for y := today.Year() - 8; y <= today.Year()+8; y++ {
			if ruleFits(rule, y) {
				years = append(years, y)
			}
		}
	}
	return rule.In(slices.MinFunc(years, func(a, b int) int {
		return cmp.Or(cmp.Compare(away(rule.In(a), today), away(rule.In(b), today)), cmp.Compare(a, b))
	}))
}

// away is the number of days between two dates.
func away(a, b quantity.Date) quantity.Date { return max(a-b, b-a) }
