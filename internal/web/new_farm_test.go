package web_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"rowen/internal/office"
	"rowen/internal/web"
)

// besideField tells whether a form's field is marked wrong.
func besideField(body, key string) bool { return strings.Contains(body, `id="w-`+key+`"`) }

// What is wrong with a new farm stands beside the answer that it is about, and the other
// answers stay.
func TestNewFarmRefused(t *testing.T) {
	server, book := serve(t, false)
	for what, c := range map[string]struct {
		otherwise map[string]string
		beside    string
	}{
		"a long name":         {map[string]string{"name": strings.Repeat("x", 201)}, "name"},
		"a NUL":               {map[string]string{"name": "Sedge\x00Lane"}, "name"},
		"a line break":        {map[string]string{"name": "Sedge\nLane"}, "name"},
		"no UTF-8":            {map[string]string{"name": "Sedge\xff"}, "name"},
		"turned out too late": {map[string]string{"turnout": "30 Dec"}, "turnout"},
		"milk without a unit": {map[string]string{"milk": "48"}, "milk"},
	} {
		status, body := post(t, server.URL+"/farms/new", eight(c.otherwise))
		if status != http.StatusUnprocessableEntity || !besideField(body, c.beside) || c.beside != "name" && besideField(body, "name") {
			t.Errorf("%s: status %d", what, status)
		}
		if !strings.Contains(body, `value="43.05, -74.48"`) || !strings.Contains(body, `value="250 ton"`) {
			t.Errorf("%s: the answers are lost", what)
		}
	}
	text := "rowen = 1\nname = \"" + strings.Repeat("x", 201) + "\"\n"
	if status, body := post(t, server.URL+"/farms/bring", url.Values{"text": {text}}); status != http.StatusUnprocessableEntity || !strings.Contains(body, "rowen = 1") {
		t.Errorf("a document with a long name: status %d", status)
	}
	if farms, err := book.Farms(t.Context()); err != nil || len(farms) > 0 {
		t.Errorf("%d farms were kept, %v", len(farms), err)
	}
}

// On a full disk a new farm is refused with a sentence, and everything typed stays.
func TestNewFarmOnFullDisk(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("a small file system is mounted on Linux alone")
	}
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no small file system can be mounted here (%s)", strings.TrimSpace(string(out)))
	}
	t.Cleanup(func() { _ = exec.Command("umount", dir).Run() })
	book, err := office.Open(t.Context(), filepath.Join(dir, "book"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = book.Close() })
	s, err := web.New(book, web.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "ballast"), make([]byte, 2<<20), 0o600); err == nil {
		t.Fatal("the disk is not full")
	}
	r := httptest.NewRequest("POST", "http://127.0.0.1/farms/new", strings.NewReader(eight(nil).Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, r)
	if body := w.Body.String(); w.Code != http.StatusInsufficientStorage || !strings.Contains(body, `value="43.05, -74.48"`) || !strings.Contains(body, `value="Sedge Lane"`) {
		t.Errorf("status %d", w.Code)
	}
}
