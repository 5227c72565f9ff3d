package web

import (
	"encoding/json"
	"errors"
	"io"
	"net/http"

	"rowen/internal/crew"
	"rowen/internal/document"
	"rowen/internal/office"
)

// apiProblem is what is wrong, for programs (RFC 9457, problem details).
type apiProblem struct {
	Title    string     `json:"title"`
	Status   int        `json:"status"`
	Detail   string     `json:"detail"`
	Problems []apiFault `json:"problems,omitempty"`
	Theirs   *int       `json:"theirs,omitempty"` // the version in force, in a conflict
}

// apiFault is one thing wrong with what was sent.
type apiFault struct {
	Line   int    `json:"line"` // 0 where no line is meant
	Thing  string `json:"thing"`
	Value  string `json:"value"`
	Remedy string `json:"remedy"`
}

func faults(problems []document.Problem) []apiFault {
	out := make([]apiFault, len(problems))
	for i, p := range problems {
		out[i] = apiFault{p.Line, p.Thing, p.Value, p.Remedy}
	}
	return out
}

func (s *Server) apiAnswer(w http.ResponseWriter, status int, v any) {
	s.apiWrite(w, status, "application/json", v)
}

func (s *Server) apiWrite(w http.ResponseWriter, status int, kind string, v any) {
	text, err := json.Marshal(v)
	if err != nil {
		s.log.Error("answer", "error", err)
		status, kind, text = http.StatusInternalServerError, "text/plain; charset=utf-8", []byte("a defect: the answer cannot be written\n")
	}
	w.Header().Set("Content-Type", kind)
	w.WriteHeader(status)
	_, _ = w.Write(text)
}

func (s *Server) apiRefuse(w http.ResponseWriter, status int, detail string) {
	s.apiWrite(w, status, "application/problem+json", apiProblem{Title: http.StatusText(status), Status: status, Detail: detail})
}

// apiFail tells an error of the book or the desk.
func (s *Server) apiFail(w http.ResponseWriter, r *http.Request, err error) {
	p := apiProblem{Status: http.StatusInternalServerError, Detail: err.Error()}
	var tooLarge *http.MaxBytesError
	var conflict *office.Conflict
	var problems document.Problems
	var problem document.Problem
	var input office.InputError
	var defect *crew.Defect
	var weather unmade
	switch {
	case errors.As(err, &defect):
		s.defect(r, defect)
		p.Detail = s.pages.texts.say("refused.defect")
	case errors.Is(err, office.ErrMissing):
		p.Status = http.StatusNotFound
	case errors.As(err, &input), errors.As(err, &weather):
		p.Status = http.StatusUnprocessableEntity
	case errors.Is(err, office.ErrNoRoom):
		p.Status = http.StatusInsufficientStorage
	case errors.As(err, &tooLarge):
		p.Status = http.StatusRequestEntityTooLarge
	case errors.As(err, &conflict):
		p.Status, p.Theirs = http.StatusConflict, &conflict.Theirs.Number
	case errors.As(err, &problems), errors.As(err, &problem):
		p.Status, p.Problems = http.StatusUnprocessableEntity, faults(problemsOf(err))
	case errors.Is(err, io.ErrUnexpectedEOF): // what was sent was cut off on its way
		p.Status = http.StatusBadRequest
	case r.Context().Err() != nil: // nobody waits for it any more
		w.WriteHeader(http.StatusBadRequest)
		return
	default:
		s.log.Error("failed", "path", r.URL.Path, "error", err)
	}
	p.Title = http.StatusText(p.Status)
	s.apiWrite(w, p.Status, "application/problem+json", p)
}
