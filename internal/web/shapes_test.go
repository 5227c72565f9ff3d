package web_test

import (
	"bytes"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"runtime"
	"strings"
	"testing"
)

// bringMap sends a GeoJSON file to a farm's ground; names are of features, with their
// geometry.
func bringMap(t *testing.T, farm string, features ...[2]string) (int, string) {
	t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	w, err := m.CreateFormFile("map", "fields.geojson")
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range features {
		before := ","
		if i == 0 {
			before = `{"type":"FeatureCollection","features":[`
		}
		fmt.Fprintf(w, `%s{"type":"Feature","properties":{"name":%q},"geometry":%s}`, before, f[0], f[1])
	}
	fmt.Fprint(w, "]}")
	if err := m.Close(); err != nil {
		t.Fatal(err)
	}
	c := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	r, err := c.Post(farm+"/ground/shapes", m.FormDataContentType(), &b)
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

// plot is a square of a hectare, about, in a row and a column of squares far from any
// other field.
func plot(row, column float64) string {
	x, y := -74+column*2e-3, 43.5+row*2e-3
	return fmt.Sprintf(`{"type":"Polygon","coordinates":[[[%.6f,%.6f],[%.6f,%.6f],[%.6f,%.6f],[%.6f,%.6f],[%.6f,%.6f]]]}`, x, y, x+1e-3, y, x+1e-3, y+1e-3, x, y+1e-3, x, y)
}

// A map with more than fields in it gives its fields, and says what was left out and
// which outlines lie over one another.
func TestMixedMap(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	status, body := bringMap(t, farm, [2]string{"East", plot(0, 0)}, [2]string{"Well", `{"type":"Point","coordinates":[1,2]}`}, [2]string{"West", plot(0, 0.25)})
	for _, want := range []string{"Outlines brought in: 2", "feature 2 &#34;Well&#34;", "<q>Point</q>", "East and West share about 1.1 ac"} {
		if status != http.StatusOK || !strings.Contains(body, want) {
			t.Errorf("status %d, want %q in\n%.3000s", status, want, body)
		}
	}
	for _, name := range []string{"East", "West"} {
		if got := fieldArea(t, book, name); got < 8900 || got > 9100 {
			t.Errorf("%s measures %.0f m²", name, float64(got))
		}
	}
	// Over a field that was there, and no longer over one that was moved with it.
	if status, body := bringMap(t, farm, [2]string{"west", plot(4, 0)}, [2]string{"Third", plot(0, 0.4)}); status != http.StatusOK || !strings.Contains(body, "East and Third share about") || strings.Contains(body, "West and Third") {
		t.Errorf("status %d\n%.3000s", status, body)
	}
	if status, body := bringMap(t, farm, [2]string{"Alone", plot(8, 8)}); status != http.StatusSeeOther {
		t.Errorf("nothing to tell: status %d\n%.3000s", status, body)
	}
	if status, body := bringMap(t, farm, [2]string{"Same", plot(9, 9)}, [2]string{"same", plot(9, 10)}); status != http.StatusUnprocessableEntity || !strings.Contains(body, "two outlines of the map have this name") {
		t.Errorf("one name twice: status %d\n%.3000s", status, body)
	}
}

// The largest map is read in one go, the first time and again; a larger one is refused
// in one sentence.
func TestLargeMap(t *testing.T) {
	server, book := serve(t, true)
	farm := server.URL + dairy(t, book)
	features := make([][2]string, 2001)
	for i := range features {
		features[i] = [2]string{fmt.Sprintf("Plot %d", i), plot(float64(i/50), float64(i%50))}
	}
	if status, body := bringMap(t, farm, features...); status != http.StatusUnprocessableEntity || !strings.Contains(body, "2000 are the most") || strings.Contains(body, "Plot 7") {
		t.Errorf("status %d\n%.2000s", status, body)
	}
	for range 2 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		status, body := bringMap(t, farm, features[:2000]...)
		runtime.ReadMemStats(&after)
		if status != http.StatusSeeOther {
			t.Fatalf("status %d\n%.2000s", status, body)
		}
		if used := (after.TotalAlloc - before.TotalAlloc) >> 20; used > 500 {
			t.Errorf("%d MB went through memory: the document was read again and again", used)
		}
	}
}
