package web

import (
	"net/http"

	"rowen/internal/document"
)

// apiNotes are notes as they come home from the field.
type apiNotes struct {
	Text string `json:"text" jsonschema:"a message with codes of the field page; or lines of a journal and notes in plain words, one a line"`
	Take bool   `json:"take,omitempty" jsonschema:"keep what is not refused; else it is looked at and nothing is kept"`
}

// apiNotes reads notes. To take the same again changes nothing; a line that cannot be
// read does not hold the others up.
func (s *Server) apiNotes(r *http.Request, in apiNotes) (recorded, error) {
	o, err := s.soundFarm(r)
	if err != nil {
		return recorded{}, err
	}
	key, err := s.keyOf(r.Context(), o.version.Farm)
	if err != nil {
		return recorded{}, err
	}
	entries, problems := s.readNotes(o, key, in.Text, 0, s.today())
	switch {
	case len(entries) == 0 && len(problems) > 0:
		return recorded{}, problems
	case len(entries) == 0:
		return recorded{}, document.Problem{File: "body", Thing: "text", Remedy: s.pages.texts.say("notes.none")}
	}
	out := recorded{Problems: faults(problems)}
	if out.Entries, err = o.judge(0, entries); err == nil && in.Take {
		out.Added, err = s.take(r.Context(), o, out.Entries)
	}
	return out, err
}

// apiCarry gives the field page as a file for a phone.
func (s *Server) apiCarry(w http.ResponseWriter, r *http.Request) {
	o, err := s.soundFarm(r)
	if err == nil {
		err = s.giveCarried(w, r, o)
	}
	if err != nil {
		s.apiFail(w, r, err)
	}
}
