package office

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"slices"
	"sync"

	"rowen/journal"
)

// Log is a farm's journal read. It is shared: nobody writes into it.
type Log struct {
	Entries   []journal.Entry // every one once, in the order in which they were recorded
	Conflicts []journal.Conflict
	Stamp     string // changes with the journal, and with nothing else

	row int64 // the last that was read
}

// Journal is a farm's journal: every entry once, in the order in which they were
// recorded, and the conflicts; see journal.Merge. It is shared: nobody writes into it.
func (b *Book) Journal(ctx context.Context, farm int64) ([]journal.Entry, []journal.Conflict, error) {
	log, err := b.Log(ctx, farm)
	return log.Entries, log.Conflicts, err
}

// Log is a farm's journal with a stamp, for those who keep what they make of it. What
// was read before is kept too, since rows are only ever added: only new ones are read.
func (b *Book) Log(ctx context.Context, farm int64) (Log, error) {
	before := b.logs.get(farm)
	var text []byte
	var row int64
	err := b.look(ctx, func(tx *sql.Tx) (err error) {
		if _, err := farmOf(ctx, tx, farm); err != nil {
			return err
		}
		if err := tx.QueryRowContext(ctx, "SELECT coalesce(max(row), 0) FROM entries WHERE farm = ?", farm).Scan(&row); err != nil {
			return err
		}
		if row > before.row {
			text, err = journalText(ctx, tx, farm, before.row)
		}
		return err
	})
	if err != nil {
		return Log{}, err
	}
	if row == before.row {
		before.Stamp = stampOf(farm, row)
		return before, nil
	}
	read, err := journal.ReadAll(fmt.Sprintf("journal of farm %d", farm), bytes.NewReader(text))
	if err != nil {
		return Log{}, err
	}
	if bad := append(read.Problems, read.Torn...); len(bad) > 0 {
		return Log{}, fmt.Errorf("%w\n%w", bad, errDamaged)
	}
	now := Log{Stamp: stampOf(farm, row), row: row}
	now.Entries, now.Conflicts = journal.Merge(before.Entries, read.Entries)
	now.Entries, now.Conflicts = slices.Clip(now.Entries), slices.Clip(now.Conflicts)
	b.logs.put(farm, now)
	return now, nil
}

func stampOf(farm, row int64) string { return fmt.Sprintf("%d.%d", farm, row) }

// Stamp is the stamp of a farm's journal as it is now, without reading it.
func (b *Book) Stamp(ctx context.Context, farm int64) (stamp string, err error) {
	err = b.look(ctx, func(tx *sql.Tx) error {
		var row int64
		err := tx.QueryRowContext(ctx, "SELECT coalesce(max(row), 0) FROM entries WHERE farm = ?", farm).Scan(&row)
		stamp = stampOf(farm, row)
		return err
	})
	return stamp, err
}

// keptEntries is how many entries are kept read, of all farms together: some fifty
// megabytes.
const keptEntries = 100_000

// logs keeps journals that were read, those least lately asked for going first.
type logs struct {
	mu      sync.Mutex
	by      map[int64]*keptLog
	entries int
	clock   int
}

type keptLog struct {
	Log
	asked int
}

func (l *logs) get(farm int64) Log {
	l.mu.Lock()
	defer l.mu.Unlock()
	k := l.by[farm]
	if k == nil {
		return Log{}
	}
	l.clock++
	k.asked = l.clock
	return k.Log
}

func (l *logs) put(farm int64, log Log) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.by == nil {
		l.by = map[int64]*keptLog{}
	}
	if old := l.by[farm]; old != nil {
		if old.row > log.row { // another read on meanwhile
			return
		}
		l.entries -= len(old.Entries)
	}
	l.clock++
	l.by[farm] = &keptLog{log, l.clock}
	l.entries += len(log.Entries)
	for l.entries > keptEntries && len(l.by) > 1 {
		oldest := farm
		for f, k := range l.by {
			if k.asked < l.by[oldest].asked {
				oldest = f
			}
		}
		l.entries -= len(l.by[oldest].Entries)
		delete(l.by, oldest)
	}
}
