package web

import (
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"runtime/debug"
	"strings"
	"time"
)

// policy is what a page may load and do: its own files, nothing written into the page.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// maxBody is the most that a form may send; uploads of weather say so themselves.
const maxBody = 40 << 20

// guard stands before every request: a name that is not this machine's (a foreign site
// whose name was pointed here), a form sent by another site, and a body without end are
// refused; a defect is logged and told, and the server goes on.
func (s *Server) guard(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.refuse(w, r, http.StatusForbidden, "refused.cross")
	}))
	inner := cross.Handler(s.bounded(next))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		seen := &watched{ResponseWriter: w, status: http.StatusOK}
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
		h.Set("Cache-Control", "no-store")
		defer func() {
			if p := recover(); p != nil {
				if p == http.ErrAbortHandler {
					panic(p)
				}
				s.log.Error("defect", "path", r.URL.Path, "panic", p, "stack", string(debug.Stack()))
				if !seen.wrote {
					s.refuse(seen, r, http.StatusInternalServerError, "refused.defect")
				}
			}
			level := slog.LevelDebug
			if seen.status >= 500 {
				level = slog.LevelError
			}
			s.log.Log(r.Context(), level, "request", "method", r.Method, "path", r.URL.Path, "status", seen.status, "ms", float64(time.Since(began).Microseconds())/1000)
		}()
		if !ownName(r.Host) {
			s.refuse(seen, r, http.StatusMisdirectedRequest, "refused.host")
			return
		}
		r.Body = http.MaxBytesReader(seen, r.Body, maxBody)
		inner.ServeHTTP(seen, r)
	})
}

// ownName tells whether a host is this machine by a name that nobody else can own.
func ownName(host string) bool {
	name, _, err := net.SplitHostPort(host)
	if err != nil {
		name = host
	}
	name = strings.TrimSuffix(name, ".") // the same name, written to the root
	if strings.EqualFold(name, "localhost") {
		return true
	}
	if len(name) > 1 && name[0] == '[' {
		name = name[1 : len(name)-1]
	}
	ip, err := netip.ParseAddr(name)
	return err == nil && ip.IsLoopback()
}

// watched remembers a response's status.
type watched struct {
	http.ResponseWriter
	status int
	wrote  bool
}

func (w *watched) WriteHeader(status int) {
	if !w.wrote {
		w.status, w.wrote = status, true
	}
	w.ResponseWriter.WriteHeader(status)
}

func (w *watched) Write(b []byte) (int, error) {
	w.wrote = true
	return w.ResponseWriter.Write(b)
}

// Unwrap lets http.ResponseController reach what lies below.
func (w *watched) Unwrap() http.ResponseWriter { return w.ResponseWriter }
