package steer

import (
	"fmt"
	"strings"

	"rowen/crop"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/say"
)

// Need is how soon a field wants a decision, soonest first.
type Need uint8

// The needs.
const (
	TakeOff Need = iota // animals stand where a gate of safety holds
	UseNow              // ready, and nothing holds it
	HeldNow             // ready, and a gate of safety holds it
	Measure             // it may be ready within ten days and nobody has measured it
	Soon                // ready within a week
	SowNow              // the soil has held its warmth
	Later
	Nothing // nothing grows and nothing is planned
)

// String is the need in words.
//
//say:words
func (n Need) String() string {
	return [...]string{"take animals off", "ready now", "ready, held", "measure", "soon", "sow", "later", "nothing"}[n]
}

// safety names the gates that are of safety; the others are of readiness, and the
// two are never blended.
var safety = map[string]bool{"prussic acid": true, "nitrate": true, "bloat": true, "brassicas": true, "grass tetany": true, "ergot": true, "photosensitisation": true}

// Safety is the worst answer of a field's gates of safety, the waits of labels among
// them.
func (f *Field) Safety() (worst handbook.Answer, name string) {
	for i := range f.Gates {
		if g := &f.Gates[i]; (safety[g.Name] || strings.HasPrefix(g.Name, labelOf)) && g.Answer > worst {
			worst, name = g.Answer, g.Name
		}
	}
	return worst, name
}

// readyShare is the share of members from which a stand is called ready.
const readyShare = 0.5

// soon and measureWithin are days.
const (
	soon          = 7
	measureWithin = 10
)

// decide says what a field needs.
func (f *Field) decide(r *Request, d *Day) {
	h := &f.History
	held, gate := f.Safety()
	use := useWord(h.Course.Use)
	switch {
	case !h.Stands && h.Next != nil:
		f.Need, f.Say = f.sowing(r, d)
	case !h.Stands:
		f.Need, f.Say = Nothing, say.That("nothing grows, nothing is planned")
	case h.Grazing != "" && held == handbook.Hold:
		f.Need, f.Say = TakeOff, say.That("%s are on it and %s holds: take them off", h.Grazing, gate)
	case h.Grazing != "":
		f.Need, f.Say = Later, say.That("%s are on it since %s", h.Grazing, h.GrazingIn.MonthDay())
	case h.Course.Use == crop.Leave:
		f.Need, f.Say = Later, say.That("left alone")
	case f.Now.ReadyNow >= readyShare && held == handbook.Hold && h.Course.Use == crop.Graze:
		f.Need, f.Say = HeldNow, say.That("ready to %s, held: %s", use, gate)
	case f.Now.ReadyNow >= readyShare && h.Course.Use == crop.Graze && d.Forecast && float64(d.Tonight) <= hazard.FrostOpens && risky(h.Course.Mix):
		f.Need, f.Say = HeldNow, say.That("ready to graze, held: frost tonight")
	case f.Now.ReadyNow >= readyShare:
		f.Need, f.Say = UseNow, say.That("ready to %s", use)
	case f.Now.Ready.Share == 0:
		f.Need, f.Say = Later, say.That("not ready to %s before the feed year ends", use)
	case f.Now.Ready.Early-d.Today <= measureWithin && (h.Measured == 0 || d.Today-h.Measured > measuredWithin):
		f.Need, f.Say = Measure, say.That("measure its height: ready to %s %s", use, f.Now.Ready.Line())
	case f.Now.Ready.Middle-d.Today <= soon:
		f.Need, f.Say = Soon, say.That("ready to %s %s", use, f.Now.Ready.Line())
	default:
		f.Need, f.Say = Later, say.That("ready to %s %s", use, f.Now.Ready.Line())
	}
	if share := f.Now.Ready.Share; share > 0 && share < 0.9 && f.Need >= Measure && f.Need != SowNow && h.Stands {
		f.Say = say.That("%s; in %.0f of 10 years only", f.Say, 10*share)
	}
	if h.Stands && h.Next != nil {
		// What stands there makes room for a sowing of the plan.
		need, next := f.sowing(r, d)
		f.Need, f.Say = min(f.Need, need), say.That("%s; next: %s", f.Say, next)
	}
}

// sowing says how a sowing stands that nobody has written down yet.
func (f *Field) sowing(r *Request, d *Day) (Need, say.Line) {
	s := f.History.Next
	lead := &s.Mix.Parts[0].Crop.Sowing
	opens, closes := f.Ground.Opens, f.Ground.Closes
	if s.On != 0 {
		opens = s.On + (r.Years[0].First - r.Farm.FirstDay()) // the document's day in the present year
		closes = opens + 21
	}
	soil := degrees(quantity.Temperature(f.Ground.SoilTemperature), r.Farm.Units)
	for _, g := range f.Gates {
		if strings.HasPrefix(g.Name, labelOf) && g.Answer == handbook.Hold && !f.History.Stands {
			return Later, say.That("sow %s: held, %s", s.Mix.Title, g.Name)
		}
	}
	switch {
	case d.Today > closes:
		return Later, say.That("%s: its latest useful date, %s, is past; was it sown? Write it down, or choose another", s.Mix.Title, closes.MonthDay())
	case d.Today < opens:
		return Later, say.That("sow %s from %s, not after %s", s.Mix.Title, opens.MonthDay(), closes.MonthDay())
	case s.On == 0 && f.Ground.Held < lead.HoldDays:
		return Later, say.That("sow %s when the soil has held %s for %d days (soil %s, %d days so far): %s", s.Mix.Title, lead.SoilTemperature.In(r.Farm.Units), lead.HoldDays, soil, f.Ground.Held, f.Ground.Likely.Line())
	}
	return SowNow, say.That("sow %s now, not after %s: soil %s", s.Mix.Title, closes.MonthDay(), soil)
}

// Line says a date to come with its spread.
func (w When) Line() say.Line {
	if w.Share == 0 {
		return say.That("not in this feed year")
	}
	if w.Early == w.Late {
		return say.That("%s", w.Middle.MonthDay())
	}
	return say.That("%s to %s, middle %s", w.Early.MonthDay(), w.Late.MonthDay(), w.Middle.MonthDay())
}

// String writes it in English.
func (w When) String() string { return w.Line().String() }

//say:words
func useWord(u crop.Use) string {
	switch u {
	case crop.Graze:
		return "graze"
	case crop.Wrap:
		return "wrap"
	case crop.Chop:
		return "chop"
	case crop.Hay:
		return "make hay"
	case crop.Silage:
		return "ensile"
	}
	return "leave"
}

// alarm says what cannot wait for a look at the list.
func (d *Day) alarm(r *Request) {
	cold := float64(d.Tonight)
	for i := range d.Fields {
		f := &d.Fields[i]
		name := r.Farm.Fields[f.Index].Name
		if f.Need == TakeOff {
			d.Alarms = append(d.Alarms, say.That("%s: %s", name, f.Say))
		}
		if !d.Forecast || !f.History.Stands || !risky(f.History.Course.Mix) || cold > hazard.FrostWatch {
			continue
		}
		text := say.That("%s: %s tonight: %s may freeze; go and look in the morning before anything is let in", name, degrees(d.Tonight, r.Farm.Units), f.History.Course.Mix.Title)
		if cold <= hazard.FrostOpens {
			text = say.That("%s: frost tonight, %s: take animals off %s this evening, and keep them off", name, degrees(d.Tonight, r.Farm.Units), f.History.Course.Mix.Title)
		}
		d.Alarms = append(d.Alarms, text)
	}
	if gap := d.Today - d.Known; gap > 1 {
		d.Alarms = append(d.Alarms, say.That("the last weather is of %s: frost, rain and drought since are not known, and the gates hold for it", d.Known.MonthDay()))
	}
}

// degrees is a temperature as a thermometer is read.
func degrees(t quantity.Temperature, u quantity.System) string {
	if u == quantity.US {
		return fmt.Sprintf("%.0f °F", float64(t)*1.8+32)
	}
	return fmt.Sprintf("%.0f °C", float64(t))
}
