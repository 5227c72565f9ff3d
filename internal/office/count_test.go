package office

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"hash/crc32"
	"strings"
	"testing"

	"rowen/internal/document"
	"rowen/journal"
)

// older is a line as an older program kept it: of a number beyond all counting, and of
// a height beyond all growing.
func older(seq uint64, inches string) line {
	body := fmt.Sprintf(`{"v":1,"date":"2026-07-12","at":"2026-07-12T20:00:00Z","device":"barn","seq":%d,"kind":"height","field":"North Six","heights":["%s in"]`, seq, inches)
	return line{journal.ID{Device: "barn", Sequence: seq}, fmt.Appendf(nil, `%s,"sum":"%08x"}`, body, crc32.Checksum([]byte(body), crc32.MakeTable(crc32.Castagnoli)))}
}

// One entry numbered at the end of all counting leaves its device room to go on, and one
// that no farm can have makes no book a damaged one; neither is taken in any more.
func TestImpossibleEntries(t *testing.T) {
	ctx, b := context.Background(), tempBook(t)
	of, err := b.Create(ctx, "Fallow Brook", []byte("rowen = 1\n"), "")
	if err != nil {
		t.Fatal(err)
	}
	farm := of.ID
	var kept []journal.Entry
	for _, l := range []line{older(1<<63-1, "31"), older(1<<53, "31"), older(4, "1e308")} {
		log, err := journal.ReadAll("old", strings.NewReader(string(l.text)))
		if err != nil || len(log.Entries) != 1 {
			t.Fatalf("%v %v", log.Problems, err)
		}
		if l.Sequence != 1<<53 {
			_, err := b.Record(ctx, farm, log.Entries...)
			if problems := (document.Problems)(nil); !errors.As(err, &problems) {
				t.Errorf("%s is taken in: %v", log.Entries[0], err)
			}
		}
		if err := b.change(ctx, func(tx *sql.Tx) error { _, err := record(ctx, tx, farm, []line{l}); return err }); err != nil {
			t.Fatal(err)
		}
	}
	for want := uint64(5); want < 8; want++ {
		if kept, err = b.Enter(ctx, farm, "barn", fact("", 0, 30, "")); err != nil || kept[0].Sequence != want {
			t.Fatalf("the next entry is %v, %v; want %d", kept, err, want)
		}
	}
	entries, conflicts, err := b.Journal(ctx, farm)
	if err != nil || len(entries) != 6 || len(conflicts) != 0 {
		t.Errorf("%d entries, %v, %v", len(entries), conflicts, err)
	}
	if n := len(journal.Standing(entries)); n != 5 {
		t.Errorf("%d facts stand, want all but the impossible one", n)
	}
	if err := b.Check(ctx); err != nil {
		t.Errorf("the book is told to be damaged: %v", err)
	}
}
