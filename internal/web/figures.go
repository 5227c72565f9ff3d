package web

import (
	"errors"
	"net/http"

	"rowen/handbook"
	"rowen/internal/desk"
)

// figure opens a figure: what it is made from, how, and by whose rule.
func (s *Server) figure(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	if _, err := made(o.desk.Plan(r.Context(), o.source)); err != nil { // else the figure itself would be at fault
		s.fail(w, r, err)
		return
	}
	fig, err := o.desk.Figure(r.Context(), o.source, r.PathValue("key"))
	if errors.Is(err, desk.ErrKey) {
		s.refuse(w, r, http.StatusNotFound, "refused.missing")
		return
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.show(w, r, http.StatusOK, "figure.html", page{Title: fig.Label.In(s.pages.texts.said), Farm: o.head(), Tab: "season", Sheet: true, Body: figurePage{fig}})
}

type figurePage struct{ handbook.Figure }
