package desk

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/internal/document"
	"rowen/internal/report"
	"rowen/journal"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

// Source is a farm in memory: a document's text with its journal, kept elsewhere
// than in files.
type Source struct {
	Name    string // stands for the path in problems and manifests
	Text    []byte
	Entries []journal.Entry
	Stamp   string   // names the entries, where who keeps them can; else they are read for it
	Notices []string // what of the journal is in conflict
	// Journal gives Entries and Notices where a Stamp stands for them: it is asked only
	// for a day that is not kept.
	Journal func() (entries []journal.Entry, notices []string, err error)
	// Station gives the weather file that a document names, as it was given; nil
	// where there is none but the invented valley.
	Station func(name string) ([]byte, error)
	Units   quantity.System // in which pages are written, whatever the document says
}

// Log is the source's journal, read now if it was not, and what of it is in conflict.
func (s *Source) Log() (entries []journal.Entry, notices []string, err error) {
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

	hash                       string // of catalogue and engine
	farms, plans, days, series *kept
}

// How many results a desk keeps: an office's farms of a day, and their plans.
const (
	keptFarms    = 600
	keptPlans    = 240
	keptStations = 24
)

// NewDesk opens a desk over a catalogue.
func NewDesk(c *crop.Catalogue) *Desk {
	return &Desk{Catalogue: c, hash: catalogueHash(c) + season.Engine + Version, farms: newKept(keptFarms), plans: newKept(keptPlans), days: newKept(keptFarms), series: newKept(keptStations)}
}

// Planned is a farm with its plan's page model and the years behind it, of which the middle
// one alone is whole. It is shared: nobody writes into it.
type Planned struct {
	Farm   *farm.Farm
	Plan   *report.Plan
	Result *season.Result
	Series *weather.Series
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
	series, err := d.weather(f, s, DefaultYears+1, generatedTo)
	if err != nil {
		return nil, err
	}
	return keep(d.plans, d.key("plan", s, series.Hash), func() (*Planned, error) {
		p, result, err := planOn(ctx, Request{Farm: s.Name}, d.Catalogue, f, series, f.Weather)
		if err != nil {
			return nil, err
		}
		thin(result)
		return &Planned{f, p, result, series}, nil
	})
}

// thin leaves of a result what pages ask of it beside the plan's own model: the middle
// year whole, and of the others what their sowings did. The rest is by far the most of
// it, and an office's plans are kept.
func thin(r *season.Result) {
	for y := range r.Years {
		if x := &r.Years[y]; y != r.Middle {
			x.Events, x.Fields, x.Groups, x.Opening, x.Closing = nil, nil, nil, nil, nil
		}
	}
}

// Figure opens a figure of a source's plan. The formula is held against the figure
// shown; it is an error where they disagree.
func (d *Desk) Figure(ctx context.Context, s *Source, key string) (handbook.Figure, error) {
	p, err := d.Plan(ctx, s)
	if err != nil {
		return handbook.Figure{}, err
	}
	for _, fig := range report.Figures(p.Plan) {
		if fig.Key == key {
			return fig, fig.Check()
		}
	}
	return handbook.Figure{}, fmt.Errorf("%w: %q", ErrKey, key)
}

// SourceDay is a farm's day as pages show it.
type SourceDay struct {
	Page     *report.Today
	Calendar *report.SeasonCalendar
	Client   *report.FarmClient
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
		if err := day.read(ctx, &r, entries); err != nil {
			return nil, err
		}
		return &SourceDay{
			Page: day.page(), Calendar: report.BuildSeasonCalendar(f, day.day, day.request.Years[0].First),
			Client: report.BuildFarmClient(f, day.day, day.stock, day.request.Forecast, day.notices),
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
		return keep(d.series, fmt.Sprintf("%s %d %d", generated, years, to), func() (*weather.Series, error) {
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
	series, err := d.weather(f, s, DefaultYears+1, generatedTo)
	if err != nil {
		return nil, err
	}
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
}

// Phrase reads a fact in plain words and asks about it as a careful clerk does; nothing
// is kept. The error is ErrAsked where a question stands open and the person is not
// sure, and document.Problems where it is refused.
func (d *Desk) Phrase(s *Source, phrase string, on quantity.Date, sure bool) (journal.Entry, []string, error) {
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
	var said []string
	for _, q := range questions {
		said = append(said, q.Severity.String()+": "+q.Text)
	}
	return entry, said, verdict(questions, sure)
}
