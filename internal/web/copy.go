package web

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
)

// copies are the files in which the whole book can be taken away, by name: a book to
// put back with rowen book restore, and plain files to read anywhere.
var copies = map[string]struct {
	kind string
	make func(*Server, context.Context, string) error
}{
	"book": {"application/vnd.sqlite3", func(s *Server, ctx context.Context, path string) error { return s.book.Backup(ctx, path) }},
	"zip":  {"application/zip", func(s *Server, ctx context.Context, path string) error { return s.book.ExportZip(ctx, path) }},
}

// bookCopy gives a copy from the settings page.
func (s *Server) bookCopy(w http.ResponseWriter, r *http.Request) {
	kind := r.PathValue("kind")
	if copies[kind].make == nil {
		s.refuse(w, r, http.StatusNotFound, "refused.missing")
		return
	}
	if err := s.giveCopy(w, r, kind); err != nil {
		s.fail(w, r, err)
	}
}

// apiCopy gives a copy to a program.
func (s *Server) apiCopy(kind string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := s.giveCopy(w, r, kind); err != nil {
			s.apiFail(w, r, err)
		}
	}
}

// giveCopy gives the book as it is at one moment, while it goes on being used. It is
// written whole before the first byte is sent, so that a full disk gives no half copy.
func (s *Server) giveCopy(w http.ResponseWriter, r *http.Request, kind string) error {
	dir, err := os.MkdirTemp("", "rowen")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	path := filepath.Join(dir, "copy")
	if err := copies[kind].make(s, r.Context(), path); err != nil {
		return err
	}
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", copies[kind].kind)
	w.Header().Set("Content-Length", fmt.Sprint(info.Size()))
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="rowen-%s.%s"`, s.today().Format("2006-01-02"), kind))
	_, _ = io.Copy(w, f) // a reader that goes away is no error of the book's
	return nil
}
