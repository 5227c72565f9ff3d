package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/report"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
	"rowen/steer"
	"rowen/weather"
)

// TodayRequest is what a day is read from.
type TodayRequest struct {
	Farm      string // path of the farm document
	Journal   string // path of its journal; empty: beside the document, with the ending .journal
	Weather   string // path; empty: the document's, else the valley's
	Neighbour string
	Forecast  string // path of a weather file with the coming days; may be empty
	Date      string // empty: today, in the farm's time zone
	Catalogue []string
	Workers   int
	NoStock   bool   // leave the outlook of stores out
	Units     string // "us" or "metric"; empty: the document's
}

// seed keys the random draws of a day: the same day reads the same twice.
const seed = 1

// JournalOf is where a farm's journal lies: beside its document.
func JournalOf(farmPath string) string {
	return strings.TrimSuffix(farmPath, filepath.Ext(farmPath)) + ".journal"
}

// readJournal reads a journal; none is no fault. What cannot be read is told, and
// what can is kept.
func readJournal(path string) ([]journal.Entry, []say.Line, error) {
	log, err := journal.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	entries, conflicts := journal.Merge(log.Entries)
	var notices []say.Line
	for _, p := range slices.Concat(log.Problems, log.Torn) {
		notices = append(notices, say.Name(p.Error()))
	}
	for _, c := range conflicts {
		notices = append(notices, say.Name(c.Error()))
	}
	return entries, notices, nil
}

// dayOf is the day asked for, or the present one where the farm lies.
func dayOf(f *farm.Farm, text string) (quantity.Date, error) {
	if text != "" {
		d, err := quantity.ParseDate(text)
		if err != nil {
			return 0, fmt.Errorf("--date %w", err)
		}
		return d, nil
	}
	y, m, d := time.Now().In(zoneOf(f)).Date()
	return quantity.NewDate(y, m, d), nil
}

func zoneOf(f *farm.Farm) *time.Location {
	if zone, err := time.LoadLocation(f.TimeZone); err == nil {
		return zone
	}
	return time.UTC
}

// farmDay is a farm read as it stands, before it is made a page.
type farmDay struct {
	farm      *farm.Farm
	request   *steer.Request
	day       *steer.Day
	stock     *steer.Stock // nil where it was left out
	station   string
	questions []say.Line
	notices   []say.Line
}

// Today reads a farm as it stands on a day, with the calendar of its season.
func Today(ctx context.Context, r TodayRequest) (*report.Today, *report.SeasonCalendar, error) {
	d, err := readDay(ctx, r)
	if err != nil {
		return nil, nil, err
	}
	return d.page(), report.BuildSeasonCalendar(d.farm, d.day, d.request.Years[0].First), nil
}

func (d *farmDay) page() *report.Today {
	return report.BuildToday(d.farm, d.day, d.stock, d.station, d.questions, d.notices)
}

// readDay reads a farm, its journal and its weather, and looks ahead from them.
func readDay(ctx context.Context, r TodayRequest) (*farmDay, error) {
	d, entries, err := gather(r)
	if err != nil {
		return nil, err
	}
	return d, d.read(ctx, &r, entries)
}

// read looks at the day, and ahead from it.
func (d *farmDay) read(ctx context.Context, r *TodayRequest, entries []journal.Entry) (err error) {
	if d.day, err = steer.Read(ctx, d.request); err != nil {
		return err
	}
	if !r.NoStock {
		if d.stock, err = steer.StockOf(ctx, d.request, d.day); err != nil {
			return err
		}
	}
	if r.Date != "" {
		// A day of the past is read as it was: what was written of later days is not
		// asked about.
		entries = slices.DeleteFunc(slices.Clone(entries), func(e journal.Entry) bool { return e.Date > d.request.Today })
	}
	for _, x := range journal.Check(entries, journalFacts(d.farm, d.request.Catalogue, entries, d.request.Today)) {
		if x.Severity > journal.Said {
			d.questions = append(d.questions, x.Line())
		}
	}
	return nil
}

// gather reads what a day is read from, and the journal's entries as they lie there.
func gather(r TodayRequest) (*farmDay, []journal.Entry, error) {
	c, err := Catalogue(r.Catalogue)
	if err != nil {
		return nil, nil, err
	}
	f, err := farm.Read(r.Farm, c)
	if err != nil {
		return nil, nil, err
	}
	if r.Units != "" {
		if f.Units, err = quantity.ParseSystem(r.Units); err != nil {
			return nil, nil, fmt.Errorf("--units %w", err)
		}
	}
	day, err := dayOf(f, r.Date)
	if err != nil {
		return nil, nil, err
	}
	entries, notices, err := readJournal(cmp.Or(r.Journal, JournalOf(r.Farm)))
	if err != nil {
		return nil, nil, err
	}
	s, err := seasonWeather(f, &r, day)
	if err != nil {
		return nil, nil, err
	}
	d, err := gathered(c, f, &r, s, day, entries)
	if err != nil {
		return nil, nil, err
	}
	d.notices = append(notices, d.notices...)
	return d, entries, nil
}

// gathered puts together what a day is read from.
func gathered(c *crop.Catalogue, f *farm.Farm, r *TodayRequest, s *weather.Series, day quantity.Date, entries []journal.Entry) (*farmDay, error) {
	years, known, err := s.Present(f.FeedYear, day)
	if err != nil {
		return nil, err
	}
	if len(years) > DefaultYears+1 {
		years = append(years[:1:1], years[len(years)-DefaultYears:]...)
	}
	q := &steer.Request{Farm: f, Catalogue: c, Entries: journal.Standing(entries), Years: years, Known: known, Today: day, Seed: seed, Workers: r.Workers}
	d := &farmDay{farm: f, request: q, station: s.Station.Name}
	if q.Forecast, d.notices, err = forecast(r.Forecast, s, years[0].First+quantity.Date(known)+1); err != nil {
		return nil, err
	}
	return d, nil
}

// seasonWeather is the farm's weather up to the day.
func seasonWeather(f *farm.Farm, r *TodayRequest, day quantity.Date) (*weather.Series, error) {
	path := weatherOf(f, r.Farm, r.Weather)
	if path == "" {
		s := weather.Valley(DefaultYears+2, max(generatedTo, day.Year()))
		s.Prepare()
		return s, nil
	}
	return Series(Station{File: path, Neighbour: r.Neighbour, Latitude: f.Latitude, Elevation: f.Elevation})
}

// weatherOf is the path of a farm's weather: the one given, else the document's,
// which is read from where the document lies; empty for the invented valley.
func weatherOf(f *farm.Farm, farmPath, given string) string {
	if given != "" || f.Weather == "" || filepath.IsAbs(f.Weather) {
		return cmp.Or(given, f.Weather)
	}
	return filepath.Join(filepath.Dir(farmPath), f.Weather)
}

// mostForecast is how many days a forecast is believed (common practice: ten).
const mostForecast = 10

// forecast reads the coming days, from a day on; a hole ends it, and is told.
func forecast(path string, like *weather.Series, from quantity.Date) ([]weather.Day, []say.Line, error) {
	if path == "" {
		return nil, nil, nil
	}
	s, err := Series(Station{File: path, Latitude: like.Station.Latitude, Elevation: like.Station.Elevation})
	if err != nil {
		return nil, nil, err
	}
	at := int(from - s.First)
	if at < 0 || at >= len(s.Days) {
		return nil, []say.Line{say.That("%s: the forecast does not begin on %s, the day after the last weather; it is not used", path, from)}, nil
	}
	var out []weather.Day
	for _, d := range s.Days[at:] {
		if d.TMin != d.TMin || d.TMax != d.TMax || d.Rain != d.Rain || d.Marks&(weather.TMinFilled|weather.TMaxFilled|weather.RainFilled) != 0 {
			return out, []say.Line{say.That("%s: the forecast has a hole on %s and is used only until then", path, from+quantity.Date(len(out)))}, nil
		}
		if out = append(out, d); len(out) == mostForecast {
			break
		}
	}
	return out, nil, nil
}

// journalFacts is what a clerk knows of a farm.
func journalFacts(f *farm.Farm, c *crop.Catalogue, entries []journal.Entry, day quantity.Date) journal.Facts {
	names := journalNames(f, c, day)
	standing := journal.Standing(entries)
	return journal.Facts{
		Today: day, Zone: zoneOf(f), Fields: names.Fields, Groups: names.Groups, Stores: names.Stores,
		Area: areaOf(f), Head: headOf(f),
		Stand: func(field string, on quantity.Date) (journal.Stand, bool) {
			for i := range f.Fields {
				if !strings.EqualFold(f.Fields[i].Name, field) {
					continue
				}
				first := on - 400
				h := steer.HistoryOf(f, c, i, standing, first, on)
				if !h.Stands {
					return journal.Stand{}, false
				}
				return journal.Stand{Crop: h.Course.Mix.Title, Limit: tallest(h.Course.Mix), Sown: h.Sown}, true
			}
			return journal.Stand{}, false
		},
	}
}

// areaOf tells how large a farm's fields are.
func areaOf(f *farm.Farm) func(string) (quantity.Area, bool) {
	return func(field string) (quantity.Area, bool) {
		for i := range f.Fields {
			if strings.EqualFold(f.Fields[i].Name, field) {
				return f.Fields[i].Area, true
			}
		}
		return 0, false
	}
}

// headOf tells the most head that a farm's groups have in a year.
func headOf(f *farm.Farm) func(string) (int, bool) {
	return func(group string) (int, bool) {
		for i := range f.Groups {
			if strings.EqualFold(f.Groups[i].Name, group) {
				most := 0.0
				for _, p := range f.Groups[i].Periods {
					most = max(most, p.Head)
				}
				return int(math.Ceil(most)), true
			}
		}
		return 0, false
	}
}

// tallest is a height that no stand of a mixture passes: half as tall again as the
// tallest at which anything is still done with it, and five feet at least for what is
// used by its stage.
func tallest(m *crop.Mix) quantity.Length {
	most := quantity.Length(0)
	for u := range m.Uses {
		most = max(most, m.Uses[u].TooTall, m.Uses[u].Ready)
	}
	for i := range m.Parts {
		if p, ok := m.Parts[i].Crop.Growth["height_mass"]; ok && p.Value > 0 {
			return max(most*3/2, quantity.Length(2.2*420/p.Value)*quantity.Metre)
		}
	}
	return max(most*3/2, 5*quantity.Foot)
}

// journalNames are the names that a phrase may speak of.
func journalNames(f *farm.Farm, c *crop.Catalogue, day quantity.Date) journal.Names {
	n := journal.Names{Today: day, Crops: c.Names()}
	for i := range f.Fields {
		n.Fields = append(n.Fields, f.Fields[i].Name)
	}
	for i := range f.Groups {
		n.Groups = append(n.Groups, f.Groups[i].Name)
	}
	for i := range f.Stores {
		n.Stores = append(n.Stores, f.Stores[i].Name)
	}
	return n
}
