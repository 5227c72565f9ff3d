package report

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	ics "github.com/arran4/golang-ical"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/steer"
)

// readable is how many letters of what an entry is of stand in its key.
const readable = 48

// keyOf names a calendar entry by its kind and what it is of, never by its date: so
// a date that moves moves in the phone's calendar too. Words for a person to read,
// and a sum that keeps apart what reads alike.
func keyOf(kind, of string) string {
	sum := sha256.Sum256([]byte(kind + "\x00" + of))
	words := slug(kind + " " + of)
	return strings.TrimSuffix(words[:min(readable, len(words))], "-") + "-" + hex.EncodeToString(sum[:4])
}

// freeKey is the key of an entry that may come several times: a later one is counted.
func freeKey(entries []Entry, kind, of string) string {
	key := keyOf(kind, of)
	for n := 2; slices.ContainsFunc(entries, func(e Entry) bool { return e.Key == key }); n++ {
		key = keyOf(kind, of+"\x00"+strconv.Itoa(n))
	}
	return key
}

// sowingKey names a sowing of the plan: its field, its stand, and which it is of
// those that are alike, as the blocks of a staggered sowing are.
func sowingKey(f *farm.Farm, s int) string {
	x := &f.Plan.Sowings[s]
	n := 1
	for i := range s {
		if o := &f.Plan.Sowings[i]; o.Field == x.Field && standName(&o.Mix) == standName(&x.Mix) {
			n++
		}
	}
	return standKey(f.Fields[x.Field].Name, &x.Mix, n)
}

func standKey(field string, m *crop.Mix, n int) string {
	return field + "\x00" + standName(m) + "\x00" + strconv.Itoa(n)
}

func standName(m *crop.Mix) string { return cmp.Or(m.Name, m.Title) }

// WriteCalendar writes the plan's calendar as iCalendar. The stamp is the farm's own
// feed year, so that the same plan gives the same bytes.
func WriteCalendar(w io.Writer, p *Plan) error {
	first, err := quantity.ParseDate(p.Farm.First)
	if err != nil {
		return err
	}
	return writeEvents(w, p.Farm.Name, first, first, p.Calendar)
}

// SeasonCalendar is the dates of a season as they stand on a day.
type SeasonCalendar struct {
	Farm    string
	First   quantity.Date // of the feed year
	Asked   quantity.Date
	Entries []Entry
}

// WriteSeasonCalendar writes a season's moving dates as iCalendar. What stands in the
// plan's calendar too has the same identity there.
func WriteSeasonCalendar(w io.Writer, c *SeasonCalendar) error {
	return writeEvents(w, c.Farm, c.First, c.Asked, c.Entries)
}

// writeEvents writes all-day events with an alarm the evening before (RFC 5545).
// Their revision is told by the day on which they were asked for: sequence 0 is the
// plan's, made before the feed year, and every later day's is higher.
func writeEvents(w io.Writer, farm string, first, asked quantity.Date, entries []Entry) error {
	cal := ics.NewCalendarFor("Rowen")
	cal.SetMethod(ics.MethodPublish)
	cal.SetName(farm + ": season")
	sequence := 0
	if asked > first {
		sequence = int(asked - first)
	}
	for _, e := range entries {
		ev := cal.AddEvent(keyOf(farm, first.String()) + "-" + e.Key + "@rowen")
		ev.SetDtStampTime(asked.Time())
		ev.SetLastModifiedAt(asked.Time())
		ev.SetSequence(sequence)
		ev.SetAllDayStartAt(e.Date.Time())
		ev.SetAllDayEndAt((e.Date + 1).Time())
		ev.SetSummary(e.Text)
		if e.More != "" {
			ev.SetDescription(e.More)
		}
		a := ev.AddAlarm()
		a.SetAction(ics.ActionDisplay)
		a.SetTrigger("-PT6H")
		a.SetProperty(ics.ComponentPropertyDescription, e.Text)
	}
	return cal.SerializeTo(w, ics.WithNewLine("\r\n"))
}

// seasonDates gathers a season's dates.
type seasonDates struct {
	f   *farm.Farm
	d   *steer.Day
	out *SeasonCalendar
}

// BuildSeasonCalendar makes the calendar of a day: sowings done and to come, when
// each stand is ready with its spread, waits that end, turn-out and housing. first is
// the feed year's first day. What has no date yet is left out.
func BuildSeasonCalendar(f *farm.Farm, d *steer.Day, first quantity.Date) *SeasonCalendar {
	c := &seasonDates{f, d, &SeasonCalendar{Farm: f.Name, First: first, Asked: d.Today}}
	for i := range d.Fields {
		x := &d.Fields[i]
		c.sown(x)
		c.window(x)
		c.ready(x)
		c.waits(x)
	}
	c.lots()
	c.add("turnout", "", f.Turnout.OnOrAfter(first), "Turn-out", "By height, not by the calendar; bring animals on over a week.")
	c.add("housing", "", f.Housing.OnOrAfter(first), "Housing", "")
	slices.SortStableFunc(c.out.Entries, func(a, b Entry) int { return cmp.Compare(a.Date, b.Date) })
	return c.out
}

func (c *seasonDates) add(kind, of string, on quantity.Date, text, more string) {
	c.out.Entries = append(c.out.Entries, Entry{Key: freeKey(c.out.Entries, kind, of), Date: on, Day: on.String(), Text: text, More: more})
}

// planKey is the key of a sowing of the plan that the season points to.
func (c *seasonDates) planKey(s *farm.Sowing) string {
	for i := range c.f.Plan.Sowings {
		if &c.f.Plan.Sowings[i] == s {
			return sowingKey(c.f, i)
		}
	}
	return standKey(c.f.Fields[s.Field].Name, &s.Mix, 1)
}

// sown puts a planned sowing that was written down on its day.
func (c *seasonDates) sown(x *steer.Field) {
	h := &x.History
	if !h.Stands || h.Sowing == nil {
		return
	}
	c.add("sow", c.planKey(h.Sowing), h.Sown, "Sown: "+h.Sowing.Mix.Title+" on "+c.name(x), "As written down.")
}

// window puts a sowing to come on its likely day.
func (c *seasonDates) window(x *steer.Field) {
	s := x.History.Next
	if s == nil {
		return
	}
	of, g := c.planKey(s), &x.Ground
	on, spread := s.On, "The plan's own day. "
	switch {
	case s.On != 0 && (s.On < c.out.First || s.On >= c.out.First+366):
		return // the plan is of another year
	case s.On != 0:
	case c.d.Today > g.Closes:
		on, spread = g.Closes, ""
	case g.Likely.Share > 0:
		on, spread = g.Likely.Middle, fmt.Sprintf("The soil is likely to be warm enough %s. ", g.Likely)
	default:
		on, spread = max(g.Opens, c.d.Today), "In no year looked at is the soil warm enough by the latest date. "
	}
	c.add("sow", of, on, "Sow "+s.Mix.Title+" on "+c.name(x), fmt.Sprintf("%sThe window is %s to %s. %s.", spread, shortDate(g.Opens), shortDate(g.Closes), sentence(x.Say.String())))
	if look := g.Likely.Early - lookBefore; g.Likely.Share > 0 && look >= c.d.Today {
		c.add("soil", of, look, "Look at the soil thermometer: "+c.name(x), sowRule(s, c.f.Units))
	}
}

// ready puts a stand's next use on its middle day.
func (c *seasonDates) ready(x *steer.Field) {
	h, w := &x.History, &x.Now.Ready
	if !h.Stands || h.Course.Use == crop.Leave || w.Share == 0 {
		return
	}
	uses := h.Uses
	of := standKey(c.name(x), h.Course.Mix, 1)
	if h.Sowing != nil {
		of = c.planKey(h.Sowing)
	}
	more := fmt.Sprintf("Ready %s, in %.0f of 10 years looked at. %s.", w, 10*w.Share, sentence(x.Say.String()))
	if worst, name := x.Safety(); worst != handbook.Clear {
		more += fmt.Sprintf(" %s says %s on %s: ask again before animals or machines go in.", sentence(name), worst, shortDate(c.d.Today))
	}
	c.add("ready", of+"\x00"+strconv.Itoa(uses), w.Middle, sentence(c.name(x))+": ready to be used, "+useWords(h.Course.Use), more)
	if h.Sowing != nil && uses == 0 {
		c.add("measure", of, w.Middle-measureBefore, "Measure the height on "+c.name(x), fmt.Sprintf("First use (%s) is likely %s.", useWords(h.Course.Use), w))
	}
}

// waits puts the ends of labels' waits that are still to come.
func (c *seasonDates) waits(x *steer.Field) {
	for i, l := range x.History.Labels {
		of := c.name(x) + "\x00" + l.Product + "\x00" + strconv.Itoa(i)
		if l.GrazOK && l.Graze >= c.d.Today {
			c.add("grazing wait", of, l.Graze, "Wait before grazing ends: "+l.Product+" on "+c.name(x), "As the label was written down; the label itself goes before this.")
		}
		if l.PlantOK && l.Plant >= c.d.Today {
			c.add("planting wait", of, l.Plant, "Wait before sowing ends: "+l.Product+" on "+c.name(x), "As the label was written down; the label itself goes before this.")
		}
	}
}

// lots puts the end of the wait in store of lots that prussic acid holds.
func (c *seasonDates) lots() {
	for i := range c.d.Lots {
		l := &c.d.Lots[i]
		until := l.Cut + hazard.EnsileWait
		held := slices.ContainsFunc(l.Gates, func(g handbook.Gate) bool { return g.Name == "prussic acid" && g.Answer == handbook.Hold })
		if held && l.Use != crop.Hay && until >= c.d.Today {
			c.add("lot wait", l.Name, until, "Wait in store ends: "+l.Name, "Eight weeks in store: take a sample for prussic acid now, and feed none of it before the result is read.")
		}
	}
}

func (c *seasonDates) name(x *steer.Field) string { return c.f.Fields[x.Index].Name }
