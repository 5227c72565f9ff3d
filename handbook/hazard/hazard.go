// Package hazard holds the rules that keep animals and people safe, alone, so
// that a veterinarian can audit them without reading anything else. Each rule
// is data with its sources; each gate is a pure function from facts to a small
// Verdict without allocation. Unknown facts never relax an answer: a fact that
// is not known counts as its worst value and is named.
//
// Prussic, Nitrate and Wrapped are the gates a simulation asks every day.
// PrussicSteer, NitrateSteer and the gates of stored lots ask for everything a
// person on the spot can know. The gates of the field (Ground, Readiness,
// Anchorage, AutumnRest, ProductWait) tell readiness and are never blended
// with those of feed.
//
// It may import handbook and quantity only.
package hazard

import "rowen/handbook"

// PrussicRisk is a crop's class of prussic acid (HCN) risk.
type PrussicRisk uint8

// The classes, safest first.
const (
	NoPrussic         PrussicRisk = iota // millets, teff, corn, grasses, legumes
	PrussicSudangrass                    // sudangrass and its hybrids
	PrussicSorghum                       // sorghum, sorghum-sudangrass, johnsongrass, shattercane
)

// RuleSet is a set of rules by their index in the table that Book prints.
type RuleSet [3]uint64

// Has tells whether rule i is in the set; no set holds a negative or too large
// index.
//
// Source: set arithmetic.
func (s RuleSet) Has(i int) bool {
	return i >= 0 && i < 64*len(s) && s[i/64]&(1<<(i%64)) != 0
}

// Empty tells whether no rule is in the set.
//
// Source: set arithmetic.
func (s RuleSet) Empty() bool { return s == RuleSet{} }

// Union is every rule of either set.
//
// Source: set arithmetic.
func (s RuleSet) Union(t RuleSet) RuleSet {
	return RuleSet{s[0] | t[0], s[1] | t[1], s[2] | t[2]}
}

// Verdict is a gate's answer in a form that costs nothing in a daily loop. Its
// rules index the package's table and Missing its facts; Words puts it into words.
type Verdict struct {
	Answer  handbook.Answer
	Reasons RuleSet // the rules that spoke
	Missing Known   // the facts that were needed and not known
}

// Worse combines two verdicts: the worse answer, all reasons, all that was missing.
//
// Source: common practice: a mixture is never safer than its worst part.
func (v Verdict) Worse(w Verdict) Verdict {
	return Verdict{max(v.Answer, w.Answer), v.Reasons.Union(w.Reasons), v.Missing | w.Missing}
}

// say lets a rule speak with an answer of its own, where a rule has two.
func (v *Verdict) say(a handbook.Answer, r ruleIndex) {
	v.Answer = max(v.Answer, a)
	v.Reasons[r/64] |= 1 << (r % 64)
}

// speak lets a rule speak with the answer of the table.
func (v *Verdict) speak(r ruleIndex) { v.say(rules[r].Answer, r) }

func (v *Verdict) hold(r ruleIndex)    { v.say(handbook.Hold, r) }
func (v *Verdict) caution(r ruleIndex) { v.say(handbook.Caution, r) }

// missing holds for facts that are not known.
func (v *Verdict) missing(r ruleIndex, facts Known) {
	v.hold(r)
	v.Missing |= facts
}

// judge lets a rule speak where its fact is bad, or is not known: then the fact
// is named too.
func (v *Verdict) judge(known, need Known, bad bool, r ruleIndex) {
	if lacking := need &^ known; lacking != 0 {
		v.Missing |= lacking
		v.speak(r)
	} else if bad {
		v.speak(r)
	}
}
