package web

import (
	"context"
	"io"
	"net/http"
	"strconv"
	"time"
)

// A large body lies in memory several times over while it is read, so that few are taken
// in at once; the others wait, for a while.
const (
	largeBody   = 1 << 20 // bytes from which a body is large
	largeAtTime = 2
	largeWait   = 10 * time.Second
	largeAgain  = 5 * time.Second // after which it is worth another try
)

// bodies lets large bodies in.
type bodies struct {
	slots chan struct{}
	wait  time.Duration
}

func newBodies() bodies { return bodies{make(chan struct{}, largeAtTime), largeWait} }

// enter waits for room; false where there is none in time. Who has entered leaves.
func (b bodies) enter(ctx context.Context) bool {
	late := time.NewTimer(b.wait)
	defer late.Stop()
	select {
	case b.slots <- struct{}{}:
		return true
	case <-late.C:
	case <-ctx.Done():
	}
	return false
}

func (b bodies) leave() { <-b.slots }

// bounded lets few requests with large bodies, or such of unknown length, through at
// once. One that waited too long is told when to come again.
func (s *Server) bounded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.ContentLength >= 0 && r.ContentLength < largeBody {
			next.ServeHTTP(w, r)
			return
		}
		if s.bodies.enter(r.Context()) {
			defer s.bodies.leave()
			next.ServeHTTP(w, r)
			return
		}
		_, _ = io.Copy(io.Discard, r.Body) // who still sends would not read the answer
		w.Header().Set("Retry-After", strconv.Itoa(int(largeAgain/time.Second)))
		s.refuse(w, r, http.StatusServiceUnavailable, "refused.busy")
	})
}
