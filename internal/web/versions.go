package web

import (
	"errors"
	"net/http"
	"strconv"

	"rowen/internal/document"
	"rowen/internal/office"
	"rowen/internal/report"
)

// versionPage is an earlier version of a farm's document: to be read, and to be taken
// again.
type versionPage struct {
	Version office.Version
	Text    string
	Base    int // the version in force
	Other   *otherPage
	Plan    *report.Plan  // as it was; nil where it cannot be made any more
	Since   []otherChange // what is otherwise now
}

// versionOf finds the version that a request names.
func (s *Server) versionOf(r *http.Request, o *opened) (office.Version, error) {
	n, err := strconv.Atoi(r.PathValue("n"))
	if err != nil {
		return office.Version{}, office.ErrMissing
	}
	return s.book.Version(r.Context(), o.version.Farm, n)
}

// version shows an earlier version.
func (s *Server) version(w http.ResponseWriter, r *http.Request) {
	o, err := s.open(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	v, err := s.versionOf(r, o)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.showVersion(w, r, http.StatusOK, o, v, nil)
}

func (s *Server) showVersion(w http.ResponseWriter, r *http.Request, status int, o *opened, v office.Version, other *otherPage) {
	body := versionPage{Version: v, Text: string(v.Text), Base: o.version.Number, Other: other}
	then := o.as(v)
	if then.wrong == nil {
		if p, err := then.desk.Plan(r.Context(), then.source); err == nil {
			body.Plan = p.Plan
		}
	}
	body.Since = s.otherChanges(&office.Conflict{Base: v, Theirs: o.version}).Changes
	s.show(w, r, status, "version.html", page{Title: s.pages.texts.say("version.title", v.Number), Farm: o.head(), Tab: "document", Body: body})
}

// takeVersion makes an earlier version the newest again, which can be undone.
func (s *Server) takeVersion(w http.ResponseWriter, r *http.Request) {
	o, err := s.open(r)
	var v office.Version
	if err == nil {
		v, err = s.versionOf(r, o)
	}
	began := o
	if err == nil {
		began, err = s.asBegun(r, o)
	}
	if err == nil {
		err = s.keep(r, began, v.Text, s.pages.texts.say("version.note", v.Number))
	}
	var conflict *office.Conflict
	var problems document.Problems
	var problem document.Problem
	switch {
	case err == nil:
		http.Redirect(w, r, "/farms/"+r.PathValue("id")+"/document", http.StatusSeeOther)
	case errors.As(err, &conflict):
		s.showVersion(w, r, http.StatusConflict, o, v, s.otherChanges(conflict))
	case v.Text != nil && (errors.As(err, &problems) || errors.As(err, &problem)): // it was sound by the catalogue of its day
		s.showDocument(w, r, http.StatusUnprocessableEntity, o, v.Text, err, "")
	default:
		s.fail(w, r, err)
	}
}
