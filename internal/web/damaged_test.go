package web_test

import (
	"bufio"
	"fmt"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// A form that is damaged, or was cut off on its way, is refused with a sentence, and
// nothing of it is kept.
func TestDamagedForms(t *testing.T) {
	server, book := serve(t, true)
	farm := dairy(t, book)
	const form, parts = "application/x-www-form-urlencoded", "multipart/form-data; boundary=xx"
	part := func(disposition, text string) string {
		return "--xx\r\nContent-Disposition: form-data; " + disposition + "\r\n\r\n" + text
	}
	for what, c := range map[string]struct{ path, kind, body string }{
		"a bad escape":            {"/settings", form, "name=Ada&units=us&theme=auto&x=%zz"},
		"a bad escape of a farm":  {farm + "/ground", form, "field=0&f0.area=23+ac&x=%zz"},
		"no kind of content":      {"/settings", ";;;", "name=Ada"},
		"no boundary":             {"/settings", "multipart/form-data", "name=Ada"},
		"parts cut off":           {"/settings", parts, part(`name="name"`, "Ada")},
		"a file cut off":          {"/files/weather", parts, part(`name="file"; filename="a.csv"`, "date,")},
		"a map cut off":           {farm + "/ground/shapes", parts, part(`name="map"; filename="a.json"`, "{")},
		"a document cut off":      {"/farms/bring", parts, part(`name="document"; filename="a.toml"`, "rowen = 1")},
		"notes cut off":           {farm + "/notes", parts, part(`name="file"; filename="a.txt"`, "rain")},
		"a NUL in a file's name":  {"/files/weather", parts, part("name=\"file\"; filename=\"a\x00.csv\"", "date,\r\n--xx--\r\n")},
		"an upload with no bound": {"/files/catalogue", "multipart/form-data", "x"},
		"a version":               {farm + "/versions/1", form, "base=%zz"},
	} {
		status, body, _ := sent(t, "POST", server.URL+c.path, c.kind, c.body)
		if status != http.StatusBadRequest || !strings.Contains(body, "cannot be read") {
			t.Errorf("%s: status %d", what, status)
		}
	}
	if people, err := book.People(t.Context()); err != nil || len(people) > 0 {
		t.Errorf("%v was kept, %v", people, err)
	}
	// A body that is shorter than it was said to be.
	for path, kind := range map[string]string{"/settings": form, "/files/weather": parts, "/farms/bring": parts, farm + "/notes": parts, farm + "/ground/shapes": parts, "/api" + farm + "/journal": "application/x-ndjson", "/api/weather/a.csv": "text/csv", "/api/farms": "application/json"} {
		c, err := net.Dial("tcp", strings.TrimPrefix(server.URL, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		_ = c.SetDeadline(time.Now().Add(20 * time.Second))
		method := "POST"
		if strings.Contains(path, "weather/a") {
			method = "PUT"
		}
		_, _ = fmt.Fprintf(c, "%s %s HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: %s\r\nContent-Length: 5000\r\nConnection: close\r\n\r\nname=Ada", method, path, kind)
		_ = c.(*net.TCPConn).CloseWrite()
		answer, err := http.ReadResponse(bufio.NewReader(c), nil)
		if err == nil { // else the connection was closed
			if answer.StatusCode < 400 || answer.StatusCode >= 500 {
				t.Errorf("%s cut off: status %d", path, answer.StatusCode)
			}
			_ = answer.Body.Close()
		}
		_ = c.Close()
	}
}
