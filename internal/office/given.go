package office

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// File is a file that the office was given, without its content.
type File struct {
	Name  string
	Bytes int
	Hash  string // SHA-256
	Saved time.Time
}

// Catalogue is a file of the office's own corrections to the catalogue.
type Catalogue struct {
	Name string
	Text []byte
}

// The kinds of files given.
const (
	weatherKind   = "weather"
	catalogueKind = "catalogue"
)

// PutWeather keeps a station's series as the file given, in place of one of this name.
func (b *Book) PutWeather(ctx context.Context, name string, file []byte) error {
	return b.put(ctx, weatherKind, name, file)
}

// Weather lists the stations' files by name.
func (b *Book) Weather(ctx context.Context) ([]File, error) { return b.list(ctx, weatherKind) }

// WeatherFile is a station's file as it was given.
func (b *Book) WeatherFile(ctx context.Context, name string) ([]byte, error) {
	return b.content(ctx, weatherKind, name)
}

// RemoveWeather takes a station's file out of the book.
func (b *Book) RemoveWeather(ctx context.Context, name string) error {
	return b.remove(ctx, weatherKind, name)
}

// PutCatalogue keeps a file of catalogue corrections, in place of one of this name.
func (b *Book) PutCatalogue(ctx context.Context, name string, text []byte) error {
	return b.put(ctx, catalogueKind, name, text)
}

// Catalogue is every file of catalogue corrections, by name.
func (b *Book) Catalogue(ctx context.Context) (out []Catalogue, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		out, err = rows(ctx, tx, func(r *sql.Rows) (c Catalogue, err error) {
			var hash string
			if err := r.Scan(&c.Name, &c.Text, &hash); err != nil {
				return Catalogue{}, err
			}
			if hashOf(c.Text) != hash {
				return Catalogue{}, damaged("%s file %q", catalogueKind, c.Name)
			}
			return c, nil
		}, "SELECT name, data, hash FROM files WHERE kind = ? ORDER BY name", catalogueKind)
		return err
	})
	return out, err
}

// RemoveCatalogue takes a file of catalogue corrections out of the book.
func (b *Book) RemoveCatalogue(ctx context.Context, name string) error {
	return b.remove(ctx, catalogueKind, name)
}

func (b *Book) put(ctx context.Context, kind, name string, data []byte) error {
	if err := errors.Join(checkName(kind+" file", name), checkSize(kind+" file", data)); err != nil {
		return err
	}
	if data == nil {
		data = []byte{}
	}
	return b.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO files (kind, name, data, hash, saved) VALUES (?, ?, ?, ?, ?)
			ON CONFLICT (kind, name) DO UPDATE SET data = excluded.data, hash = excluded.hash, saved = excluded.saved`, kind, name, data, hashOf(data), b.stamp())
		return err
	})
}

func (b *Book) list(ctx context.Context, kind string) (out []File, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		out, err = files(ctx, tx, kind)
		return err
	})
	return out, err
}

func files(ctx context.Context, tx *sql.Tx, kind string) ([]File, error) {
	return rows(ctx, tx, func(r *sql.Rows) (f File, err error) {
		var saved string
		if err := r.Scan(&f.Name, &f.Bytes, &f.Hash, &saved); err != nil {
			return File{}, err
		}
		f.Saved, err = parseMoment(saved)
		return f, err
	}, "SELECT name, length(data), hash, saved FROM files WHERE kind = ? ORDER BY name", kind)
}

func (b *Book) content(ctx context.Context, kind, name string) (data []byte, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		data, err = content(ctx, tx, kind, name)
		return err
	})
	return data, err
}

func content(ctx context.Context, tx *sql.Tx, kind, name string) (data []byte, err error) {
	data, hash, err := contentAsKept(ctx, tx, kind, name)
	if err == nil && hashOf(data) != hash {
		return nil, damaged("%s file %q", kind, name)
	}
	return data, err
}

// contentAsKept is a file without regard to its hash: for those who give the hash away
// with it.
func contentAsKept(ctx context.Context, tx *sql.Tx, kind, name string) (data []byte, hash string, err error) {
	err = tx.QueryRowContext(ctx, "SELECT data, hash FROM files WHERE kind = ? AND name = ?", kind, name).Scan(&data, &hash)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, "", noFile(kind, name)
	}
	return data, hash, err
}

func (b *Book) remove(ctx context.Context, kind, name string) error {
	return b.change(ctx, func(tx *sql.Tx) error {
		done, err := tx.ExecContext(ctx, "DELETE FROM files WHERE kind = ? AND name = ?", kind, name)
		if err != nil {
			return err
		}
		return mustChange(done, noFile(kind, name))
	})
}

func noFile(kind, name string) error { return fmt.Errorf("%s file %q: %w", kind, name, ErrMissing) }
