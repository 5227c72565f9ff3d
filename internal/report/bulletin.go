package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"rowen/account"
	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
)

// Bulletin is a week's page for an adviser: every farm that consented, in words
// ready for a screen and a sheet. Of the others it holds their number alone.
type Bulletin struct {
	Day            string // "Tuesday 10 June 2025"
	Version        string
	Farms          int
	WithoutConsent int
	Broken         int // left out for problems in their documents
	Calls          []*Call
	Stations       []StationWeek
	Seed           []account.SupplierLine
	SeedByFarm     []account.FarmSeed
	Compared       Anonymous
	Units          quantity.System
}

// Call is a farm with what it should hear of, most pressing first.
type Call struct {
	Farm, Contact string
	Reasons       []CallReason
	counts        [account.Urgencies]int
}

// Pressing tells whether something should be heard today.
func (c *Call) Pressing() bool { return c.counts[account.Today] > 0 }

// CallReason is one reason, with when it should be heard.
type CallReason struct {
	When string // "today", "this week", "next visit"
	Head string // the same where it differs from that of the reason before
	Text string
}

// reasons are a farm's reasons in words, with how many there are of each urgency.
func reasons(all []account.Reason) (out []CallReason, counts [account.Urgencies]int) {
	before := ""
	for _, x := range all {
		r := CallReason{When: x.Urgency.String(), Text: sentence(x.Text)}
		if r.When != before {
			r.Head = r.When
		}
		before = r.When
		out = append(out, r)
		counts[x.Urgency]++
	}
	return out, counts
}

// sentence begins with a capital.
func sentence(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[size:]
}

// StationWeek is what a station's record says, for the farms that use it.
type StationWeek struct {
	Name, Span string
	Farms      []string
	Soil       string
	Trend      string
	Nights     string // what the last seven were
	Freeze     []FreezeLine
	Rainless   []RainlessLine
	Drying     []string
	Sowings    []SoilLine
}

// FreezeLine is how often nights get as cold as a threshold.
type FreezeLine struct{ Threshold, Past, Seven, Fourteen string }

// RainlessLine is how often so many rainless days come in a row.
type RainlessLine struct{ Days, Share string }

// SoilLine is a sowing's soil rule against the soil.
type SoilLine struct {
	Farm, Field, Crop string
	Asks, Open, Held  string
	Met               bool
}

// FarmWeek is one farm made ready for a bulletin.
type FarmWeek struct {
	Call     Call
	Week     account.Week
	Station  string // tells stations apart
	Sowings  []SoilLine
	Seed     []account.SeedOrder
	Currency string
	Compared account.Compared
	Document []byte
	Visit    *Visit
}

// BuildFarmWeek makes a farm ready for a bulletin of a date from its plan's result
// and its station's record. The farm's units are those of the page.
func BuildFarmWeek(f *farm.Farm, r *season.Result, w *account.Weeks, station string, on quantity.Date) *FarmWeek {
	out := &FarmWeek{
		Call: Call{Farm: f.Name, Contact: contact(f)}, Week: w.Week(on), Station: station,
		Seed: account.SeedOrderOf(f), Currency: f.Currency, Compared: account.CompareOf(f, r), Document: f.Document.Text,
	}
	out.Call.Reasons, out.Call.counts = reasons(account.ReasonsOf(f, r, w, on))
	for s := range f.Plan.Sowings {
		if line, ok := soilLine(f, w, s, on); ok {
			out.Sowings = append(out.Sowings, line)
		}
	}
	out.Visit = BuildVisit(f, r, w, on)
	return out
}

func contact(f *farm.Farm) string {
	if f.Contact == "" {
		return "no contact is written down yet"
	}
	return f.Contact
}

// soilLine holds a sowing's soil rule against the soil; not ok where its window is
// neither open nor about to open.
func soilLine(f *farm.Farm, w *account.Weeks, s int, on quantity.Date) (SoilLine, bool) {
	sow := &f.Plan.Sowings[s]
	x := account.WindowOf(f, w, s, on)
	if !x.Watched {
		return SoilLine{}, false
	}
	line := SoilLine{
		Farm: f.Name, Field: f.Fields[sow.Field].Name, Crop: sow.Mix.Title, Met: x.Held.Met,
		Asks: fmt.Sprintf("%s for %s", warmth(x.Celsius, f.Units), daysWord(x.Days)),
		Open: fmt.Sprintf("%s to %s", shortDate(x.Opens), shortDate(x.Closes)),
	}
	switch {
	case x.Held.Measured && x.Held.Met:
		line.Held = fmt.Sprintf("met; held %s by now", daysWord(x.Held.Days))
	case x.Held.Measured:
		line.Held = fmt.Sprintf("not met; held %s by now", daysWord(x.Held.Days))
	case x.Held.Usual.Years > 0:
		line.Held = "not measured; by this date met in " + years(x.Held.Usual)
	default:
		line.Held = "not known"
	}
	if x.Fixed {
		line.Open += ", the plan names the day"
	}
	return line, true
}

// warmth writes a temperature in whole degrees, or halves where Celsius asks it.
func warmth(celsius float64, u quantity.System) string {
	if u == quantity.US {
		return quantity.Grouped(celsius*9/5+32, 0) + " °F"
	}
	return strings.TrimSuffix(quantity.Grouped(celsius, 1), ".0") + " °C"
}

// years writes a share of years.
func years(s account.Share) string {
	if s.Years == 0 {
		return "not known"
	}
	return fmt.Sprintf("%d of %d years (%.0f %%)", s.With, s.Years, 100*s.Of())
}

// BuildBulletin puts the farms of a date together. Farms come in the order of
// their document's file; calls in the order of their urgency.
func BuildBulletin(on quantity.Date, version string, farms []*FarmWeek, withoutConsent, broken int, u quantity.System) *Bulletin {
	b := &Bulletin{Day: on.Time().Format("Monday 2 January 2006"), Version: version, Farms: len(farms), WithoutConsent: withoutConsent, Broken: broken, Units: u}
	at := map[string]int{}
	for i, f := range farms {
		b.Calls = append(b.Calls, &f.Call)
		k, ok := at[f.Station]
		if !ok {
			k = len(b.Stations)
			at[f.Station] = k
			b.Stations = append(b.Stations, stationWeek(&f.Week, u))
		}
		b.Stations[k].Farms = append(b.Stations[k].Farms, f.Call.Farm)
		b.Stations[k].Sowings = append(b.Stations[k].Sowings, f.Sowings...)
		for _, o := range f.Seed {
			b.SeedByFarm = append(b.SeedByFarm, account.FarmSeed{Farm: i, Name: f.Call.Farm, Currency: f.Currency, Order: o})
		}
	}
	slices.SortStableFunc(b.Calls, func(x, y *Call) int {
		for k := range x.counts {
			if c := cmp.Compare(y.counts[k], x.counts[k]); c != 0 {
				return c
			}
		}
		return 0
	})
	b.Seed = account.BySupplier(b.SeedByFarm)
	b.Compared = anonymous(on, farms, u)
	return b
}

func stationWeek(w *account.Week, u quantity.System) StationWeek {
	s := StationWeek{Name: w.Station, Span: fmt.Sprintf("%v to %v", w.First, w.Last)}
	s.Soil, s.Trend = soilNow(w, u), trend(&w.Soil, u)
	s.Nights = nights(w, u)
	for k := range w.Freeze {
		x := &w.Freeze[k]
		past := "not measured"
		if w.Nights > 0 {
			past = fmt.Sprintf("%d of %d", x.Past, w.Nights)
		}
		s.Freeze = append(s.Freeze, FreezeLine{warmth(x.Threshold, u), past, years(x.Seven), years(x.Fourteen)})
	}
	for k, x := range w.Cutting.Rainless {
		s.Rainless = append(s.Rainless, RainlessLine{daysWord(k+1) + " or more", years(x)})
	}
	s.Drying = []string{"for wrapping, to 55 %: " + dryingHours(&w.Cutting.Wrap), "for dry hay, to 16 %: " + dryingHours(&w.Cutting.Hay)}
	return s
}

// soilNow tells the soil at 4 in and what it rests on.
func soilNow(w *account.Week, u quantity.System) string {
	s := &w.Soil
	usual := fmt.Sprintf("%s, between %s and %s in eight years of ten (%d years)", warmth(s.Usual, u), warmth(s.Low, u), warmth(s.High, u), s.Years)
	switch {
	case s.Measured && s.Years > 0:
		return fmt.Sprintf("%s now, by %s up to this date; usual for the date %s", warmth(s.Now, u), source(w), usual)
	case s.Measured:
		return fmt.Sprintf("%s now, by %s up to this date; no other year to hold it against", warmth(s.Now, u), source(w))
	case s.Years > 0:
		return fmt.Sprintf("%s does not hold this date; usual is %s", sentence(source(w)), usual)
	}
	return "not known: the record has no such day"
}

func source(w *account.Week) string {
	if w.Invented {
		return "the invented weather"
	}
	return "the station's record"
}

// steady is the change over a week below which the soil is called steady, °C.
const steady = 0.5

func trend(s *account.SoilWeek, u quantity.System) string {
	if math.IsNaN(s.Change) {
		return "not known"
	}
	text := fmt.Sprintf("%+.1f °C", s.Change)
	if u == quantity.US {
		text = fmt.Sprintf("%+.0f °F", s.Change*9/5)
	}
	word := "steady"
	switch {
	case s.Change > steady:
		word = "warming"
	case s.Change < -steady:
		word = "cooling"
	}
	word = sentence(word)
	if !s.Measured {
		return fmt.Sprintf("%s in the usual week (%s)", word, text)
	}
	return fmt.Sprintf("%s, %s over the week", word, text)
}

func nights(w *account.Week, u quantity.System) string {
	if w.Nights == 0 {
		return "The last seven nights were not measured"
	}
	return fmt.Sprintf("Coldest of the last %d nights: %s, by %s", w.Nights, warmth(w.Lowest, u), source(w))
}

func dryingHours(h *account.Hours) string {
	if h.Years == 0 {
		return "not known"
	}
	return fmt.Sprintf("usually %.0f h, between %.0f and %.0f in eight years of ten", h.Usual, h.Low, h.High)
}
