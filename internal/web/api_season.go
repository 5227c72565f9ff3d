package web

import (
	"bytes"
	"errors"
	"net/http"
	"strings"

	"rowen/handbook"
	"rowen/internal/desk"
	"rowen/internal/office"
	"rowen/internal/report"
	"rowen/journal"
	"rowen/say"
)

func (s *Server) apiPlan(r *http.Request, _ nothing) (*report.Plan, error) {
	o, err := s.soundFarm(r)
	if err != nil {
		return nil, err
	}
	p, err := made(o.desk.Plan(r.Context(), o.source))
	if err != nil {
		return nil, err
	}
	return p.Plan, nil
}

type apiFigureHead struct {
	Key   string   `json:"key"`
	Label say.Line `json:"label"`
	Value float64  `json:"value"`
	Unit  string   `json:"unit"`
}

type apiFigure struct {
	apiFigureHead
	Expression string     `json:"expression"`
	Valid      string     `json:"valid" jsonschema:"the range in which the formula holds"`
	Inputs     []apiInput `json:"inputs"`
	Sources    []string   `json:"sources"`
}

type apiInput struct {
	apiFigureHead
	Origin say.Line `json:"origin" jsonschema:"where an input taken from a document stands"`
}

func figureHead(f *handbook.Figure) apiFigureHead {
	return apiFigureHead{f.Key, f.Label, f.Value, f.Unit}
}

func (s *Server) apiFigures(r *http.Request, _ nothing) ([]apiFigureHead, error) {
	p, err := s.apiPlan(r, nothing{})
	if err != nil {
		return nil, err
	}
	return each(report.Figures(p), func(f handbook.Figure) apiFigureHead { return figureHead(&f) }), nil
}

func (s *Server) apiFigure(r *http.Request, _ nothing) (apiFigure, error) {
	o, err := s.soundFarm(r)
	if err != nil {
		return apiFigure{}, err
	}
	if _, err := made(o.desk.Plan(r.Context(), o.source)); err != nil { // else the figure itself would be at fault
		return apiFigure{}, err
	}
	f, err := o.desk.Figure(r.Context(), o.source, r.PathValue("key"))
	if errors.Is(err, desk.ErrKey) {
		err = errors.Join(office.ErrMissing, err)
	}
	if err != nil {
		return apiFigure{}, err
	}
	out := apiFigure{apiFigureHead: figureHead(&f), Sources: []string{}}
	out.Inputs = each(f.Inputs, func(in handbook.Figure) apiInput { return apiInput{figureHead(&in), in.Origin} })
	if f.Formula != nil {
		out.Expression, out.Valid = f.Formula.Expression, f.Formula.Valid
		out.Sources = each(f.Formula.Sources, handbook.Source.String)
	}
	return out, nil
}

func (s *Server) apiDemand(r *http.Request, _ nothing) (*report.Demand, error) {
	o, err := s.soundFarm(r)
	if err != nil {
		return nil, err
	}
	return made(o.desk.Demand(r.Context(), o.source))
}

func (s *Server) apiToday(r *http.Request, _ nothing) (*report.Today, error) {
	o, err := s.soundFarm(r)
	if err != nil {
		return nil, err
	}
	on, err := dateOf(r)
	if err != nil {
		return nil, err
	}
	day, err := made(o.desk.Today(r.Context(), o.source, on))
	if err != nil {
		return nil, err
	}
	return day.Page, nil
}

// apiNeed is what one farm needs now.
type apiNeed struct {
	Farm    int64      `json:"farm"`
	Name    string     `json:"name"`
	Kind    string     `json:"kind"`
	By      string     `json:"by"`
	Fields  []string   `json:"fields"`
	Reasons []say.Line `json:"reasons"`
	Contact string     `json:"contact"`
	Message say.Line   `json:"message" jsonschema:"ready to send"`
}

type apiNeeds struct {
	Date    string    `json:"date"`
	Needs   []apiNeed `json:"needs"`
	Quiet   []int64   `json:"quiet" jsonschema:"farms that need nothing"`
	Broken  []int64   `json:"broken" jsonschema:"farms whose document has problems"`
	Reading int       `json:"reading" jsonschema:"farms not read yet: ask again"`
	Behind  int       `json:"behind" jsonschema:"days and plans being read behind pages"`
}

func (s *Server) apiNeeds(r *http.Request, _ nothing) (apiNeeds, error) {
	all, err := s.ranked(r)
	if err != nil {
		return apiNeeds{}, err
	}
	out := apiNeeds{Date: all.Date, Needs: []apiNeed{}, Reading: all.Reading, Behind: s.reading.waiting()}
	for _, f := range all.Lines {
		for _, item := range append([]report.ClientItem{*f.Now}, f.More...) {
			out.Needs = append(out.Needs, apiNeed{f.ID, f.Name, item.Kind, item.By, item.Fields, item.Reasons, item.Contact, item.Message})
		}
	}
	out.Quiet = each(all.Quiet, func(f farmLine) int64 { return f.ID })
	out.Broken = each(all.Broken, func(f farmLine) int64 { return f.ID })
	return out, nil
}

type apiEntry struct {
	ID    string `json:"id"`
	Date  string `json:"date"`
	Kind  string `json:"kind"`
	Field string `json:"field"`
	Text  string `json:"text" jsonschema:"the entry for a person"`
	Line  string `json:"line" jsonschema:"its line of the journal"`
}

type apiEntries struct {
	Entries   []apiEntry `json:"entries"`
	Conflicts []string   `json:"conflicts"`
}

func (s *Server) apiJournal(r *http.Request, _ nothing) (apiEntries, error) {
	id, err := idOf(r)
	if err != nil {
		return apiEntries{}, err
	}
	entries, conflicts, err := s.book.Journal(r.Context(), id)
	if err != nil {
		return apiEntries{}, err
	}
	out := apiEntries{Entries: make([]apiEntry, 0, len(entries)), Conflicts: each(conflicts, journal.Conflict.Error)}
	for _, e := range entries {
		one, err := entryJSON(e)
		if err != nil {
			return apiEntries{}, err
		}
		out.Entries = append(out.Entries, one)
	}
	return out, nil
}

func entryJSON(e journal.Entry) (apiEntry, error) {
	var line bytes.Buffer
	err := journal.Encode(&line, e)
	return apiEntry{e.ID.String(), e.Date.String(), string(e.Kind()), e.Field, e.String(), strings.TrimSuffix(line.String(), "\n")}, err
}

type apiPhrased struct {
	Phrase string `json:"phrase" jsonschema:"such as: height 7 in on Barn Pasture"`
	Sure   bool   `json:"sure,omitempty" jsonschema:"keep it although a careful clerk would ask"`
	Device string `json:"device,omitempty" jsonschema:"name under which the entry is numbered"`
}

type apiKept struct {
	Kept  bool       `json:"kept"`
	Entry *apiEntry  `json:"entry,omitempty"`
	Asked []say.Line `json:"asked" jsonschema:"what a careful clerk says of it"`
}

func (s *Server) apiPhrase(r *http.Request, in apiPhrased) (apiKept, error) {
	o, err := s.soundFarm(r)
	if err != nil {
		return apiKept{}, err
	}
	on, err := dateOf(r)
	if err != nil {
		return apiKept{}, err
	}
	entry, said, err := o.desk.Phrase(o.source, in.Phrase, on, in.Sure)
	out := apiKept{Asked: append([]say.Line{}, said...)}
	if errors.Is(err, desk.ErrAsked) {
		return out, nil
	}
	if err != nil {
		return apiKept{}, err
	}
	kept, err := s.enter(r.Context(), o, device(in.Device), entry)
	if err != nil {
		return apiKept{}, err
	}
	one, err := entryJSON(kept[0])
	out.Kept, out.Entry = true, &one
	return out, err
}
