package office

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"time"

	"rowen/internal/document"
	"rowen/journal"
)

// Record adds entries to a farm's journal, all or none, and tells how many were not
// there yet: the same entry counts once, so that to record again is always safe. A
// different entry under one identity is kept beside the first; Journal reports both.
// What cannot be kept is document.Problems.
func (b *Book) Record(ctx context.Context, farm int64, entries ...journal.Entry) (added int, err error) {
	lines, err := linesOf(entries)
	if err != nil {
		return 0, err
	}
	err = b.change(ctx, func(tx *sql.Tx) error {
		added, err = record(ctx, tx, farm, lines)
		return err
	})
	if err != nil {
		return 0, err
	}
	return added, nil
}

// Enter takes in new entries made on a device: it tidies them, numbers them after the
// device's last in the farm's journal, dates those without a moment now, and returns
// them as kept.
func (b *Book) Enter(ctx context.Context, farm int64, device string, entries ...journal.Entry) (kept []journal.Entry, err error) {
	if _, err := journal.ParseID(device + ":1"); err != nil {
		return nil, wrong("device %.40q: a device's name has up to 32 letters, digits, dots, dashes and underscores; give it another", device)
	}
	now := b.now().UTC().Truncate(time.Second)
	err = b.change(ctx, func(tx *sql.Tx) error {
		used, err := rows(ctx, tx, scanSequence, "SELECT DISTINCT sequence FROM entries WHERE farm = ? AND device = ?", farm, device)
		if err != nil {
			return err
		}
		last, ok := journal.After(used, len(entries))
		if !ok {
			return wrong("device %q: its count of entries is used up; give the device another name", device)
		}
		for i, e := range entries {
			if e.Recorded.IsZero() {
				e.Recorded = now
			}
			e.ID = journal.ID{Device: device, Sequence: last + uint64(i) + 1}
			kept = append(kept, journal.Tidy(e))
		}
		lines, err := linesOf(kept)
		if err != nil {
			return err
		}
		_, err = record(ctx, tx, farm, lines)
		return err
	})
	if err != nil {
		return nil, err
	}
	return kept, nil
}

func scanSequence(r *sql.Rows) (n uint64, err error) { return n, r.Scan(&n) }

// journalText is what a farm's journal has after a row, as the lines of its file, in the
// order taken in.
func journalText(ctx context.Context, tx *sql.Tx, farm, after int64) ([]byte, error) {
	r, err := tx.QueryContext(ctx, "SELECT line FROM entries WHERE farm = ? AND row > ? ORDER BY row", farm, after)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	var text []byte
	for r.Next() {
		var line sql.RawBytes
		if err := r.Scan(&line); err != nil {
			return nil, err
		}
		text = append(append(text, line...), '\n')
	}
	return text, r.Err()
}

// line is an entry as the book keeps it.
type line struct {
	journal.ID
	text []byte
}

// linesOf writes entries as lines; if one cannot be kept, none is.
func linesOf(entries []journal.Entry) ([]line, error) {
	out := make([]line, 0, len(entries))
	var problems document.Problems
	for _, e := range entries {
		var b bytes.Buffer
		if err := journal.Encode(&b, e); err != nil {
			var found document.Problems
			if !errors.As(err, &found) {
				return nil, err
			}
			problems = append(problems, found...)
			continue
		}
		out = append(out, line{e.ID, bytes.TrimSuffix(b.Bytes(), []byte("\n"))})
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return out, nil
}

func record(ctx context.Context, tx *sql.Tx, farm int64, lines []line) (added int, err error) {
	if _, err := farmOf(ctx, tx, farm); err != nil {
		return 0, err
	}
	put, err := tx.PrepareContext(ctx, "INSERT INTO entries (farm, device, sequence, hash, line) VALUES (?, ?, ?, ?, ?) ON CONFLICT DO NOTHING")
	if err != nil {
		return 0, err
	}
	defer put.Close()
	for _, l := range lines {
		hash := sha256.Sum256(l.text)
		done, err := put.ExecContext(ctx, farm, l.Device, int64(l.Sequence), hash[:], l.text)
		if err != nil {
			return 0, err
		}
		n, err := done.RowsAffected()
		if err != nil {
			return 0, err
		}
		added += int(n)
	}
	return added, nil
}
