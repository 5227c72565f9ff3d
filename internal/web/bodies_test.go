package web

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rowen/internal/office"
)

// Few large bodies are read at once; one for which there is no room in time is told when
// to come again, and small requests go on meanwhile.
func TestLargeBodies(t *testing.T) {
	book, err := office.Open(t.Context(), filepath.Join(t.TempDir(), "book"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	}()
	s, err := New(book, Options{})
	if err != nil {
		t.Fatal(err)
	}
	s.bodies.wait = 50 * time.Millisecond
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	send := func(method, path string, body io.Reader) (int, string, string) {
		r, err := http.NewRequest(method, server.URL+path, body)
		if err != nil {
			t.Error(err)
			return 0, "", ""
		}
		got, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Error(err)
			return 0, "", ""
		}
		defer func() { _ = got.Body.Close() }()
		text, err := io.ReadAll(got.Body)
		if err != nil {
			t.Error(err)
		}
		return got.StatusCode, got.Header.Get("Retry-After"), string(text)
	}
	const read = http.StatusUnprocessableEntity // whole, and found to be no weather
	large := func() io.Reader { return bytes.NewReader(make([]byte, 2<<20)) }
	if status, _, body := send("PUT", "/api/weather/one", large()); status != read {
		t.Fatalf("alone: status %d, %s", status, body)
	}
	if len(s.bodies.slots) != 0 {
		t.Error("it did not leave")
	}
	var slow []*io.PipeWriter // bodies that do not end
	ended := make(chan int, largeAtTime)
	for range largeAtTime {
		from, to := io.Pipe()
		slow = append(slow, to)
		go func() {
			status, _, _ := send("PUT", "/api/weather/slow", from)
			ended <- status
		}()
	}
	for i := 0; i < 10_000 && len(s.bodies.slots) < largeAtTime; i++ {
		time.Sleep(time.Millisecond)
	}
	for path, want := range map[string]string{"/api/weather/two": "waited too long", "/files/weather": "waited too long"} {
		method := "PUT"
		if strings.HasPrefix(path, "/files") {
			method = "POST"
		}
		if status, again, body := send(method, path, large()); status != http.StatusServiceUnavailable || again != "5" || !strings.Contains(body, want) {
			t.Errorf("%s: status %d, again after %q, %.300s", path, status, again, body)
		}
	}
	if status, _, _ := send("PUT", "/api/weather/small", strings.NewReader("x")); status != read {
		t.Errorf("a small one: status %d", status)
	}
	for _, w := range slow {
		_ = w.Close()
		if status := <-ended; status != read {
			t.Errorf("a slow one: status %d", status)
		}
	}
	if status, _, body := send("PUT", "/api/weather/two", large()); status != read {
		t.Errorf("with room again: status %d, %s", status, body)
	}
}
