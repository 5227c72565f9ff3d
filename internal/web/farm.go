package web

import (
	"context"
	"errors"
	"net/http"
	"strconv"

	"rowen/farm"
	"rowen/internal/desk"
	"rowen/internal/document"
	"rowen/internal/office"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
)

// opened is a farm of the book as a page works with it.
type opened struct {
	desk    *desk.Desk
	version office.Version
	source  *desk.Source
	farm    *farm.Farm // nil where the document has problems
	wrong   error      // these problems
}

// open takes the farm that a request names from the book.
func (s *Server) open(r *http.Request) (*opened, error) {
	id, err := strconv.ParseInt(r.PathValue("id"), 10, 64)
	if err != nil {
		return nil, office.ErrMissing
	}
	return s.openFarm(r.Context(), id, unitsOf(s.person(r)))
}

// openFarm opens a farm without reading its journal, which is read when it is asked for.
func (s *Server) openFarm(ctx context.Context, id int64, u quantity.System) (*opened, error) {
	d, err := s.deskOf(ctx)
	if err != nil {
		return nil, err
	}
	v, err := s.book.Document(ctx, id)
	if err != nil {
		return nil, err
	}
	stamp, err := s.book.Stamp(ctx, id)
	if err != nil {
		return nil, err
	}
	o := &opened{desk: d, version: v, source: &desk.Source{
		Name: "farm", Text: v.Text, Stamp: stamp, Units: u,
		Station: func(name string) ([]byte, error) { return s.book.WeatherFile(ctx, name) },
		Journal: func() ([]journal.Entry, []say.Line, error) {
			entries, _, notices, err := s.journalOf(ctx, id)
			return entries, notices, err
		},
	}}
	o.farm, o.wrong = d.Farm(o.source)
	return o, nil
}

// journalOf is a farm's journal, its stamp, and its conflicts in words.
func (s *Server) journalOf(ctx context.Context, id int64) (entries []journal.Entry, stamp string, notices []say.Line, err error) {
	log, err := s.book.Log(ctx, id)
	for _, c := range log.Conflicts {
		notices = append(notices, say.Name(c.Error()))
	}
	return log.Entries, log.Stamp, notices, err
}

// head is the farm for a page's layout.
func (o *opened) head() *farmHead {
	h := &farmHead{ID: o.version.Farm, Version: o.version.Number}
	if o.farm != nil {
		h.Name, h.Currency = o.farm.Name, o.farm.Currency
	}
	return h
}

// must opens a farm whose document is in order; else it shows what is wrong with it,
// where it can be put right.
func (s *Server) must(w http.ResponseWriter, r *http.Request) *opened {
	o, err := s.open(r)
	if err != nil {
		s.fail(w, r, err)
		return nil
	}
	if o.wrong != nil {
		s.showDocument(w, r, http.StatusUnprocessableEntity, o, o.version.Text, o.wrong, "")
		return nil
	}
	return o
}

// farmDoor opens a farm at its season.
func (s *Server) farmDoor(w http.ResponseWriter, r *http.Request) {
	http.Redirect(w, r, "/farms/"+r.PathValue("id")+"/season", http.StatusSeeOther)
}

type documentPage struct {
	Text     string
	Base     int
	Problems []document.Problem
	Conflict *office.Conflict
	Assumed  int // values that nobody has said yet
	Versions []office.Version
}

// document shows a farm's document as text.
func (s *Server) document(w http.ResponseWriter, r *http.Request) {
	o, err := s.open(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.showDocument(w, r, http.StatusOK, o, o.version.Text, o.wrong, "")
}

func (s *Server) showDocument(w http.ResponseWriter, r *http.Request, status int, o *opened, text []byte, wrong error, said string) {
	body := documentPage{Text: string(text), Base: o.version.Number}
	var conflict *office.Conflict
	switch {
	case errors.As(wrong, &conflict):
		body.Conflict = conflict
	case wrong != nil:
		body.Problems = problemsOf(wrong)
	}
	body.Assumed = s.guesses(o)
	var err error
	if body.Versions, err = s.book.Versions(r.Context(), o.version.Farm); err != nil {
		s.fail(w, r, err)
		return
	}
	body.Versions = body.Versions[:min(len(body.Versions), 30)]
	s.show(w, r, status, "document.html", page{Title: s.pages.texts.say("document.title"), Farm: o.head(), Tab: "document", Said: said, Body: body})
}

// problemsOf are the problems of an error, one at least.
func problemsOf(err error) []document.Problem {
	var all document.Problems
	if errors.As(err, &all) {
		return all
	}
	var one document.Problem
	if errors.As(err, &one) {
		return []document.Problem{one}
	}
	return []document.Problem{{Thing: "document", Remedy: err.Error()}}
}

// saveDocument keeps a document's text, if nothing is wrong with it and nobody else
// saved meanwhile.
func (s *Server) saveDocument(w http.ResponseWriter, r *http.Request) {
	o, err := s.open(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	text := []byte(withLineEnds(r.FormValue("text")))
	if err := s.keep(r, o, text, s.pages.texts.say("document.note")); err != nil {
		s.showDocument(w, r, http.StatusUnprocessableEntity, o, text, err, "")
		return
	}
	http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
}

// keep saves a farm's text as its next version, checked before. The base is the version
// that the request's form began with.
func (s *Server) keep(r *http.Request, o *opened, text []byte, note string) error {
	base := o.version.Number
	if given := r.FormValue("base"); given != "" {
		n, err := strconv.Atoi(given)
		if err != nil {
			return document.Problem{Thing: "base", Value: given, Remedy: "open the page again"}
		}
		base = n
	}
	next := *o.source
	next.Text = text
	if _, err := o.desk.Check(&next); err != nil {
		return err
	}
	v, err := s.book.Save(r.Context(), o.version.Farm, base, text, s.person(r).Name, note)
	if err != nil {
		return err
	}
	o.version, o.source = v, &next
	o.farm, o.wrong = o.desk.Farm(o.source)
	return o.wrong
}

// withLineEnds undoes what a browser's form does to the ends of lines.
func withLineEnds(s string) string {
	out := make([]byte, 0, len(s))
	for i := range len(s) {
		if s[i] != '\r' {
			out = append(out, s[i])
		}
	}
	return string(out)
}

// archive puts a farm away.
func (s *Server) archive(w http.ResponseWriter, r *http.Request) {
	o, err := s.open(r)
	if err == nil {
		err = s.book.Archive(r.Context(), o.version.Farm)
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}
