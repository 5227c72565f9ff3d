package account

import (
	"fmt"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
)

// Advice is one thing said of a field or a sowing, with the rule it comes from.
type Advice struct {
	Field        int
	Text         string
	Source       string
	Stop         bool    // it must not be done
	AdjustedRate float64 // of a sowing against weeds, the lead part's seed, lb/ac; 0 where none is advised
}

// RotationOf looks at the programme of every field over the years that the document
// tells and the one planned: what may not follow what, what thins, what lies bare.
func RotationOf(f *farm.Farm, y *season.YearResult) (out []Advice) {
	for i := range f.Fields {
		say := func(stop bool, source, format string, args ...any) *Advice {
			out = append(out, Advice{Field: i, Text: fmt.Sprintf(format, args...), Source: source, Stop: stop})
			return &out[len(out)-1]
		}
		stood := []*crop.Mix{&f.Fields[i].Stands} // on all of the field this year so far
		ended := false
		for s := range f.Plan.Sowings {
			sow := &f.Plan.Sowings[s]
			if sow.Field != i {
				continue
			}
			p := sower{f: f, field: &f.Fields[i], sow: sow, stood: stood, say: say}
			p.follows()
			p.made()
			if partly(f, sow) {
				continue // it lies beside what follows, not before it
			}
			ended = true
			stood = append(stood[:len(stood):len(stood)], &sow.Mix)
		}
		if !ended {
			persistence(f, i, say)
		}
		cover(f, i, y, say)
	}
	return out
}

type sayer func(stop bool, source, format string, args ...any) *Advice

// sower is a sowing with what stood on its ground before it this year, latest last.
type sower struct {
	f     *farm.Farm
	field *farm.Field
	sow   *farm.Sowing
	stood []*crop.Mix
	say   sayer
}

// before is what stands when the sowing comes; without parts where it is bare.
func (p *sower) before() *crop.Mix { return p.stood[len(p.stood)-1] }

// had tells whether a kind of crop stood there this year, and how many years ago the
// document last tells of one; 0 where it tells of none.
func (p *sower) had(is func(*crop.Crop) bool, names ...string) (now bool, ago int) {
	for _, m := range p.stood {
		now = now || has(m, is)
	}
	for _, past := range p.field.Ground.Past {
		since := p.f.Target - past.Year
		for _, name := range names {
			if strings.Contains(past.Crop, name) && since > 0 && (ago == 0 || since < ago) {
				ago = since
			}
		}
	}
	return now, ago
}

// told tells whether the document names the crop of so many years ago.
func (p *sower) told(ago int) bool {
	for _, past := range p.field.Ground.Past {
		if past.Year == p.f.Target-ago && past.Crop != "" {
			return true
		}
	}
	return false
}

func isAlfalfa(c *crop.Crop) bool  { return c.Name == "alfalfa" }
func isBrassica(c *crop.Crop) bool { return c.Brassica }

// The years that brassicas keep away from where one stood: fewer than the first is
// forbidden, up to the last is warned.
const (
	brassicaLeast = 2
	brassicaMost  = 4
)

// succeeds judges a sowing by what may not follow what.
func (p *sower) succeeds() {
	if has(&p.sow.Mix, isAlfalfa) {
		// A year between is asked: what stood last year was ended within it at best.
		const source = "University of Missouri, Nelson; University of Minnesota (read): 12 months free of alfalfa; 8 to 29 % less for life where it is not"
		switch now, ago := p.had(isAlfalfa, "alfalfa"); {
		case now, ago == 1:
			p.say(true, source, "no alfalfa straight after alfalfa: grow a year of corn, sorghum or cereal between")
		case ago > 1 && !p.told(1):
			p.say(false, source, "alfalfa stood here %d years ago and last year's crop is not written: a year free of alfalfa must lie between ([[field.past]])", ago)
		}
	}
	if has(&p.sow.Mix, isBrassica) {
		const source = "University of Delaware: two to four years between; common practice"
		switch now, ago := p.had(isBrassica, "rape", "turnip", "kale"); {
		case now, ago > 0 && ago <= brassicaLeast:
			p.say(true, source, "no brassica after brassica: clubroot and beetle")
		case ago > 0 && ago <= brassicaMost:
			p.say(false, source, "brassicas stood here %d years ago: four years between are safer, for clubroot", ago)
		}
	}
}

// follows judges a sowing by what was there before it.
func (p *sower) follows() {
	p.succeeds()
	before := p.before()
	if len(before.Parts) == 0 {
		return
	}
	if p.sow.NoTill && perennial(before) {
		p.say(false, "common practice", "no-till into sod: slugs in a wet spring, and the sod must be dead; look twice a week until it is up")
	}
	switch p.sow.Before.Termination {
	case "":
		p.say(false, "common practice", "the plan does not say how %s is ended: termination = \"ploughed\" or another", before.Title)
	case "winterkilled":
		if winters(before) {
			p.say(false, "common practice", "%s lives through the winter: it is not ended by frost", before.Title)
		}
	case "nothing stood":
		p.say(false, "common practice", "%s stands there by the document: termination = \"ploughed\" or another", before.Title)
	}
}

// againstWeeds is how much more seed is sown where weeds are known (common practice).
const againstWeeds = 1.2

// made judges how a sowing is made.
func (p *sower) made() {
	parts := p.sow.Mix.Parts
	lead := &parts[0]
	if p.field.Weedy && lead.Rate > 0 && seeding(&p.sow.Mix) <= 1+1e-9 {
		rate := lead.Rate * againstWeeds
		a := p.say(false, "common practice: a fifth more seed against weeds", "known weeds and no more than the usual rate: sow a fifth more, %s of %s, or take a stale seedbed first", rate.RateIn(p.f.Units), lead.Crop.Title)
		a.AdjustedRate = rate.PoundsPerAcre()
	}
	if p.sow.Before.Frost && !lead.Crop.Legume {
		p.say(false, "common practice", "frost-seeding is for clovers: %s seldom takes", p.sow.Mix.Title)
	}
}

// seeding is a mixture's seed against a full rate: its parts' rates, each over what is
// drilled of it alone.
func seeding(m *crop.Mix) (sum float64) {
	for _, p := range m.Parts {
		if d := p.Crop.Sowing.Drilled; d > 0 {
			sum += float64(p.Rate / d)
		}
	}
	return sum
}

func has(m *crop.Mix, is func(*crop.Crop) bool) bool {
	for _, p := range m.Parts {
		if is(p.Crop) {
			return true
		}
	}
	return false
}

// renewAt is the share of a stand's first years below which it is renewed (common
// practice; alfalfa below 39 stems a square foot has declined, Progressive Forage,
// read).
const renewAt = 0.65

// foreseen is how many years ahead a renewal is still told.
const foreseen = 30

// persistence tells how long a sward still stands and what its renewal costs.
func persistence(f *farm.Farm, i int, say sayer) {
	field := &f.Fields[i]
	if len(field.Stands.Parts) == 0 || field.Stands.Parts[0].Crop.Life != crop.Perennial || field.Age == 0 {
		return
	}
	lead := field.Stands.Parts[0].Crop
	left, years := standLeft(lead.Growth["thinning"].Value, field.Age)
	for _, p := range field.Stands.Parts[1:] {
		short, soon := standLeft(p.Crop.Growth["thinning"].Value, field.Age)
		if p.Crop.Legume && soon < years {
			say(false, "stand model; common practice", "in year %.0f about %.0f %% of its %s are left, sown down again or frost-seeded in about %d years", field.Age, 100*short, strings.ToLower(p.Crop.Title), soon)
		}
	}
	cost := float64(f.Custom.Tillage + f.Custom.Drilling)
	for _, p := range field.Stands.Parts {
		cost += float64(p.Rate) * float64(f.SeedPrice(p.Crop))
	}
	perAcre := cost / float64(quantity.PerAcreOf)
	switch {
	case years == 0:
		say(false, "stand model; common practice", "in year %.0f about %.0f %% of its plants are left: renew it, about %.0f %s/ac", field.Age, 100*left, perAcre, f.Currency)
	case years < foreseen:
		say(false, "stand model; common practice", "in year %.0f about %.0f %% of its plants are left; renewal in about %d years, about %.0f %s/ac", field.Age, 100*left, years, perAcre, f.Currency)
	}
}

// standLeft is the share of a sward's plants that are left in a year of its age, where
// so many of them go each year, and the years until it is down to renewal.
func standLeft(thinning, age float64) (left float64, years int) {
	left = 1
	for y := 1.0; y < age; y++ {
		left *= 1 - thinning
	}
	for p := left; p > renewAt && years < foreseen; years++ {
		p *= 1 - thinning
	}
	return left, years
}

// RenewalDue tells what share of its plants a sward has left by its age, and whether it
// is down to renewal; a sward whose age is not written is taken as full.
func RenewalDue(field *farm.Field) (left float64, due bool) {
	if len(field.Stands.Parts) == 0 || field.Stands.Parts[0].Crop.Life != crop.Perennial || field.Age == 0 {
		return 1, false
	}
	left, years := standLeft(field.Stands.Parts[0].Crop.Growth["thinning"].Value, field.Age)
	return left, years == 0
}

// steep is the slope from which bare winter ground washes (common practice: 8 %).
const steep = 0.08

// cover asks for growth over winter where a slope would lie bare.
func cover(f *farm.Farm, i int, y *season.YearResult, say sayer) {
	field := &f.Fields[i]
	if float64(field.Ground.Slope) < steep {
		return
	}
	last, dropped, part := &field.Stands, false, false
	for s := range f.Plan.Sowings {
		sow := &f.Plan.Sowings[s]
		switch {
		case sow.Field != i:
		case winters(&sow.Mix) && y.Sowings[s].Sown == 0:
			dropped = true // what stood before it goes on
		case partly(f, sow):
			part = part || !winters(&sow.Mix)
		default:
			last, dropped = &sow.Mix, false
		}
	}
	const source = "common practice: 30 % of the ground covered from October to May"
	slope := 100 * float64(field.Ground.Slope)
	switch {
	case !winters(last) && dropped:
		say(false, source, "a slope of %.0f %% lies bare over winter where its cover cannot be sown, as in this year: sow it earlier", slope)
	case !winters(last):
		say(false, source, "a slope of %.0f %% lies bare over winter: sow rye or triticale by 20 September", slope)
	case part:
		say(false, source, "a part of a slope of %.0f %% lies bare over winter: sow rye or triticale there by 20 September", slope)
	}
}
