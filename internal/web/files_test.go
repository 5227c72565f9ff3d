package web_test

import (
	"bytes"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"rowen/quantity"
	"rowen/weather"
)

// send uploads a file and gives status and body.
func send(t *testing.T, to, name string, data []byte) (int, string) {
	t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	w, err := m.CreateFormFile("file", name)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(data); err != nil {
		t.Fatal(err)
	}
	if err := m.Close(); err != nil {
		t.Fatal(err)
	}
	c := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	r, err := c.Post(to, m.FormDataContentType(), &b)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = r.Body.Close() }()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.StatusCode, string(body)
}

// valleyFile is a station's file of the invented valley's latest years.
func valleyFile(years int) string {
	v := weather.Valley(years, 2024)
	var csv strings.Builder
	csv.WriteString("date,tmax_c,tmin_c,rain_mm,latitude\n")
	for i, d := range v.Days {
		fmt.Fprintf(&csv, "%s,%.1f,%.1f,%.1f,43\n", v.First+quantity.Date(i), d.TMax, d.TMin, d.Rain)
	}
	return csv.String()
}

// A station's file comes into the book, a farm takes it, and its plan is of it; a file
// that cannot be read stays out, and a path in a name leads nowhere.
func TestWeatherBroughtIn(t *testing.T) {
	server, book := serve(t, true)
	if status, body := send(t, server.URL+"/files/weather", `..\..\barn.csv`, []byte(valleyFile(6))); status != http.StatusSeeOther {
		t.Fatalf("status %d: %.500s", status, body)
	}
	files, err := book.Weather(t.Context())
	if err != nil || len(files) != 1 || files[0].Name != "barn.csv" {
		t.Fatalf("%v, %v", files, err)
	}
	for name, data := range map[string]string{"none.csv": "", "words.csv": "hello there\n", "packed.gz": "\x1f\x8b\x08\x00"} {
		if status, body := send(t, server.URL+"/files/weather", name, []byte(data)); status != http.StatusUnprocessableEntity || !strings.Contains(body, `role="alert"`) {
			t.Errorf("%s: status %d", name, status)
		}
	}
	farm := server.URL + dairy(t, book)
	if status, body := post(t, farm+"/ground", url.Values{"do": {"weather"}, "field": {"-1"}, "weather": {"barn.csv"}}); status != http.StatusSeeOther {
		t.Fatalf("status %d: %.300s", status, body)
	}
	if _, page := get(t, farm+"/season"); !bytes.Contains(page, []byte("of 5 years")) {
		t.Error("the plan is not over the station's five feed years")
	}
	if status, _ := post(t, server.URL+"/files/weather/drop", url.Values{"name": {"barn.csv"}}); status != http.StatusSeeOther {
		t.Errorf("status %d", status)
	}
	if status, page := get(t, farm+"/season"); status != http.StatusUnprocessableEntity || !bytes.Contains(page, []byte("barn.csv")) {
		t.Errorf("without its weather: status %d", status)
	}
}

// Corrections that cannot be read would take every farm down: they stay out.
func TestCatalogueBroughtIn(t *testing.T) {
	server, book := serve(t, true)
	if status, body := send(t, server.URL+"/files/catalogue", "wrong.toml", []byte("[[nonsense]]\n")); status != http.StatusUnprocessableEntity || !strings.Contains(body, `role="alert"`) {
		t.Errorf("status %d", status)
	}
	if status, _ := get(t, server.URL+dairy(t, book)+"/season"); status != http.StatusOK {
		t.Errorf("status %d", status)
	}
	if status, _ := send(t, server.URL+"/files/secrets", "x", []byte("x")); status != http.StatusNotFound {
		t.Errorf("status %d", status)
	}
}
