package web_test

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"rowen/internal/office"
)

// sent sends any request, follows nothing, and gives status, body and header.
func sent(t *testing.T, method, to, kind, body string) (int, string, http.Header) {
	t.Helper()
	r, err := http.NewRequest(method, to, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	answer, err := http.DefaultTransport.RoundTrip(r)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text), answer.Header
}

func archived(t *testing.T, book *office.Book, id int64) bool {
	t.Helper()
	f, err := book.Farm(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	return f.Archived
}

// A farm is put away after a question, and comes back by a button; so does the valley,
// whether or not other farms stand in the book.
func TestPutAwayAndBack(t *testing.T) {
	server, book := serve(t, true)
	farm, id := server.URL+dairy(t, book), farmID(t, book)
	_, page := get(t, farm+"/document")
	if at := bytes.Index(page, []byte(dairy(t, book)+"/archive")); at < 0 || bytes.LastIndex(page[:at], []byte("<details>")) < bytes.LastIndex(page[:at], []byte("</details>")) {
		t.Error("the farm is put away without a question")
	}
	if status, _ := post(t, farm+"/archive", nil); status != http.StatusSeeOther || !archived(t, book, id) {
		t.Fatalf("put away: status %d", status)
	}
	if status, _, _ := sent(t, "PATCH", server.URL+fmt.Sprintf("/api/farms/%d", id), "application/json", "{}"); status != http.StatusOK || !archived(t, book, id) {
		t.Errorf("nothing asked for: status %d, put away: %v", status, archived(t, book, id))
	}
	if _, page = get(t, server.URL+"/?date="+demoDay); !bytes.Contains(page, []byte(dairy(t, book)+"/restore")) {
		t.Error("no page brings the farm back")
	}
	if status, _ := post(t, farm+"/restore", nil); status != http.StatusSeeOther || archived(t, book, id) {
		t.Errorf("taken up again: status %d", status)
	}
	if status, _ := post(t, server.URL+"/farms/77/restore", nil); status != http.StatusNotFound {
		t.Errorf("no farm: status %d", status)
	}
	if status, _ := post(t, server.URL+"/book/empty", nil); status != http.StatusSeeOther {
		t.Fatalf("status %d", status)
	}
	if _, page = get(t, server.URL+"/"); !bytes.Contains(page, []byte("no farm yet")) || !bytes.Contains(page, []byte(dairy(t, book)+"/restore")) {
		t.Error("an empty book does not list what was put away")
	}
	if status, _ := post(t, server.URL+"/farms/new", eight(nil)); status != http.StatusSeeOther {
		t.Fatalf("status %d", status)
	}
	if _, page = get(t, server.URL+"/"); !bytes.Contains(page, []byte("Take the invented valley up again")) {
		t.Error("beside another farm the valley cannot be brought back")
	}
	if status, _ := post(t, server.URL+"/book/demo", nil); status != http.StatusSeeOther || archived(t, book, id) {
		t.Errorf("the valley again: status %d", status)
	}
}

// eight is the form of a new farm, with some answers otherwise.
func eight(otherwise map[string]string) url.Values {
	out := url.Values{"name": {"Sedge Lane"}, "place": {"43.05, -74.48"}, "animals": {"70"}, "milk": {"48 lb/d"}, "sward": {"180 ac"}, "cropland": {"40 ac"}, "stored": {"250 ton"}, "turnout": {"5 May"}, "first_year": {"2027"}}
	for key, v := range otherwise {
		out.Set(key, v)
	}
	return out
}
