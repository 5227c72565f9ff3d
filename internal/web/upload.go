package web

import (
	"errors"
	"io"
	"net/http"
)

// upload reads the file of a form's field, at most so many bytes; none is no fault.
// Nothing is unpacked or written to disk here, and the name is only shown.
func upload(w http.ResponseWriter, r *http.Request, field string, most int64) (data []byte, name string, err error) {
	r.Body = http.MaxBytesReader(w, r.Body, most+64<<10)
	if err := r.ParseMultipartForm(most + 64<<10); err != nil {
		if errors.Is(err, http.ErrNotMultipart) {
			return nil, "", r.ParseForm()
		}
		return nil, "", err
	}
	f, head, err := r.FormFile(field)
	if errors.Is(err, http.ErrMissingFile) {
		return nil, "", nil
	}
	if err != nil {
		return nil, "", err
	}
	data, err = io.ReadAll(f)
	return data, head.Filename, errors.Join(err, f.Close())
}
