package web

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"

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
	Person office.Person
	People []office.Person
	Wrong  map[string]string
	Path   string
}

func (s *Server) settings(w http.ResponseWriter, r *http.Request) {
	people, err := s.book.People(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.show(w, r, http.StatusOK, "settings.html", page{Title: s.pages.texts.say("settings.title"), Tab: "settings", Body: settingsPage{Person: s.person(r), People: people, Path: s.book.Path()}})
}

func (s *Server) saveSettings(w http.ResponseWriter, r *http.Request) {
	p := office.Person{Name: strings.TrimSpace(r.FormValue("name")), Units: r.FormValue("units"), Theme: r.FormValue("theme"), Phone: strings.TrimSpace(r.FormValue("phone"))}
	if old, err := s.book.Person(r.Context(), p.Name); err == nil {
		p.Device = old.Device
	}
	if err := s.book.PutPerson(r.Context(), p); err != nil {
		people, _ := s.book.People(r.Context())
		s.show(w, r, http.StatusUnprocessableEntity, "settings.html", page{Title: s.pages.texts.say("settings.title"), Tab: "settings", Body: settingsPage{Person: p, People: people, Path: s.book.Path(), Wrong: map[string]string{"name": err.Error()}}})
		return
	}
	http.SetCookie(w, &http.Cookie{Name: personCookie, Value: url.QueryEscape(p.Name), Path: "/", MaxAge: 400 * 24 * 3600, HttpOnly: true, SameSite: http.SameSiteStrictMode})
	http.Redirect(w, r, "/settings", http.StatusSeeOther)
}
