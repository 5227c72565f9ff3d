package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"runtime"
	"strings"
	"testing"
)

// Notes without end are refused before they are read, and of many problems the first
// are told.
func TestTooManyNotes(t *testing.T) {
	server, book := serve(t, true)
	at := server.URL + dairy(t, book) + "/notes"
	bring := func(text string) (status, problems int, body string, megabytes uint64) {
		t.Helper()
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		status, body = post(t, at, url.Values{"text": {text}, "do": {"look"}})
		runtime.ReadMemStats(&after)
		alert, _, _ := strings.Cut(body, "</ul>")
		_, alert, _ = strings.Cut(alert, `role="alert"`)
		return status, strings.Count(alert, "<li>"), body, (after.TotalAlloc - before.TotalAlloc) >> 20
	}
	words := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "height %d.%02d in on Barn Pasture 8 July\n", 5+i%5, i/5%100)
		}
		return b.String()
	}
	for name, text := range map[string]string{"in plain words": words(30_000), "as lines": strings.Repeat("{}\n", 300_000)} {
		if status, n, body, _ := bring(text); status != http.StatusUnprocessableEntity || n != 1 || !strings.Contains(body, "5000 notes are the most at once") {
			t.Errorf("%s: status %d, %d problems", name, status, n)
		}
	}
	if status, n, body, _ := bring(strings.Repeat("rowen-notes:\n", 200_000)); status != http.StatusUnprocessableEntity || n != 21 || !strings.Contains(body, "199980 more") {
		t.Errorf("broken codes: status %d, %d problems", status, n)
	}
	if status, n, _, _ := bring(strings.Repeat("nonsense\n", 4000)); status != http.StatusUnprocessableEntity || n != 21 {
		t.Errorf("nonsense: status %d, %d problems", status, n)
	}
	// As many as a season has are asked about once, all together.
	if status, n, body, used := bring(words(500)); status != http.StatusOK || n != 0 || !strings.Contains(body, "9.99 in") || used > 200 {
		t.Errorf("a season's: status %d, %d problems, %d MB went through memory", status, n, used)
	}
}
