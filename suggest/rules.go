package suggest

import (
	"fmt"

	"rowen/account"
	"rowen/crop"
	"rowen/farm"
	"rowen/feed"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/season"
	"rowen/stand"
)

// Refusal is a stand, or a use of it, that was not considered on a field, and why.
type Refusal struct {
	Field  int
	Stand  string
	Use    string // empty: the stand altogether
	Rule   string
	Text   string
	Source string
}

const (
	// farthest is how far animals are walked to graze, one way (common practice:
	// dairy cows lose milk beyond a mile).
	farthest = 1609 * quantity.Metre
	// steepest is the slope that is still tilled for an annual (common practice:
	// steeper ground stays in sod).
	steepest = 0.15
	// seldom is the share of years in which a stand must go in in time to be a
	// plan at all (common practice).
	seldom = 0.5
)

// allowed asks every rule of ground, rotation, animals and stores of every stand in
// the catalogue, for one field.
func (s *search) allowed(field int) (out []allowance, refused []Refusal) {
	f := &s.farm.Fields[field]
	soil, err := stand.SoilOf(f.Soil.Texture, f.Soil.Drainage, f.Soil.PH, f.Soil.Organic, f.Soil.Depth.Metres())
	if err != nil {
		return nil, nil // its problem was reported when the farm was compiled
	}
	land := soil.Land()
	for _, name := range s.catalogue.Names() {
		mix, _ := s.catalogue.Mix(name)
		no := func(use, rule, source, format string, args ...any) {
			refused = append(refused, Refusal{field, mix.Name, use, rule, fmt.Sprintf(format, args...), source})
		}
		if s.ground(&mix, f, land, no) {
			continue
		}
		stopped := false
		for _, a := range account.Succession(s.farm, field, &mix) {
			if a.Stop {
				no("", "rotation", a.Source, "%s", a.Text)
				stopped = true
			}
		}
		if stopped || !s.inYear(&mix, no) {
			continue
		}
		var uses []crop.Use
		for use := crop.Graze; use < crop.Uses; use++ {
			if s.useful(f, &mix, use, no) {
				uses = append(uses, use)
			}
		}
		if len(uses) > 0 {
			out = append(out, allowance{mix, uses})
		}
	}
	return out, refused
}

type refuser func(use, rule, source, format string, args ...any)

// ground asks the soil and the lie of a field; it is true where the stand fails.
func (s *search) ground(mix *crop.Mix, f *farm.Field, land crop.Land, no refuser) bool {
	fails := false
	for _, r := range mix.Parts[0].Crop.Suits(land) {
		if r.Class == crop.Unsuited {
			no("", r.Rule, r.Source.String(), "%s", r.Text)
			fails = true
		}
	}
	if lead := mix.Parts[0].Crop; lead.Life != crop.Perennial && float64(f.Ground.Slope) > steepest {
		no("", "slope", "common practice: ground steeper than 15 % stays in sod", "a slope of %.0f %% is not tilled for an annual", 100*float64(f.Ground.Slope))
		fails = true
	}
	return fails || !s.renewal(mix, f, no)
}

// renewal tells whether a new sward is a choice of this year: where the old one is down
// to renewal. Cropland is seeded down by its rotation, not to close a year's gap.
func (s *search) renewal(mix *crop.Mix, f *farm.Field, no refuser) bool {
	if mix.Parts[0].Crop.Life != crop.Perennial {
		return true
	}
	left, due := account.RenewalDue(f)
	switch {
	case due:
		return true
	case len(f.Stands.Parts) > 0 && f.Stands.Parts[0].Crop.Life == crop.Perennial:
		no("", "renewal", "stand model; common practice: a sward is renewed below 65 % of its plants", "the sward that stands there has %.0f %% of its plants left: it is not due", 100*left)
	default:
		no("", "renewal", "common practice", "a new sward gives little in its first year: cropland is seeded down by its rotation, not to close a year's gap")
	}
	return false
}

// inYear tells whether a stand sown in its window gives anything before the feed year
// ends: what winters feeds the year after.
func (s *search) inYear(mix *crop.Mix, no refuser) bool {
	lead := mix.Parts[0].Crop
	if lead.Life != crop.Winter {
		return true
	}
	const winterToCut = 220 // days from an autumn sowing to a spring cut (common practice)
	if day := int(lead.Sowing.Earliest.OnOrAfter(s.farm.FirstDay()) - s.farm.FirstDay()); day+winterToCut > 365 {
		no("", "feed year", "the feed year's dates", "sown from %s it is cut in the next feed year: plan it there, as what stands when that year begins", lead.Sowing.Earliest)
		return false
	}
	return true
}

// useful asks whether a stand may be used in a way on a field of this farm.
func (s *search) useful(f *farm.Field, mix *crop.Mix, use crop.Use, no refuser) bool {
	if !mix.Uses[use].Allowed {
		why, source := refusal(mix, use)
		if why != "" {
			no(use.String(), "use", source, "%s", why)
		}
		return false
	}
	if use == crop.Graze {
		switch {
		case !f.Grazeable:
			no(use.String(), "field", "farm document", "animals cannot graze this field")
			return false
		case f.Distance > farthest:
			no(use.String(), "distance", "common practice: a mile is the farthest", "%s is too far to walk", f.Distance.In(s.farm.Units))
			return false
		case s.horses && prussic(mix):
			no(use.String(), "horses", horseRule(), "sorghums and sudangrass are never grazed by horses, and this farm keeps some")
			return false
		}
		return true
	}
	if s.farm.GrassFed && account.Grained(mix, use) {
		no(use.String(), "grass-fed", "USDA AMS grass-fed standard of 2007 (withdrawn 2016)", "it is cut with grain in it")
		return false
	}
	if !s.keeps(use) {
		no(use.String(), "store", "farm document", "no store keeps %s", season.Makes(use))
		return false
	}
	return true
}

// refusal is why a mixture is not used in a way, where the catalogue says why.
func refusal(mix *crop.Mix, use crop.Use) (why, source string) {
	for i := range mix.Parts {
		if rule := &mix.Parts[i].Crop.Uses[use]; !rule.Allowed && rule.Why != "" {
			return rule.Why, rule.Source.String()
		}
	}
	return "", ""
}

// keeps tells whether the farm has a store for what a use makes.
func (s *search) keeps(use crop.Use) bool {
	for _, b := range s.model.Barns() {
		if b.Capacity > 0 && b.Kind.Keeps(season.Makes(use)) {
			return true
		}
	}
	return false
}

func prussic(mix *crop.Mix) bool {
	for i := range mix.Parts {
		if mix.Parts[i].Crop.Prussic != hazard.NoPrussic {
			return true
		}
	}
	return false
}

func horseRule() string {
	for _, r := range hazard.Rules() {
		if r.Hazard == "horses" {
			return r.Source.String()
		}
	}
	return "common practice"
}

// windows refuses what the station's years seldom let go in in time; the document's
// own programme is kept whatever its years say.
func windows(field int, cs []Candidate) (kept []Candidate, refused []Refusal) {
	for i := range cs {
		c := &cs[i]
		sown := 0
		for y := range c.Supply {
			if c.Supply[y].Sown == len(c.Sowings) {
				sown++
			}
		}
		if c.own || float64(sown) >= seldom*float64(len(c.Supply)) {
			kept = append(kept, *c)
			continue
		}
		last := &c.Sowings[len(c.Sowings)-1]
		rule := &last.Mix.Parts[0].Crop.Sowing
		refused = append(refused, Refusal{field, last.Mix.Name, last.Use.String(), "window",
			fmt.Sprintf("%s: its soil warm enough between %s and %s in only %d of %d years", c.Name(), rule.Earliest, rule.Latest, sown, len(c.Supply)), rule.Source.String()})
	}
	return kept, refused
}

// halves are the programmes of one sowing on half of a field, the rest left as it is.
func halves(cs []Candidate) (out []Candidate) {
	for i := range cs {
		if len(cs[i].Sowings) == 1 && !cs[i].own {
			out = append(out, cs[i].part(0.5, &cs[0]))
		}
	}
	return out
}

// storeOf is the store that keeps a kind of feed, of those a plan tells apart:
// silage, wrapped bales and hay.
func storeOf(k feed.Kind) int {
	switch k {
	case feed.Baleage:
		return 1
	case feed.Hay:
		return 2
	}
	return 0
}
