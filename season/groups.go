package season

import (
	"fmt"

	"rowen/farm"
	"rowen/feed"
	"rowen/handbook/grazing"
	"rowen/herd"
	"rowen/quantity"
)

// grainDM is the dry-matter share of grain as fed, 89 % (typical value, common
// practice; organic record sheets use the same figure).
const grainDM = 0.89

// grainOfWeight is the most grain fed, dry matter of live weight (common practice:
// more upsets the rumen).
const grainOfWeight = 0.012

// compileGroups works out what every group needs on each day of the feed year.
func (m *Model) compileGroups(add func(line int, thing, value, remedy string)) {
	for i := range m.farm.Groups {
		doc := &m.farm.Groups[i]
		class, err := herd.ParseClass(doc.Class)
		if err != nil {
			add(doc.Line, fmt.Sprintf("group %q: class", doc.Name), doc.Class, err.Error())
			continue
		}
		g := group{
			name: doc.Name, class: class, grazes: doc.Grazes,
			horses: doc.Horses || class == herd.Horse,
			rule:   m.farm.Organic && class.PastureRule(),
		}
		// 2001 and 2004 stand for all common and leap years: a need depends on
		// the day of the year, never on the weather.
		for leap, year := range [2]int{2001, 2004} {
			first := m.start.In(year - 1)
			if m.start.Month <= 2 {
				first = m.start.In(year)
			}
			days := int(m.start.In(first.Year()+1) - first)
			g.needs[leap] = dailyNeeds(doc, class, first, days, m.walk())
		}
		m.groups = append(m.groups, g)
		if g.grazes {
			july := &g.needs[0][int(quantity.NewDate(2001, 7, 1)-m.start.OnOrAfter(quantity.NewDate(2000, 7, 2)))]
			m.grazers += july.head*july.need.DM - july.grain
		}
	}
}

// dailyNeeds walks a group's periods through one feed year.
func dailyNeeds(doc *farm.Group, class herd.Class, first quantity.Date, days int, walk walk) []groupNeed {
	needs := make([]groupNeed, days)
	for day := range needs {
		period, since := periodOn(doc.Periods, first+quantity.Date(day))
		if period == nil || period.Head <= 0 {
			continue
		}
		gestation := period.Gestation
		if gestation > 0 {
			gestation += float64(since)
		}
		animal := herd.Animal{
			Class: class, Weight: float64(period.Weight),
			Milk: period.Milk.KilogramsPerDay(), Fat: float64(period.Fat) * 100, Protein: float64(period.Protein) * 100,
			DaysInMilk: period.DaysInMilk, Gain: period.Gain.KilogramsPerDay(),
			Gestation: gestation, Young: period.Young,
		}
		if doc.Grazes && walk.on(first+quantity.Date(day)) {
			animal.Walk, animal.Hilly = walk.far, walk.hilly
		}
		needs[day] = groupNeed{
			head: period.Head, weight: animal.Weight, need: animal.Need(),
			grain: period.Head * period.Grain.KilogramsPerDay() * grainDM,
		}
	}
	return needs
}

// walk is the way to pasture and back, km a day, and the season in which it is
// gone.
type walk struct {
	far              float64
	hilly            bool
	turnout, housing quantity.MonthDay
}

// hillySlope is the mean slope of the grazed ground from which it counts as hills
// (common practice).
const hillySlope = 0.10

// trips is how often a day the way is walked: out and home after two milkings
// (common practice).
const trips = 4

// walk is the mean way to the fields that are grazed, by their area.
func (m *Model) walk() walk {
	var way, area, slope float64
	for i := range m.farm.Fields {
		if f := &m.farm.Fields[i]; f.Grazeable {
			way += f.Distance.Metres() / 1000 * float64(f.Area)
			area += float64(f.Area)
			slope += float64(f.Ground.Slope) * float64(f.Area)
		}
	}
	if area > 0 {
		way, slope = way/area, slope/area
	}
	return walk{trips * way, slope >= hillySlope, m.farm.Turnout, m.farm.Housing}
}

// on tells whether a day lies in the grazing season.
func (w walk) on(day quantity.Date) bool {
	return day >= w.turnout.In(day.Year()) && day < w.housing.In(day.Year())
}

// periodOn finds the period that holds on a day and the days since it began:
// the one whose start, looking back through the year, is nearest.
func periodOn(periods []farm.Period, day quantity.Date) (*farm.Period, int) {
	var found *farm.Period
	best := 1 << 30
	for i := range periods {
		start := periods[i].From.OnOrAfter(day - 365)
		if start > day {
			continue
		}
		if since := int(day - start); since < best {
			found, best = &periods[i], since
		}
	}
	return found, best
}

// need is the group's need on a day of a feed year of the given length.
func (g *group) need(day, days int) *groupNeed {
	table := g.needs[0]
	if days > len(table) {
		table = g.needs[1]
	}
	return &table[min(day, len(table)-1)]
}

// request turns a group's need into a ration request: the whole group's day.
func (g *group) request(n *groupNeed, maxGrain float64) feed.Request {
	return feed.Request{
		System: n.need.System, DM: n.head * n.need.DM, Energy: n.head * n.need.Energy, CP: n.head * n.need.CP,
		MinNDF: n.head * n.need.MinNDF, MaxNDF: n.head * n.need.MaxNDF,
		Grain: n.grain, MaxGrain: max(n.grain, n.head*min(maxGrain, grainOfWeight*n.weight)),
	}
}

// pastureRule is the organic rule's least share and days, from the handbook.
func (g *group) pastureRule() (share float64, days int) {
	if !g.rule {
		return 0, 0
	}
	return grazing.OrganicPastureShare, grazing.OrganicGrazingDays
}
