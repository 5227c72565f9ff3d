package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"
)

// errForm tells that what was sent cannot be read: it is damaged, or was cut off on its
// way.
var errForm = errors.New("what was sent cannot be read")

// readForm reads a form whole, or not at all: of one that is damaged nothing is taken.
// Files in it are held in memory; nothing is written to disk.
func readForm(r *http.Request, most int64) error {
	err := r.ParseForm()
	if err == nil {
		err = r.ParseMultipartForm(most)
	}
	var tooLarge *http.MaxBytesError
	if err == nil || errors.Is(err, http.ErrNotMultipart) {
		return nil
	}
	if errors.As(err, &tooLarge) {
		return err
	}
	return fmt.Errorf("%w: %w", errForm, err)
}

// form stands before a handler that takes a form: it comes there read, or not at all.
func (s *Server) form(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := readForm(r, maxBody); err != nil {
			s.fail(w, r, err)
			return
		}
		next(w, r)
	}
}

// upload reads the file of a form's field, at most so many bytes; none is no fault.
// Nothing is unpacked here, and the name is only shown.
func upload(w http.ResponseWriter, r *http.Request, field string, most int64) (data []byte, name string, err error) {
	r.Body = http.MaxBytesReader(w, r.Body, most+64<<10)
	if err := readForm(r, most+64<<10); err != nil {
		return nil, "", err
	}
	f, head, err := r.FormFile(field)
	if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) {
		return nil, "", nil
	}
	if err != nil {
		return nil, "", err
	}
	data = make([]byte, head.Size)
	_, err = io.ReadFull(f, data)
	delete(r.MultipartForm.File, field) // it need not lie there a second time
	return data, head.Filename, errors.Join(err, f.Close())
}
