package office

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"

	"rowen/journal"
)

// Person is somebody of the office and how the pages are shown to them.
type Person struct {
	Name   string
	Units  string // "us" or "metric"; empty is us
	Theme  string // "auto", "light" or "dark"; empty is auto
	Device string // name under which their entries are numbered; may be empty
	Phone  string
}

// Person is somebody by name; ErrMissing if the book has none.
func (b *Book) Person(ctx context.Context, name string) (p Person, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		found, err := people(ctx, tx, " WHERE name = ?", name)
		if err == nil && len(found) == 0 {
			err = fmt.Errorf("person %q: %w", name, ErrMissing)
		}
		if err == nil {
			p = found[0]
		}
		return err
	})
	return p, err
}

// People lists everybody by name.
func (b *Book) People(ctx context.Context) (out []Person, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		out, err = people(ctx, tx, "")
		return err
	})
	return out, err
}

// PutPerson keeps somebody, in place of who had the name. No two may have one device.
func (b *Book) PutPerson(ctx context.Context, p Person) error {
	p, err := p.checked()
	if err != nil {
		return err
	}
	return b.change(ctx, func(tx *sql.Tx) error { return putPerson(ctx, tx, p) })
}

func (p Person) checked() (Person, error) {
	if p.Units == "" {
		p.Units = "us"
	}
	if p.Theme == "" {
		p.Theme = "auto"
	}
	thing := fmt.Sprintf("person %q", p.Name)
	var errs []error
	if !slices.Contains([]string{"us", "metric"}, p.Units) {
		errs = append(errs, wrong("%s: units %q: write us or metric", thing, p.Units))
	}
	if !slices.Contains([]string{"auto", "light", "dark"}, p.Theme) {
		errs = append(errs, wrong("%s: theme %q: write auto, light or dark", thing, p.Theme))
	}
	if p.Device != "" {
		if _, err := journal.ParseID(p.Device + ":1"); err != nil {
			errs = append(errs, wrong(`%s: device %q: write 1 to 32 letters, digits, ".", "_" or "-"`, thing, p.Device))
		}
	}
	return p, errors.Join(append(errs, checkName("person", p.Name), checkText(thing+": phone", p.Phone, false))...)
}

func putPerson(ctx context.Context, tx *sql.Tx, p Person) error {
	var other string
	err := tx.QueryRowContext(ctx, "SELECT name FROM people WHERE device = ? AND device <> '' AND name <> ?", p.Device, p.Name).Scan(&other)
	if err == nil {
		return wrong("person %q: device %q is that of %q: entries of two people would take each other's names; give another", p.Name, p.Device, other)
	}
	if !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO people (name, units, theme, device, phone) VALUES (?, ?, ?, ?, ?)
		ON CONFLICT (name) DO UPDATE SET units = excluded.units, theme = excluded.theme, device = excluded.device, phone = excluded.phone`, p.Name, p.Units, p.Theme, p.Device, p.Phone)
	return err
}

func people(ctx context.Context, tx *sql.Tx, where string, args ...any) ([]Person, error) {
	return rows(ctx, tx, func(r *sql.Rows) (p Person, err error) {
		err = r.Scan(&p.Name, &p.Units, &p.Theme, &p.Device, &p.Phone)
		return p, err
	}, "SELECT name, units, theme, device, phone FROM people"+where+" ORDER BY name COLLATE NOCASE, name", args...)
}
