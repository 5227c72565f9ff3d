package web

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// A form without files that is too large is told so: its end is not lost in silence.
func TestLargeForm(t *testing.T) {
	r := httptest.NewRequest("POST", "/", strings.NewReader("text="+strings.Repeat("a", 200<<10)))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	var tooLarge *http.MaxBytesError
	if _, _, err := upload(httptest.NewRecorder(), r, "file", 64<<10); !errors.As(err, &tooLarge) {
		t.Errorf("%v", err)
	}
}
