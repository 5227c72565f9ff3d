// Package desk holds the use cases that the faces call: check a farm, plan its
// season, open a figure, grow one stand, look at a station, begin a document. It
// knows inputs and results; it may not know HTML or flags.
package desk

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/internal/document"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/say"
	"rowen/season"
	"rowen/weather"
)

// Version is the program's version, set when it is linked.
var Version = "dev"

// DefaultYears is how many of the latest feed years are planned over.
const DefaultYears = 30

// Generated stands in a manifest for the invented valley's weather.
const Generated = "generated"

// generatedTo is the last calendar year of the invented valley's weather.
const generatedTo = 2025

// Request is what a plan is made from.
type Request struct {
	Farm      string // path of the farm document
	Against   string // path of the document to hold the plan against; empty: the farm with nothing sown
	Weather   string // path of a weather file or folder; empty: the document's, else the valley's
	Neighbour string // path of a midnight station, to put morning readings right
	Years     string // "1991-2020"; "40" for the latest forty; empty for the latest 30
	Catalogue []string
	Workers   int
	Progress  func(string) // may be nil
}

func (r *Request) say(format string, args ...any) {
	if r.Progress != nil {
		r.Progress(fmt.Sprintf(format, args...))
	}
}

// Catalogue loads the crops, with office files over them.
func Catalogue(office []string) (*crop.Catalogue, error) {
	var files []crop.Office
	for _, path := range office {
		text, err := os.ReadFile(path)
		if err != nil {
			return nil, fmt.Errorf("catalogue: %w", err)
		}
		files = append(files, crop.Office{Name: path, Text: text})
	}
	return crop.Load(files...)
}

// Check reads a farm document and compiles its plan over a few years of weather,
// reporting every problem.
func Check(path string, office []string) (*farm.Farm, error) {
	c, err := Catalogue(office)
	if err != nil {
		return nil, err
	}
	f, err := farm.Read(path, c)
	if err != nil {
		return nil, err
	}
	years, _ := valley(2).FeedYears(f.FeedYear, 1)
	if _, problems := season.Compile(f, &f.Plan, years); len(problems) > 0 {
		return f, document.Problems(problems)
	}
	return f, nil
}

// Station says which weather is meant and where it was measured, if its file does
// not say.
type Station struct {
	File      string // file or folder; empty: the invented valley
	Neighbour string // a station that reads at midnight, to put morning readings right
	Latitude  float64
	Elevation quantity.Length
	Years     string // that will be asked of it, see Request; the invented valley has as many
}

// valley is the invented valley's weather, ready for use.
func valley(years int) *weather.Series {
	s := weather.Valley(years, generatedTo)
	s.Prepare()
	return s
}

// Series reads weather as the program uses it: morning readings put right by a
// neighbour, gaps filled, what was not measured estimated.
func Series(at Station) (*weather.Series, error) {
	if at.File == "" {
		return valley(yearsBack(at.Years) + 1), nil
	}
	s, err := weather.Read(at.File)
	if err != nil {
		return nil, err
	}
	return prepared(s, at)
}

// ReadStation reads a station's file from memory, to tell whether it can be used. What is
// wrong with it is a document.Problem.
func ReadStation(name string, file []byte) (*weather.Series, error) {
	s, err := weather.Parse(name, file)
	var bad *weather.Error
	if errors.As(err, &bad) {
		return nil, document.Problem{File: bad.File, Line: bad.Line, Thing: bad.Thing, Value: bad.Value, Remedy: bad.Remedy}
	}
	return s, err
}

// prepared makes a record ready for use.
func prepared(s *weather.Series, at Station) (*weather.Series, error) {
	if s.Station.Latitude == 0 {
		if at.Latitude == 0 {
			return nil, fmt.Errorf("%s: the file does not say where it was measured; give --latitude, or add a column latitude", at.File)
		}
		s.Station.Latitude = at.Latitude
		s.Notices = append(s.Notices, weather.Notice{Kind: "place", Text: say.That("the file does not say where it was measured: taken as latitude %g", at.Latitude)})
	}
	if s.Station.Elevation == 0 {
		s.Station.Elevation = at.Elevation
	}
	if at.Neighbour != "" {
		n, err := weather.Read(at.Neighbour)
		if err != nil {
			return nil, err
		}
		s.MoveBack(n)
	}
	s.Prepare()
	return s, nil
}

// Plan reads everything, runs every year, and builds the page model.
func Plan(ctx context.Context, r Request) (*report.Plan, *farm.Farm, error) {
	c, err := Catalogue(r.Catalogue)
	if err != nil {
		return nil, nil, err
	}
	f, err := farm.Read(r.Farm, c)
	if err != nil {
		return nil, nil, err
	}
	return plan(ctx, r, c, f)
}

func plan(ctx context.Context, r Request, c *crop.Catalogue, f *farm.Farm) (*report.Plan, *farm.Farm, error) {
	path := weatherOf(f, r.Farm, r.Weather)
	if path != "" {
		r.say("reading weather from %s", path)
	}
	s, err := Series(Station{File: path, Neighbour: r.Neighbour, Latitude: f.Latitude, Elevation: f.Elevation, Years: r.Years})
	if err != nil {
		return nil, nil, err
	}
	years, notices, err := choose(s, f.FeedYear, r.Years)
	if err != nil {
		return nil, nil, err
	}
	p, _, err := planOn(ctx, r, c, f, s, path, &sky{season.NewSky(years), years, notices})
	return p, f, err
}

// sky is the feed years of a plan, and what is to be told of them.
type sky struct {
	*season.Sky
	years   []weather.Year
	notices []say.Line
}

// planOn plans a farm over years of a station; path is where its weather lies, empty for
// the invented valley's.
func planOn(ctx context.Context, r Request, c *crop.Catalogue, f *farm.Farm, s *weather.Series, path string, under *sky) (*report.Plan, *season.Result, error) {
	years, notices := under.years, slices.Clone(under.notices)
	m, problems := under.Compile(f, &f.Plan)
	if len(problems) > 0 {
		return nil, nil, document.Problems(problems)
	}
	m.Workers = r.Workers
	r.say("running %d weather years over %d fields", len(years), len(f.Fields))
	opening, err := m.SpunUp(ctx)
	if err != nil {
		return nil, nil, err
	}
	result, err := m.Run(ctx, opening, m.Years())
	if err != nil {
		return nil, nil, err
	}
	for _, n := range s.Notices {
		notices = append(notices, n.Text)
	}
	manifest := report.Manifest{
		Version: Version, FarmPath: r.Farm, FarmHash: f.Document.Hash, FarmText: string(f.Document.Text),
		Weather: cmp.Or(path, Generated), Neighbour: r.Neighbour, WeatherHash: s.Hash,
		FirstYear: int(years[0].ID), LastYear: int(years[len(years)-1].ID), YearCount: len(years), Catalogue: catalogueHash(c),
	}
	now, err := present(ctx, r, c, f, under.Sky, &result)
	if err != nil {
		return nil, nil, err
	}
	return report.Build(f, &result, now, manifest, s.Station.Name, notices), &result, nil
}

// present runs what a plan is held against over its middle and bad year: the
// document given, or the same farm with nothing sown. Without a sowing and
// without another document there is nothing to hold.
func present(ctx context.Context, r Request, c *crop.Catalogue, f *farm.Farm, under *season.Sky, plan *season.Result) (*report.Present, error) {
	was, name := *f, "the same farm with nothing sown"
	was.Plan = farm.Plan{}
	switch {
	case r.Against != "":
		other, err := farm.Read(r.Against, c)
		if err != nil {
			return nil, err
		}
		was, name = *other, r.Against
	case len(f.Plan.Sowings) == 0:
		return nil, nil
	}
	m, problems := under.Compile(&was, &was.Plan)
	if len(problems) > 0 {
		return nil, document.Problems(problems)
	}
	m.Workers = r.Workers
	opening, err := m.SpunUp(ctx)
	if err != nil {
		return nil, err
	}
	result, err := m.Run(ctx, opening, []weather.YearID{plan.Years[plan.Middle].ID, plan.Years[plan.Bad].ID})
	if err != nil {
		return nil, err
	}
	return &report.Present{Name: name, Middle: &result.Years[0], Bad: &result.Years[1]}, nil
}

// latest is how many of the latest years a text asks for, if it does: a number up to
// MostYears is no year of a calendar that weather was measured in.
func latest(span string) (n int, ok bool) {
	if span = strings.TrimSpace(span); span == "" {
		return DefaultYears, true
	}
	n, err := strconv.Atoi(span)
	return n, err == nil && n > 0 && n <= MostYears
}

// MostYears is how many feed years can be asked for at once: longer than any daily record.
const MostYears = 200

// yearsBack is how many years the invented valley must have for those that are asked for.
func yearsBack(span string) int {
	n, counted := latest(span)
	if first, err := strconv.Atoi(strings.TrimSpace(strings.Split(span, "-")[0])); !counted && err == nil {
		n = min(generatedTo-first+1, MostYears)
	}
	return max(n, DefaultYears)
}

// choose cuts the feed years asked for.
func choose(s *weather.Series, start quantity.MonthDay, span string) ([]weather.Year, []say.Line, error) {
	years, skipped := s.FeedYears(start, 0)
	var notices []say.Line
	first, last := 0, 1<<20
	n, counted := latest(span)
	if !counted {
		a, b, ok := strings.Cut(span, "-")
		var err1, err2 error
		if first, err1 = strconv.Atoi(strings.TrimSpace(a)); !ok {
			b = a
		}
		last, err2 = strconv.Atoi(strings.TrimSpace(b))
		if err1 != nil || err2 != nil || first > last {
			return nil, nil, fmt.Errorf("years %q: write the first and the last, such as 1991-2020, or how many of the latest", span)
		}
	}
	var out []weather.Year
	for _, y := range years {
		if int(y.ID) >= first && int(y.ID) <= last {
			out = append(out, y)
		}
	}
	if counted {
		if span != "" && len(out) < n {
			return nil, nil, fmt.Errorf("years %q: the weather (%s) has %d usable feed years; ask for no more", span, s.Station.Name, len(out))
		}
		out = out[max(0, len(out)-n):]
	}
	for _, k := range skipped {
		if int(k.ID) >= first && int(k.ID) <= last {
			notices = append(notices, say.That("weather year %d is not used: %s", k.ID, k.Reason))
		}
	}
	if len(out) == 0 {
		return nil, nil, fmt.Errorf("no usable feed year in the weather (%s): %s", s.Station.Name, say.Join("; ", append(notices, say.That("at least one whole year from the feed year's first day is needed"))...))
	}
	return out, notices, nil
}

// catalogueHash tells catalogues apart by every number in them.
func catalogueHash(c *crop.Catalogue) string {
	h := sha256.New()
	for _, k := range c.Crops {
		_, _ = fmt.Fprintln(h, k.Name, k.Uses, k.Sowing, k.Fit, k.Seed)
		for _, d := range crop.Definitions {
			_, _ = fmt.Fprintln(h, d.Name, k.Growth[d.Name].Value)
		}
	}
	for _, m := range c.Mixes {
		_, _ = fmt.Fprintln(h, m.Name, len(m.Parts), m.Uses)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// ErrKey is returned for a figure the plan does not have.
var ErrKey = errors.New("no such figure")

// ErrReplay is returned when a plan made again is not the plan shown.
var ErrReplay = errors.New("the plan made again differs")

// Explain opens one figure of a plan file: it makes the plan again from the file's
// own manifest, and fails loudly if the figure, or its formula, says otherwise.
func Explain(ctx context.Context, planJSON []byte, key string, office []string) (handbook.Figure, *report.Plan, error) {
	var shown report.Plan
	if err := json.Unmarshal(planJSON, &shown); err != nil {
		return handbook.Figure{}, nil, fmt.Errorf("not a plan file: %w", err)
	}
	if shown.Rowen != 1 || shown.Manifest.FarmText == "" {
		return handbook.Figure{}, nil, errors.New("not a plan file: it holds no manifest; give the plan.json that rowen plan wrote")
	}
	was, known := shownFigure(&shown, key)
	if !known {
		return handbook.Figure{}, &shown, fmt.Errorf("%w: %q; rowen explain PLAN without a key lists them", ErrKey, key)
	}
	c, err := Catalogue(office)
	if err != nil {
		return handbook.Figure{}, nil, err
	}
	m := shown.Manifest
	f, err := farm.Parse(m.FarmPath, []byte(m.FarmText), c)
	if err != nil {
		return handbook.Figure{}, nil, err
	}
	r := Request{Farm: m.FarmPath, Weather: m.Weather, Neighbour: m.Neighbour, Years: fmt.Sprintf("%d-%d", m.FirstYear, m.LastYear)}
	if m.Weather == Generated {
		r.Weather, f.Weather = "", ""
	}
	again, _, err := plan(ctx, r, c, f)
	if err != nil {
		return handbook.Figure{}, nil, err
	}
	switch {
	case again.Manifest.WeatherHash != m.WeatherHash:
		return handbook.Figure{}, nil, fmt.Errorf("%w: the weather file has changed since the plan was made", ErrReplay)
	case again.Manifest.Catalogue != m.Catalogue:
		return handbook.Figure{}, nil, fmt.Errorf("%w: the crop catalogue has changed since the plan was made", ErrReplay)
	case again.Engine != shown.Engine:
		return handbook.Figure{}, nil, fmt.Errorf("%w: it was made by engine %s, this is %s", ErrReplay, shown.Engine, again.Engine)
	}
	fig, ok := report.FigureOf(again, key)
	if !ok {
		return fig, again, fmt.Errorf("%w: %q", ErrKey, key)
	}
	if err := fig.Check(); err != nil {
		return fig, again, err
	}
	if !near(was, fig.Value) {
		return fig, again, fmt.Errorf("%w: the file shows %g, made again it is %g", ErrReplay, was, fig.Value)
	}
	return fig, again, nil
}

// shownFigure is a figure's value as a plan file has it.
func shownFigure(p *report.Plan, key string) (float64, bool) {
	for _, f := range p.Figures {
		if f.Key == key {
			return f.Value, true
		}
	}
	fig, ok := report.FigureOf(p, key)
	return fig.Value, ok
}

func near(a, b float64) bool {
	d := a - b
	return d <= 1e-9*max(1, b, -b) && -d <= 1e-9*max(1, b, -b)
}
