package desk

import (
	"fmt"
	"strings"

	"rowen/account"
	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/hazard"
	"rowen/handbook/organic"
	"rowen/internal/report"
)

// In how many of a place's years a stand must be sown in time and reach its use
// before frost: four in five suit it, for a bad year is one in five; in fewer than
// half it is no plan (common practice).
const (
	reliable   = 0.8
	unreliable = 0.5
)

// judge holds one stand against the place.
func (p *place) judge(mix *crop.Mix) (*report.RankedStand, error) {
	s := &report.RankedStand{Name: mix.Name, Title: mix.Title, Years: len(p.years), Growth: 1}
	fails := p.ground(mix, s)
	p.rotation(mix, s)
	k, err := p.candidateFor(mix)
	if err != nil {
		return nil, err
	}
	p.forbidden(mix, k, s)
	if k != nil {
		x := k.Summarise()
		s.Use, s.Middle, s.Bad = k.Use.String(), x.Middle, x.Bad
		p.horses(mix, s)
		p.window(mix, k, fails, s)
	}
	for i := range s.Reasons {
		s.Suitability = max(s.Suitability, s.Reasons[i].Suitability)
	}
	s.Class = s.Suitability.String()
	for i := range mix.Parts {
		s.Cautions = append(s.Cautions, mix.Parts[i].Crop.Cautions...)
	}
	return s, nil
}

func speak(s *report.RankedStand, class crop.Suitability, rule, source, format string, args ...any) {
	s.Reasons = append(s.Reasons, report.RankReason{Suitability: class, Class: class.String(), Rule: rule, Text: fmt.Sprintf(format, args...), Source: source})
}

// ground asks the catalogue's rules of pH, drainage and drought of every part. A
// companion that fails thins the mixture; its leading crop decides whether there is
// a stand. It tells whether the leading crop fails.
func (p *place) ground(mix *crop.Mix, s *report.RankedStand) (fails bool) {
	land := p.soil.Land()
	for i := range mix.Parts {
		k := mix.Parts[i].Crop
		name := ""
		if len(mix.Parts) > 1 {
			name = k.Title + ": "
		}
		for _, r := range k.Suits(land) {
			class := r.Class
			if i > 0 {
				class = min(class, crop.Marginal)
			}
			speak(s, class, r.Rule, r.Source.String(), "%s%s", name, r.Text)
		}
		share, dies := k.Fit.Growth(land.PH, land.Drainage)
		if i == 0 {
			s.Growth, fails = share, dies
		}
	}
	return fails
}

// rotation asks what may not follow what.
func (p *place) rotation(mix *crop.Mix, s *report.RankedStand) {
	if p.farm == nil {
		return
	}
	for _, a := range account.Succession(p.farm, p.field, mix) {
		class := crop.Marginal
		if a.Stop {
			class = crop.Unsuited
		}
		speak(s, class, "rotation", a.Source, "%s", a.Text)
	}
}

// grazeable tells whether animals can graze the place.
func (p *place) grazeable() bool { return p.farm == nil || p.farm.Fields[p.field].Grazeable }

// forbidden tells of a use that the catalogue or the field does not allow.
func (p *place) forbidden(mix *crop.Mix, k *report.Candidate, s *report.RankedStand) {
	use := p.use
	if use != crop.Leave && !mix.Uses[use].Allowed {
		s.Use = use.String()
		why, source := refusal(mix, use)
		speak(s, crop.Unsuited, "use", source, "not for %s: %s", use, why)
	}
	if (use == crop.Graze || k == nil && use == crop.Leave) && !p.grazeable() {
		speak(s, crop.Unsuited, "use", "farm document", "not for %s: animals cannot graze this field", crop.Graze)
	}
}

// refusal is why a mixture is not used in a way, by the part that forbids it, and
// the rule's source; where the catalogue says nothing of the use, that is the why.
func refusal(mix *crop.Mix, use crop.Use) (why, source string) {
	for i := range mix.Parts {
		k := mix.Parts[i].Crop
		rule := &k.Uses[use]
		if rule.Allowed || rule.Why == "" {
			continue
		}
		why = rule.Why
		if len(mix.Parts) > 1 {
			why = k.Title + ": " + why
		}
		return why, rule.Source.String()
	}
	return "the catalogue knows no such use of it", mix.Uses[crop.Leave].Source.String()
}

// horses keeps what carries prussic acid from farms whose horses would eat it.
func (p *place) horses(mix *crop.Mix, s *report.RankedStand) {
	risky := false
	for i := range mix.Parts {
		risky = risky || mix.Parts[i].Crop.Prussic != hazard.NoPrussic
	}
	if p.farm == nil || !risky || !account.KeepsHorses(p.farm) {
		return
	}
	for _, r := range hazard.Rules() {
		if r.Hazard == "horses" {
			speak(s, crop.Marginal, "horses", r.Source.String(), "%s; this farm keeps some", r.Text)
		}
	}
}

// window asks in what share of the station's years the stand could be sown in time
// and reached its use before frost. What stands for years is not asked; nor is the
// use of what the ground does not bear at all.
func (p *place) window(mix *crop.Mix, k *report.Candidate, fails bool, s *report.RankedStand) {
	lead := mix.Parts[0].Crop
	for i := range k.Years {
		if k.Years[i].Sown {
			s.Sown++
		}
		if k.Years[i].Reached {
			s.Reached++
		}
	}
	if lead.Life == crop.Perennial {
		return
	}
	rule := &lead.Sowing
	speak(s, inYears(s.Sown, s.Years), "window", rule.Source.String(), "sown in time, its soil warm enough between %s and %s, in %d of %d years", rule.Earliest, rule.Latest, s.Sown, s.Years)
	if !fails {
		speak(s, inYears(s.Reached, s.Years), "window", mix.Uses[k.Use].Source.String(), "reaches its %s for %s before frost in %d of %d years", goal(&mix.Uses[k.Use]), k.Use, s.Reached, s.Years)
	}
}

func goal(r *crop.UseRule) string {
	if r.Ready > 0 {
		return "height"
	}
	return "stage"
}

func inYears(n, of int) crop.Suitability {
	switch share := float64(n) / float64(of); {
	case share >= reliable:
		return crop.Suited
	case share >= unreliable:
		return crop.Marginal
	}
	return crop.Unsuited
}

// ofFarm adds what the farm document says of the field to the page's head.
func (p *place) ofFarm() {
	field := &p.farm.Fields[p.field]
	p.page.Farm, p.page.Field = p.farm.Name, field.Name
	note := func(rule, source, format string, args ...any) {
		p.page.Notes = append(p.page.Notes, report.RankReason{Rule: rule, Text: fmt.Sprintf(format, args...), Source: source})
	}
	if field.Ground.Status != farm.Conventional {
		var words []string
		for _, input := range []string{"mineral nitrogen", "treated seed", "herbicide"} {
			if ok, why := organic.Allowed(input); !ok {
				words = append(words, why)
			}
		}
		_, why := organic.Allowed("untreated conventional seed")
		note("certified land", organicRules, "for every stand: %s; untreated conventional seed %s", strings.Join(words, "; "), why)
	}
	if len(field.Ground.Past) == 0 && len(field.Stands.Parts) == 0 {
		note("not judged", "farm document", "rotation: the document tells neither what stands here nor what did ([[field.past]])")
	}
	for _, a := range p.farm.Assumed {
		if strings.HasPrefix(a.Key, "field."+field.Name+".soil") {
			note("assumed", "farm document", "%s: %s (%s)", strings.TrimPrefix(a.Key, "field."+field.Name+"."), a.Value, a.Why)
		}
	}
}

// organicRules is the source of what certified land refuses.
const organicRules = "7 CFR 205.105, 205.204 and 205.206, the US organic rules (from memory)"
