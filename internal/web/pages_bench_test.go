package web_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"

	"rowen/examples"
	"rowen/internal/web"
)

// BenchmarkPages is each page of a farm of 40 fields with all results kept: reading what was
// asked, opening the farm, filling the page.
func BenchmarkPages(b *testing.B) {
	book := openBook(b)
	s, err := web.New(book, web.Options{})
	if err != nil {
		b.Fatal(err)
	}
	text, err := examples.LargeDairy(4)
	if err != nil {
		b.Fatal(err)
	}
	f, err := book.Create(b.Context(), "Large", []byte(text), "x")
	if err != nil {
		b.Fatal(err)
	}
	h := s.Handler()
	for _, page := range []string{"season", "ground", "today", "store", "document"} {
		b.Run(page, func(b *testing.B) {
			for b.Loop() {
				r := httptest.NewRequest("GET", fmt.Sprintf("http://127.0.0.1/farms/%d/%s", f.ID, page), nil)
				w := httptest.NewRecorder()
				h.ServeHTTP(w, r)
				if w.Code != http.StatusOK {
					b.Fatal(w.Code)
				}
			}
		})
	}
}
