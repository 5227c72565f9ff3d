package web

import (
	"context"
	"errors"
	"net/http"

	"rowen/internal/desk"
	"rowen/internal/document"
	"rowen/internal/office"
)

// unmade tells that nothing can be made of a farm with the weather that it has: the file
// cannot be read, or does not reach the day. It is mended on the page Ground, or by
// another day.
type unmade struct{ error }

// Unwrap gives the desk's own error.
func (u unmade) Unwrap() error { return u.error }

// made marks what the desk says of a farm's weather; problems of its document, and what is
// no fault of the farm's, stay what they are.
func made[T any](v T, err error) (T, error) {
	var all document.Problems
	var one document.Problem
	if err == nil || errors.As(err, &all) || errors.As(err, &one) {
		return v, err
	}
	for _, other := range []error{desk.ErrKey, desk.ErrAsked, office.ErrMissing, office.ErrNoRoom, context.Canceled, context.DeadlineExceeded} {
		if errors.Is(err, other) {
			return v, err
		}
	}
	return v, unmade{err}
}

// refusedPage is a refusal, with where it can be mended.
type refusedPage struct {
	Text string
	Farm string // its pages' address; empty where none of them helps
	Here string // this page's address, for a day that is known
	Last string // the last day of the farm's weather; empty where it cannot be read
}

// showUnmade tells why a farm's page cannot be made, and leads to where that is mended.
func (s *Server) showUnmade(w http.ResponseWriter, r *http.Request, err error) {
	body := refusedPage{Text: err.Error(), Farm: "/farms/" + r.PathValue("id"), Here: r.URL.Path}
	if o, err := s.open(r); err == nil {
		if last, err := o.desk.LastWeather(o.source); err == nil {
			body.Last = last.String()
		}
	}
	s.showRefused(w, r, http.StatusUnprocessableEntity, body)
}
