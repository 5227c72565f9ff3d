package office

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"rowen/journal"
)

// Check reads the whole book and tells everything wrong with it: the file's own
// structure, every document and file against its hash, every line of a journal against
// its checksum.
func (b *Book) Check(ctx context.Context) error {
	return b.look(ctx, func(tx *sql.Tx) error { return check(ctx, tx) })
}

func check(ctx context.Context, tx *sql.Tx) error {
	var errs []error
	for _, pragma := range []string{"PRAGMA integrity_check", "PRAGMA foreign_key_check"} {
		found, err := rows(ctx, tx, scanProblem, pragma)
		if err != nil {
			return err
		}
		for _, line := range found {
			if line != "ok" {
				errs = append(errs, fmt.Errorf("file: %s", line))
			}
		}
	}
	for _, q := range []string{
		"SELECT 'farm ' || farm || ', version ' || number, text, hash FROM versions",
		"SELECT kind || ' file ' || quote(name), data, hash FROM files",
	} {
		found, err := rows(ctx, tx, scanHashed, q)
		if err != nil {
			return err
		}
		errs = append(errs, found...)
	}
	lines, err := rows(ctx, tx, scanLine, "SELECT farm, device, sequence, hash, line FROM entries")
	if err != nil {
		return err
	}
	errs = append(errs, lines...)
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("%w\n%w", err, errDamaged)
	}
	return nil
}

// scanProblem joins the columns of what a pragma found.
func scanProblem(r *sql.Rows) (string, error) {
	columns, err := r.Columns()
	if err != nil {
		return "", err
	}
	cells := make([]sql.NullString, len(columns))
	into := make([]any, len(columns))
	for i := range cells {
		into[i] = &cells[i]
	}
	if err := r.Scan(into...); err != nil {
		return "", err
	}
	words := make([]string, len(cells))
	for i, c := range cells {
		words[i] = c.String
	}
	return strings.Join(words, " "), nil
}

func scanHashed(r *sql.Rows) (wrong, err error) {
	var thing, hash string
	var data sql.RawBytes
	if err := r.Scan(&thing, &data, &hash); err != nil {
		return nil, err
	}
	if hashOf(data) != hash {
		return fmt.Errorf("%s: the text is not what was saved", thing), nil
	}
	return nil, nil
}

func scanLine(r *sql.Rows) (wrong, err error) {
	var farm, sequence int64
	var device string
	var hash, text sql.RawBytes
	if err := r.Scan(&farm, &device, &sequence, &hash, &text); err != nil {
		return nil, err
	}
	thing := fmt.Sprintf("farm %d, entry %s:%d", farm, device, sequence)
	log, err := journal.ReadAll(thing, strings.NewReader(string(text)+"\n"))
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(text)
	switch {
	case string(sum[:]) != string(hash):
		return fmt.Errorf("%s: the line is not what was recorded", thing), nil
	case len(log.Problems)+len(log.Torn) > 0:
		return append(log.Problems, log.Torn...), nil
	case len(log.Entries) != 1 || log.Entries[0].Device != device || log.Entries[0].Sequence != uint64(sequence):
		return fmt.Errorf("%s: the line is another entry's", thing), nil
	}
	return nil, nil
}
