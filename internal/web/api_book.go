package web

import (
	"errors"
	"io"
	"net/http"
	"strconv"
	"time"

	"rowen/internal/desk"
	"rowen/internal/document"
	"rowen/internal/office"
)

type apiFarm struct {
	ID       int64     `json:"id"`
	Name     string    `json:"name"`
	Contact  string    `json:"contact"`
	Version  int       `json:"version" jsonschema:"number of the document in force"`
	Hash     string    `json:"hash" jsonschema:"SHA-256 of the document"`
	Updated  time.Time `json:"updated"`
	Archived bool      `json:"archived"`
	Key      string    `json:"key,omitempty" jsonschema:"tells the farm apart from those of other books; given for one farm alone"`
}

func farmJSON(f office.Farm) apiFarm {
	return apiFarm{f.ID, f.Name, f.Contact, f.Version, f.Hash, f.Updated, f.Archived, ""}
}

func (s *Server) apiFarms(r *http.Request, _ nothing) ([]apiFarm, error) {
	farms, err := s.book.Farms(r.Context())
	return each(farms, farmJSON), err
}

// each makes a list that is never null.
func each[A, B any](in []A, do func(A) B) []B {
	out := make([]B, len(in))
	for i := range in {
		out[i] = do(in[i])
	}
	return out
}

type apiNewFarm struct {
	Document string `json:"document" jsonschema:"the farm document, TOML"`
	Who      string `json:"who,omitempty"`
}

func (s *Server) apiCreate(r *http.Request, in apiNewFarm) (apiFarm, error) {
	f, err := s.checked(r, []byte(in.Document))
	if err != nil {
		return apiFarm{}, err
	}
	made, err := s.book.Create(r.Context(), f, []byte(in.Document), in.Who)
	return farmJSON(made), err
}

// checked is the name of the farm that a sound document speaks of.
func (s *Server) checked(r *http.Request, text []byte) (name string, err error) {
	d, err := s.deskOf(r.Context())
	if err != nil {
		return "", err
	}
	f, err := d.Check(s.sourceOf(r, text))
	if err != nil {
		return "", err
	}
	return f.Name, nil
}

// sourceOf is a document that is not in the book.
func (s *Server) sourceOf(r *http.Request, text []byte) *desk.Source {
	return &desk.Source{Name: "farm", Text: text, Units: unitsOf(s.person(r)), Station: func(name string) ([]byte, error) { return s.book.WeatherFile(r.Context(), name) }}
}

func (s *Server) apiFarm(r *http.Request, _ nothing) (apiFarm, error) {
	id, err := idOf(r)
	if err != nil {
		return apiFarm{}, err
	}
	f, err := s.book.Farm(r.Context(), id)
	if err != nil {
		return apiFarm{}, err
	}
	out := farmJSON(f)
	out.Key, err = s.keyOf(r.Context(), id)
	return out, err
}

func idOf(r *http.Request) (int64, error) {
	id, err := strconv.ParseInt(r.PathValue("id"), 10, 64)
	if err != nil {
		return 0, office.ErrMissing
	}
	return id, nil
}

type apiArchived struct {
	Archived *bool `json:"archived,omitempty" jsonschema:"left out: as it is"`
}

func (s *Server) apiArchive(r *http.Request, in apiArchived) (apiFarm, error) {
	id, err := idOf(r)
	if err != nil {
		return apiFarm{}, err
	}
	switch {
	case in.Archived == nil:
	case *in.Archived:
		err = s.book.Archive(r.Context(), id)
	default:
		err = s.book.Restore(r.Context(), id)
	}
	if err != nil {
		return apiFarm{}, err
	}
	return s.apiFarm(r, nothing{})
}

type apiVersion struct {
	Farm   int64     `json:"farm"`
	Number int       `json:"number"`
	Text   string    `json:"text,omitempty" jsonschema:"the document; left out in lists"`
	Hash   string    `json:"hash"`
	Saved  time.Time `json:"saved"`
	Who    string    `json:"who"`
	Note   string    `json:"note"`
}

func versionJSON(v office.Version) apiVersion {
	return apiVersion{v.Farm, v.Number, string(v.Text), v.Hash, v.Saved, v.Who, v.Note}
}

func (s *Server) apiDocument(r *http.Request, _ nothing) (apiVersion, error) {
	id, err := idOf(r)
	if err != nil {
		return apiVersion{}, err
	}
	if text := r.URL.Query().Get("version"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			return apiVersion{}, document.Problem{File: "address", Thing: "version", Value: text, Remedy: "write a whole number"}
		}
		v, err := s.book.Version(r.Context(), id, n)
		return versionJSON(v), err
	}
	v, err := s.book.Document(r.Context(), id)
	return versionJSON(v), err
}

type apiSaved struct {
	Base int    `json:"base" jsonschema:"number of the version that the writer began with"`
	Text string `json:"text"`
	Who  string `json:"who,omitempty"`
	Note string `json:"note,omitempty"`
}

func (s *Server) apiSave(r *http.Request, in apiSaved) (apiVersion, error) {
	id, err := idOf(r)
	if err != nil {
		return apiVersion{}, err
	}
	now, err := s.book.Document(r.Context(), id)
	if err == nil {
		err = savedBase(in.Base, now.Number)
	}
	if err == nil {
		err = plainNote(in.Note)
	}
	if err != nil {
		return apiVersion{}, err
	}
	if in.Base < 1 {
		return apiVersion{}, document.Problem{File: "body", Thing: "base", Remedy: "write the number of the version that the text was made from"}
	}
	if _, err := s.checked(r, []byte(in.Text)); err != nil {
		return apiVersion{}, err
	}
	v, err := s.book.Save(r.Context(), id, in.Base, []byte(in.Text), in.Who, in.Note)
	return versionJSON(v), err
}

func (s *Server) apiVersions(r *http.Request, _ nothing) ([]apiVersion, error) {
	id, err := idOf(r)
	if err != nil {
		return nil, err
	}
	v, err := s.book.Versions(r.Context(), id)
	return each(v, versionJSON), err
}

type apiText struct {
	Document string `json:"document"`
}

type apiChecked struct {
	Problems []apiFault `json:"problems" jsonschema:"empty: the document is in order"`
}

func (s *Server) apiCheck(r *http.Request, in apiText) (apiChecked, error) {
	_, err := s.checked(r, []byte(in.Document))
	var all document.Problems
	var one document.Problem
	if errors.As(err, &all) || errors.As(err, &one) {
		return apiChecked{faults(problemsOf(err))}, nil
	}
	return apiChecked{[]apiFault{}}, err
}

type apiFile struct {
	Name  string    `json:"name"`
	Bytes int       `json:"bytes"`
	Hash  string    `json:"hash" jsonschema:"SHA-256 of the file"`
	Saved time.Time `json:"saved"`
}

func (s *Server) apiWeather(r *http.Request, _ nothing) ([]apiFile, error) {
	files, err := s.book.Weather(r.Context())
	return each(files, func(f office.File) apiFile { return apiFile(f) }), err
}

func (s *Server) apiWeatherFile(w http.ResponseWriter, r *http.Request) {
	data, err := s.book.WeatherFile(r.Context(), r.PathValue("name"))
	if err != nil {
		s.apiFail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	w.Header().Set("Content-Disposition", "attachment")
	_, _ = w.Write(data)
}

func (s *Server) apiPutWeather(w http.ResponseWriter, r *http.Request) {
	data, err := io.ReadAll(r.Body)
	if err == nil {
		err = s.keepWeather(r.Context(), r.PathValue("name"), data)
	}
	if err != nil {
		s.apiFail(w, r, err)
		return
	}
	w.WriteHeader(http.StatusNoContent)
}

type apiCatalogueFile struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

func (s *Server) apiCatalogue(r *http.Request, _ nothing) ([]apiCatalogueFile, error) {
	files, err := s.book.Catalogue(r.Context())
	return each(files, func(c office.Catalogue) apiCatalogueFile { return apiCatalogueFile{c.Name, string(c.Text)} }), err
}

type apiCatalogueText struct {
	Text string `json:"text"`
}

// apiPutCatalogue keeps corrections only where the whole catalogue can be read with them.
func (s *Server) apiPutCatalogue(r *http.Request, in apiCatalogueText) (nothing, error) {
	name := r.PathValue("name")
	if err := s.corrects(r, name, []byte(in.Text)); err != nil {
		return nothing{}, err
	}
	return nothing{}, s.book.PutCatalogue(r.Context(), name, []byte(in.Text))
}

type apiPerson struct {
	Name   string `json:"name"`
	Units  string `json:"units" jsonschema:"us or metric"`
	Theme  string `json:"theme" jsonschema:"auto, light or dark"`
	Device string `json:"device" jsonschema:"name under which their entries are numbered"`
	Phone  string `json:"phone"`
}

func (s *Server) apiPeople(r *http.Request, _ nothing) ([]apiPerson, error) {
	all, err := s.book.People(r.Context())
	return each(all, func(p office.Person) apiPerson { return apiPerson(p) }), err
}

type apiPersonIn struct {
	Units  string `json:"units,omitempty"`
	Theme  string `json:"theme,omitempty"`
	Device string `json:"device,omitempty"`
	Phone  string `json:"phone,omitempty"`
}

func (s *Server) apiPutPerson(r *http.Request, in apiPersonIn) (nothing, error) {
	err := s.book.PutPerson(r.Context(), office.Person{Name: r.PathValue("name"), Units: in.Units, Theme: in.Theme, Device: in.Device, Phone: in.Phone})
	return nothing{}, err
}
