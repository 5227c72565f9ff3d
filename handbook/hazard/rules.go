package hazard

import "rowen/handbook"

// Kind tells what a rule protects.
type Kind uint8

// The kinds, in the order of the page.
const (
	Feed   Kind = iota // animals, by what they eat
	People             // those who work
	Field              // readiness of a field: no safety of feed
)

// Rule is one published rule as the gates apply it. Where sources differ the
// strictest stands, and Note says what the others print.
type Rule struct {
	Hazard string // "prussic acid", "nitrate", ...
	Kind   Kind
	Answer handbook.Answer // the strictest it gives; Clear: a remark
	Text   string
	Note   string
	Source handbook.Source
	// Risk: the rule speaks of this class of crop alone; NoPrussic: of any.
	Risk PrussicRisk
	// Laboratory: the rule reads a laboratory result, which no simulation has.
	Laboratory bool
}

// rules is indexed by ruleIndex; each hazard keeps its own table.
var rules = assemble(dailyRules, prussicRules, nitrateRules, grazingRules, brassicaRules, headRules, fieldRules, peopleRules)

func assemble(tables ...[]Rule) (all [ruleCount]Rule) {
	for _, t := range tables {
		for i, r := range t {
			if r.Text != "" {
				all[i] = r
			}
		}
	}
	return all
}

// Rules is the part of the table that the daily gates of a simulation apply,
// with the laboratory rules that belong to it.
//
// Source: each rule cites its own.
func Rules() []Rule { return append([]Rule(nil), rules[:dailyCount]...) }

// Book is the whole table, indexed as RuleSet counts.
//
// Source: each rule cites its own.
func Book() []Rule { return append([]Rule(nil), rules[:]...) }

// Standing are cautions that no simulation can lift; they are printed with every
// plan they concern.
//
// Source: each rule cites its own.
func Standing() []Rule {
	return []Rule{
		{Hazard: "silo gas", Kind: People, Answer: handbook.Caution, Text: "stay out of a freshly filled silo for six weeks, children and visitors away from it for three; yellow-brown gas with a smell of bleach, heavier than air and sometimes invisible, kills; sickness can come 12 hours later. If entry cannot wait: blower running, self-contained air, lifeline, a second person", Note: "waits of 2 to 6 weeks are printed", Source: read("Penn State Extension; Ontario and Alberta agriculture", 0, "silo gas")},
		{Hazard: "heating hay", Kind: People, Answer: handbook.Caution, Text: "check hay for six weeks after baling; from 150 °F tell the fire service before any bale is moved, from 160 °F move none without it on site", Note: "the strictest of four extension lists", Source: hotHay},
		{Hazard: "brassicas", Answer: handbook.Caution, Text: "bring in over a week or more, never the whole diet: at most two thirds; watch for bloat, goitre, polioencephalomalacia and rape scald", Note: "Penn State prints three quarters", Source: practice},
		{Hazard: "bloat", Answer: handbook.Caution, Text: "legume-rich and frosted legume growth can bloat: never turn hungry animals in; wait 3 to 5 days after a killing frost", Source: practice},
		{Hazard: "nitrate", Answer: handbook.Caution, Text: "adapt animals over one to two weeks; count the nitrate of water and every feed together", Source: read("Manitoba Agriculture", 0, "nitrate")},
		{Hazard: "labels", Kind: Field, Answer: handbook.Caution, Text: "herbicide plant-back and grazing intervals: the label is the law", Source: practice},
	}
}

// Words puts a verdict into words at the edge.
//
// Source: the rule table, Book.
func Words(name string, v Verdict) handbook.Gate {
	g := handbook.Gate{Name: name, Answer: v.Answer}
	for i := range rules {
		if v.Reasons.Has(i) {
			g.Reasons = append(g.Reasons, handbook.Reason{Text: rules[i].Text, Source: rules[i].Source})
		}
	}
	for i, f := range factNames {
		if v.Missing&(1<<i) != 0 {
			g.Missing = append(g.Missing, f)
		}
	}
	return g
}
