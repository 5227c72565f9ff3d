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

// bookCopy gives the book as it is at one moment, while it goes on being used. It is
// written whole before the first byte is sent, so that a full disk gives no half copy.
func (s *Server) bookCopy(w http.ResponseWriter, r *http.Request) {
	c, ok := copies[r.PathValue("kind")]
	if !ok {
		s.refuse(w, r, http.StatusNotFound, "refused.missing")
		return
	}
	dir, err := os.MkdirTemp("", "rowen")
	if err != nil {
		s.fail(w, r, err)
		return
	}
	defer func() { _ = os.RemoveAll(dir) }()
	path := filepath.Join(dir, "copy")
	if err := c.make(s, r.Context(), path); err != nil {
		s.fail(w, r, err)
		return
	}
	f, err := os.Open(path)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	defer func() { _ = f.Close() }()
	info, err := f.Stat()
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", c.kind)
	w.Header().Set("Content-Length", fmt.Sprint(info.Size()))
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="rowen-%s.%s"`, s.today().Format("2006-01-02"), r.PathValue("kind")))
	_, _ = io.Copy(w, f)
}
