package web

import "net/http"

// phoneRoutes are the field page, its hand-over to a phone without a network, and the
// way back.
func (s *Server) phoneRoutes(m *http.ServeMux) {
	m.HandleFunc("GET /farms/{id}/phone", s.phone)
	m.HandleFunc("GET /farms/{id}/phone.webmanifest", s.phoneManifest)
	m.HandleFunc("GET /farms/{id}/phone/carry", s.carry)
	m.HandleFunc("GET /farms/{id}/notes", s.notes)
	m.HandleFunc("POST /farms/{id}/notes", s.bringNotes)
	m.HandleFunc("GET /sw.js", s.worker)
}
