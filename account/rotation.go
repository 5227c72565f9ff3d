package account

import (
	"fmt"
	"strings"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
)

// Advice is one thing said of a field or a sowing, with the rule it comes from.
type Advice struct {
	Field  int
	Text   string
	Source string
	Stop   bool // it must not be done
}

// RotationOf looks at the programme of every field over the years that the document
// tells and the one planned: what may not follow what, what thins, what lies bare.
func RotationOf(f *farm.Farm, y *season.YearResult) (out []Advice) {
	for i := range f.Fields {
		field := &f.Fields[i]
		say := func(stop bool, source, format string, args ...any) {
			out = append(out, Advice{Field: i, Text: fmt.Sprintf(format, args...), Source: source, Stop: stop})
		}
		before := field.Stands.Name
		if before == "" {
			before = field.Ground.LastCrop()
		}
		for s := range f.Plan.Sowings {
			sow := &f.Plan.Sowings[s]
			if sow.Field == i {
				follows(field, sow, before, say)
				before = sow.Mix.Name
			}
		}
		persistence(f, field, i, say)
		cover(f, field, i, y, say)
	}
	return out
}

type sayer func(stop bool, source, format string, args ...any)

// follows judges a sowing by what was there before it.
func follows(field *farm.Field, sow *farm.Sowing, before string, say sayer) {
	had := func(what string) bool {
		if strings.Contains(before, what) {
			return true
		}
		for _, p := range field.Ground.Past {
			if strings.Contains(p.Crop, what) && sow.Line > 0 && p.Year > 0 {
				return true
			}
		}
		return false
	}
	if has(&sow.Mix, func(c *crop.Crop) bool { return c.Name == "alfalfa" }) && (strings.Contains(before, "alfalfa")) {
		say(true, "University of Missouri, Nelson; University of Minnesota (read): 12 months free of alfalfa; 8 to 29 % less for life where it is not", "no alfalfa straight after alfalfa: grow a year of corn, sorghum or cereal between")
	}
	if has(&sow.Mix, func(c *crop.Crop) bool { return c.Brassica }) && (had("rape") || had("turnip") || had("kale")) {
		say(true, "University of Delaware: two to four years between; common practice", "no brassica after brassica: clubroot and beetle")
	}
	if sow.NoTill && before != "" && !strings.Contains(before, "corn") {
		say(false, "common practice", "no-till into sod: slugs in a wet spring, and the sod must be dead; look twice a week until it is up")
	}
	if sow.Before.Termination == "" && len(field.Stands.Parts) > 0 {
		say(false, "common practice", "the plan does not say how %s is ended: termination = \"ploughed\" or another", field.Stands.Title)
	}
	if field.Weedy && sow.Mix.Parts[0].Rate > 0 && sow.Mix.Parts[0].Rate <= sow.Mix.Parts[0].Crop.Sowing.Drilled {
		say(false, "common practice: a fifth more seed against weeds", "known weeds and no more than the usual rate: sow a fifth more, or take a stale seedbed first")
	}
	if sow.Before.Frost && sow.Mix.Parts[0].Crop.Name != "red-clover" && !sow.Mix.Parts[0].Crop.Legume {
		say(false, "common practice", "frost-seeding is for clovers: %s seldom takes", sow.Mix.Title)
	}
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

// persistence tells how long a sward still stands and what its renewal costs.
func persistence(f *farm.Farm, field *farm.Field, i int, say sayer) {
	if len(field.Stands.Parts) == 0 || field.Stands.Parts[0].Crop.Life != crop.Perennial || field.Age == 0 {
		return
	}
	lead := field.Stands.Parts[0].Crop
	thinning := lead.Growth["thinning"].Value
	left, years := 1.0, 0
	for y := 1.0; y < field.Age; y++ {
		left *= 1 - thinning
	}
	for p := left; p > renewAt && years < 30; years++ {
		p *= 1 - thinning
	}
	cost := float64(f.Custom.Tillage + f.Custom.Drilling)
	for _, p := range field.Stands.Parts {
		cost += float64(p.Rate) * float64(f.SeedPrice(p.Crop))
	}
	perAcre := cost / float64(quantity.PerAcreOf)
	switch {
	case years == 0:
		say(false, "stand model; common practice", "in year %.0f about %.0f %% of its plants are left: renew it, about %.0f %s/ac", field.Age, 100*left, perAcre, f.Currency)
	case years < 30:
		say(false, "stand model; common practice", "in year %.0f about %.0f %% of its plants are left; renewal in about %d years, about %.0f %s/ac", field.Age, 100*left, years, perAcre, f.Currency)
	}
}

// steep is the slope from which bare winter ground washes (common practice: 8 %).
const steep = 0.08

// cover asks for growth over winter where a slope would lie bare.
func cover(f *farm.Farm, field *farm.Field, i int, y *season.YearResult, say sayer) {
	if float64(field.Ground.Slope) < steep {
		return
	}
	mix, sowing := stands(f, i)
	bare := len(mix.Parts) == 0 || sowing != nil && mix.Parts[0].Crop.Life == crop.Annual
	if bare {
		say(false, "common practice: 30 % of the ground covered from October to May", "a slope of %.0f %% lies bare over winter: sow rye or triticale by 20 September", 100*float64(field.Ground.Slope))
	}
}

// Scout is a date to walk a field.
type Scout struct {
	Field int
	On    quantity.Date
	Text  string
}

// ScoutsOf are the dates to look for pests, by what grows (thresholds: Minnesota,
// Nebraska and Missouri extension, read).
func ScoutsOf(f *farm.Farm) (out []Scout) {
	first := f.FirstDay()
	on := func(m time.Month, d int) quantity.Date {
		return (quantity.MonthDay{Month: m, Day: d}).OnOrAfter(first)
	}
	for i := range f.Fields {
		mix, _ := stands(f, i)
		if len(mix.Parts) == 0 {
			continue
		}
		if has(mix, func(c *crop.Crop) bool { return c.Name == "alfalfa" }) {
			out = append(out,
				Scout{i, on(5, 15), "alfalfa weevil: tips fed on; cut early rather than late"},
				Scout{i, on(6, 20), "potato leafhopper, 20 sweeps in 5 places: 0.2 a sweep at 3 in, 0.5 at 6, 1 at 8 to 10, 2 at 12 to 14 (Minnesota)"},
				Scout{i, on(7, 20), "potato leafhopper again, new seedings first"})
		}
		switch kindOf(mix) {
		case grassy, cerealLike:
			out = append(out, Scout{i, on(6, 10), "armyworm at dusk: 2 to 3 a square foot in grass, 3 to 4 in small grain; above 1¼ in long too late (Delaware, Wisconsin, Missouri)"})
		case cornLike, sorghumLike:
			out = append(out,
				Scout{i, on(7, 1), "armyworm in the whorl: 25 % of plants with two or more (Missouri)"},
				Scout{i, on(8, 1), "aphids on leaf and head; sugarcane aphid where it has come"})
		case brassicaLike:
			out = append(out, Scout{i, on(7, 15), "flea beetle on seedlings, caterpillars later"})
		}
	}
	return out
}
