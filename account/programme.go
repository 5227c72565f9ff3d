package account

import (
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
)

// spell is one stand on a field, or on a part of it, between two days of a year.
type spell struct {
	mix      *crop.Mix
	sowing   int // of the plan; -1 for what stood there when the year began
	acres    float64
	from, to quantity.Date // to is the first day on which it is gone
}

// yearsEnd is past the last day of a year's run.
func yearsEnd(y *season.YearResult) quantity.Date { return y.First + 400 }

// partly tells whether a sowing takes a part of its field only.
func partly(f *farm.Farm, s *farm.Sowing) bool {
	return s.Area > 0 && s.Area < f.Fields[s.Field].Area*0.999
}

// programme is what grew on a field in a year, in the order of the plan; ground that
// lay bare has no spell. Parts are split off as the season splits them: a part bears
// what stood there and then its own sowing, the rest everything else.
func programme(f *farm.Farm, y *season.YearResult, field int) (out []spell) {
	rest := f.Fields[field].Area
	var whole []int
	for s := range f.Plan.Sowings {
		sow := &f.Plan.Sowings[s]
		switch {
		case sow.Field != field:
		case sow.Area > 0 && sow.Area < rest*0.999:
			out = append(out, chain(f, y, field, sow.Area, []int{s})...)
			rest -= sow.Area
		default:
			whole = append(whole, s)
		}
	}
	return append(out, chain(f, y, field, rest, whole)...)
}

// chain is one piece of ground through the year: a sowing that was dropped leaves
// what stood.
func chain(f *farm.Farm, y *season.YearResult, field int, area quantity.Area, steps []int) (out []spell) {
	now := spell{mix: &f.Fields[field].Stands, sowing: -1, acres: area.Acres(), from: y.First}
	add := func(until quantity.Date) {
		if now.to = until; len(now.mix.Parts) > 0 && now.to > now.from {
			out = append(out, now)
		}
	}
	for _, s := range steps {
		sown := y.Sowings[s].Sown
		if sown == 0 {
			continue
		}
		add(sown)
		now = spell{mix: &f.Plan.Sowings[s].Mix, sowing: s, acres: now.acres, from: sown}
	}
	add(yearsEnd(y))
	return out
}

// standOn is what an event of a field was taken from: what stood there on its day,
// and where parts differ what is used so, then the larger part. Nil where nothing
// is known to have stood.
func standOn(f *farm.Farm, y *season.YearResult, e *season.Event) *spell {
	var found *spell
	best := -1.0
	spells := programme(f, y, int(e.Field))
	for i := range spells {
		s := &spells[i]
		if e.Date < s.from || e.Date >= s.to {
			continue
		}
		score := s.acres
		if s.usedFor(f, int(e.Field), e.Use) {
			score += 1e9
		}
		if score > best {
			found, best = s, score
		}
	}
	return found
}

// usedFor tells whether the document means a stand for a use.
func (s *spell) usedFor(f *farm.Farm, field int, u crop.Use) bool {
	if s.sowing < 0 {
		return f.Fields[field].Use == u || f.Fields[field].FirstCut == u
	}
	sow := &f.Plan.Sowings[s.sowing]
	return sow.Use == u || sow.Then == u
}

// usedBefore tells whether a field was cut or grazed before a day.
func usedBefore(y *season.YearResult, field int, day quantity.Date) bool {
	for i := range y.Events {
		e := &y.Events[i]
		if int(e.Field) == field && e.Date < day && (e.Kind == season.Cut || e.Kind == season.GrazingStarted) {
			return true
		}
	}
	return false
}

// daysOf is how many days of a year each period of a group holds: the one whose
// start, looking back through the year, is nearest.
func daysOf(g *farm.Group, first quantity.Date) []float64 {
	days := make([]float64, len(g.Periods))
	for d := range 365 {
		if p := periodOn(g, first+quantity.Date(d)); p >= 0 {
			days[p]++
		}
	}
	return days
}

// periodOn is the period of a group that holds on a day; -1 where it has none.
func periodOn(g *farm.Group, day quantity.Date) int {
	found, best := -1, 1<<30
	for i := range g.Periods {
		start := g.Periods[i].From.OnOrAfter(day - 365)
		if start > day {
			continue
		}
		if since := int(day - start); since < best {
			found, best = i, since
		}
	}
	return found
}

// perYear is the mean over a year of what a period gives, by its days.
func perYear(f *farm.Farm, g *farm.Group, of func(*farm.Period) float64) float64 {
	sum := 0.0
	for i, days := range daysOf(g, f.FirstDay()) {
		sum += of(&g.Periods[i]) * days
	}
	return sum / 365
}

// rowDay is a day in the middle of a ledger's row, counted on from the month in which
// the year began.
func rowDay(first quantity.Date, row int) quantity.Date {
	h := first.HalfMonth() + row
	year, _, _ := first.Civil()
	day := 8
	if h%2 == 1 {
		day = 23
	}
	return quantity.NewDate(year, time.January+time.Month(h/2), day)
}
