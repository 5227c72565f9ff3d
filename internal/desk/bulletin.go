package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"rowen/account"
	"rowen/farm"
	"rowen/internal/crew"
	"rowen/internal/document"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

// BulletinRequest is what a bulletin is made from.
type BulletinRequest struct {
	Folder    string // of farm documents, *.toml
	On        quantity.Date
	Units     string // "us", "metric"; empty: those of the first farm that consents
	Catalogue []string
	Workers   int          // farms at once; 0 one a processor
	Progress  func(string) // may be nil
}

// Outreach is a bulletin with the visit sheets of its farms. Problems are those of
// farms that were left out; a face shows the rest, and writes nothing while there
// are any.
type Outreach struct {
	Bulletin *report.Bulletin
	Visits   []*report.Visit
	Problems document.Problems
}

// ThisDay is the civil day of this machine.
func ThisDay() quantity.Date { return quantity.NewDate(time.Now().Date()) }

// Bulletin reads every farm document of a folder and makes the bulletin of a date.
// Farms that do not consent are counted and not looked at further. A farm with
// problems is left out with its problems told, and the others go on.
func Bulletin(ctx context.Context, r BulletinRequest) (*Outreach, error) {
	c, err := Catalogue(r.Catalogue)
	if err != nil {
		return nil, err
	}
	paths, err := documents(r.Folder)
	if err != nil {
		return nil, err
	}
	out := &Outreach{}
	var farms []*farm.Farm
	withheld, broken := 0, 0
	for _, path := range paths {
		f, err := farm.Read(path, c)
		switch {
		case err != nil:
			out.problem(path, err)
			broken++
		case !f.Consent:
			withheld++
		default:
			farms = append(farms, f)
		}
	}
	u, err := pageUnits(r.Units, farms)
	if err != nil {
		return nil, err
	}
	weeks, problems, err := farmWeeks(ctx, &r, farms, u)
	if err != nil {
		return nil, err
	}
	whole := make([]*report.FarmWeek, 0, len(weeks))
	for i := range weeks {
		if weeks[i] == nil {
			out.problem(farms[i].Document.Path, problems[i])
			broken++
			continue
		}
		whole = append(whole, weeks[i])
	}
	out.Bulletin = report.BuildBulletin(r.On, Version, whole, withheld, broken, u)
	out.Visits = visits(whole, out.Bulletin)
	return out, nil
}

// problem keeps what is wrong with a document, under its name.
func (o *Outreach) problem(path string, err error) {
	var p document.Problems
	if errors.As(err, &p) {
		o.Problems = append(o.Problems, p...)
		return
	}
	o.Problems = append(o.Problems, document.Problem{File: path, Thing: "farm", Remedy: err.Error()})
}

// documents are a folder's farm documents by name.
func documents(folder string) ([]string, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, fmt.Errorf("%w; give the folder that holds your farm documents", err)
	}
	var paths []string
	for _, e := range entries {
		if !e.IsDir() && strings.EqualFold(filepath.Ext(e.Name()), ".toml") {
			paths = append(paths, filepath.Join(folder, e.Name()))
		}
	}
	if len(paths) == 0 {
		return nil, fmt.Errorf("%s: no farm document (*.toml) lies in it; give the folder that holds them, or begin one with rowen start", folder)
	}
	slices.Sort(paths)
	return paths, nil
}

func pageUnits(asked string, farms []*farm.Farm) (quantity.System, error) {
	if asked == "" {
		if len(farms) > 0 {
			return farms[0].Units, nil
		}
		return quantity.US, nil
	}
	u, err := quantity.ParseSystem(asked)
	if err != nil {
		return u, fmt.Errorf("--units %w", err)
	}
	return u, nil
}

// farmWeeks plans the farms, some at once. A farm's own problem stands at its
// place; the error is that of the whole, such as an interruption.
func farmWeeks(ctx context.Context, r *BulletinRequest, farms []*farm.Farm, u quantity.System) ([]*report.FarmWeek, []error, error) {
	workers := r.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	within := max(1, workers/max(1, len(farms))) // years at once, where farms are few
	out, problems := make([]*report.FarmWeek, len(farms)), make([]error, len(farms))
	at := stations{known: map[Station]*station{}}
	work, ctx := crew.Of(ctx, workers)
	for i, f := range farms {
		work.Go(func() error {
			f.Units = u
			problems[i] = crew.Safely(func() (err error) {
				out[i], err = at.farmWeek(ctx, f, r.On, within)
				return err
			})
			return ctx.Err()
		})
	}
	if r.Progress != nil {
		r.Progress(fmt.Sprintf("planning %d farms, %d at once", len(farms), min(workers, max(1, len(farms)))))
	}
	return out, problems, work.Wait()
}

// stations are the records read so far, each once for all its farms.
type stations struct {
	mu    sync.Mutex
	known map[Station]*station
}

type station struct {
	once   sync.Once
	series *weather.Series
	weeks  *account.Weeks
	err    error
}

func (s *stations) at(f *farm.Farm) (*station, Station) {
	key := Station{}
	if f.Weather != "" {
		key = Station{File: weatherOf(f, f.Document.Path, ""), Latitude: f.Latitude, Elevation: f.Elevation}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	found, ok := s.known[key]
	if !ok {
		found = &station{}
		s.known[key] = found
	}
	return found, key
}

// farmWeek plans one farm over the latest years of its station.
func (s *stations) farmWeek(ctx context.Context, f *farm.Farm, on quantity.Date, workers int) (*report.FarmWeek, error) {
	st, key := s.at(f)
	st.once.Do(func() {
		if st.series, st.err = Series(key); st.err == nil {
			st.weeks = account.WeeksOf(st.series)
		}
	})
	if st.err != nil {
		return nil, st.err
	}
	years, _, err := choose(st.series, f.FeedYear, "")
	if err != nil {
		return nil, err
	}
	m, problems := season.Compile(f, &f.Plan, years)
	if len(problems) > 0 {
		return nil, document.Problems(problems)
	}
	m.Workers = workers
	opening, err := m.SpunUp(ctx)
	if err != nil {
		return nil, err
	}
	result, err := m.Run(ctx, opening, m.Years())
	if err != nil {
		return nil, err
	}
	return report.BuildFarmWeek(f, &result, st.weeks, key.File, on), nil
}

// nameless stands in a file's name for a farm without a letter or digit in its own.
const nameless = "farm"

// visits are the farms' sheets, each under a name of its own, and with the farm's
// letter where farms are compared.
func visits(farms []*report.FarmWeek, b *report.Bulletin) (out []*report.Visit) {
	taken := map[string]int{}
	for i, f := range farms {
		v := f.Visit
		if b.Compared.Withheld == "" {
			v.Letter = b.Compared.Letters[i]
		}
		v.Slug = cmp.Or(v.Slug, nameless)
		taken[v.Slug]++
		if n := taken[v.Slug]; n > 1 {
			v.Slug = fmt.Sprintf("%s-%d", v.Slug, n)
			taken[v.Slug]++
		}
		out = append(out, v)
	}
	return out
}
