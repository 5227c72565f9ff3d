package office

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

//go:embed migrations/*.sql
var migrationFiles embed.FS

// applicationID marks a SQLite file as a book: "Rown".
const applicationID = 0x526f776e

// migrations are the steps from an empty file to this program's book, in order.
func migrations() ([]string, error) {
	names, err := fs.Glob(migrationFiles, "migrations/*.sql") // in order of name
	if err != nil {
		return nil, err
	}
	out := make([]string, len(names))
	for i, name := range names {
		if want := fmt.Sprintf("migrations/%04d.sql", i+1); name != want {
			return nil, fmt.Errorf("%s stands where %s should", name, want)
		}
		text, err := migrationFiles.ReadFile(name)
		if err != nil {
			return nil, err
		}
		out[i] = string(text)
	}
	return out, nil
}

// migrate takes the steps that are missing, each whole or not at all.
func migrate(ctx context.Context, db *sql.DB, path string) error {
	steps, err := migrations()
	if err != nil {
		return err
	}
	for {
		done, err := step(ctx, db, steps)
		if err != nil {
			return told(path, fmt.Errorf("cannot bring the book up to this program: %w", err))
		}
		if done {
			return nil
		}
	}
}

// step takes one step, counted inside its transaction: another program may be taking
// it too.
func step(ctx context.Context, db *sql.DB, steps []string) (done bool, err error) {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return false, err
	}
	defer func() {
		if undo := tx.Rollback(); undo != nil && !errors.Is(undo, sql.ErrTxDone) {
			err = errors.Join(err, undo)
		}
	}()
	var version int
	if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
		return false, err
	}
	if version >= len(steps) {
		return true, nil
	}
	if _, err := tx.ExecContext(ctx, steps[version]); err != nil {
		return false, fmt.Errorf("step %d: %w", version+1, err)
	}
	if _, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d", version+1)); err != nil {
		return false, err
	}
	return false, tx.Commit()
}

// examine refuses a file that is no book or a later program's, before anything of it
// is touched. A missing or empty file is a book to be made.
func examine(ctx context.Context, path string) (err error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("cannot open the book: %w", err)
	}
	head := make([]byte, 16)
	n, err := io.ReadFull(f, head)
	if err := errors.Join(ignore(err, io.EOF, io.ErrUnexpectedEOF), f.Close()); err != nil {
		return fmt.Errorf("cannot read the book %s: %w; give a file, not a folder", path, err)
	}
	if n == 0 {
		return nil
	}
	if string(head) != "SQLite format 3\x00" {
		return fmt.Errorf("%s: %w; give the path of a book, or of a file that is not there yet", path, ErrNoBook)
	}
	db, err := connect(path, 1)
	if err != nil {
		return told(path, err)
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	var id, version, tables int
	if err := db.QueryRowContext(ctx, "SELECT (SELECT * FROM pragma_application_id), (SELECT * FROM pragma_user_version), (SELECT count(*) FROM sqlite_schema)").Scan(&id, &version, &tables); err != nil {
		return told(path, err)
	}
	steps, err := migrations()
	if err != nil {
		return err
	}
	switch {
	case id == 0 && tables == 0: // begun and cut off
	case id != applicationID:
		return fmt.Errorf("%s: %w: it belongs to another program; give the path of a book", path, ErrNoBook)
	case version > len(steps):
		return fmt.Errorf("%s: %w: a later rowen made it (book %d, this program knows %d); use the later program", path, ErrNoBook, version, len(steps))
	}
	return nil
}

// ignore drops an error that was expected.
func ignore(err error, expected ...error) error {
	for _, e := range expected {
		if errors.Is(err, e) {
			return nil
		}
	}
	return err
}
