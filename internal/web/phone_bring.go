package web

import (
	"bytes"
	"net/http"

	"rowen/internal/document"
	"rowen/journal"
)

// notesPage is where notes come back: pasted, or as a file.
type notesPage struct {
	Text     string // as typed
	Lines    string // the notes found, as lines of a journal, to be taken as shown
	Notes    []note
	Kept     int // how many would be or were kept
	Done     bool
	Problems []document.Problem
}

func (s *Server) notes(w http.ResponseWriter, r *http.Request) {
	if o := s.must(w, r); o != nil {
		s.showNotes(w, r, http.StatusOK, o, notesPage{})
	}
}

func (s *Server) showNotes(w http.ResponseWriter, r *http.Request, status int, o *opened, body notesPage) {
	s.show(w, r, status, "notes.html", page{Title: s.pages.texts.say("notes.title"), Farm: o.head(), Tab: "phone", Body: body})
}

// bringNotes shows what a text holds, and takes it in once a person has seen it.
func (s *Server) bringNotes(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	file, _, err := upload(w, r, "file", maxNotesText)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	body := notesPage{Text: r.FormValue("text")}
	key, err := s.keyOf(r.Context(), o.version.Farm)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	take := r.FormValue("do") == "take"
	text := body.Text + "\n" + string(file)
	if take {
		text = r.FormValue("lines")
	}
	entries, problems := s.readNotes(r.Context(), o, key, text, 0, s.today())
	body.Problems = problems
	if body.Notes, err = o.judge(0, entries); err != nil {
		s.fail(w, r, err)
		return
	}
	var lines bytes.Buffer
	for i := range body.Notes {
		switch n := &body.Notes[i]; n.State {
		case noteNew, noteConflict:
			body.Kept++
			if err := journal.Encode(&lines, n.entry); err != nil {
				s.fail(w, r, err)
				return
			}
		}
	}
	body.Lines = lines.String()
	if take {
		if body.Kept, err = s.take(r.Context(), o, body.Notes); err != nil {
			s.fail(w, r, err)
			return
		}
		body.Done, body.Lines, body.Text = true, "", ""
	}
	if len(entries) == 0 && len(problems) == 0 {
		body.Problems = []document.Problem{{Thing: s.pages.texts.say("notes.text"), Remedy: s.pages.texts.say("notes.none")}}
	}
	status := http.StatusOK
	if len(body.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	s.showNotes(w, r, status, o, body)
}
