package desk

import (
	"bytes"
	"compress/flate"
	"encoding/gob"
)

// pack makes a result small, to be kept by the hundred: a plan takes a tenth of what it
// takes whole, and a few milliseconds to be had again. Only what is exported is kept.
func pack(v any) ([]byte, error) {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestSpeed)
	if err != nil {
		return nil, err
	}
	if err := gob.NewEncoder(w).Encode(v); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return bytes.Clone(b.Bytes()), nil
}

// unpack gives what was packed.
func unpack[T any](packed []byte) (*T, error) {
	v := new(T)
	return v, gob.NewDecoder(flate.NewReader(bytes.NewReader(packed))).Decode(v)
}
