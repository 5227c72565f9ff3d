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
	Lines    []document.Line // in which the other's text and this one differ
	Assumed  []farm.Assumption
	Versions []office.Version // the latest
	Older    []office.Version
}

// latestVersions is how many versions stand open on the page; the others fold.
const latestVersions = 30

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
		body.Lines = document.Differing(string(conflict.Theirs.Text), string(text))
	case wrong != nil:
		body.Problems = problemsOf(wrong)
	}
	if o.farm != nil {
		body.Assumed = o.farm.Assumed
	}
	var err error
	if body.Versions, err = s.book.Versions(r.Context(), o.version.Farm); err != nil {
		s.fail(w, r, err)
		return
	}
	n := min(len(body.Versions), latestVersions)
	body.Versions, body.Older = body.Versions[:n], body.Versions[n:]
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
	text := []byte(withLineEnds(r.FormValue("text")))
	if o, err = s.asBegun(r, o); err != nil {
		s.fail(w, r, err)
		return
	}
	if err := s.keep(r, o, text, s.pages.texts.say("document.note")); err != nil {
		s.showDocument(w, r, refusal(err), o, text, err, "")
		return
	}
	http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
}

// keep saves a farm's text as its next version, checked before. It was made from the
// version that is opened. Where another was saved since, the error is an
// *office.Conflict; or the text's changes are put into that one, see merged.
func (s *Server) keep(r *http.Request, o *opened, text []byte, note string) error {
	return s.keepInto(r, o, text, note, false)
}

// keepSingle keeps the change of a single action, which no form holds any more.
func (s *Server) keepSingle(r *http.Request, o *opened, text []byte, note string) error {
	return s.keepInto(r, o, text, note, true)
}

func (s *Server) keepInto(r *http.Request, o *opened, text []byte, note string, single bool) error {
	who := s.person(r).Name
	err := s.keepFrom(r.Context(), o, o.version.Number, text, who, note)
	var conflict *office.Conflict
	if !errors.As(err, &conflict) {
		return err
	}
	both, err := merged(r, text, single, conflict)
	if err != nil {
		return err
	}
	err = s.keepFrom(r.Context(), o, conflict.Theirs.Number, both, who, note)
	var newer *office.Conflict
	var problems document.Problems
	switch {
	case errors.As(err, &newer): // saved again while this was put together
		newer.Base, newer.Yours = conflict.Base, conflict.Yours
	case errors.As(err, &problems):
		return unplaced(err)
	}
	return err
}

// keepFrom saves a farm's text as its next version, checked before, for whoever began
// with the version base.
func (s *Server) keepFrom(ctx context.Context, o *opened, base int, text []byte, who, note string) error {
	next := *o.source
	next.Text = text
	if _, err := o.desk.Check(&next); err != nil {
		return err
	}
	v, err := s.book.Save(ctx, o.version.Farm, base, text, who, note)
	if err != nil {
		return err
	}
	o.version, o.source = v, &next
	o.farm, o.wrong = o.desk.Farm(o.source)
	return o.wrong
}

// unplaced are problems without their lines, of a text that no form or page shows.
func unplaced(err error) error {
	var out document.Problems
	for _, p := range problemsOf(err) {
		p.Line = 0
		out = append(out, p)
	}
	return out
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

// archive puts a farm away; the page Farms lists it, to be taken up again.
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

// restore takes a farm up again that was put away.
func (s *Server) restore(w http.ResponseWriter, r *http.Request) {
	id, err := idOf(r)
	if err == nil {
		err = s.book.Restore(r.Context(), id)
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}
