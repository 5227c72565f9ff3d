package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// What is no number, no choice or no such thing is told beside its field, or by what it
// names; nothing is kept and nothing else is changed.
func TestWrongValues(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	for _, c := range []struct {
		page   string
		form   url.Values
		beside string
	}{
		{"/animals", url.Values{"p0.head": {"NaN"}}, "p0.head"},
		{"/animals", url.Values{"p0.head": {"Inf"}}, "p0.head"},
		{"/animals", url.Values{"p0.gestation": {"-Inf"}}, "p0.gestation"},
		{"/animals", url.Values{"g0.class": {"unicorn"}}, "g0.class"},
		{"/animals", url.Values{"g0.grazes": {"perhaps"}}, "g0.grazes"},
		{"/ground", url.Values{"field": {"0"}, "f0.soil.pH": {"NaN"}}, "f0.soil.pH"},
		{"/ground", url.Values{"field": {"0"}, "f0.age": {"Infinity"}}, "f0.age"},
		{"/ground", url.Values{"field": {"0"}, "f0.grazeable": {"perhaps"}}, "f0.grazeable"},
		{"/ground", url.Values{"field": {"0"}, "f0.stand": {"triffid"}}, "f0.stand"},
		{"/ground", url.Values{"field": {"0"}, "f0.use": {"dance"}}, "f0.use"},
		{"/ground", url.Values{"field": {"0"}, "f0.soil.texture": {"jelly"}}, "f0.soil.texture"},
	} {
		status, body := post(t, farm+c.page, c.form)
		if status != http.StatusUnprocessableEntity || !besideField(body, c.beside) || strings.Contains(body, "<b>TOML</b>") {
			t.Errorf("%v: status %d", c.form, status)
		}
	}
	for _, do := range []string{"period 1e0", "period 0x1", "period 1 2", "drop-period 99", "drop-group -1", "drop-group", "period x"} {
		if status, body := post(t, farm+"/animals", url.Values{"do": {do}}); status != http.StatusUnprocessableEntity || !strings.Contains(body, "no such group") {
			t.Errorf("%s: status %d", do, status)
		}
	}
	for _, field := range []string{"1e0", "0x1", "1 2", "", "99", "-2"} {
		if status, body := post(t, farm+"/ground", url.Values{"field": {field}, "f1.area": {"3 ac"}}); status != http.StatusUnprocessableEntity || !strings.Contains(body, "no such field") {
			t.Errorf("field %q: status %d", field, status)
		}
	}
	if status, body := post(t, farm+"/assumed", url.Values{"line": {"field 77 area"}, "value": {"51 ac"}}); status != http.StatusUnprocessableEntity || !strings.Contains(body, "<q>51 ac</q>") || !strings.Contains(body, "no longer assumed") {
		t.Errorf("what is assumed no more: status %d", status)
	}
	if v, err := book.Document(t.Context(), farmID(t, book)); err != nil || v.Number != 1 {
		t.Errorf("something wrong was kept as version %d, %v", v.Number, err)
	}
}

// What stands at an address is told where it was asked for by another method.
func TestMethods(t *testing.T) {
	server, book := serve(t, true)
	farm := dairy(t, book)
	for _, c := range []struct {
		method, path string
		status       int
		allow        string
	}{
		{"DELETE", farm + "/season", 405, "GET, HEAD, POST"},
		{"PUT", "/settings", 405, "GET, HEAD, POST"},
		{"GET", "/book/empty", 405, "POST"},
		{"DELETE", "/api/farms", 405, "GET, HEAD, POST"},
		{"POST", "/api" + farm, 405, "GET, HEAD, PATCH"},
		{"GET", "/nowhere", 404, ""},
		{"DELETE", "/api/nowhere", 404, ""},
	} {
		status, _, header := sent(t, c.method, server.URL+c.path, "", "")
		if status != c.status || header.Get("Allow") != c.allow {
			t.Errorf("%s %s: status %d, allow %q; want %d, %q", c.method, c.path, status, header.Get("Allow"), c.status, c.allow)
		}
	}
	if status, body, _ := sent(t, "PUT", server.URL+"/api"+farm+"/document", "application/json", `{"text":"rowen = 1"}`); status != http.StatusUnprocessableEntity || !strings.Contains(body, `"thing":"base"`) {
		t.Errorf("a document over no version: status %d %s", status, body)
	}
}

// This machine's own name is its own however it is written.
func TestOwnNames(t *testing.T) {
	server, _ := serve(t, false)
	port := server.URL[strings.LastIndexByte(server.URL, ':'):]
	for host, want := range map[string]int{"LOCALHOST" + port: 200, "localhost." + port: 200, "LocalHost.": 200, "127.0.0.1": 200, "localhost.evil" + port: 421, "localhost.." + port: 421} {
		r, err := http.NewRequest("GET", server.URL+"/healthz", nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Host = host
		answer, err := http.DefaultTransport.RoundTrip(r)
		if err != nil {
			t.Fatal(err)
		}
		_ = answer.Body.Close()
		if answer.StatusCode != want {
			t.Errorf("%s: status %d, want %d", host, answer.StatusCode, want)
		}
	}
}
