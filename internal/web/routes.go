package web

import (
	"fmt"
	"net/http"
	"strings"
)

// Handler is every page and action, behind the guard.
func (s *Server) Handler() http.Handler {
	m := http.NewServeMux()
	m.HandleFunc("GET /{$}", s.farms)
	m.HandleFunc("GET /farms/list", s.farmList)
	m.HandleFunc("GET /farms/new", s.newFarm)
	m.HandleFunc("POST /farms/new", s.form(s.createFarm))
	m.HandleFunc("POST /farms/bring", s.bringFarm)
	m.HandleFunc("POST /book/empty", s.form(s.emptyBook))
	m.HandleFunc("POST /book/demo", s.form(s.openDemo))
	m.HandleFunc("GET /guide", s.guide)
	m.HandleFunc("GET /settings", s.settings)
	m.HandleFunc("GET /book/copy/{kind}", s.bookCopy)
	m.HandleFunc("POST /settings", s.form(s.saveSettings))
	m.HandleFunc("POST /files/{kind}", s.bringFile)
	m.HandleFunc("POST /files/{kind}/drop", s.form(s.dropFile))

	m.HandleFunc("GET /farms/{id}/{$}", s.farmDoor)
	m.HandleFunc("GET /farms/{id}/season", s.season)
	m.HandleFunc("POST /farms/{id}/season", s.form(s.changeSeason))
	m.HandleFunc("GET /farms/{id}/season/sowing/{k}", s.sowingSheet)
	m.HandleFunc("GET /farms/{id}/season/new", s.newSowingSheet)
	m.HandleFunc("GET /farms/{id}/plans", s.plans)
	m.HandleFunc("POST /farms/{id}/plans", s.form(s.changePlans))
	m.HandleFunc("GET /farms/{id}/figures/{key}", s.figure)
	m.HandleFunc("GET /farms/{id}/animals", s.animals)
	m.HandleFunc("POST /farms/{id}/animals", s.form(s.saveAnimals))
	m.HandleFunc("GET /farms/{id}/ground", s.ground)
	m.HandleFunc("POST /farms/{id}/ground", s.form(s.saveGround))
	m.HandleFunc("POST /farms/{id}/ground/shapes", s.bringShapes)
	m.HandleFunc("GET /farms/{id}/ground/shapes.geojson", s.shapes)
	m.HandleFunc("GET /farms/{id}/store", s.store)
	m.HandleFunc("POST /farms/{id}/store", s.form(s.saveStore))
	m.HandleFunc("GET /farms/{id}/today", s.todayFarm)
	m.HandleFunc("POST /farms/{id}/today", s.form(s.writeDown))
	m.HandleFunc("GET /farms/{id}/print", s.print)
	m.HandleFunc("GET /farms/{id}/print/{file}", s.printed)
	m.HandleFunc("GET /farms/{id}/assumed", s.assumed)
	m.HandleFunc("POST /farms/{id}/assumed", s.form(s.putRight))
	m.HandleFunc("GET /farms/{id}/document", s.document)
	m.HandleFunc("POST /farms/{id}/document", s.form(s.saveDocument))
	m.HandleFunc("GET /farms/{id}/versions/{n}", s.version)
	m.HandleFunc("POST /farms/{id}/versions/{n}", s.form(s.takeVersion))
	m.HandleFunc("POST /farms/{id}/archive", s.form(s.archive))
	m.HandleFunc("POST /farms/{id}/restore", s.form(s.restore))

	s.phoneRoutes(m)
	s.apiRoutes(m)

	m.HandleFunc("GET /assets/{name...}", s.asset)
	m.HandleFunc("GET /healthz", s.health)
	m.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		if allow := methods(m, r); allow != "" {
			w.Header().Set("Allow", allow)
			s.refuse(w, r, http.StatusMethodNotAllowed, "refused.method")
			return
		}
		s.refuse(w, r, http.StatusNotFound, "refused.missing")
	})
	return s.guard(m)
}

// methods are those by which something stands at a request's address, for its header
// Allow; empty where nothing does. The patterns that take what is left name no method.
func methods(m *http.ServeMux, r *http.Request) string {
	var all []string
	for _, method := range []string{"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE"} {
		other := *r
		other.Method = method
		if _, pattern := m.Handler(&other); strings.Contains(pattern, " ") {
			all = append(all, method)
		}
	}
	return strings.Join(all, ", ")
}

// health answers those who ask whether the program and its book are there.
func (s *Server) health(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	if _, err := s.book.Farms(r.Context()); err != nil {
		w.WriteHeader(http.StatusServiceUnavailable)
		_, _ = w.Write([]byte("the book cannot be read\n"))
		return
	}
	if err := s.book.Wrong(); err != nil {
		w.WriteHeader(http.StatusServiceUnavailable)
		_, _ = fmt.Fprintln(w, err)
		return
	}
	_, _ = w.Write([]byte("ok\n"))
}
