// Package hazard holds the rules that keep animals and people safe, alone, so
// that a veterinarian can audit them without reading anything else. Each rule
// is data with its sources; each gate is a pure function from facts to a small
// Verdict without allocation. Unknown facts never relax an answer.
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
	PrussicSorghum                       // sorghum, sorghum-sudangrass
)

// Verdict is a gate's answer in a form that costs nothing in a daily loop. The
// bits index the package's rule and fact tables; Gate puts it into words.
type Verdict struct {
	Answer  handbook.Answer
	Reasons uint64 // bit i: rule i spoke
	Missing uint64 // bit i: fact i was needed and not known
}

// Worse combines two verdicts: the worse answer, all reasons, all that was missing.
//
// Source: common practice: a mixture is never safer than its worst part.
func (v Verdict) Worse(w Verdict) Verdict {
	return Verdict{max(v.Answer, w.Answer), v.Reasons | w.Reasons, v.Missing | w.Missing}
}
