// Package office is the office's book: farms with every version of their documents,
// journals, weather and catalogue files as they were given, and people, kept in one
// SQLite file. What a call has acknowledged is on the disk and survives a crash.
//
// The room knows storage alone. It may not know agronomy: a document is text to it,
// an entry a line with a name, a station's series a file.
package office

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"net/url"
	"path/filepath"
	"runtime"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	_ "modernc.org/sqlite" // the driver, pure Go

	"rowen/internal/document"
)

// Book is an open book. It may be used by many goroutines at once, and by several
// programs.
type Book struct {
	path  string
	write *sql.DB // one connection: SQLite has one writer, and waiting here is fair
	read  *sql.DB
	now   func() time.Time
	logs  logs
	state state
}

// Open opens the book of a path, made if it is missing, and brings an older one up
// to this program. It refuses a file that is no book, and one made by a later
// program, and leaves both as they are.
func Open(ctx context.Context, path string) (*Book, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("cannot open the book %s: %w", path, err)
	}
	if err := examine(ctx, path); err != nil {
		return nil, err
	}
	b := &Book{path: path, now: time.Now}
	if b.write, err = connect(path, 1, "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(ON)"); err != nil {
		return nil, told(path, err)
	}
	if err := migrate(ctx, b.write, path); err != nil {
		return nil, errors.Join(err, b.write.Close())
	}
	if b.read, err = connect(path, max(4, 2*runtime.NumCPU()), "query_only(ON)"); err != nil {
		return nil, errors.Join(told(path, err), b.write.Close())
	}
	return b, nil
}

// Close closes the book.
func (b *Book) Close() error { return errors.Join(b.read.Close(), b.write.Close()) }

// Path is where the book lies.
func (b *Book) Path() string { return b.path }

// connect opens a pool whose every connection has the pragmas: in the name, since a
// pragma sent once holds for one connection alone. Changes take the writer's lock at
// their beginning, so that none has to be given up half-way.
func connect(path string, most int, pragmas ...string) (*sql.DB, error) {
	q := url.Values{"_pragma": append([]string{"busy_timeout(10000)"}, pragmas...), "_txlock": {"immediate"}}
	uri, err := uriOf(path)
	if err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", uri+"?"+q.Encode())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most)
	return db, nil
}

// uriOf names a file as SQLite is asked for it: by its whole path, with every character
// that means something in a URI, such as "?", "#" and "%", written out of harm's way. A
// relative path has no place in a URI: it would be looked for in the disk's root.
func uriOf(path string) (string, error) {
	whole, err := filepath.Abs(path)
	if err != nil {
		return "", fmt.Errorf("cannot tell where %s lies: %w; give its whole path", path, err)
	}
	slashed := filepath.ToSlash(whole)
	if !strings.HasPrefix(slashed, "/") {
		slashed = "/" + slashed // C:/...
	}
	return "file://" + (&url.URL{Path: slashed}).EscapedPath(), nil
}

// change does something whole or not at all, and on the disk when it returns.
func (b *Book) change(ctx context.Context, do func(*sql.Tx) error) error {
	err := b.in(ctx, b.write, nil, do)
	b.state.wrote(err)
	return err
}

// look reads at one moment of the book.
func (b *Book) look(ctx context.Context, do func(*sql.Tx) error) error {
	err := b.in(ctx, b.read, &sql.TxOptions{ReadOnly: true}, do)
	b.state.met(err)
	return err
}

func (b *Book) in(ctx context.Context, db *sql.DB, opts *sql.TxOptions, do func(*sql.Tx) error) error {
	tx, err := db.BeginTx(ctx, opts)
	if err != nil {
		return told(b.path, err)
	}
	if err := do(tx); err != nil {
		if undo := tx.Rollback(); undo != nil && !errors.Is(undo, sql.ErrTxDone) {
			err = errors.Join(err, undo)
		}
		return told(b.path, err)
	}
	return told(b.path, tx.Commit())
}

// rows reads every row of a query.
func rows[T any](ctx context.Context, tx *sql.Tx, scan func(*sql.Rows) (T, error), query string, args ...any) ([]T, error) {
	r, err := tx.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	var out []T
	for r.Next() {
		v, err := scan(r)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, r.Err()
}

// stamp is the moment of the book's clock as it is kept.
func (b *Book) stamp() string { return b.now().UTC().Truncate(time.Millisecond).Format(moment) }

const moment = "2006-01-02T15:04:05.000Z"

func parseMoment(s string) (time.Time, error) {
	t, err := time.Parse(moment, s)
	if err != nil {
		return time.Time{}, fmt.Errorf("a moment in the book is %q: %w", s, errDamaged)
	}
	return t, nil
}

// hashOf is how the book names content: SHA-256 in hex.
func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// CheckFarmName tells what is wrong with a name that a farm is to be kept under, as an
// InputError.
func CheckFarmName(name string) error { return checkName("farm", name) }

// checkName refuses what cannot name a thing: nothing, control characters, text that
// is not UTF-8, or more than 200 bytes.
func checkName(thing, name string) error {
	switch {
	case strings.TrimSpace(name) == "":
		return wrong("%s: a name is missing; give one", thing)
	case len(name) > 200:
		return wrong("%s %.30q...: the name has %d bytes; 200 are the most", thing, name, len(name))
	}
	return checkText(thing, name, false)
}

// checkText refuses text that cannot be kept or written out again.
func checkText(thing, text string, lines bool) error {
	if !utf8.ValidString(text) {
		return wrong("%s %.40q: not valid UTF-8 text; write it as UTF-8", thing, text)
	}
	if len(text) > 10_000 {
		return wrong("%s: %d bytes; 10,000 are the most", thing, len(text))
	}
	for _, c := range text {
		if unicode.IsControl(c) && !(lines && (c == '\n' || c == '\t')) {
			return wrong("%s %.40q: it holds a control character; leave it out", thing, text)
		}
	}
	return nil
}

// checkSize refuses what no person wrote.
func checkSize(thing string, data []byte) error {
	if len(data) > document.MaxBytes {
		return wrong("%s: %d bytes; %d are the most: give the right file", thing, len(data), document.MaxBytes)
	}
	return nil
}
