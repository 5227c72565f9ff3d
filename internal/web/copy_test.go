package web_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"rowen/internal/office"
)

// A copy taken from the page opens and says the same, as plain files, as the book.
func TestBookCopy(t *testing.T) {
	server, book := serve(t, true)
	status, whole := get(t, server.URL+"/book/copy/book")
	if status != 200 {
		t.Fatalf("status %d: %s", status, whole)
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "copy.book")
	if err := os.WriteFile(path, whole, 0o600); err != nil {
		t.Fatal(err)
	}
	again, err := office.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := again.Close(); err != nil {
			t.Error(err)
		}
	}()
	plain := func(b *office.Book, name string) []byte {
		t.Helper()
		if err := b.ExportZip(t.Context(), filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	was := plain(book, "a.zip")
	if !bytes.Equal(was, plain(again, "b.zip")) {
		t.Error("the copy's plain files are not the book's")
	}
	if status, files := get(t, server.URL+"/book/copy/zip"); status != 200 || !bytes.Equal(files, was) {
		t.Errorf("the plain files from the page: status %d, %d bytes of %d", status, len(files), len(was))
	}
	if status, _ := get(t, server.URL+"/book/copy/exe"); status != 404 {
		t.Errorf("a copy of no kind: status %d", status)
	}
}
