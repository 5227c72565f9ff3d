package desk

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/internal/document"
	"rowen/internal/report"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
	"rowen/season"
	"rowen/steer"
	"rowen/weather"
)

// Source is a farm in memory: a document's text with its journal, kept elsewhere
// than in files.
type Source struct {
	Name    string // stands for the path in problems and manifests
	Text    []byte
	Entries []journal.Entry
	Stamp   string     // names the entries, where who keeps them can; else they are read for it
	Notices []say.Line // what of the journal is in conflict
	// Journal gives Entries and Notices where a Stamp stands for them: it is asked only
	// for a day that is not kept.
	Journal func() (entries []journal.Entry, notices []say.Line, err error)
	// Station gives the weather file that a document names, as it was given; nil
	// where there is none but the invented valley.
	Station func(name string) ([]byte, error)
	Units   quantity.System // in which pages are written, whatever the document says
}

// Log is the source's journal, read now if it was not, and what of it is in conflict.
func (s *Source) Log() (entries []journal.Entry, notices []say.Line, err error) {
	if s.Journal == nil {
		return s.Entries, s.Notices, nil
	}
	return s.Journal()
}

// Desk serves faces that ask again and again: it holds the catalogue, and the latest
// results by the hashes of farm, weather, catalogue, journal and engine. It may be
// used by many at once.
type Desk struct {
	Catalogue *crop.Catalogue
	Years     int // of the latest feed years are planned over; 0: DefaultYears

	hash          string // of catalogue and engine
	farms, series *kept  // read
	skies         *kept  // the years that plans were last made over
	plans, packed *kept  // the latest plans whole, and more of them packed
	days, demands *kept
	fields        *kept // how fields were read for days
}

// How many results a desk keeps: what an office of some hundred farms looks at in a day,
// and read or whole the few that are looked at now.
const (
	keptDays     = 600
	keptDemands  = 300
	keptFields   = 300
	keptPacked   = 300
	keptPlans    = 24
	keptFarms    = 60
	keptStations = 24
	keptSkies    = 2
)

// NewDesk opens a desk over a catalogue.
func NewDesk(c *crop.Catalogue) *Desk {
	return &Desk{
		Catalogue: c, hash: catalogueHash(c) + season.Engine + Version,
		farms: newKept(keptFarms), series: newKept(keptStations), skies: newKept(keptSkies), plans: newKept(keptPlans), packed: newKept(keptPacked), days: newKept(keptDays), demands: newKept(keptDemands), fields: newKept(keptFields),
	}
}

// Planned is a farm's plan as pages show it. It is shared: nobody writes into it.
type Planned struct {
	Plan  *report.Plan
	Board *report.Board
}

func (d *Desk) years() int { return cmp.Or(d.Years, DefaultYears) }

// span asks for the desk's years, or for all where the weather has fewer.
func (d *Desk) span(series *weather.Series, f *farm.Farm) string {
	years, _ := series.FeedYears(f.FeedYear, 0)
	return strconv.Itoa(max(1, min(d.years(), len(years))))
}

// Farm reads and checks a source's document. Errors are document.Problems.
func (d *Desk) Farm(s *Source) (*farm.Farm, error) {
	return keep(d.farms, d.key("farm", s), func() (*farm.Farm, error) {
		f, err := farm.Parse(s.Name, s.Text, d.Catalogue)
		if err != nil {
			return nil, err
		}
		f.Units = s.Units
		return f, nil
	})
}

// Check reads a source's document and compiles its plan over one year.
func (d *Desk) Check(s *Source) (*farm.Farm, error) {
	f, err := d.Farm(s)
	if err != nil {
		return nil, err
	}
	years, _ := valley(2).FeedYears(f.FeedYear, 1)
	if _, problems := season.Compile(f, &f.Plan, years); len(problems) > 0 {
		return f, document.Problems(problems)
	}
	return f, nil
}

// Plan plans a source's season over the weather years.
func (d *Desk) Plan(ctx context.Context, s *Source) (*Planned, error) {
	f, err := d.Farm(s)
	if err != nil {
		return nil, err
	}
	series, err := d.weather(f, s, d.years()+1, generatedTo)
	if err != nil {
		return nil, err
	}
	span := d.span(series, f)
	key := d.key("plan", s, series.Hash, span)
	return keep(d.plans, key, func() (*Planned, error) {
		var made *Planned
		packed, err := keep(d.packed, key, func() ([]byte, error) {
			under, err := keep(d.skies, skyKey(series, f, span), func() (*sky, error) {
				years, notices, err := choose(series, f.FeedYear, span)
				return &sky{season.NewSky(years), years, notices}, err
			})
			if err != nil {
				return nil, err
			}
			p, result, err := planOn(ctx, Request{Farm: s.Name}, d.Catalogue, f, series, f.Weather, under)
			if err != nil {
				return nil, err
			}
			made = &Planned{p, report.BuildBoard(f, result)}
			return pack(made)
		})
		if err != nil || made != nil {
			return made, err
		}
		return unpack[Planned](packed)
	})
}

// skyKey names years made ready. One file that does not say where it was measured is
// other weather at another latitude or height.
func skyKey(series *weather.Series, f *farm.Farm, span string) string {
	at := &series.Station
	return fmt.Sprint(series.Hash, " ", at.Latitude, " ", float64(at.Elevation), " ", f.FeedYear, " ", span)
}

// PlanReady tells whether a plan is kept: to show it takes no time.
func (d *Desk) PlanReady(s *Source) bool {
	f, err := d.Farm(s)
	if err != nil {
		return true
	}
	series, err := d.weather(f, s, d.years()+1, generatedTo)
	return err != nil || d.packed.has(d.key("plan", s, series.Hash, d.span(series, f)))
}

// Figure opens a figure of a source's plan. The formula is held against the figure
// shown; it is an error where they disagree.
func (d *Desk) Figure(ctx context.Context, s *Source, key string) (handbook.Figure, error) {
	p, err := d.Plan(ctx, s)
	if err != nil {
		return handbook.Figure{}, err
	}
	if fig, ok := report.FigureOf(p.Plan, key); ok {
		return fig, fig.Check()
	}
	return handbook.Figure{}, fmt.Errorf("%w: %q", ErrKey, key)
}

// SourceDay is a farm's day as pages show it.
type SourceDay struct {
	Page     *report.Today
	Calendar *report.SeasonCalendar
	Client   *report.FarmClient
	Latest   []journal.Entry // the last facts that stand, the last first
	On       quantity.Date
	Zone     *time.Location // where the farm lies: there the day ends
}

// lastFacts is how many facts a day shows.
const lastFacts = 12

// lastOf are the last facts that stand, the last first.
func lastOf(entries []journal.Entry) []journal.Entry {
	standing := journal.Standing(entries)
	standing = slices.Clone(standing[max(0, len(standing)-lastFacts):])
	slices.Reverse(standing)
	return standing
}

// Today reads a source as it stands on a day; zero is the present day where the farm
// lies.
func (d *Desk) Today(ctx context.Context, s *Source, on quantity.Date) (*SourceDay, error) {
	f, err := d.Farm(s)
	if err != nil {
		return nil, err
	}
	r, on := onDay(f, on)
	series, err := d.weather(f, s, DefaultYears+2, max(generatedTo, on.Year()))
	if err != nil {
		return nil, err
	}
	return keep(d.days, d.dayKey(s, series, on, r), func() (*SourceDay, error) {
		entries, notices, err := s.Log()
		if err != nil {
			return nil, err
		}
		day, err := gathered(d.Catalogue, f, &r, series, on, entries)
		if err != nil {
			return nil, err
		}
		day.notices = append(slices.Clone(notices), day.notices...)
		// A fact more in the journal makes another day, but the same memory of its fields.
		day.request.Memory, err = keep(d.fields, d.key("fields", s, series.Hash, on.String()), func() (*steer.Memory, error) { return new(steer.Memory), nil })
		if err != nil {
			return nil, err
		}
		if err := day.read(ctx, &r, entries); err != nil {
			return nil, err
		}
		return &SourceDay{
			Page: day.page(), Calendar: report.BuildSeasonCalendar(f, day.day, day.request.Years[0].First),
			Client: report.BuildFarmClient(f, day.day, day.stock, day.request.Forecast, day.notices),
			Latest: lastOf(entries), On: on, Zone: zoneOf(f),
		}, nil
	})
}

// Ready tells whether a day is kept: to show it takes no time.
func (d *Desk) Ready(s *Source, on quantity.Date) bool {
	f, err := d.Farm(s)
	if err != nil {
		return true
	}
	r, on := onDay(f, on)
	series, err := d.weather(f, s, DefaultYears+2, max(generatedTo, on.Year()))
	return err != nil || d.days.has(d.dayKey(s, series, on, r))
}

func (d *Desk) dayKey(s *Source, series *weather.Series, on quantity.Date, r TodayRequest) string {
	return d.key("today", s, series.Hash, on.String(), r.Date, s.entriesName())
}

// onDay is the day asked for, and the request that reads it.
func onDay(f *farm.Farm, on quantity.Date) (TodayRequest, quantity.Date) {
	if on != 0 {
		return TodayRequest{Date: on.String()}, on
	}
	y, m, day := time.Now().In(zoneOf(f)).Date()
	return TodayRequest{}, quantity.NewDate(y, m, day)
}

// weather is a farm's station, prepared; of the invented valley so many calendar
// years, to the end of one.
func (d *Desk) weather(f *farm.Farm, s *Source, years, to int) (*weather.Series, error) {
	if f.Weather == "" {
		return keep(d.series, fmt.Sprintf("%s %d %d", Generated, years, to), func() (*weather.Series, error) {
			v := weather.Valley(years, to)
			v.Prepare()
			return v, nil
		})
	}
	if s.Station == nil {
		return nil, document.Problem{File: s.Name, Thing: "weather", Value: f.Weather, Remedy: "the book has no weather file of this name; bring it in, or leave the line out"}
	}
	file, err := s.Station(f.Weather)
	if err != nil {
		return nil, document.Problem{File: s.Name, Thing: "weather", Value: f.Weather, Remedy: "the book has no weather file of this name; bring it in, or leave the line out"}
	}
	sum := sha256.Sum256(file)
	key := fmt.Sprintf("%x %g %g", sum, f.Latitude, float64(f.Elevation))
	return keep(d.series, key, func() (*weather.Series, error) {
		series, err := weather.Parse(f.Weather, file)
		if err != nil {
			return nil, err
		}
		return prepared(series, Station{File: f.Weather, Latitude: f.Latitude, Elevation: f.Elevation})
	})
}

// LastWeather is the last day of a farm's weather file; of the invented valley, which has
// weather for ever, it is an error.
func (d *Desk) LastWeather(s *Source) (quantity.Date, error) {
	f, err := d.Farm(s)
	if err != nil {
		return 0, err
	}
	if f.Weather == "" {
		return 0, errors.New("the invented valley's weather has no last day")
	}
	series, err := d.weather(f, s, DefaultYears+2, generatedTo)
	if err != nil {
		return 0, err
	}
	return series.First + quantity.Date(len(series.Days)) - 1, nil
}

// key names a result by everything that it is made from.
func (d *Desk) key(kind string, s *Source, more ...string) string {
	h := sha256.New()
	for _, part := range append([]string{kind, d.hash, s.Units.String(), s.Name, string(s.Text)}, more...) {
		_, _ = fmt.Fprintf(h, "%d:", len(part))
		_, _ = io.WriteString(h, part)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// entriesName tells a source's journals apart.
func (s *Source) entriesName() string {
	if s.Stamp != "" {
		return s.Stamp
	}
	return entriesHash(s.Entries)
}

// entriesHash tells journals apart by every entry.
func entriesHash(entries []journal.Entry) string {
	h := sha256.New()
	for _, e := range entries {
		_, _ = fmt.Fprintln(h, e.String(), e.Note, e.Recorded.UnixNano(), e.Later)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Demand is what a source's animals need through the year, from its latest weather year
// alone: quick enough to be asked for at every letter that is typed.
func (d *Desk) Demand(ctx context.Context, s *Source) (*report.Demand, error) {
	f, err := d.Farm(s)
	if err != nil {
		return nil, err
	}
	series, err := d.weather(f, s, d.years()+1, generatedTo)
	if err != nil {
		return nil, err
	}
	return keep(d.demands, d.key("demand", s, series.Hash), func() (*report.Demand, error) {
		years, _, err := choose(series, f.FeedYear, "")
		if err != nil {
			return nil, err
		}
		m, problems := season.Compile(f, &f.Plan, years[len(years)-1:])
		if len(problems) > 0 {
			return nil, document.Problems(problems)
		}
		result, err := m.Run(ctx, m.Opening(), m.Years())
		if err != nil {
			return nil, err
		}
		return report.BuildDemand(f, &result.Years[0]), nil
	})
}

// Phrase reads a fact in plain words and asks about it as a careful clerk does; nothing
// is kept. The error is ErrAsked where a question stands open and the person is not
// sure, and document.Problems where it is refused.
func (d *Desk) Phrase(s *Source, phrase string, on quantity.Date, sure bool) (journal.Entry, []say.Line, error) {
	f, err := d.Farm(s)
	if err != nil {
		return journal.Entry{}, nil, err
	}
	_, on = onDay(f, on)
	entry, err := journal.ParsePhrase(phrase, journalNames(f, d.Catalogue, on))
	if err != nil {
		return journal.Entry{}, nil, err
	}
	entries, _, err := s.Log()
	if err != nil {
		return journal.Entry{}, nil, err
	}
	b := &book{farm: f, catalogue: d.Catalogue, day: on, entries: entries}
	questions := b.questions(entry)
	var said []say.Line
	for _, q := range questions {
		said = append(said, say.That("%s: %s", q.Severity, q.Text))
	}
	return entry, said, verdict(questions, sure)
}
