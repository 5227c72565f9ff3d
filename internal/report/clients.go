package report

import (
	"cmp"
	"fmt"
	"slices"

	"rowen/account"
	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/say"
	"rowen/steer"
	"rowen/weather"
)

// Clients is an adviser's morning: what wants a word today over all farms of a
// folder, most urgent first.
type Clients struct {
	Rowen   int          `json:"rowen"`
	Date    string       `json:"date"`
	Farms   int          `json:"farms_read"`
	Broken  int          `json:"farms_left_out"`
	Items   []ClientItem `json:"items"`
	Quiet   []string     `json:"farms_that_want_nothing"`
	Notices []say.Line   `json:"notices"`
}

// ClientItem is one thing to say to one farm. Message names no other farm.
type ClientItem struct {
	Kind    string     `json:"kind"`
	Farm    string     `json:"farm"`
	Fields  []string   `json:"fields,omitempty"`
	Reasons []say.Line `json:"reasons"`
	By      string     `json:"by,omitempty"` // the day on which it is due
	Contact string     `json:"contact"`
	Message say.Line   `json:"message"`

	urgency urgency
	due     quantity.Date
}

// urgency is the order of the list.
type urgency uint8

const (
	animalsHeld urgency = iota
	frostTonight
	frostNear
	frostUnknown
	weatherOld
	storesOut
	readyHeld
	dryDays
	readyNow
	sowNow
	readySoon
	storesShort
	measure
)

//say:words
func (u urgency) String() string {
	return [...]string{"animals where a gate holds", "frost tonight", "near frost tonight", "frost not known", "weather out of date",
		"stores run out soon", "ready, held", "dry days to mow", "ready now", "sowing window open", "ready this week", "stores short before turn-out", "measure heights"}[u]
}

// outSoon is how many days ahead an empty store cannot wait (common practice: feed
// is found and hauled in a month).
const outSoon = 45

// FarmClient is what one farm of the folder wants.
type FarmClient struct {
	Farm    string
	Items   []ClientItem
	Notices []say.Line
}

// BuildFarmClient gathers what a farm wants on a day; stock may be nil, forecast
// begins on the day after the last weather and may be empty.
func BuildFarmClient(f *farm.Farm, d *steer.Day, stock *steer.Stock, forecast []weather.Day, notices []say.Line) *FarmClient {
	c := &client{f: f, d: d, forecast: forecast, out: &FarmClient{Farm: f.Name}}
	for _, n := range notices {
		c.out.Notices = append(c.out.Notices, say.That("%s: %s", f.Name, n))
	}
	c.frost()
	c.old()
	for i := range d.Fields {
		c.field(&d.Fields[i])
	}
	c.heights()
	c.stores(stock)
	return c.out
}

// BuildClients ranks what all farms want.
func BuildClients(on quantity.Date, farms []*FarmClient, broken int) *Clients {
	out := &Clients{Rowen: 1, Date: on.String(), Farms: len(farms), Broken: broken, Items: []ClientItem{}}
	for _, f := range farms {
		out.Items = append(out.Items, f.Items...)
		out.Notices = append(out.Notices, f.Notices...)
		if len(f.Items) == 0 {
			out.Quiet = append(out.Quiet, f.Farm)
		}
	}
	slices.SortStableFunc(out.Items, func(a, b ClientItem) int {
		return cmp.Or(cmp.Compare(a.urgency, b.urgency), cmp.Compare(a.due, b.due))
	})
	return out
}

// client gathers one farm's items.
type client struct {
	f        *farm.Farm
	d        *steer.Day
	forecast []weather.Day
	out      *FarmClient
}

func (c *client) add(u urgency, due quantity.Date, fields []string, reasons []say.Line, message say.Line) {
	c.out.Items = append(c.out.Items, ClientItem{Kind: u.String(), Farm: c.f.Name, Fields: fields, Reasons: reasons, By: due.String(), Contact: contact(c.f), Message: message, urgency: u, due: due})
}

func (c *client) name(x *steer.Field) string { return c.f.Fields[x.Index].Name }

// frost speaks of fields with plants that a frost makes poisonous. Without a
// forecast the coldest night of other years stands in, and is said to.
func (c *client) frost() {
	var fields []string
	var stands []say.Line
	for i := range c.d.Fields {
		x := &c.d.Fields[i]
		if x.History.Stands && freezesPoisonous(x.History.Course.Mix) {
			fields = append(fields, c.name(x))
			stands = append(stands, say.That("%s (%s)", c.name(x), x.History.Course.Mix.Title))
		}
	}
	if len(fields) == 0 {
		return
	}
	night := thermometer(c.d.Tonight, c.f.Units)
	where := say.And(stands...)
	switch {
	case c.d.Tonight > hazard.FrostWatch:
	case !c.d.Forecast:
		c.add(frostUnknown, c.d.Today, fields, []say.Line{say.That("no forecast was read; nights within three days of this date have been as cold as %s in other years", night)},
			say.That("Nights about this date have been as cold as %s in other years, and I have no forecast for your ground. Please look at this evening's forecast: if frost is near, take animals off %s and keep them off until we have spoken.", night, where))
	case c.d.Tonight <= hazard.FrostOpens:
		c.add(frostTonight, c.d.Today, fields, []say.Line{say.That("forecast lowest %s; prussic acid after frost", night)},
			say.That("Frost is forecast for tonight, %s. Please take animals off %s this evening and keep them off until we have spoken: after a frost these plants can poison.", night, where))
	default:
		c.add(frostNear, c.d.Today, fields, []say.Line{say.That("forecast lowest %s; low ground can freeze", night)},
			say.That("Tonight may come down to %s, and low ground can freeze. Please look at %s in the morning before anything is let in.", night, where))
	}
}

func freezesPoisonous(m *crop.Mix) bool {
	return slices.ContainsFunc(m.Parts, func(p crop.Part) bool { return p.Crop.Prussic != hazard.NoPrussic })
}

// thermometer is a temperature as a thermometer is read.
func thermometer(t quantity.Temperature, u quantity.System) string {
	if u == quantity.US {
		return fmt.Sprintf("%.0f °F", float64(t)*1.8+32)
	}
	return fmt.Sprintf("%.0f °C", float64(t))
}

// old speaks where the gates do not know the last days' weather.
func (c *client) old() {
	if c.d.Today-c.d.Known <= 1 {
		return
	}
	on := c.d.Known.MonthDay()
	c.add(weatherOld, c.d.Today, nil, []say.Line{say.That("last weather %s: frost, rain and drought since are not known, and the gates hold for it", c.d.Known)},
		say.That("The last weather I have for your farm is of %s. Has there been frost, heavy rain or a dry spell since? Please tell me before sorghums or brassicas are grazed.", on))
}

// holding are the gates that give an answer, in words: their names, what they say,
// and that with what is not known. Readiness is no danger and is told by the need.
func holding(x *steer.Field, at handbook.Answer, u quantity.System) (names, plain, full []say.Line) {
	for i := range x.Gates {
		g := &x.Gates[i]
		if g.Answer != at || g.Name == "readiness" {
			continue
		}
		var said, missing []say.Line
		for _, r := range g.Reasons {
			said = append(said, Ruled(r.Text, u))
		}
		name := say.Name(g.Name)
		text := say.That("%s: %s", name, say.Join("; ", said...))
		names, plain = append(names, name), append(plain, text)
		for _, m := range g.Missing {
			missing = append(missing, say.Name(m))
		}
		if len(missing) > 0 {
			text = say.That("%s; not known: %s", text, say.Join(", ", missing...))
		}
		full = append(full, text)
	}
	return names, plain, full
}

// care is what a message says of gates that ask for care; empty where none does.
func care(x *steer.Field, u quantity.System) say.Line {
	if _, plain, _ := holding(x, handbook.Caution, u); len(plain) > 0 {
		return say.That(" Take care, %s.", say.Join("; ", plain...))
	}
	return nil
}

// field speaks of one field.
func (c *client) field(x *steer.Field) {
	h, name := &x.History, c.name(x)
	held, plain, why := holding(x, handbook.Hold, c.f.Units)
	switch {
	case h.Grazing != "" && len(held) > 0:
		c.add(animalsHeld, c.d.Today, []string{name}, why,
			say.That("Please take the %s off %s now and keep them off: hold for %s. Call me before anything goes back in, and the veterinarian first if an animal looks unwell.", h.Grazing, name, say.And(held...)))
	case x.Need == steer.UseNow && len(held) == 0:
		c.ready(x)
	case x.Need == steer.UseNow || x.Need == steer.HeldNow:
		c.add(readyHeld, c.d.Today, []string{name}, append([]say.Line{x.Say}, why...),
			say.That("%s has the height to %s, but please leave it for now: hold for %s. %s. Call me before you use it.", name, account.Takes(h.Course.Use), say.And(held...), say.Start(plain[0])))
	case x.Need == steer.SowNow && len(held) == 0:
		c.sow(x)
	case x.Need == steer.Soon:
		if len(held) == 0 && c.dry(x) {
			return
		}
		last := say.That("A look at its height a few days before would make that surer.")
		if len(held) > 0 {
			last = say.That("Today there is a hold for %s: call me before you use it.", say.And(held...))
		}
		c.add(readySoon, x.Now.Ready.Middle, []string{name}, append([]say.Line{x.Say}, why...),
			say.That("%s should be ready to %s about %s (%s to %s). %s", name, account.Takes(h.Course.Use), x.Now.Ready.Middle.MonthDay(), x.Now.Ready.Early.MonthDay(), x.Now.Ready.Late.MonthDay(), last))
	}
}

// ready speaks of a field that nothing holds.
func (c *client) ready(x *steer.Field) {
	if c.dry(x) {
		return
	}
	_, _, why := holding(x, handbook.Caution, c.f.Units)
	how := say.That("by my estimate")
	if m := x.History.Measured; m != 0 {
		how = say.That("measured %s", m.MonthDay())
	}
	c.add(readyNow, c.d.Today, []string{c.name(x)}, append([]say.Line{x.Say}, why...),
		say.That("%s is ready to %s: about %s tall, %s.%s", c.name(x), account.Takes(x.History.Course.Use), stick(x.Now.Height.Middle, c.f.Units), how, care(x, c.f.Units)))
}

// sow speaks of a sowing whose window is open.
func (c *client) sow(x *steer.Field) {
	s, closes := x.History.Next, x.Ground.Closes
	c.add(sowNow, closes, []string{c.name(x)}, []say.Line{x.Say},
		say.That("The ground on %s is ready for %s: soil %s. It should be in by %s to be worth sowing. If it is sown already, please tell me the day.", c.name(x), s.Mix.Title, thermometer(quantity.Temperature(x.Ground.SoilTemperature), c.f.Units), closes.MonthDay()))
}

// heights asks for all heights of a farm at once.
func (c *client) heights() {
	var fields []string
	var why, names []say.Line
	due := quantity.Date(1 << 30)
	for i := range c.d.Fields {
		if x := &c.d.Fields[i]; x.Need == steer.Measure {
			fields, names = append(fields, c.name(x)), append(names, say.Name(c.name(x)))
			why = append(why, say.That("%s: %s", c.name(x), x.Say))
			due = min(due, max(c.d.Today, x.Now.Ready.Early))
		}
	}
	if len(fields) == 0 {
		return
	}
	c.add(measure, due, fields, why,
		say.That("When you pass, please measure the height on %s: three spots each are enough. They may be ready within ten days, and I have no height of this week.", say.And(names...)))
}

// stores speaks where stored feed may run out before turn-out.
func (c *client) stores(s *steer.Stock) {
	turnout := c.f.Turnout.OnOrAfter(c.d.Today)
	if s == nil || !s.BadOut || s.Bad >= turnout {
		return
	}
	u := storesShort
	if s.Bad-c.d.Today <= outSoon {
		u = storesOut
	}
	why := []say.Line{say.That("runs out about %s in one year of five, turn-out is %s; %s missing then", s.Bad, turnout, mass(s.GapBad, c.f.Units))}
	if s.MiddleOut && s.Middle < turnout {
		why = append(why, say.That("in the middle year about %s", s.Middle))
	}
	for _, x := range s.Closers {
		why = append(why, say.That("would close it: %s", x.What))
	}
	how := say.That("By my reckoning stored feed may run out about %s, before turn-out on %s, in one year of five.", s.Bad.MonthDay(), turnout.MonthDay())
	if s.MiddleOut && s.Middle < turnout {
		how = say.That("By my reckoning stored feed runs out about %s in a middle year, and turn-out is on %s.", s.Middle.MonthDay(), turnout.MonthDay())
	}
	c.add(u, s.Bad, nil, why,
		say.That("%s Could you count what lies in each store this week? Then we can talk over what would close the gap.", how))
}
