package office

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// Version is a farm's document as it was saved once.
type Version struct {
	Farm   int64
	Number int // from 1
	Text   []byte
	Hash   string // SHA-256 of the text
	Saved  time.Time
	Who    string
	Note   string
}

// Conflict tells that a document was saved by another meanwhile: nothing was changed.
// Base is the version that both began with, Yours what was to be saved (its number is
// 0), Theirs the version in force.
type Conflict struct {
	Base, Yours, Theirs Version
}

// Error says who saved what, and what to do.
func (c *Conflict) Error() string {
	who := c.Theirs.Who
	if who == "" {
		who = "another window"
	}
	return fmt.Sprintf("this document was version %d when you began, and %s saved version %d at %s; nothing of yours was kept yet: look at both and save again", c.Base.Number, who, c.Theirs.Number, c.Theirs.Saved.Format("15:04 on 2 January 2006"))
}

// Document is the version in force.
func (b *Book) Document(ctx context.Context, farm int64) (v Version, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		v, err = latest(ctx, tx, farm)
		return err
	})
	return v, err
}

// Version is a farm's document as it was saved under a number.
func (b *Book) Version(ctx context.Context, farm int64, n int) (v Version, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		v, err = version(ctx, tx, farm, n)
		return err
	})
	return v, err
}

// Versions lists a farm's versions without their text, the newest first.
func (b *Book) Versions(ctx context.Context, farm int64) (out []Version, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		out, err = rows(ctx, tx, func(r *sql.Rows) (Version, error) { return scanVersion(r) },
			"SELECT farm, number, NULL, hash, saved, who, note FROM versions WHERE farm = ? ORDER BY number DESC", farm)
		if err == nil && len(out) == 0 {
			err = noFarm(farm)
		}
		return err
	})
	return out, err
}

// Save keeps a text as the farm's next version. Base is the version that the writer
// began with: where another was saved since, nothing is changed and the error is a
// *Conflict. A text that is already in force makes no new version.
func (b *Book) Save(ctx context.Context, farm int64, base int, text []byte, who, note string) (v Version, err error) {
	if err := errors.Join(checkSize("document", text), checkText("who", who, false), checkText("note", note, true)); err != nil {
		return Version{}, err
	}
	err = b.change(ctx, func(tx *sql.Tx) error {
		now, err := latest(ctx, tx, farm)
		if err != nil {
			return err
		}
		if bytes.Equal(now.Text, text) {
			v = now
			return nil
		}
		yours := Version{Farm: farm, Text: text, Hash: hashOf(text), Who: who, Note: note}
		if base != now.Number {
			began, err := version(ctx, tx, farm, base)
			if err != nil {
				return err
			}
			return &Conflict{Base: began, Yours: yours, Theirs: now}
		}
		yours.Number = now.Number + 1
		v, err = b.addVersion(ctx, tx, yours)
		return err
	})
	return v, err
}

// addVersion writes a version and lets the farm be called as its document says.
func (b *Book) addVersion(ctx context.Context, tx *sql.Tx, v Version) (Version, error) {
	if v.Text == nil {
		v.Text = []byte{} // an empty text, not a missing one
	}
	v.Hash = hashOf(v.Text)
	saved := b.stamp()
	if _, err := tx.ExecContext(ctx, "INSERT INTO versions (farm, number, text, hash, saved, who, note) VALUES (?, ?, ?, ?, ?, ?, ?)", v.Farm, v.Number, v.Text, v.Hash, saved, v.Who, v.Note); err != nil {
		return Version{}, err
	}
	name, contact := head(v.Text)
	if _, err := tx.ExecContext(ctx, "UPDATE farms SET name = coalesce(nullif(?, ''), name), contact = ? WHERE id = ?", name, contact, v.Farm); err != nil {
		return Version{}, err
	}
	var err error
	v.Saved, err = parseMoment(saved)
	return v, err
}

const versionColumns = "SELECT farm, number, text, hash, saved, who, note FROM versions WHERE farm = ?"

func latest(ctx context.Context, tx *sql.Tx, farm int64) (Version, error) {
	v, err := scanVersion(tx.QueryRowContext(ctx, versionColumns+" ORDER BY number DESC LIMIT 1", farm))
	if errors.Is(err, sql.ErrNoRows) {
		return Version{}, noFarm(farm)
	}
	if err != nil {
		return Version{}, err
	}
	return v, v.sound()
}

func version(ctx context.Context, tx *sql.Tx, farm int64, n int) (Version, error) {
	v, err := versionAsKept(ctx, tx, farm, n)
	if err != nil {
		return Version{}, err
	}
	return v, v.sound()
}

// versionAsKept is a version without regard to its hash: for those who give the hash
// away with it.
func versionAsKept(ctx context.Context, tx *sql.Tx, farm int64, n int) (Version, error) {
	v, err := scanVersion(tx.QueryRowContext(ctx, versionColumns+" AND number = ?", farm, n))
	if errors.Is(err, sql.ErrNoRows) {
		return Version{}, fmt.Errorf("farm %d, version %d: %w", farm, n, ErrMissing)
	}
	return v, err
}

// sound refuses a text that is not the one that was saved: no plan is made on it.
func (v *Version) sound() error {
	if hashOf(v.Text) == v.Hash {
		return nil
	}
	name, _ := head(v.Text)
	err := damaged("farm %d %q, version %d", v.Farm, name, v.Number)
	*v = Version{}
	return err
}

func scanVersion(r interface{ Scan(...any) error }) (Version, error) {
	var v Version
	var saved string
	if err := r.Scan(&v.Farm, &v.Number, &v.Text, &v.Hash, &saved, &v.Who, &v.Note); err != nil {
		return Version{}, err
	}
	var err error
	v.Saved, err = parseMoment(saved)
	return v, err
}
