package office

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"rowen/internal/document"
)

// Farm is one farm of the office. Name and Contact are those at the head of its
// document where it has them; Version, Hash and Updated are of the document in force.
type Farm struct {
	ID       int64
	Name     string
	Contact  string
	Version  int
	Hash     string // SHA-256 of the document
	Updated  time.Time
	Archived bool   // kept, but no longer worked with
	Stamp    string // of its journal, see Log
}

const farmColumns = `SELECT f.id, f.name, f.contact, f.archived, v.number, v.hash, v.saved, (SELECT coalesce(max(row), 0) FROM entries WHERE farm = f.id) FROM farms f
	JOIN versions v ON v.farm = f.id AND v.number = (SELECT max(number) FROM versions WHERE farm = f.id)`

func scanFarm(r interface{ Scan(...any) error }) (Farm, error) {
	var f Farm
	var saved string
	var row int64
	err := r.Scan(&f.ID, &f.Name, &f.Contact, &f.Archived, &f.Version, &f.Hash, &saved, &row)
	if err != nil {
		return Farm{}, err
	}
	f.Stamp = stampOf(f.ID, row)
	f.Updated, err = parseMoment(saved)
	return f, err
}

// Farms lists every farm, the archived too, by name.
func (b *Book) Farms(ctx context.Context) (out []Farm, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		out, err = rows(ctx, tx, func(r *sql.Rows) (Farm, error) { return scanFarm(r) }, farmColumns+" ORDER BY f.name COLLATE NOCASE, f.id")
		return err
	})
	return out, err
}

// Farm is one farm; ErrMissing if there is none of this number.
func (b *Book) Farm(ctx context.Context, farm int64) (f Farm, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		f, err = farmOf(ctx, tx, farm)
		return err
	})
	return f, err
}

func farmOf(ctx context.Context, tx *sql.Tx, farm int64) (Farm, error) {
	f, err := scanFarm(tx.QueryRowContext(ctx, farmColumns+" WHERE f.id = ?", farm))
	if errors.Is(err, sql.ErrNoRows) {
		return Farm{}, noFarm(farm)
	}
	return f, err
}

func noFarm(farm int64) error { return fmt.Errorf("farm %d: %w", farm, ErrMissing) }

// Create takes a farm in with its first document. The name stands until a document
// gives one.
func (b *Book) Create(ctx context.Context, name string, text []byte, who string) (f Farm, err error) {
	if err := errors.Join(checkName("farm", name), checkSize("document", text), checkHead(text), checkText("who", who, false)); err != nil {
		return Farm{}, err
	}
	err = b.change(ctx, func(tx *sql.Tx) error {
		made, err := tx.ExecContext(ctx, "INSERT INTO farms (name) VALUES (?)", name)
		if err != nil {
			return err
		}
		id, err := made.LastInsertId()
		if err != nil {
			return err
		}
		if _, err := b.addVersion(ctx, tx, Version{Farm: id, Number: 1, Text: text, Who: who}); err != nil {
			return err
		}
		f, err = farmOf(ctx, tx, id)
		return err
	})
	return f, err
}

// Archive puts a farm away; nothing of it is lost.
func (b *Book) Archive(ctx context.Context, farm int64) error { return b.setArchived(ctx, farm, true) }

// Restore takes an archived farm up again.
func (b *Book) Restore(ctx context.Context, farm int64) error {
	return b.setArchived(ctx, farm, false)
}

func (b *Book) setArchived(ctx context.Context, farm int64, archived bool) error {
	return b.change(ctx, func(tx *sql.Tx) error {
		done, err := tx.ExecContext(ctx, "UPDATE farms SET archived = ? WHERE id = ?", archived, farm)
		if err != nil {
			return err
		}
		return mustChange(done, noFarm(farm))
	})
}

// mustChange is an error where a change met no row.
func mustChange(done sql.Result, missing error) error {
	if n, err := done.RowsAffected(); err != nil || n == 0 {
		return errors.Join(err, missing)
	}
	return nil
}

// head reads a document's name and contact, empty where it has none or cannot be read.
func head(text []byte) (name, contact string) {
	root, err := document.Parse("farm", text)
	if err != nil {
		return "", ""
	}
	top := (&document.Reader{}).At(root, "")
	return top.Text("name"), top.Text("contact")
}

// checkHead refuses a document whose farm could not be called as it says.
func checkHead(text []byte) error {
	name, contact := head(text)
	var errs []error
	if name != "" {
		errs = append(errs, checkName("farm", name))
	}
	if why := document.WrongLine(contact); why != "" {
		errs = append(errs, wrong("contact %.30q: %s", contact, why))
	}
	return errors.Join(errs...)
}
