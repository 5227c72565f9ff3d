package web

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/journal"
	"rowen/say"
)

// todayPage is a farm as it stands on a day, and the box in which a fact is written
// down.
type todayPage struct {
	*report.Today
	Asked  string // the day asked for; empty: today
	Phrase string
	Said   []say.Line // what a careful clerk asks of it
	Wrong  string
	Sure   bool // it may be kept in spite of what is asked
	Latest []journal.Entry
}

func (s *Server) todayFarm(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	s.showToday(w, r, http.StatusOK, o, todayPage{})
}

func (s *Server) showToday(w http.ResponseWriter, r *http.Request, status int, o *opened, body todayPage) {
	on, err := dateOf(r)
	if err != nil {
		body.Wrong, status = err.Error(), http.StatusUnprocessableEntity
	}
	day, err := made(o.desk.Today(r.Context(), o.source, on))
	if err != nil && body.Phrase == "" {
		s.fail(w, r, err)
		return
	}
	if err != nil { // what was typed stays, on a page without the day
		day = &desk.SourceDay{Page: &report.Today{}}
		body.Wrong = strings.TrimSpace(body.Wrong + "\n" + err.Error())
	}
	body.Today = day.Page
	if on != 0 {
		body.Asked = on.String()
	}
	body.Latest = day.Latest
	s.show(w, r, status, "today.html", page{Title: s.pages.texts.say("today.title"), Farm: o.head(), Tab: "today", Body: body})
}

// writeDown keeps a fact in the farm's journal.
func (s *Server) writeDown(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	body := todayPage{Phrase: strings.TrimSpace(r.FormValue("phrase"))}
	on, err := dateOf(r)
	if err != nil {
		s.showToday(w, r, http.StatusUnprocessableEntity, o, body)
		return
	}
	entry, said, err := o.desk.Phrase(o.source, body.Phrase, on, r.FormValue("sure") != "")
	if err == nil {
		_, err = s.enter(r.Context(), o, device(s.person(r).Device), entry)
	}
	if err != nil {
		body.Said, body.Sure = said, errors.Is(err, desk.ErrAsked)
		if !body.Sure {
			body.Wrong = err.Error()
		}
		s.showToday(w, r, refusal(err), o, body)
		return
	}
	to := r.URL.Path
	if on != 0 {
		to += "?date=" + on.String()
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}

// enter keeps a fact in the farm's journal, and begins to read the day that it makes.
func (s *Server) enter(ctx context.Context, o *opened, device string, entry journal.Entry) ([]journal.Entry, error) {
	kept, err := s.book.Enter(ctx, o.version.Farm, device, entry)
	if err == nil {
		s.readBehind(ctx, o.version.Farm, o.source.Units, 0)
	}
	return kept, err
}

// device is the name under which a person's entries are numbered.
func device(given string) string {
	if given == "" {
		return "desk"
	}
	return given
}
