package web

import (
	"fmt"
	"net/http"

	"rowen/journal"
)

// farmKeyHeader carries the key of the farm that notes were made for, so that a page of
// another book on the same address cannot mix farms up.
const farmKeyHeader = "Rowen-Farm"

// recorded is what became of the entries sent.
type recorded struct {
	Added    int        `json:"added"`
	Entries  []note     `json:"entries"`
	Problems []apiFault `json:"problems"` // lines that could not be read
}

// apiRecord takes lines of a journal. To send the same lines again changes nothing, so
// that whoever hears no answer sends again. A line that is refused does not hold the
// others up.
func (s *Server) apiRecord(w http.ResponseWriter, r *http.Request) {
	o, err := s.open(r)
	if err != nil {
		s.apiFail(w, r, err)
		return
	}
	if given := r.Header.Get(farmKeyHeader); given != "" {
		key, err := s.keyOf(r.Context(), o.version.Farm)
		if err != nil {
			s.apiFail(w, r, err)
			return
		}
		if given != key {
			s.apiRefuse(w, http.StatusConflict, s.pages.texts.say("phone.otherfarm"))
			return
		}
	}
	log, err := journal.ReadAll("lines", http.MaxBytesReader(w, r.Body, maxNotesText))
	if err != nil {
		s.apiFail(w, r, err)
		return
	}
	if len(log.Entries) > maxNotes {
		s.apiRefuse(w, http.StatusRequestEntityTooLarge, fmt.Sprintf("%d entries; %d are the most at once", len(log.Entries), maxNotes))
		return
	}
	out := recorded{Entries: []note{}, Problems: faults(append(log.Problems, log.Torn...))}
	if len(log.Entries) > 0 {
		if out.Entries, err = o.judge(0, log.Entries); err == nil {
			out.Added, err = s.take(r.Context(), o, out.Entries)
		}
		if err != nil {
			s.apiFail(w, r, err)
			return
		}
	}
	s.apiAnswer(w, http.StatusOK, out)
}
