package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/files"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/say"
	"rowen/suggest"
	"rowen/weather"
)

// SuggestRequest asks for plans.
type SuggestRequest struct {
	Request
	Risk     float64 // weight on the bad years, 0 to 1
	Plans    int
	Hold     []string // "Field=crop", or "Field=as it is"
	Avoid    []string
	Split    bool
	MostCrop string // "40 %" of the land under any one stand
	MostSown string // "60 ac"
	MostCash float64
	Labour   float64 // hours of field work in a half-month
	Sale     string  // "140 USD/ton" of dry matter out of store
	Limit    time.Duration
	Steps    func(suggest.Progress) // may be nil
	Brief    bool                   // leave out the years not chosen on
	WhatIf   []string               // "forage +25 %", "grain -10 %", "head +10 %", "rain -20 %", "hold Field=crop", "avoid crop"
}

// Suggested is what was found: the page, and the documents of its plans.
type Suggested struct {
	Page  *report.Suggestion
	found *suggest.Suggestion
	farm  *farm.Farm
}

// UsualWhatIfs are worth asking of any farm.
var UsualWhatIfs = []string{"forage +25 %", "head +10 %"}

// Suggest finds plans for a farm and explains them. When the context is cancelled after
// a plan was found, the best so far are returned, marked as stopped.
func Suggest(ctx context.Context, r SuggestRequest) (*Suggested, error) {
	c, err := Catalogue(r.Catalogue)
	if err != nil {
		return nil, err
	}
	f, err := farm.Read(r.Farm, c)
	if err != nil {
		return nil, err
	}
	s, err := Series(Station{File: weatherOf(f, r.Farm, r.Weather), Neighbour: r.Neighbour, Latitude: f.Latitude, Elevation: f.Elevation, Years: r.Years})
	if err != nil {
		return nil, err
	}
	return suggestOver(ctx, r, c, f, s)
}

// Suggest finds plans for a source.
func (d *Desk) Suggest(ctx context.Context, s *Source, r SuggestRequest) (*Suggested, error) {
	f, err := d.Farm(s)
	if err != nil {
		return nil, err
	}
	series, err := d.weather(f, s, DefaultYears+1, generatedTo)
	if err != nil {
		return nil, err
	}
	return suggestOver(ctx, r, d.Catalogue, f, series)
}

func suggestOver(ctx context.Context, r SuggestRequest, c *crop.Catalogue, f *farm.Farm, s *weather.Series) (*Suggested, error) {
	years, _, err := choose(s, f.FeedYear, r.Years)
	if err != nil {
		return nil, err
	}
	ask := &suggest.Request{
		Farm: f, Catalogue: c, Years: years, Risk: r.Risk, Plans: r.Plans, Avoid: r.Avoid, Split: r.Split, Limit: r.Limit, Progress: r.Steps,
		Limits: suggest.Limits{Cash: r.MostCash, Labour: r.Labour},
	}
	if err := r.limits(ask, f); err != nil {
		return nil, err
	}
	var changes []suggest.Change
	for _, text := range r.WhatIf {
		ch, err := parseChange(text)
		if err != nil {
			return nil, err
		}
		changes = append(changes, ch)
	}
	found, err := suggest.Find(ctx, ask)
	if err != nil {
		return nil, err
	}
	out := &Suggested{found: found, farm: f}
	var why *suggest.Explained
	if len(found.Plans) > 0 {
		if why, err = found.Explain(context.WithoutCancel(ctx), &found.Plans[0]); err != nil {
			return nil, err
		}
		if err := further(ctx, r, found, changes); err != nil && ctx.Err() == nil {
			return nil, err
		}
		found.Stopped = found.Stopped || ctx.Err() != nil
	}
	out.Page = report.BuildSuggestion(f, found, why, s.Station.Name)
	return out, nil
}

// further judges on years not chosen on and asks the what-ifs.
func further(ctx context.Context, r SuggestRequest, found *suggest.Suggestion, changes []suggest.Change) (err error) {
	tell := func(pattern string, args ...any) {
		if r.Steps != nil {
			r.Steps(suggest.Progress{Text: say.That(pattern, args...)})
		}
	}
	if !r.Brief {
		tell("judging on years that it was not chosen on")
		if found.Unseen, err = found.OnUnseen(ctx); err != nil {
			return err
		}
	}
	for _, c := range changes {
		tell("what if %s", c.Name)
		w, err := found.Again(ctx, c)
		var none *suggest.ErrNone
		switch {
		case errors.As(err, &none):
			return fmt.Errorf("what if %s: %w", c.Name, err)
		case err != nil:
			return err
		}
		found.WhatIf = append(found.WhatIf, *w)
	}
	return nil
}

// limits reads the request's limits and holds.
func (r *SuggestRequest) limits(ask *suggest.Request, f *farm.Farm) error {
	for _, h := range r.Hold {
		hold, err := parseHold(h)
		if err != nil {
			return err
		}
		ask.Hold = append(ask.Hold, hold)
	}
	if r.MostCrop != "" {
		share, err := quantity.ParseFraction(r.MostCrop)
		if err != nil {
			return fmt.Errorf("--most-crop %w", err)
		}
		ask.Limits.Crop = float64(share)
	}
	if r.MostSown != "" {
		area, err := quantity.ParseArea(r.MostSown)
		if err != nil {
			return fmt.Errorf("--most-sown %w", err)
		}
		ask.Limits.Seeding = area
	}
	if r.Sale != "" {
		price, err := quantity.ParseMoneyPerMass(r.Sale, f.Currency)
		if err != nil {
			return fmt.Errorf("--sale %w", err)
		}
		ask.Sale = float64(price)
	}
	return nil
}

func parseHold(text string) (suggest.Hold, error) {
	field, stand, ok := strings.Cut(text, "=")
	if !ok || strings.TrimSpace(field) == "" || strings.TrimSpace(stand) == "" {
		return suggest.Hold{}, fmt.Errorf("--hold %q: write a field and a crop, \"North Six=teff\", or \"North Six=%s\"", text, suggest.AsItIs)
	}
	return suggest.Hold{Field: strings.TrimSpace(field), Stand: strings.TrimSpace(stand)}, nil
}

// parseChange reads one what-if.
func parseChange(text string) (suggest.Change, error) {
	c := suggest.Change{Name: strings.TrimSpace(text)}
	what, how, ok := strings.Cut(c.Name, " ")
	bad := fmt.Errorf(`--what-if %q: write "forage +25 %%", "grain -10 %%", "head +10 %%", "rain -20 %%", "hold Field=crop" or "avoid crop"`, text)
	if !ok {
		return c, bad
	}
	how = strings.TrimSpace(how)
	switch what {
	case "hold":
		h, err := parseHold(how)
		c.Hold = []suggest.Hold{h}
		return c, err
	case "avoid":
		c.Avoid = []string{how}
		return c, nil
	}
	var percent float64
	if n, err := fmt.Sscanf(strings.ReplaceAll(how, " ", ""), "%f%%", &percent); n != 1 || err != nil || percent <= -100 || percent > 1000 {
		return c, bad
	}
	factor := 1 + percent/100
	switch what {
	case "forage":
		c.Forage = factor
	case "grain":
		c.Grain = factor
	case "head":
		c.Head = factor
	case "rain":
		c.Rain = factor
	default:
		return c, bad
	}
	return c, nil
}

// Document is the farm's document with a suggested plan in place of its sowings; plans
// count from 1.
func (s *Suggested) Document(plan int) ([]byte, error) {
	if plan < 1 || plan > len(s.found.Plans) {
		return nil, fmt.Errorf("there is no suggested plan %d; %d were found", plan, len(s.found.Plans))
	}
	x := &s.found.Plans[plan-1]
	var add []farm.Sowing
	for _, w := range x.Plan.Sowings {
		if !s.found.Own(x, w.Field) {
			add = append(add, w)
		}
	}
	return s.farm.Replant(func(i int) bool { return !s.found.Own(x, s.farm.Plan.Sowings[i].Field) }, add), nil
}

// WritePlan writes a suggested plan as a new farm document, which must not be there yet,
// beside the weather that the first one names.
func (s *Suggested) WritePlan(path string, plan int, catalogue []string) error {
	text, err := s.Document(plan)
	if err != nil {
		return err
	}
	if w := s.farm.Weather; w != "" && !filepath.IsAbs(w) {
		from, to := filepath.Dir(s.farm.Document.Path), filepath.Dir(path)
		if filepath.Clean(from) != filepath.Clean(to) {
			return fmt.Errorf("%s: the document names its weather %q beside itself; write the new one into %s", path, w, from)
		}
	}
	if _, err := os.Stat(path); err == nil {
		return fmt.Errorf("%s: it is there already; give another name: nothing is written over", path)
	}
	c, err := Catalogue(catalogue)
	if err != nil {
		return err
	}
	if _, err := farm.Parse(path, text, c); err != nil {
		return fmt.Errorf("the new document does not read back, please report it: %w", err)
	}
	return files.Write(filepath.Dir(path), map[string][]byte{filepath.Base(path): text})
}

// WriteMPS writes the program that chose, over every weather year, for any other solver.
func (s *Suggested) WriteMPS(path string) error {
	var b bytes.Buffer
	if err := s.found.WriteMPS(&b); err != nil {
		return err
	}
	return files.Write(filepath.Dir(path), map[string][]byte{filepath.Base(path): b.Bytes()})
}

// SuggestFiles makes the page and the data of a suggestion.
func SuggestFiles(p *report.Suggestion, u quantity.System) (map[string][]byte, error) {
	text, err := json.MarshalIndent(p, "", " ")
	if err != nil {
		return nil, err
	}
	var page bytes.Buffer
	if err := report.WriteSuggestionHTML(&page, p, u); err != nil {
		return nil, err
	}
	return map[string][]byte{"suggest.json": append(text, '\n'), "suggest.html": page.Bytes()}, nil
}
