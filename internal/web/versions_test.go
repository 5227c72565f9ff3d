package web_test

import (
	"bytes"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// An earlier version is opened from the list, read with its plan, and taken again; Undo
// goes back.
func TestVersionsAreOpened(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	first := newestText(t, book)
	if status, _ := post(t, farm+"/ground", url.Values{"field": {"0"}, "f0.area": {"23 ac"}}); status != http.StatusSeeOther {
		t.Fatalf("status %d", status)
	}
	second := newestText(t, book)
	if _, page := get(t, farm+"/document"); !bytes.Contains(page, []byte(dairy(t, book)+"/versions/1\"")) {
		t.Error("the list opens no version")
	}
	status, page := get(t, farm+"/versions/1")
	for _, want := range []string{"readonly", "&#34;22 ac&#34;", "<td>22 ac</td><td>23 ac</td>", "Short or bought, worst year", `name="base" value="2"`} {
		if status != http.StatusOK || !bytes.Contains(page, []byte(want)) {
			t.Errorf("status %d, the version does not say %s", status, want)
		}
	}
	if status, page := get(t, farm+"/versions/2"); status != http.StatusOK || bytes.Contains(page, []byte("<button class=\"main\"")) {
		t.Errorf("the version in force is offered to be taken: status %d", status)
	}
	for _, n := range []string{"9", "x", "-1"} {
		if status, _ := get(t, farm+"/versions/"+n); status != http.StatusNotFound {
			t.Errorf("version %s: status %d", n, status)
		}
	}
	if status, body := post(t, farm+"/versions/1", url.Values{"base": {"1"}}); status != http.StatusConflict || !strings.Contains(body, "<td>22 ac</td><td>23 ac</td>") || newestText(t, book) != second {
		t.Errorf("taken over what nobody saw: status %d", status)
	}
	if status, _ := post(t, farm+"/versions/1", url.Values{"base": {"2"}}); status != http.StatusSeeOther || newestText(t, book) != first {
		t.Errorf("taken again: status %d", status)
	}
	if status, _ := post(t, farm+"/season", url.Values{"do": {"undo"}}); status != http.StatusSeeOther || newestText(t, book) != second {
		t.Errorf("undone: status %d", status)
	}
}
