// Package organic holds the figures of the US organic rules that a plan must keep,
// as the regulation prints them. The certifier's reading goes before it.
package organic

import "fmt"

// Figures of the rules.
//
// Source: 7 CFR 205.202 (36 months), 205.237 and 205.240 (120 days, 30 %); text from
// memory.
const (
	TransitionMonths = 36
	GrazingDays      = 120
	PastureShare     = 0.30
)

// Feeding is how a mouthful was taken, as the pasture rule sees it.
type Feeding uint8

// The feedings: what animals graze for themselves counts as pasture; what was cut
// and carried, baled or ensiled is fed, wherever it is eaten.
const (
	GrazedStanding Feeding = iota
	SwathInPlace           // crop residue and swaths left to be grazed where they grew
	GreenChop
	Bale
	Silage
)

// Counts tells whether a feeding counts as dry matter from pasture.
//
// Source: 7 CFR 205.2 and 205.237 (from memory): pasture is land grazed; residual
// forage and swaths grazed where they grew count, chop and bales do not.
func Counts(f Feeding) bool { return f == GrazedStanding || f == SwathInPlace }

// Share is the dry matter from pasture over the grazing season as the rule counts
// it: grazed over demand, over all its days together.
//
// Source: 7 CFR 205.240; the subtraction method of record sheets (read): 90 days
// at 40.3 % and 60 at 20 % make 32.1 %.
func Share(days, shares []float64) float64 {
	var sum, all float64
	for i := range days {
		sum += days[i] * shares[i]
		all += days[i]
	}
	if all == 0 {
		return 0
	}
	return sum / all
}

// Exemptions are the temporary reasons for keeping animals off pasture that the
// rule lists, in short; each needs the certifier's assent and a record.
//
// Source: 7 CFR 205.239(b) and (c) (from memory).
func Exemptions() []string {
	return []string{
		"inclement weather", "stage of life: not lactation", "health or safety of the animal", "risk to soil or water",
		"preventive care or treatment", "breeding: not longer than needed", "sorting, shipping, shows",
		"dry-off: one week; calving: three weeks before and one after", "newborn dairy calves to six months",
		"fibre animals at shearing", "dairy animals at milking",
		"finishing of slaughter stock: the last fifth of life, at most 120 days",
	}
}

// Allowed tells whether the rules let an input be offered on certified land, and
// why not.
//
// Source: 7 CFR 205.105, 205.204, 205.206 (from memory).
func Allowed(input string) (ok bool, why string) {
	switch input {
	case "mineral nitrogen", "urea", "ammonium nitrate":
		return false, "synthetic nitrogen is prohibited"
	case "herbicide":
		return false, "synthetic herbicides are prohibited: till, mow, roll, rotate"
	case "treated seed":
		return false, "seed treated with a prohibited substance is not used"
	case "untreated conventional seed":
		return true, "only where an equivalent organic seed was searched for and not found; keep the record"
	}
	return true, fmt.Sprintf("%s: ask the certifier", input)
}
