package web_test

import (
	"database/sql"
	"net/http"
	"strings"
	"testing"
)

// A digit changed in the file by another hand: no page and no answer shows what it would
// lead to, and the health of the program tells of it.
func TestChangedDocument(t *testing.T) {
	server, book := serve(t, true)
	farm := dairy(t, book)
	id := strings.TrimPrefix(farm, "/farms/")
	db, err := sql.Open("sqlite", book.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("UPDATE versions SET text = CAST(replace(CAST(text AS TEXT), '22 ac', '23 ac') AS BLOB) WHERE farm = ?", id); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{farm + "/season", farm + "/document", farm + "/today", "/api" + farm + "/document", "/api" + farm + "/plan"} {
		status, body := get(t, server.URL+path)
		if status != http.StatusInternalServerError || !strings.Contains(string(body), "version 1: the text is not what was saved") || strings.Contains(string(body), "23 ac") {
			t.Errorf("%s: %d %.300s", path, status, body)
		}
	}
	if status, body := get(t, server.URL+"/healthz"); status != http.StatusServiceUnavailable || !strings.Contains(string(body), "rowen book check") {
		t.Errorf("health: %d %q", status, body)
	}
}
