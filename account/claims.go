package account

import (
	"fmt"
	"sort"

	"rowen/farm"
	"rowen/feed"
	"rowen/handbook"
	"rowen/handbook/fertility"
	"rowen/herd"
	"rowen/season"
)

// Claim is what a class wants of the year's own lots and what it is given of them.
type Claim struct {
	Group   string
	Needs   float64 // tons DM that a year feeds it from store, or buys in its place
	Given   float64 // tons DM
	Missing string  // what to do where it is given less
}

// claim is a class's claim while lots are shared out.
type claim struct {
	who    string
	rank   claimRank
	needs  float64 // tons DM still wanted
	lowK   bool
	strict bool // horses or sheep
	horses bool
}

// claimRank is the order of claims.
type claimRank uint8

// The ranks: close-up cows take what only they must have before it is gone; then the
// best goes to fresh cows, cows in milk and ewes near lambing, to growing stock, to
// other ewes; dry and mature stock clear up.
const (
	closeUp claimRank = iota
	fresh
	inMilk
	growing
	ewes
	others
)

// freshDays is how long after calving a group of cows counts as fresh, and
// lateGestation the day from which ewes are fed for their lambs (common practice:
// the last six weeks and what comes before them).
const (
	freshDays     = 100
	lateGestation = 90
)

// strictClass tells horses and sheep, which the gate of wrapped lots holds where it
// warns cattle.
func strictClass(c herd.Class) bool {
	return c == herd.Ewe || c == herd.LambGrowing || c == herd.Ram || c == herd.Horse
}

// claimsOf are the farm's claims in their order. What a class needs is what the year
// fed it from store or bought in the place of that, by the ledger; ewes near lambing
// claim apart from the rest of their year.
func claimsOf(f *farm.Farm, y *season.YearResult) (out []claim) {
	for i := range f.Groups {
		g := &f.Groups[i]
		class, err := herd.ParseClass(g.Class)
		if err != nil || len(g.Periods) == 0 {
			continue
		}
		needs := map[claimRank]float64{}
		for row := range y.Groups[i].Ledger {
			line := &y.Groups[i].Ledger[row]
			eaten := 0.0
			for _, k := range [...]feed.Kind{feed.Baleage, feed.Haylage, feed.Hay, feed.CropSilage, feed.BoughtHay, feed.BoughtForage} {
				eaten += line.Fed[k]
			}
			needs[rankOn(g, class, y, row)] += eaten / kgPerTon
		}
		for rank := closeUp; rank <= others; rank++ {
			if needs[rank] > 0 {
				out = append(out, claim{who: g.Name, rank: rank, needs: needs[rank], lowK: g.CloseUp, strict: strictClass(class) || g.Horses, horses: class == herd.Horse || g.Horses})
			}
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].rank < out[b].rank })
	return out
}

// rankOn is a group's rank in a row of the ledger.
func rankOn(g *farm.Group, class herd.Class, y *season.YearResult, row int) claimRank {
	day := rowDay(y.First, row)
	p := periodOn(g, day)
	if p < 0 {
		return others
	}
	period := &g.Periods[p]
	since := float64(day - period.From.OnOrAfter(day-365))
	switch {
	case g.CloseUp:
		return closeUp
	case class == herd.DairyLactating && period.DaysInMilk > 0 && period.DaysInMilk+since <= freshDays:
		return fresh
	case class == herd.DairyLactating, class == herd.Ewe && period.Gestation > 0 && period.Gestation+since > lateGestation:
		return inMilk
	case class.Producing():
		return growing
	case class == herd.Ewe:
		return ewes
	}
	return others
}

// may tells whether a class may be given a lot at all.
func (c *claim) may(l *Lot) bool {
	gate := l.Cattle.Answer
	if c.strict {
		gate = l.Strict.Answer
	}
	return gate != handbook.Hold && !(c.lowK && l.K > fertility.CloseUpPotassium) && !(c.horses && l.sorghum)
}

// assign shares lots out, best first, to claims in their order. Close-up cows take the
// poorest of what is low enough in potassium, so that the best is left to the rest.
func assign(claims []claim, lots []Lot) {
	for k := range claims {
		c := &claims[k]
		for i := range lots {
			l := &lots[i]
			if c.rank == closeUp {
				l = &lots[len(lots)-1-i]
			}
			if give := min(c.needs, l.free); give > 0 && c.may(l) {
				l.give(c, give)
			}
		}
	}
	for i := range lots {
		l := &lots[i]
		l.main()
		if l.For == "" {
			l.rest(claims)
		}
	}
}

func (l *Lot) give(c *claim, tons float64) {
	why := "the best that is left"
	switch {
	case c.lowK:
		why = fmt.Sprintf("potassium %.1f %%, not above %.1f, estimated: test it", l.K, fertility.CloseUpPotassium)
	case c.rank >= ewes:
		why = "what the others leave"
	}
	c.needs -= tons
	l.free -= tons
	l.Shares = append(l.Shares, LotShare{c.who, tons, why})
}

// rest names who clears up a lot that no claim has reached: the last of the order
// that may be given it.
func (l *Lot) rest(claims []claim) {
	for k := len(claims) - 1; k >= 0; k-- {
		if c := &claims[k]; !c.lowK && c.may(l) {
			l.For, l.Why = c.who, "the others are fed"
			return
		}
	}
	l.For, l.Why = "nobody yet", "no class may be given it as it stands: have its pH read"
	if len(claims) == 0 {
		l.Why = "no class was fed from store"
	}
}

// ClaimsOf tells, class by class, what the lots cut in the year, as LotsOf shares them
// out, leave unmet in the winter to come.
//
//say:words
func ClaimsOf(f *farm.Farm, y *season.YearResult, lots []Lot) (out []Claim) {
	index := map[string]int{}
	for _, c := range claimsOf(f, y) {
		at, ok := index[c.who]
		if !ok {
			at = len(out)
			index[c.who] = at
			out = append(out, Claim{Group: c.who})
		}
		out[at].Needs += c.needs
		if c.lowK {
			out[at].Missing = fmt.Sprintf("no more forage of %.1f %% potassium or less: set some aside by test, or buy grass hay tested low", fertility.CloseUpPotassium)
		}
	}
	for i := range lots {
		if lots[i].Field < 0 {
			continue
		}
		for _, s := range lots[i].Shares {
			if at, ok := index[s.Group]; ok {
				out[at].Given += s.Tons
			}
		}
	}
	for i := range out {
		c := &out[i]
		switch {
		case c.Given >= c.Needs-1e-6:
			c.Missing = ""
		case c.Missing == "":
			c.Missing = "the stores hold no more of what it may eat: buy"
		}
	}
	return out
}
