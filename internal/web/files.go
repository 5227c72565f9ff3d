package web

import (
	"context"
	"net/http"
	"path"
	"strings"

	"rowen/crop"
	"rowen/internal/desk"
	"rowen/internal/document"
)

// Limits of what an office brings in: fifty years of a station, a file of corrections.
const (
	mostWeather   = 36 << 20
	mostCatalogue = 4 << 20
)

// bringFile takes a station's weather or corrections to the catalogue into the book, once
// it is known that they can be read.
func (s *Server) bringFile(w http.ResponseWriter, r *http.Request) {
	kind := r.PathValue("kind")
	most := map[string]int64{"weather": mostWeather, "catalogue": mostCatalogue}[kind]
	if most == 0 {
		s.refuse(w, r, http.StatusNotFound, "refused.missing")
		return
	}
	data, name, err := upload(w, r, "file", most)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	// A browser may send a path; the book keeps names.
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	switch {
	case len(data) == 0:
		err = document.Problem{Thing: "file", Remedy: s.pages.texts.say("files.none")}
	case kind == "weather":
		err = s.keepWeather(r.Context(), name, data)
	default:
		if err = s.corrects(r, name, data); err == nil {
			err = s.book.PutCatalogue(r.Context(), name, data)
		}
	}
	if err != nil {
		s.showSettings(w, r, refusal(err), settingsPage{Person: s.person(r), Bring: problemsOf(err)})
		return
	}
	http.Redirect(w, r, "/settings", http.StatusSeeOther)
}

// keepWeather keeps a station's weather, once it is known that it can be read.
func (s *Server) keepWeather(ctx context.Context, name string, data []byte) error {
	if _, err := desk.ReadStation(name, data); err != nil {
		return document.Problems(problemsOf(err))
	}
	return s.book.PutWeather(ctx, name, data)
}

// corrects tells whether the catalogue can be read with a file more.
func (s *Server) corrects(r *http.Request, name string, data []byte) error {
	all, err := s.book.Catalogue(r.Context())
	if err != nil {
		return err
	}
	office := []crop.Office{{Name: name, Text: data}}
	for _, f := range all {
		if f.Name != name {
			office = append(office, crop.Office{Name: f.Name, Text: f.Text})
		}
	}
	if _, err = crop.Load(office...); err != nil {
		err = document.Problems(problemsOf(err))
	}
	return err
}

// dropFile takes a file out of the book again. A farm that names it says so when it is
// opened.
func (s *Server) dropFile(w http.ResponseWriter, r *http.Request) {
	name := r.FormValue("name")
	var err error
	switch r.PathValue("kind") {
	case "weather":
		err = s.book.RemoveWeather(r.Context(), name)
	case "catalogue":
		err = s.book.RemoveCatalogue(r.Context(), name)
	default:
		s.refuse(w, r, http.StatusNotFound, "refused.missing")
		return
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/settings", http.StatusSeeOther)
}
