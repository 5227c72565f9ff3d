package web_test

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rowen/examples"
	"rowen/journal"
)

// Whatever a foreign page or a foreign name asks of the API, nothing is changed; our own
// page and a program that is no browser may.
func TestAPIGuard(t *testing.T) {
	server, book := serve(t, true)
	farm := dairyOf(t, book)
	text, err := os.ReadFile(filepath.Join("..", "..", "docs", "openapi.json"))
	if err != nil {
		t.Fatal(err)
	}
	var offered struct {
		Paths map[string]map[string]any
	}
	if err := json.Unmarshal(text, &offered); err != nil {
		t.Fatal(err)
	}
	tried := 0
	for path, methods := range offered.Paths {
		path = strings.NewReplacer("{id}", fmt.Sprint(farm), "{name}", "x", "{key}", "gap.bad").Replace(path)
		for method := range methods {
			for name, change := range map[string]func(*http.Request){
				"another site's":     func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") },
				"a sister name's":    func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") },
				"another origin's":   func(r *http.Request) { r.Header.Set("Origin", "http://127.0.0.1:1") },
				"a pointed name's":   func(r *http.Request) { r.Host = "rebound.example" },
				"an empty origin's":  func(r *http.Request) { r.Header.Set("Origin", "null") },
				"a name like ours's": func(r *http.Request) { r.Host = "localhost.rebound.example:8377" },
			} {
				foreignName := strings.Contains(name, "name") && !strings.Contains(name, "sister")
				if method == "get" && !foreignName {
					continue // it changes nothing, and its answer cannot be read there
				}
				r, err := http.NewRequestWithContext(t.Context(), strings.ToUpper(method), server.URL+path, strings.NewReader(`{}`))
				if err != nil {
					t.Fatal(err)
				}
				change(r)
				answer, err := http.DefaultTransport.RoundTrip(r)
				if err != nil {
					t.Fatal(err)
				}
				_, _ = io.Copy(io.Discard, answer.Body)
				_ = answer.Body.Close()
				want := http.StatusForbidden
				if foreignName {
					want = http.StatusMisdirectedRequest
				}
				if answer.StatusCode != want {
					t.Errorf("%s %s %s: %d, want %d", name, method, path, answer.StatusCode, want)
				}
				if kind := answer.Header.Get("Content-Type"); kind != "application/problem+json" {
					t.Errorf("%s %s %s: a program is told in %s", name, method, path, kind)
				}
				if answer.Header.Get("Access-Control-Allow-Origin") != "" {
					t.Errorf("%s %s: foreign pages may read it", method, path)
				}
				tried++
			}
		}
	}
	if tried < 90 {
		t.Errorf("only %d requests were tried", tried)
	}
}

// Names that would lead out of a folder, or break a header, name a file of the book and
// nothing else.
func TestAPIHostileNames(t *testing.T) {
	server, book := serve(t, true)
	file := valleyFile(1)
	for _, name := range []string{"../../../../etc/passwd", "..\\..\\x", "a\r\nSet-Cookie: x=1", "%2e%2e%2f", "\x00", "con", "<script>", strings.Repeat("x", 300)} {
		at := server.URL + "/api/weather/" + url.PathEscape(name)
		status := call(t, "PUT", at, "", file, nil)
		data, err := book.WeatherFile(t.Context(), name)
		switch {
		case status == http.StatusNoContent && (err != nil || string(data) != file):
			t.Errorf("%q was kept as something else: %q, %v", name, data, err)
		case status != http.StatusNoContent && status != http.StatusUnprocessableEntity && status != http.StatusBadRequest && status != http.StatusNotFound:
			t.Errorf("%q: %d", name, status)
		}
		answer, err := http.Get(at)
		if err != nil {
			t.Fatal(err)
		}
		_ = answer.Body.Close()
		if len(answer.Cookies()) > 0 || strings.Contains(answer.Header.Get("Content-Type"), "html") && answer.StatusCode == 200 {
			t.Errorf("%q: %v", name, answer.Header)
		}
	}
	if got, err := os.ReadFile("/etc/passwd"); err == nil && string(got) == file {
		t.Fatal("written outside the book")
	}
}

// Names of fields that are scripts are shown as names, served and carried.
func TestHostileFarm(t *testing.T) {
	_, server, book := field(t)
	b := open(t, server.URL)
	text, err := examples.Files.ReadFile("dairy.toml")
	if err != nil {
		t.Fatal(err)
	}
	evil := `</script><script>window.pwned=1</script><img src=x onerror=window.pwned=2>"'`
	quoted, err := json.Marshal(evil)
	if err != nil {
		t.Fatal(err)
	}
	hostile := strings.NewReplacer(`"Barn Pasture"`, string(quoted), `"Milkers"`, string(quoted), `"Fallow Brook"`, string(quoted)).Replace(string(text))
	f, err := book.Create(t.Context(), "x", []byte(hostile), evil)
	if err != nil {
		t.Fatal(err)
	}
	at := fmt.Sprintf("/farms/%d", f.ID)
	answer, err := http.Get(server.URL + at + "/phone/carry")
	if err != nil {
		t.Fatal(err)
	}
	page, err := io.ReadAll(answer.Body)
	_ = answer.Body.Close()
	if err != nil || answer.StatusCode != 200 {
		t.Fatalf("%d, %v: %.300s", answer.StatusCode, err, page)
	}
	carried := filepath.Join(t.TempDir(), "carried.html")
	if err := os.WriteFile(carried, page, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, where := range []string{server.URL + at + "/phone", "file://" + filepath.ToSlash(carried)} {
		b.do(chromedp.Navigate(where))
		b.until(`document.querySelectorAll("[data-note]").length > 3`)
		b.do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll("[data-note]")].find(e => e.dataset.note.includes("pwned")).click()`))
		b.tap(`[data-kind="grazing-in"]`)
		b.tap(`#note-body [name=group]`)
		b.tap(`#note-body button.main`)
		b.until(`document.querySelectorAll(".note-line").length === 1`)
		if got := ask[bool](b, `window.pwned === undefined`); !got {
			t.Errorf("%s: a name ran as a script", where)
		}
		b.sound(where)
	}
	b.visit(at + "/phone")
	b.until(`document.querySelectorAll(".note-line.sent").length === 1`)
	got, _ := entriesOf(t, book, f.ID, "p-")
	if len(got) != 1 || got[0].Field != evil || got[0].Group != evil || got[0].Kind() != journal.KindGrazingIn {
		t.Errorf("the note is %v", got)
	}
}
