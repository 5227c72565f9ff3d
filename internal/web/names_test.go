package web_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"
)

// A contact that cannot be kept is refused to a program too, not dropped.
func TestLongContact(t *testing.T) {
	server, book := serve(t, true)
	farms, err := book.Farms(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	v, err := book.Document(t.Context(), farms[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	text := `contact = "` + strings.Repeat("c", 20_000) + "\"\n" + strings.Replace(string(v.Text), "\ncontact =", "\n# contact =", 1)
	body, err := json.Marshal(map[string]string{"document": text})
	if err != nil {
		t.Fatal(err)
	}
	r, err := http.Post(server.URL+"/api/farms", "application/json", bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = r.Body.Close() }()
	if got, _ := io.ReadAll(r.Body); r.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(string(got), "10000 are the most") {
		t.Errorf("status %d: %.400s", r.StatusCode, got)
	}
	if now, err := book.Farms(t.Context()); err != nil || len(now) != len(farms) {
		t.Errorf("%d farms, %v", len(now), err)
	}
}
