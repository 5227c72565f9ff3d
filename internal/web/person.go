package web

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"rowen/internal/document"
	"rowen/internal/office"
	"rowen/quantity"
)

// personCookie names who sits at this browser.
const personCookie = "rowen-person"

// person is who sits at this browser: the one it names, else the book's first.
func (s *Server) person(r *http.Request) office.Person {
	if c, err := r.Cookie(personCookie); err == nil {
		if p, err := s.book.Person(r.Context(), unescaped(c.Value)); err == nil {
			return p
		}
	}
	if all, err := s.book.People(r.Context()); err == nil && len(all) > 0 {
		return all[0]
	}
	return office.Person{Name: s.pages.texts.say("person.me"), Units: "us", Theme: "auto"}
}

func unescaped(s string) string {
	if text, err := url.QueryUnescape(s); err == nil {
		return text
	}
	return s
}

func unitsOf(p office.Person) quantity.System {
	if u, err := quantity.ParseSystem(p.Units); err == nil {
		return u
	}
	return quantity.US
}

// demoOwner marks the documents of the invented valley.
const demoOwner = "the invented valley"

// demo tells whether farms of the invented valley stand in the book.
func (s *Server) demo(ctx context.Context) bool {
	farms, err := s.book.Farms(ctx)
	return err == nil && slices.ContainsFunc(farms, func(f office.Farm) bool { return !f.Archived && s.isDemo(ctx, f.ID) })
}

// isDemo tells whether a farm is of the invented valley: by who wrote its first
// document, which never changes.
func (s *Server) isDemo(ctx context.Context, farm int64) bool {
	s.mu.Lock()
	known, ok := s.demos[farm]
	s.mu.Unlock()
	if ok {
		return known
	}
	first, err := s.book.Version(ctx, farm, 1)
	if err != nil {
		return false
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.demos[farm] = first.Who == demoOwner
	return s.demos[farm]
}

type settingsPage struct {
	Person    office.Person
	People    []office.Person
	Wrong     map[string]string
	Path      string
	Weather   []office.File
	Catalogue []office.Catalogue
	Bring     []document.Problem // of a file brought in
}

func (s *Server) settings(w http.ResponseWriter, r *http.Request) {
	s.showSettings(w, r, http.StatusOK, settingsPage{Person: s.person(r)})
}

func (s *Server) showSettings(w http.ResponseWriter, r *http.Request, status int, body settingsPage) {
	var err1, err2, err3 error
	body.Path = s.book.Path()
	body.People, err1 = s.book.People(r.Context())
	body.Weather, err2 = s.book.Weather(r.Context())
	body.Catalogue, err3 = s.book.Catalogue(r.Context())
	if err := errors.Join(err1, err2, err3); err != nil {
		s.fail(w, r, err)
		return
	}
	s.show(w, r, status, "settings.html", page{Title: s.pages.texts.say("settings.title"), Tab: "settings", Body: body})
}

func (s *Server) saveSettings(w http.ResponseWriter, r *http.Request) {
	p := office.Person{Name: strings.TrimSpace(r.FormValue("name")), Units: r.FormValue("units"), Theme: r.FormValue("theme"), Phone: strings.TrimSpace(r.FormValue("phone"))}
	if old, err := s.book.Person(r.Context(), p.Name); err == nil {
		p.Device = old.Device
	}
	if err := s.book.PutPerson(r.Context(), p); err != nil {
		s.showSettings(w, r, refusal(err), settingsPage{Person: p, Wrong: map[string]string{"name": err.Error()}})
		return
	}
	http.SetCookie(w, &http.Cookie{Name: personCookie, Value: url.QueryEscape(p.Name), Path: "/", MaxAge: 400 * 24 * 3600, HttpOnly: true, SameSite: http.SameSiteStrictMode})
	http.Redirect(w, r, "/settings", http.StatusSeeOther)
}
