package web

import "net/http"

// apiRoutes are what programs call.
func (s *Server) apiRoutes(m *http.ServeMux) {
	m.HandleFunc("POST /api/farms/{id}/journal", s.apiRecord)
}
