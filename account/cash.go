package account

import (
	"math"
	"time"

	"rowen/farm"
	"rowen/feed"
	"rowen/quantity"
	"rowen/season"
)

// Month is what a month pays out. Bought is the sum of Forage, Grain and Protein.
type Month struct {
	Name                                                 string
	Seed, Work, Bought, Nitrogen, Forage, Grain, Protein float64
}

// Total is all that the month pays out.
func (m *Month) Total() float64 { return m.Seed + m.Work + m.Bought + m.Nitrogen }

// CashOf lays a year's payments out by month: bought feed when it is fed, seed,
// nitrogen and seedbed when sown, custom work when done. Months and what is undated
// add up to the year's money, the sowing again of swards given up among it. Undated
// are that, which follows after the year, and work whose day is not known. A paddock's
// area is not in the year's events and is taken as an equal piece of its field; where
// the pieces add up to more than the year paid, all are scaled to it.
func CashOf(f *farm.Farm, y *season.YearResult) (months [12]Month, undated float64) {
	c := cash{f: f, y: y, months: &months}
	_, m0, _ := f.FirstDay().Civil()
	for i := range months {
		months[i].Name = ((m0-1+time.Month(i))%12 + 1).String()[:3]
	}
	for i := range f.Fields {
		c.field(i)
	}
	c.feed()
	m := &y.Money
	undated = m.Reseeding
	for _, kind := range [...]struct {
		paid float64
		of   func(*Month) *float64
	}{
		{m.Seed, func(x *Month) *float64 { return &x.Seed }},
		{m.Work, func(x *Month) *float64 { return &x.Work }},
		{m.Nitrogen, func(x *Month) *float64 { return &x.Nitrogen }},
		{m.BoughtForage, func(x *Month) *float64 { return &x.Forage }},
		{m.Grain, func(x *Month) *float64 { return &x.Grain }},
		{m.Protein, func(x *Month) *float64 { return &x.Protein }},
	} {
		undated += settle(&months, kind.paid, kind.of)
	}
	for i := range months {
		months[i].Bought = months[i].Forage + months[i].Grain + months[i].Protein
	}
	return months, undated
}

// settle holds the months of one kind of payment against what the year paid: it scales
// them down to it, or gives what they leave.
func settle(months *[12]Month, paid float64, of func(*Month) *float64) (left float64) {
	sum := 0.0
	for i := range months {
		sum += *of(&months[i])
	}
	if sum <= paid {
		return paid - sum
	}
	for i := range months {
		*of(&months[i]) *= paid / sum
	}
	return 0
}

// cash gathers dated payments.
type cash struct {
	f      *farm.Farm
	y      *season.YearResult
	months *[12]Month
}

// on is the month of a day.
func (c *cash) on(d quantity.Date) *Month {
	_, m, _ := d.Civil()
	_, m0, _ := c.f.FirstDay().Civil()
	return &c.months[(int(m)-int(m0)+12)%12]
}

// field dates a field's seed and work by its events.
func (c *cash) field(i int) {
	f, y := c.f, c.y
	n := pieces(y, i)
	area := float64(f.Fields[i].Area) / n
	spread := map[int]float64{} // pieces whose second manure was spread, by sowing
	for k := range y.Events {
		e := &y.Events[k]
		if int(e.Field) != i {
			continue
		}
		m, s := c.on(e.Date), standOn(f, y, e)
		switch e.Kind {
		case season.Sown:
			c.sown(e, s)
		case season.Dressed:
			m.Nitrogen += e.DM * float64(f.Prices.Nitrogen)
		case season.Cut:
			m.Work += float64(f.Custom.Mowing) * area
			if s != nil && c.manured(i, s) && s.usedFor(f, i, e.Use) && spread[s.sowing] < n {
				spread[s.sowing]++
				m.Work += float64(f.Custom.Spreading) * area
			}
		case season.Stored:
			m.Work += f.Custom.Gather(e.Use, e.DM, area)
		case season.GrazingStarted:
			if s != nil && !perennial(s.mix) {
				m.Work += float64(f.Custom.Fencing) * area
			}
		}
	}
	for _, s := range programme(f, y, i) {
		april := quantity.MonthDay{Month: time.April, Day: 15}.OnOrAfter(y.First)
		if c.manured(i, &s) && s.from <= april && april < s.to {
			c.on(april).Work += float64(f.Custom.Spreading) * s.acres * float64(quantity.Acre)
		}
	}
}

// manured tells whether a stand is a sward that gets manure: half in April, half after
// its first cut, as the season spreads it.
func (c *cash) manured(field int, s *spell) bool {
	if !perennial(s.mix) {
		return false
	}
	if s.sowing < 0 {
		return c.f.Fields[field].Manure > 0
	}
	return c.f.Plan.Sowings[s.sowing].Manure > 0
}

// sown pays for one drilling: of a sowing's whole ground, or of one of the pieces that
// were drilled with it.
func (c *cash) sown(e *season.Event, s *spell) {
	if s == nil || s.sowing < 0 {
		return
	}
	f, sow := c.f, &c.f.Plan.Sowings[s.sowing]
	together := 0.0 // drilled on the field on the sowing's first day
	for k := range c.y.Events {
		if x := &c.y.Events[k]; x.Kind == season.Sown && x.Field == e.Field && x.Use == e.Use && x.Date == s.from {
			together++
		}
	}
	acres := 0.0 // drilled that day, blocks of one crop together
	for _, x := range programme(f, c.y, int(e.Field)) {
		if x.from == s.from && x.sowing >= 0 && f.Plan.Sowings[x.sowing].Use == sow.Use {
			acres += x.acres
		}
	}
	area := acres * float64(quantity.Acre) / max(1, together)
	rates := float64(f.Custom.Drilling)
	if sow.NoTill {
		rates += float64(f.Custom.NoTill)
	} else {
		rates += float64(f.Custom.Tillage)
	}
	if sow.Manure > 0 {
		rates += float64(f.Custom.Spreading)
	}
	m := c.on(e.Date)
	m.Work += rates * area
	for _, p := range sow.Mix.Parts {
		m.Seed += float64(p.Rate) * area * float64(f.SeedPrice(p.Crop))
	}
}

// pieces is into how many paddocks a field is divided, by how often one of them was
// used for each use of the whole.
func pieces(y *season.YearResult, field int) float64 {
	n := 0.0
	for i := range y.Events {
		e := &y.Events[i]
		if int(e.Field) == field && (e.Kind == season.Cut || e.Kind == season.GrazingEnded) {
			n++
		}
	}
	if uses := float64(y.Fields[field].Uses); uses > 0 {
		return max(1, math.Round(n/uses))
	}
	return max(1, n)
}

// feed dates bought feed by the ledger.
func (c *cash) feed() {
	p := &c.f.Prices
	for row := range c.y.Ledger {
		h := &c.y.Ledger[row]
		m := c.on(rowDay(c.y.First, row))
		m.Forage += h.Fed[feed.BoughtHay]/hayDM*float64(p.BoughtHay) + h.Fed[feed.BoughtForage]*float64(p.BoughtForage)
		m.Grain += h.Fed[feed.Grain] / grainDM * float64(p.Grain)
		m.Protein += h.Fed[feed.Protein] / grainDM * float64(p.Protein)
	}
}

// Dry matter of hay and grain as bought (typical values, common practice).
const (
	hayDM   = 0.90
	grainDM = 0.89
)
