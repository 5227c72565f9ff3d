package desk

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/stand"
	"rowen/weather"
)

// RankRequest asks which stands suit a field. A farm or a soil is named, not both.
type RankRequest struct {
	Farm      string // path of the farm document, or empty
	Field     string // a field of it; empty: every field that is bare or sown in the plan
	Soil      string // instead of a farm: "silt loam, poorly drained, pH 5.6"
	For       string // use; empty: for each stand the use that yields most
	All       bool   // perennials and winter annuals too
	At        Station
	Years     string
	Catalogue []string
}

// place is one piece of ground to be ranked for.
type place struct {
	trial
	field int        // -1: a soil alone
	farm  *farm.Farm // nil: a soil alone
	use   crop.Use   // Leave: the one that yields most
	page  report.Ranking
}

// Rank holds every stand of the catalogue against a field: by the catalogue's rules
// and by what it yields there. The order is documented at report.Ranking.
func Rank(r RankRequest) ([]*report.Ranking, error) {
	c, err := Catalogue(r.Catalogue)
	if err != nil {
		return nil, err
	}
	use := crop.Leave
	if r.For != "" {
		if use, err = crop.ParseUse(r.For); err != nil || use == crop.Leave {
			return nil, fmt.Errorf("--for %q: write graze, wrap, chop, hay or silage", r.For)
		}
	}
	places, err := r.places(c, use)
	if err != nil {
		return nil, err
	}
	var out []*report.Ranking
	for i := range places {
		p := &places[i]
		for _, name := range c.Names() {
			mix, _ := c.Mix(name)
			if !r.All && mix.Parts[0].Crop.Life != crop.Annual {
				continue
			}
			s, err := p.judge(&mix)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", name, err)
			}
			p.page.Stands = append(p.page.Stands, *s)
		}
		slices.SortStableFunc(p.page.Stands, better)
		out = append(out, &p.page)
	}
	return out, nil
}

// better orders two stands: by class, then by the middle year's yield, then by the
// growth that the ground leaves them.
func better(a, b report.RankedStand) int {
	return cmp.Or(cmp.Compare(a.Suitability, b.Suitability), cmp.Compare(b.Middle, a.Middle), cmp.Compare(b.Growth, a.Growth))
}

// places are the pieces of ground asked for, with the weather of their station.
func (r *RankRequest) places(c *crop.Catalogue, use crop.Use) ([]place, error) {
	if (r.Farm == "") == (r.Soil == "") {
		return nil, fmt.Errorf("name a farm document, or a soil: --soil \"silt loam, poorly drained, pH 5.6\"")
	}
	if r.Farm == "" {
		soil, err := stand.ParseSoil(r.Soil)
		if err != nil {
			return nil, fmt.Errorf("--soil: %w", err)
		}
		p := place{trial: trial{catalogue: c, soil: soil, words: r.Soil}, field: -1, use: use}
		if err := p.weather(r.At, novemberFirst, r.Years); err != nil {
			return nil, err
		}
		p.head(use)
		p.page.Notes = append(p.page.Notes, report.RankReason{Rule: "not judged", Text: "certified land, rotation and the farm's animals: no farm was named", Source: "farm document"})
		return []place{p}, nil
	}
	f, err := farm.Read(r.Farm, c)
	if err != nil {
		return nil, err
	}
	fields, err := fieldsToRank(f, r.Field)
	if err != nil {
		return nil, err
	}
	at := r.At
	at.File = weatherOf(f, r.Farm, at.File)
	at.Latitude, at.Elevation = cmp.Or(at.Latitude, f.Latitude), f.Elevation
	var first place
	if err := first.weather(at, f.FeedYear, r.Years); err != nil {
		return nil, err
	}
	var out []place
	for _, i := range fields {
		s := &f.Fields[i].Soil
		soil, err := stand.SoilOf(s.Texture, s.Drainage, s.PH, s.Organic, s.Depth.Metres())
		if err != nil {
			return nil, fmt.Errorf("%s:%d: field %q: soil: %w", f.Document.Path, f.Fields[i].Line, f.Fields[i].Name, err)
		}
		p := place{trial: trial{catalogue: c, soil: soil, words: s.Text, place: first.place, years: first.years}, field: i, farm: f, use: use}
		p.head(use)
		p.ofFarm()
		out = append(out, p)
	}
	return out, nil
}

// novemberFirst begins the feed year where no farm says otherwise.
var novemberFirst = quantity.MonthDay{Month: 11, Day: 1}

// weather reads the station's years.
func (p *place) weather(at Station, start quantity.MonthDay, span string) error {
	at.Years = span
	s, err := Series(at)
	if err != nil {
		return err
	}
	p.place = s.Station.Name
	p.years, _, err = choose(s, start, span)
	return err
}

// head fills in the page's head.
func (p *place) head(use crop.Use) {
	p.page = report.Ranking{Soil: p.words, Place: p.place, Years: len(p.years)}
	p.page.First, p.page.Last = p.span()
	if use != crop.Leave {
		p.page.Use = use.String()
	}
}

// fieldsToRank are the fields meant: the one named, else those that are bare or sown
// in the plan, else all.
func fieldsToRank(f *farm.Farm, name string) (out []int, err error) {
	var names []string
	for i := range f.Fields {
		names = append(names, fmt.Sprintf("%q", f.Fields[i].Name))
		sown := slices.ContainsFunc(f.Plan.Sowings, func(s farm.Sowing) bool { return s.Field == i })
		if name == f.Fields[i].Name || name == "" && (sown || len(f.Fields[i].Stands.Parts) == 0) {
			out = append(out, i)
		}
	}
	switch {
	case len(out) > 0:
		return out, nil
	case name != "":
		return nil, fmt.Errorf("%s: field %q: no field has this name; write one of %s", f.Document.Path, name, strings.Join(names, ", "))
	}
	for i := range f.Fields {
		out = append(out, i)
	}
	return out, nil
}

// candidateFor grows a stand over the place's years in the use that is asked, or in
// the allowed one that yields most in the middle year; nil where no use is allowed.
func (p *place) candidateFor(mix *crop.Mix) (*report.Candidate, error) {
	uses := []crop.Use{p.use}
	if p.use == crop.Leave {
		uses = uses[:0]
		for u := crop.Graze; u < crop.Uses; u++ {
			if mix.Uses[u].Allowed && (u != crop.Graze || p.grazeable()) {
				uses = append(uses, u)
			}
		}
	}
	st, err := stand.Compile(*mix, p.soil)
	if err != nil {
		return nil, err
	}
	var best *report.Candidate
	middle := 0.0
	for _, u := range uses {
		if !mix.Uses[u].Allowed {
			continue
		}
		k := &report.Candidate{Mix: mix, Use: u, Years: grownYears(st, mix, u, p.years)}
		if m := k.Summarise().Middle; best == nil || m > middle {
			best, middle = k, m
		}
	}
	return best, nil
}

// grownYears grows a stand alone in each of the years.
func grownYears(st *stand.Stand, mix *crop.Mix, use crop.Use, years []weather.Year) (out []report.GrownYear) {
	for i := range years {
		out = append(out, compareYear(st, mix, use, &years[i], before(years, i)))
	}
	return out
}
