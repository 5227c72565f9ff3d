package account

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"rowen/farm"
	"rowen/feed"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/season"
)

// Urgency is how soon a farm should hear of something.
type Urgency uint8

// The urgencies, most pressing first.
const (
	Today Urgency = iota
	ThisWeek
	NextVisit
	Urgencies = 3
)

// String is the urgency in words.
func (u Urgency) String() string { return [...]string{"today", "this week", "next visit"}[u] }

// Reason is why a farm needs a call.
type Reason struct {
	Urgency Urgency
	Text    string
}

// Horizons of a bulletin, days.
const (
	callDays   = 10 // uses and cuts told by telephone
	closingSet = 7  // a sowing window that closes so soon is for today
	emptySoon  = 60 // stores empty so soon are for today
	// VisitDays is how far ahead a visit sheet looks.
	VisitDays = 42
)

// enough is the share of years from which a freeze beside standing sorghum is
// spoken of: one year in ten.
const enough = 0.1

// ReasonsOf are the reasons to call a farm in the week of a date, most pressing
// first and in a fixed order within one urgency.
func ReasonsOf(f *farm.Farm, r *season.Result, w *Weeks, on quantity.Date) []Reason {
	c := calls{f: f, r: r, w: w, on: on}
	c.freeze()
	c.feed()
	c.windows()
	c.uses()
	c.rotation()
	c.nutrients()
	c.soilTests()
	c.record()
	sort.SliceStable(c.out, func(a, b int) bool { return c.out[a].Urgency < c.out[b].Urgency })
	return c.out
}

type calls struct {
	f   *farm.Farm
	r   *season.Result
	w   *Weeks
	on  quantity.Date
	out []Reason
}

func (c *calls) say(u Urgency, format string, args ...any) {
	c.out = append(c.out, Reason{u, fmt.Sprintf(format, args...)})
}

// day writes a date as people say it.
func day(d quantity.Date) string {
	return d.MonthDay().String()
}

// freeze speaks up where sorghum may stand and a night may freeze. Where the
// record cannot tell, it speaks up too.
func (c *calls) freeze() {
	var fields []string
	for i := range c.f.Fields {
		if c.prussicStands(i) {
			fields = append(fields, c.f.Fields[i].Name)
		}
	}
	if len(fields) == 0 {
		return
	}
	keep := fmt.Sprintf("no grazing from the first frost until %d days after the last; the veterinarian and the laboratory go before this", hazard.FrostWait)
	where := strings.Join(fields, ", ")
	week := c.w.Week(c.on)
	watch, frost := week.Freeze[0], week.Freeze[1]
	switch {
	case frost.Past > 0:
		c.say(Today, "sorghum on %s: %d of the last %d nights were at or below %s: %s", where, frost.Past, week.Nights, c.degrees(frost.Threshold), keep)
	case watch.Past > 0:
		c.say(Today, "sorghum on %s: a night at or below %s in the last week: low ground may have frozen, go and look; %s", where, c.degrees(watch.Threshold), keep)
	case watch.Fourteen.Years == 0:
		c.say(Today, "sorghum on %s: the station's record cannot tell how often it freezes now; look at the forecast; %s", where, keep)
	case watch.Fourteen.Of() >= enough:
		urgency := ThisWeek
		if frost.Fourteen.Of() >= enough {
			urgency = Today
		}
		c.say(urgency, "sorghum on %s, where it stands: in %d of %d years a night of the coming 14 days was at or below %s, in %d at or below %s: %s",
			where, watch.Fourteen.With, watch.Fourteen.Years, c.degrees(watch.Threshold), frost.Fourteen.With, c.degrees(frost.Threshold), keep)
	}
}

func (c *calls) degrees(celsius float64) string {
	if c.f.Units == quantity.US {
		return fmt.Sprintf("%.0f °F", celsius*9/5+32)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", celsius), ".0") + " °C"
}

// prussicStands tells whether a crop that makes prussic acid may stand on a field
// at the date: from the day on which one year in ten has sown it until two weeks
// after frost has killed it in nine of ten. What stood there when the year began
// and is not followed by another sowing always may.
func (c *calls) prussicStands(field int) bool {
	sown := false
	for s := range c.f.Plan.Sowings {
		sow := &c.f.Plan.Sowings[s]
		if sow.Field != field {
			continue
		}
		sown = true
		if hasPrussic(&sow.Mix) && c.standing(s) {
			return true
		}
	}
	return !sown && hasPrussic(&c.f.Fields[field].Stands)
}

// standing tells whether one year in ten has a sowing on its field at the date.
func (c *calls) standing(s int) bool {
	today := feedDay(c.f, c.on)
	n := 0
	for i := range c.r.Years {
		y := &c.r.Years[i]
		sown := y.Sowings[s].Sown
		if sown == 0 || int(sown-y.First) > today {
			continue
		}
		gone := math.MaxInt
		for e := range y.Events {
			x := &y.Events[e]
			if x.Kind == season.FrostKilled && int(x.Field) == c.f.Plan.Sowings[s].Field && x.Date > sown {
				gone = int(x.Date-y.First) + hazard.FrostWait
			}
		}
		if today <= gone {
			n++
		}
	}
	return float64(n) >= enough*float64(len(c.r.Years))
}

// RunsOut is the day of the weather year on which home feed runs out before
// turn-out, and what has to be bought or goes short from then until turn-out, kg DM;
// not ok where it lasts.
func RunsOut(f *farm.Farm, y *season.YearResult) (from quantity.Date, lacking float64, ok bool) {
	turnout := f.Turnout.OnOrAfter(y.First)
	from, ok = y.RunOut(y.First)
	if !ok || from >= turnout {
		return 0, 0, false
	}
	first := y.First
	for row := 0; row < season.HalfMonths && first < turnout; row++ {
		for half := first.HalfMonth(); first.HalfMonth() == half; {
			first++
		}
		h := &y.Ledger[row]
		lacking += h.Short + h.Fed[feed.BoughtHay] + h.Fed[feed.BoughtForage]
	}
	return from, lacking, true
}

func (c *calls) feed() {
	y := &c.r.Years[c.r.Bad]
	from, lacking, ok := RunsOut(c.f, y)
	if !ok {
		return
	}
	d := dues{f: c.f, on: c.on, day: feedDay(c.f, c.on)}
	when := d.ahead(float64(from - y.First))
	urgency := NextVisit
	if when >= c.on-emptySoon/2 && when <= c.on+emptySoon {
		urgency = Today
	}
	c.say(urgency, "home feed runs out about %s, before turn-out %s, in the bad year (%d): %s of dry matter to be bought", day(from), c.f.Turnout, y.ID, c.mass(lacking))
}

func (c *calls) mass(kg float64) string { return massWords(kg, c.f.Units) }

// windows speaks of sowings whose window is open.
func (c *calls) windows() {
	for s := range c.f.Plan.Sowings {
		x := WindowOf(c.f, c.w, s, c.on)
		if !x.Open {
			continue
		}
		sow := &c.f.Plan.Sowings[s]
		urgency := ThisWeek
		if x.Closes-c.on <= closingSet {
			urgency = Today
		}
		head := fmt.Sprintf("%s on %s, if it is not sown yet: open until %s", sow.Mix.Title, c.f.Fields[sow.Field].Name, day(x.Closes))
		switch {
		case x.Fixed:
			c.say(urgency, "%s", head)
		case !x.Held.Measured:
			c.say(urgency, "%s; by this date the soil had held %s in %d of %d years: look at the thermometer", head, c.degrees(x.Celsius), x.Held.Usual.With, x.Held.Usual.Years)
		case x.Held.Met:
			c.say(urgency, "%s; the soil has held %s for the %d days asked", head, c.degrees(x.Celsius), x.Days)
		default:
			c.say(max(urgency, ThisWeek), "%s; the soil has held %s for %d of %d days: wait", head, c.degrees(x.Celsius), x.Held.Days, x.Days)
		}
	}
}

func (c *calls) uses() {
	for _, d := range DueOf(c.f, c.r, c.on, callDays) {
		if d.Kind != DueFirstUse && d.Kind != DueCut {
			continue
		}
		name := c.f.Fields[d.Field].Name
		if d.UsuallyOver {
			if d.Kind == DueFirstUse {
				c.say(NextVisit, "%s: %s, usually over by now, by %s in nine years of ten", name, d.What, day(d.Late))
			}
			continue
		}
		c.say(ThisWeek, "%s: %s, usually about %s (%s to %s)", name, d.What, day(d.On), day(d.Early), day(d.Late))
	}
}

func (c *calls) rotation() {
	for _, a := range RotationOf(c.f, &c.r.Years[c.r.Middle]) {
		if a.Stop {
			c.say(ThisWeek, "%s: %s", c.f.Fields[a.Field].Name, a.Text)
		}
	}
}
