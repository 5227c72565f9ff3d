package web

import (
	"bytes"
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"

	"rowen/internal/crew"
	"rowen/internal/office"
)

// A defect of a worker is told like one of the page itself: in words, with its stack in
// the log and not on the page.
func TestWorkersDefect(t *testing.T) {
	book, err := office.Open(context.Background(), filepath.Join(t.TempDir(), "office.book"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = book.Close() }()
	var log bytes.Buffer
	s, err := New(book, Options{Log: slog.New(slog.NewTextHandler(&log, nil))})
	if err != nil {
		t.Fatal(err)
	}
	work, _ := crew.Of(context.Background(), 1)
	work.Go(func() error { panic("no such acre") })
	wrong := fmt.Errorf("field: %w", work.Wait())
	for name, fail := range map[string]func(http.ResponseWriter, *http.Request, error){"page": s.fail, "answer": s.apiFail} {
		log.Reset()
		w := httptest.NewRecorder()
		fail(w, httptest.NewRequest("GET", "/farms/1", nil), wrong)
		if text := w.Body.String(); w.Code != http.StatusInternalServerError || !strings.Contains(text, "defect of Rowen") || strings.Contains(text, "acre") {
			t.Errorf("%s: status %d\n%s", name, w.Code, text)
		}
		if !strings.Contains(log.String(), "no such acre") || !strings.Contains(log.String(), "defect_test.go") {
			t.Errorf("%s: the log says %s", name, log.String())
		}
	}
}
