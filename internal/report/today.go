package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"rowen/farm"
	"rowen/handbook"
	"rowen/quantity"
	"rowen/say"
	"rowen/steer"
)

// Today is a farm's day as every face shows it: alarms first, then fields by how soon
// they want a decision.
type Today struct {
	Rowen     int          `json:"rowen"`
	Farm      string       `json:"farm"`
	Date      string       `json:"date"`
	Weather   string       `json:"last_weather"`
	Station   string       `json:"weather_station"`
	Units     string       `json:"units"`
	Currency  string       `json:"currency"`
	Alarms    []say.Line   `json:"alarms"`
	Fields    []TodayField `json:"fields"`
	Lots      []TodayLot   `json:"lots"`
	Stock     *TodayStock  `json:"stock,omitempty"`
	Questions []say.Line   `json:"questions"`
	Notices   []say.Line   `json:"notices"`
}

// Range is a figure with its uncertainty: one in ten below Low, one in ten above High.
type Range struct {
	Low  float64 `json:"p10"`
	Mid  float64 `json:"p50"`
	High float64 `json:"p90"`
}

// TodayField is one field. Heights cm, masses g DM/m².
type TodayField struct {
	Name     string     `json:"field"`
	Stand    string     `json:"stand"`
	Use      string     `json:"next_use"`
	Need     string     `json:"need"`
	Say      say.Line   `json:"say"`
	Height   Range      `json:"height_cm"`
	Mass     Range      `json:"standing_g_per_m2"`
	Offered  Range      `json:"above_residual_g_per_m2"`
	Moisture Range      `json:"moisture_percent"`
	CP       Range      `json:"cp_percent"`
	NDF      Range      `json:"ndf_percent"`
	NEL      Range      `json:"nel_mcal_per_kg"`
	Early    string     `json:"ready_early,omitempty"`
	Middle   string     `json:"ready_middle,omitempty"`
	Late     string     `json:"ready_late,omitempty"`
	Share    float64    `json:"ready_share"`
	Measured string     `json:"measured,omitempty"`
	Changed  []say.Line `json:"what_the_last_look_changed,omitempty"`
	Gates    []Named    `json:"gates"`
	Assumed  bool       `json:"use_so_far_assumed,omitempty"`
	Grows    bool       `json:"grows"`
	Grazing  string     `json:"animals_on_it,omitempty"`
}

// Named is a gate's answer with its name and rule.
type Named struct {
	Name string `json:"gate"`
	Gate
	Sources []string `json:"sources,omitempty"`
	Until   say.Line `json:"until,omitempty"`
}

// TodayLot is a cut in store with its gates.
type TodayLot struct {
	Name     string  `json:"lot"`
	Cut      string  `json:"cut"`
	Use      string  `json:"use"`
	Bales    int     `json:"bales,omitempty"`
	Loads    int     `json:"loads,omitempty"`
	DM       float64 `json:"dm_kg,omitempty"` // as put up; 0 where weight or moisture was not written
	Moisture float64 `json:"moisture_percent,omitempty"`
	CP       float64 `json:"cp_percent,omitempty"` // by the laboratory
	NDF      float64 `json:"ndf_percent,omitempty"`
	Tested   string  `json:"tested,omitempty"`
	Gates    []Named `json:"gates"`
}

// Put says what was put up and what the laboratory found of it.
func (l *TodayLot) Put(u quantity.System) say.Line {
	var parts []say.Line
	tell := func(pattern string, args ...any) { parts = append(parts, say.That(pattern, args...)) }
	if l.Bales > 0 {
		tell("%d bales", l.Bales)
	}
	if l.Loads > 0 {
		tell("%d loads", l.Loads)
	}
	if l.DM > 0 {
		tell("%s of dry matter", mass(l.DM, u))
	}
	if l.Moisture > 0 {
		tell("moisture %.0f %%", l.Moisture)
	}
	if l.CP > 0 {
		tell("CP %.0f %%", l.CP)
	}
	if l.NDF > 0 {
		tell("NDF %.0f %%", l.NDF)
	}
	if l.Tested != "" {
		tell("tested %s", l.Tested)
	}
	return say.Join(", ", parts...)
}

// TodayStock is whether there is enough.
type TodayStock struct {
	Stores  []TodayStore `json:"stores"`
	Horizon string       `json:"looked_at_up_to"`
	Groups  []TodayGroup `json:"groups"`
	Years   int          `json:"years_looked_at"`
	Out     int          `json:"years_that_run_out"`
	Middle  string       `json:"runs_out_middle,omitempty"`
	Bad     string       `json:"runs_out_bad,omitempty"`
	Gap     float64      `json:"gap_middle_kg"`
	GapBad  float64      `json:"gap_bad_kg"`
	Close   []TodayClose `json:"what_would_close_it"`
	Assumed []say.Line   `json:"assumed"`
}

// TodayStore is one store.
type TodayStore struct {
	Name    string    `json:"store"`
	DM      float64   `json:"dm_kg"`
	Lots    []FeedLot `json:"lots"`
	Counted string    `json:"counted,omitempty"`
	Written bool      `json:"never_counted_but_written_down,omitempty"`
	Fed     float64   `json:"taken_off_as_fed_kg,omitempty"`
}

// FeedLot is feed of one kind and analysis in a store.
type FeedLot struct {
	Feed   string  `json:"feed"`
	Stored string  `json:"stored,omitempty"` // "" where it lay there when the year began
	DM     float64 `json:"dm_kg"`
	AsFed  float64 `json:"as_fed_kg"`
	CP     float64 `json:"cp_percent"`
	NDF    float64 `json:"ndf_percent"`
	NEL    float64 `json:"nel_mcal_per_kg"`
}

// TodayGroup is one group's share.
type TodayGroup struct {
	Name  string  `json:"group"`
	Need  float64 `json:"need_of_stored_feed_kg_a_day"`
	Share float64 `json:"share_of_stored_feed"`
	Days  float64 `json:"days_that_its_share_lasts"`
}

// TodayClose is one way to close the gap.
type TodayClose struct {
	What say.Line `json:"what"`
	Cost float64  `json:"cost,omitempty"`
}

// BuildToday makes the page model of a day; stock may be nil.
func BuildToday(f *farm.Farm, d *steer.Day, stock *steer.Stock, station string, questions, notices []say.Line) *Today {
	t := &Today{Rowen: 1, Farm: f.Name, Date: d.Today.String(), Weather: d.Known.String(), Station: station, Units: f.Units.String(), Currency: f.Currency, Alarms: d.Alarms, Questions: questions, Notices: notices}
	order := make([]int, len(d.Fields))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := &d.Fields[a], &d.Fields[b]
		if x.Need != y.Need {
			return int(x.Need) - int(y.Need)
		}
		return int(soonest(x)) - int(soonest(y))
	})
	for _, i := range order {
		t.Fields = append(t.Fields, todayField(f, &d.Fields[i]))
		for _, q := range d.Fields[i].History.Questions {
			t.Questions = append(t.Questions, say.That("%s: %s", f.Fields[d.Fields[i].Index].Name, q))
		}
	}
	for _, l := range d.Lots {
		lot := TodayLot{Name: l.Name, Cut: l.Cut.String(), Use: useWords(l.Use), Bales: l.Pieces.Bales, Loads: l.Pieces.Loads, DM: l.DM, Moisture: 100 * l.Moisture, CP: 100 * l.CP, NDF: 100 * l.NDF, Gates: named(l.Gates)}
		if l.Tested != 0 {
			lot.Tested = l.Tested.String()
		}
		t.Lots = append(t.Lots, lot)
	}
	if stock != nil {
		t.Stock = todayStock(stock)
		t.Alarms = append(t.Alarms, stockAlarm(f, d, stock)...)
	}
	return t
}

// soonest is the day by which fields of one need are put in order.
func soonest(f *steer.Field) quantity.Date {
	if f.Now.Ready.Share > 0 {
		return f.Now.Ready.Middle
	}
	return 1 << 30
}

// stockAlarm speaks where feed may run out before animals can be turned out.
func stockAlarm(f *farm.Farm, d *steer.Day, s *steer.Stock) []say.Line {
	turnout := f.Turnout.OnOrAfter(d.Today)
	switch {
	case s.MiddleOut && s.Middle < turnout:
		return []say.Line{say.That("stored feed runs out about %s in the middle year, before turn-out on %s; in %d of %d years it runs out", s.Middle, turnout, s.RunsOut, s.Runs)}
	case s.BadOut && s.Bad < turnout:
		return []say.Line{say.That("stored feed may run out about %s, before turn-out on %s, in one year of five", s.Bad, turnout)}
	}
	return nil
}

func rangeOf(s steer.Spread) Range { return Range{s.Low, s.Middle, s.High} }

func todayField(f *farm.Farm, x *steer.Field) TodayField {
	h := &x.History
	out := TodayField{Name: f.Fields[x.Index].Name, Need: x.Need.String(), Say: x.Say, Grows: h.Stands}
	out.Gates = named(x.Gates)
	if !h.Stands {
		out.Stand = "bare or stubble"
		return out
	}
	n := &x.Now
	out.Grazing = h.Grazing
	out.Stand, out.Use, out.Assumed = h.Course.Mix.Title, useWords(h.Course.Use), h.Course.Assumed
	out.Height, out.Mass, out.Offered = rangeOf(n.Height), rangeOf(n.Mass), rangeOf(n.Offered)
	out.Moisture = Range{100 * (1 - n.DryMatter.High), 100 * (1 - n.DryMatter.Middle), 100 * (1 - n.DryMatter.Low)}
	out.CP, out.NDF, out.NEL = rangeOf(n.CP), rangeOf(n.NDF), rangeOf(n.NEL)
	if out.Share = n.Ready.Share; out.Share > 0 {
		out.Early, out.Middle, out.Late = n.Ready.Early.String(), n.Ready.Middle.String(), n.Ready.Late.String()
	}
	if h.Measured != 0 {
		out.Measured = h.Measured.String()
	}
	if x.Moved {
		out.Changed = changed(x, f.Units)
	}
	return out
}

// named are gates with their rules, the worst first.
func named(gates []handbook.Gate) (out []Named) {
	for _, g := range gates {
		n := Named{Name: g.Name, Gate: gateOf(g), Until: g.Until}
		for _, r := range g.Reasons {
			n.Sources = append(n.Sources, r.Source.String())
		}
		out = append(out, n)
	}
	slices.SortStableFunc(out, func(a, b Named) int { return answerRank(b.Answer) - answerRank(a.Answer) })
	return out
}

func answerRank(word string) int {
	return slices.Index([]string{handbook.Clear.String(), handbook.Caution.String(), handbook.Hold.String()}, word)
}

// changed says what the last look moved, and why.
func changed(x *steer.Field, u quantity.System) (out []say.Line) {
	was, now := &x.Before, &x.Now
	length := func(cm float64) string { return stick(cm, u) }
	tell := func(pattern string, args ...any) { out = append(out, say.That(pattern, args...)) }
	tell("height %s, expected %s", length(now.Height.Middle), length(was.Height.Middle))
	if was.Mass.Middle > 0 {
		if times := now.Mass.Middle / was.Mass.Middle; times > 3 {
			tell("standing dry matter %.1f times what was expected", times)
		} else {
			tell("standing dry matter %+.0f %%", 100*(times-1))
		}
	}
	if was.Ready.Share > 0 && now.Ready.Share > 0 {
		switch days := now.Ready.Middle - was.Ready.Middle; {
		case days > 0:
			tell("ready %s later", dayCount(int(days)))
		case days < 0:
			tell("ready %s sooner", dayCount(int(-days)))
		default:
			tell("ready on the same day")
		}
	}
	if g := now.Growth.Middle / was.Growth.Middle; g > 1.02 || g < 0.98 {
		tell("it grows %+.0f %% against what was thought of it", 100*(g-1))
	}
	if now.Height.Middle < 0.5*was.Height.Middle {
		tell("it looks grazed or cut without a word in the journal: write it down")
	}
	if c := now.Correction; c > 1 || c < -1 {
		tell("%+.0f %s of dry matter stand there that nothing explains (correction)", correction(c, u), correctionUnit(u))
	}
	return out
}

func dayCount(n int) say.Line {
	if n == 1 {
		return say.That("a day")
	}
	return say.That("%d days", n)
}

func correction(gm2 float64, u quantity.System) float64 {
	if u == quantity.US {
		return quantity.MassPerArea(gm2 / 1000).PoundsPerAcre()
	}
	return 10 * gm2
}

func correctionUnit(u quantity.System) string {
	if u == quantity.US {
		return "lb/ac"
	}
	return "kg/ha"
}

func todayStock(s *steer.Stock) *TodayStock {
	out := &TodayStock{Years: s.Runs, Out: s.RunsOut, Horizon: s.Horizon.String(), Gap: s.Gap, GapBad: s.GapBad, Assumed: s.Assumed}
	for i, st := range s.Stores {
		x := TodayStore{Name: st.Name, DM: st.DM, Written: st.Written, Fed: st.Fed}
		if st.Known {
			x.Counted = st.Counted.String()
		}
		for l := range s.Lots {
			if lot := &s.Lots[l]; int(lot.Store) == i && lot.DM > 0 {
				f := FeedLot{Feed: lot.Kind.String(), DM: lot.DM, AsFed: lot.DM / lot.DMShare, CP: lot.Analysis.CP, NDF: lot.Analysis.NDF, NEL: lot.Analysis.NEL}
				if lot.Field >= 0 {
					f.Stored = lot.Stored.String()
				}
				x.Lots = append(x.Lots, f)
			}
		}
		out.Stores = append(out.Stores, x)
	}
	for _, g := range s.Groups {
		out.Groups = append(out.Groups, TodayGroup(g))
	}
	if s.MiddleOut {
		out.Middle = s.Middle.String()
	}
	if s.BadOut {
		out.Bad = s.Bad.String()
	}
	for _, c := range s.Closers {
		out.Close = append(out.Close, TodayClose(c))
	}
	return out
}

// WriteToday writes the day as one calm screen; with why, each gate's rules with their
// sources.
func WriteToday(w io.Writer, t *Today, u quantity.System, why bool) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s, %s\n", t.Farm, t.Date)
	fmt.Fprintf(b, "Weather of %s, last known %s.\n", t.Station, t.Weather)
	for _, a := range t.Alarms {
		fmt.Fprintf(b, "\n! %s\n", a)
	}
	length := func(r Range) string {
		return fmt.Sprintf("%s (%s to %s)", stick(r.Mid, u), stick(r.Low, u), stick(r.High, u))
	}
	for i := range t.Fields {
		x := &t.Fields[i]
		fmt.Fprintf(b, "\n%s: %s\n", x.Name, x.Say)
		if x.Grows {
			measured := "not measured in this growth"
			if x.Measured != "" {
				measured = "measured " + x.Measured
			}
			if x.Assumed {
				measured = "nothing written down this season: its use so far is assumed"
			}
			fmt.Fprintf(b, "  %s, %s tall, %s above the residual; %s\n", x.Stand, length(x.Height), yield(x.Offered.Mid/1000, u), measured)
		}
		if len(x.Changed) > 0 {
			fmt.Fprintf(b, "  the last look: %s\n", say.Join("; ", x.Changed...))
		}
		for _, g := range x.Gates {
			if x.Shows(g.Name) {
				writeGate(b, &g, why, u)
			}
		}
	}
	writeLots(b, t, why, u)
	writeStock(b, t, u)
	if len(t.Questions) > 0 {
		fmt.Fprintln(b, "\nQuestions")
		for _, q := range t.Questions {
			fmt.Fprintf(b, "  %s\n", q)
		}
	}
	for _, n := range t.Notices {
		fmt.Fprintf(b, "\nNote: %s\n", n)
	}
	fmt.Fprintln(b, "\nThe veterinarian, the laboratory, the label and local rules go before this page.")
	_, err := io.WriteString(w, b.String())
	return err
}

// Shows tells whether a gate matters to a screen: one of readiness or of the ground
// only where the field is about to be used, since it says nothing new before; one of
// bloat or brassicas in the weeks before too; one of poison always.
func (x *TodayField) Shows(gate string) bool {
	about := x.Grazing != "" || x.Need == steer.UseNow.String() || x.Need == steer.HeldNow.String() || x.Need == steer.TakeOff.String()
	near := about || x.Need == steer.Measure.String() || x.Need == steer.Soon.String()
	switch gate {
	case "readiness", "ground", "roots":
		return about
	case "bloat", "brassicas", "grass tetany", "ergot", "photosensitisation":
		return near
	}
	return true
}

// stick is a height as a stick is read: whole inches or centimetres.
func stick(cm float64, u quantity.System) string {
	if u == quantity.US {
		return fmt.Sprintf("%.0f in", cm/2.54)
	}
	return fmt.Sprintf("%.0f cm", cm)
}

// writeGate writes a gate that does not say Clear.
func writeGate(b *strings.Builder, g *Named, why bool, u quantity.System) {
	if g.Answer == handbook.Clear.String() {
		return
	}
	until := ""
	if len(g.Until) > 0 {
		until = ", until " + g.Until.String()
	}
	fmt.Fprintf(b, "  %s, %s%s: %s\n", g.Answer, g.Name, until, say.Join("; ", allRuled(g.Reasons, u)...))
	if len(g.Missing) > 0 {
		fmt.Fprintf(b, "    not known: %s\n", strings.Join(g.Missing, "; "))
	}
	if why {
		for i, source := range g.Sources {
			fmt.Fprintf(b, "    rule %d: %s\n", i+1, source)
		}
	}
}

// byFeed adds the lots of a store up by feed, in the order in which they come.
func byFeed(lots []FeedLot) (out []FeedLot) {
	for _, l := range lots {
		i := slices.IndexFunc(out, func(o FeedLot) bool { return o.Feed == l.Feed })
		if i < 0 {
			out = append(out, FeedLot{Feed: l.Feed})
			i = len(out) - 1
		}
		o := &out[i]
		all := o.DM + l.DM
		if all <= 0 {
			continue
		}
		o.CP, o.NDF, o.NEL = (o.CP*o.DM+l.CP*l.DM)/all, (o.NDF*o.DM+l.NDF*l.DM)/all, (o.NEL*o.DM+l.NEL*l.DM)/all
		o.DM, o.AsFed = all, o.AsFed+l.AsFed
	}
	return out
}

// writeLots writes the lots that a gate speaks of.
func writeLots(b *strings.Builder, t *Today, why bool, u quantity.System) {
	for i := range t.Lots {
		l := &t.Lots[i]
		if len(l.Gates) == 0 || l.Gates[0].Answer == handbook.Clear.String() {
			continue
		}
		fmt.Fprintf(b, "\nLot %s (%s)", l.Name, l.Use)
		if put := l.Put(u); len(put) > 0 {
			fmt.Fprintf(b, ": %s", put)
		}
		fmt.Fprintln(b)
		for k := range l.Gates {
			writeGate(b, &l.Gates[k], why, u)
		}
	}
}

func writeStock(b *strings.Builder, t *Today, u quantity.System) {
	s := t.Stock
	if s == nil {
		return
	}
	fmt.Fprintln(b, "\nEnough for winter?")
	for _, x := range s.Stores {
		how := "by the plan"
		if x.Counted != "" {
			how = "counted " + x.Counted
		} else if x.Written {
			how = "never counted; by what is written down"
		}
		if x.Fed > 0 {
			how += ", less feeding since as planned"
		}
		fmt.Fprintf(b, "  %s: %s (%s)\n", x.Name, mass(x.DM, u), how)
		for _, l := range byFeed(x.Lots) {
			fmt.Fprintf(b, "    %s: %s dry, %s as fed; CP %.0f %%, NDF %.0f %%\n", l.Feed, mass(l.DM, u), mass(l.AsFed, u), l.CP, l.NDF)
		}
	}
	for _, g := range s.Groups {
		fmt.Fprintf(b, "  %s: %s of stored feed a day when fed from store; %.0f %% of stored feed goes to them, and what lies there now lasts them %.0f days\n", g.Name, smallMass(g.Need, u), 100*g.Share, g.Days)
	}
	say := func(name, day string) {
		if day == "" {
			day = "does not run out before " + s.Horizon
		} else {
			day = "runs out about " + day
		}
		fmt.Fprintf(b, "  %s %s\n", name, day)
	}
	say("middle year: stored feed", s.Middle)
	say("one year in five: stored feed", s.Bad)
	for _, c := range s.Close {
		cost := ""
		if c.Cost > 0 {
			cost = fmt.Sprintf(": about %s %s", quantity.Grouped(c.Cost, 0), t.Currency)
		}
		fmt.Fprintf(b, "  to close it: %s%s\n", c.What, cost)
	}
	for _, a := range s.Assumed {
		fmt.Fprintf(b, "  note: %s\n", a)
	}
}
