// Package web is Rowen's face in a browser: the office's book on the person's own
// machine, served to that machine alone. It reads requests, asks the desk and the
// book, and fills page models into templates. It may not know how a figure is computed
// or a chart is drawn.
package web

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"strings"
	"sync"
	"time"

	"rowen/crop"
	"rowen/internal/desk"
	"rowen/internal/office"
)

// Server serves one book.
type Server struct {
	book  *office.Book
	log   *slog.Logger
	pages *pages
	today func() time.Time // the machine's clock
	years int              // that plans are made over; 0: the usual

	mu   sync.Mutex
	desk *desk.Desk // over the catalogue as the book has it
	made string     // the catalogue files that the desk was made over

	reading reading        // farms being read behind pages
	listed  list           // what they want, once read
	looking searches       // for plans
	bodies  bodies         // large ones, being read
	demos   map[int64]bool // farms by whether they are the invented valley's
}

// Options are what a server may be given.
type Options struct {
	Log *slog.Logger     // nil: nothing is logged
	Now func() time.Time // nil: the machine's clock

	Years int // of the latest feed years are planned over; 0: the usual thirty

	Language []byte // the file of a language, see English; nil: English
}

// New readies a server over an open book.
func New(book *office.Book, o Options) (*Server, error) {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	p, err := newPages(o.Language)
	if err != nil {
		return nil, err
	}
	s := &Server{book: book, log: o.Log, pages: p, today: o.Now, years: o.Years, demos: map[int64]bool{}, bodies: newBodies()}
	_, err = s.deskOf(context.Background())
	return s, err
}

// deskOf is the desk over the catalogue as the book has it now.
func (s *Server) deskOf(ctx context.Context) (*desk.Desk, error) {
	files, err := s.book.Catalogue(ctx)
	if err != nil {
		return nil, err
	}
	var office []crop.Office
	var made strings.Builder
	for _, f := range files {
		office = append(office, crop.Office{Name: f.Name, Text: f.Text})
		fmt.Fprintf(&made, "%s %d %x\n", f.Name, len(f.Text), f.Text)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.desk != nil && s.made == made.String() {
		return s.desk, nil
	}
	c, err := crop.Load(office...)
	if err != nil {
		return nil, err
	}
	s.desk, s.made = desk.NewDesk(c), made.String()
	s.desk.Years = s.years
	return s.desk, nil
}

// Limits on a request: a page's own forms are far below them.
const (
	readTimeout  = 30 * time.Second
	writeTimeout = 2 * time.Minute
	idleTimeout  = 2 * time.Minute
	closing      = 10 * time.Second
	maxHeader    = 32 << 10
)

// Loopback reads an address to listen on and refuses what other machines could reach.
func Loopback(listen string) (string, error) {
	host, port, err := net.SplitHostPort(listen)
	if err != nil {
		return "", fmt.Errorf("--listen %q: write an address and a port, such as 127.0.0.1:8377", listen)
	}
	if host == "localhost" {
		host = "127.0.0.1"
	}
	ip, err := netip.ParseAddr(host)
	if err != nil || !ip.IsLoopback() {
		return "", fmt.Errorf("--listen %q: Rowen has no accounts, so it answers this machine alone; write 127.0.0.1:%s, and carry a farm to a phone with its hand-over file", listen, port)
	}
	return net.JoinHostPort(ip.String(), port), nil
}

// Serve answers on a listener until the context ends; then it lets requests that run
// come to their end.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	h := &http.Server{
		Handler:           s.Handler(),
		ReadHeaderTimeout: 10 * time.Second, ReadTimeout: readTimeout, WriteTimeout: writeTimeout, IdleTimeout: idleTimeout,
		MaxHeaderBytes: maxHeader,
		ErrorLog:       slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
	}
	done := make(chan error, 1)
	go func() { done <- h.Serve(l) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), closing)
	defer cancel()
	err := h.Shutdown(last)
	if served := <-done; !errors.Is(served, http.ErrServerClosed) {
		err = errors.Join(err, served)
	}
	return err
}
