package office_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"rowen/internal/document"
	"rowen/internal/office"
	"rowen/journal"
	"rowen/quantity"
)

const document1 = "rowen = 1\nname = \"Fallow Brook\"\ncontact = \"call 555-0100\"\n"

func book(t *testing.T) *office.Book {
	t.Helper()
	return open(t, filepath.Join(t.TempDir(), "office.rowen"))
}

func open(t *testing.T, path string) *office.Book {
	t.Helper()
	b, err := office.Open(context.Background(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	return b
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// height is a fact under an identity, always the same for one.
func height(device string, n int, inches string) journal.Entry {
	return journal.Entry{
		ID: journal.ID{Device: device, Sequence: uint64(n)}, Date: quantity.NewDate(2026, time.July, 1), Field: "North Six",
		Recorded: time.Date(2026, 7, 1, 0, n, 0, 0, time.UTC), Fact: journal.Height{Heights: []journal.Amount[quantity.Length]{journal.MustSay[quantity.Length](inches)}},
	}
}

func TestFarmsAndVersions(t *testing.T) {
	b, ctx := book(t), t.Context()
	f, err := b.Create(ctx, "New farm", []byte(document1), "Ada")
	if err != nil || f.Name != "Fallow Brook" || f.Contact != "call 555-0100" || f.Version != 1 {
		t.Fatalf("%+v, %v", f, err)
	}
	if _, err := b.Create(ctx, "Beside", nil, ""); err != nil {
		t.Fatal(err)
	}
	v, err := b.Save(ctx, f.ID, 1, []byte(document1+"# two\n"), "Ben", "a comment\nover two lines")
	if err != nil || v.Number != 2 {
		t.Fatalf("%+v, %v", v, err)
	}
	if again, err := b.Save(ctx, f.ID, 1, v.Text, "Ben", ""); err != nil || again.Number != 2 {
		t.Errorf("the same text sent twice: %+v, %v", again, err)
	}
	first, err := b.Version(ctx, f.ID, 1)
	if err != nil || string(first.Text) != document1 || first.Who != "Ada" {
		t.Errorf("%+v, %v", first, err)
	}
	list, err := b.Versions(ctx, f.ID)
	if err != nil || len(list) != 2 || list[0].Number != 2 || list[0].Text != nil || list[0].Note != "a comment\nover two lines" || list[0].Hash != v.Hash {
		t.Errorf("%+v, %v", list, err)
	}
	if err := b.Archive(ctx, f.ID); err != nil {
		t.Fatal(err)
	}
	farms, err := b.Farms(ctx)
	if err != nil || len(farms) != 2 || farms[0].Name != "Beside" || !farms[1].Archived || farms[1].Version != 2 || farms[1].Hash != v.Hash {
		t.Errorf("%+v, %v", farms, err)
	}
	if err := b.Restore(ctx, f.ID); err != nil {
		t.Fatal(err)
	}
	if got, err := b.Farm(ctx, f.ID); err != nil || got.Archived {
		t.Errorf("%+v, %v", got, err)
	}
	for what, err := range map[string]error{
		"document": second(b.Document(ctx, 99)), "version": second(b.Version(ctx, f.ID, 9)), "versions": second(b.Versions(ctx, 99)),
		"save": second(b.Save(ctx, 99, 1, nil, "", "")), "base": second(b.Save(ctx, f.ID, 7, []byte("x"), "", "")), "archive": b.Archive(ctx, 99),
		"record": second(b.Record(ctx, 99, height("barn", 1, "7 in"))), "weather": second(b.WeatherFile(ctx, "none")), "person": second(b.Person(ctx, "none")),
	} {
		if !errors.Is(err, office.ErrMissing) {
			t.Errorf("%s of what is not there: %v", what, err)
		}
	}
	if _, _, err := b.Journal(ctx, 99); !errors.Is(err, office.ErrMissing) {
		t.Errorf("journal of what is not there: %v", err)
	}
}

func second[T any](_ T, err error) error { return err }

// Two windows begin with one version: the later to save is told, and nothing of the
// first is overwritten.
func TestTwoWindows(t *testing.T) {
	b, ctx := book(t), t.Context()
	f := must(b.Create(ctx, "Farm", []byte("one"), ""))
	must(b.Save(ctx, f.ID, 1, []byte("hers"), "Ada", ""))
	_, err := b.Save(ctx, f.ID, 1, []byte("his"), "Ben", "")
	var c *office.Conflict
	if !errors.As(err, &c) {
		t.Fatalf("%v is no conflict", err)
	}
	if string(c.Base.Text) != "one" || string(c.Yours.Text) != "his" || string(c.Theirs.Text) != "hers" || c.Yours.Who != "Ben" || !strings.Contains(err.Error(), "Ada saved version 2") {
		t.Errorf("%+v: %v", c, err)
	}
	if now := must(b.Document(ctx, f.ID)); string(now.Text) != "hers" || now.Number != 2 {
		t.Errorf("%+v was changed", now)
	}
}

// Many windows save and record at once, over two handles as two programs would: each
// version is made once, each entry kept once.
func TestConcurrency(t *testing.T) {
	path, ctx := filepath.Join(t.TempDir(), "b"), t.Context()
	books := []*office.Book{open(t, path), open(t, path)}
	f := must(books[0].Create(ctx, "Farm", []byte("0"), ""))
	const writers, each = 8, 12
	var group sync.WaitGroup
	for w := range writers {
		group.Go(func() {
			b := books[w%2]
			for i := range each {
				for { // as a person does: look at theirs, and save again
					now, err := b.Document(ctx, f.ID)
					if err == nil {
						_, err = b.Save(ctx, f.ID, now.Number, fmt.Appendf(now.Text, " %d.%d", w, i), "", "")
					}
					var c *office.Conflict
					if errors.As(err, &c) {
						continue
					}
					if err != nil {
						t.Error(err)
					}
					break
				}
				if _, err := b.Record(ctx, f.ID, height("barn", i+1, "7 in")); err != nil { // all the same
					t.Error(err)
				}
				if _, err := b.Enter(ctx, f.ID, "office", height("", 0, "8 in")); err != nil {
					t.Error(err)
				}
			}
		})
	}
	group.Wait()
	now := must(books[1].Document(ctx, f.ID))
	if parts := strings.Fields(string(now.Text)); now.Number != writers*each+1 || len(parts) != now.Number {
		t.Errorf("version %d of %d parts, want %d: a save was lost", now.Number, len(parts), writers*each+1)
	}
	entries, conflicts, err := books[0].Journal(ctx, f.ID)
	if err != nil || len(entries) != each+writers*each || len(conflicts) > 0 {
		t.Errorf("%d entries, conflicts %v, %v; want %d", len(entries), conflicts, err, each+writers*each)
	}
}

func TestJournal(t *testing.T) {
	b, ctx := book(t), t.Context()
	f, g := must(b.Create(ctx, "F", nil, "")), must(b.Create(ctx, "G", nil, ""))
	one, two, other := height("barn", 1, "7 in"), height("barn", 2, "8 in"), height("barn", 1, "9 in")
	for i, want := range []int{2, 0, 1, 0} {
		batch := [][]journal.Entry{{two, one}, {one, two}, {other, one}, nil}[i]
		if added, err := b.Record(ctx, f.ID, batch...); err != nil || added != want {
			t.Errorf("batch %d: %d added, %v; want %d", i, added, err, want)
		}
	}
	entries, conflicts, err := b.Journal(ctx, f.ID)
	if err != nil || len(entries) != 3 || len(conflicts) != 1 || len(conflicts[0].Entries) != 2 || conflicts[0].ID != one.ID {
		t.Errorf("%v, %v, %v", entries, conflicts, err)
	}
	if entries, _, err := b.Journal(ctx, g.ID); err != nil || len(entries) != 0 {
		t.Errorf("another farm has %v, %v", entries, err)
	}
	// One that cannot be kept takes the good one beside it with it, and is told.
	bad := height("barn", 4, "7 in")
	bad.Field = ""
	huge := height("barn", 1, "7 in")
	huge.Sequence = 1 << 63
	_, err = b.Record(ctx, g.ID, height("barn", 3, "7 in"), bad, huge)
	var problems document.Problems
	if !errors.As(err, &problems) || len(problems) != 2 {
		t.Errorf("%v", err)
	}
	if entries, _, _ := b.Journal(ctx, g.ID); len(entries) != 0 {
		t.Errorf("kept: %v", entries)
	}
	kept, err := b.Enter(ctx, f.ID, "barn", height("", 0, "6 in"), journal.Entry{Date: one.Date, Field: " North Six ", Fact: one.Fact})
	if err != nil || kept[0].ID.String() != "barn:3" || kept[1].ID.String() != "barn:4" || kept[1].Field != "North Six" || kept[1].Recorded.IsZero() {
		t.Errorf("%v, %v", kept, err)
	}
	if _, err := b.Enter(ctx, f.ID, "two words", one); err == nil {
		t.Error("a device of two words")
	}
}

func TestGivenFilesAndPeople(t *testing.T) {
	b, ctx := book(t), t.Context()
	file := []byte("date,tmax_c\r\n\xff\x00")
	if err := errors.Join(b.PutWeather(ctx, "Albany, 2001–2018.csv", []byte("old")), b.PutWeather(ctx, "Albany, 2001–2018.csv", file), b.PutWeather(ctx, "empty", nil), b.PutCatalogue(ctx, "ours.toml", []byte("x = 1"))); err != nil {
		t.Fatal(err)
	}
	if got, err := b.WeatherFile(ctx, "Albany, 2001–2018.csv"); err != nil || string(got) != string(file) {
		t.Errorf("%q, %v", got, err)
	}
	if list, err := b.Weather(ctx); err != nil || len(list) != 2 || list[0].Bytes != len(file) || len(list[0].Hash) != 64 {
		t.Errorf("%+v, %v", list, err)
	}
	if c, err := b.Catalogue(ctx); err != nil || len(c) != 1 || c[0].Name != "ours.toml" || string(c[0].Text) != "x = 1" {
		t.Errorf("%+v, %v", c, err)
	}
	if err := errors.Join(b.RemoveCatalogue(ctx, "ours.toml"), b.RemoveWeather(ctx, "empty")); err != nil {
		t.Error(err)
	}
	if err := b.RemoveWeather(ctx, "empty"); !errors.Is(err, office.ErrMissing) {
		t.Error(err)
	}
	if err := errors.Join(b.PutPerson(ctx, office.Person{Name: "Ada", Device: "ada-1"}), b.PutPerson(ctx, office.Person{Name: "Ada", Device: "ada-1", Units: "metric", Phone: "555"})); err != nil {
		t.Fatal(err)
	}
	if p, err := b.Person(ctx, "Ada"); err != nil || (p != office.Person{Name: "Ada", Units: "metric", Theme: "auto", Device: "ada-1", Phone: "555"}) {
		t.Errorf("%+v, %v", p, err)
	}
	if err := b.PutPerson(ctx, office.Person{Name: "Ben", Device: "ada-1"}); err == nil || !strings.Contains(err.Error(), `that of "Ada"`) {
		t.Errorf("a device twice: %v", err)
	}
	err := b.PutPerson(ctx, office.Person{Name: "Ben", Units: "cubits", Theme: "pink", Device: "a b"})
	for _, want := range []string{"cubits", "pink", "a b"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not tell of %q", err, want)
		}
	}
	if list, err := b.People(ctx); err != nil || len(list) != 1 {
		t.Errorf("%+v, %v", list, err)
	}
}

// Names that would break a query, a path or a page are kept to the letter or refused
// with a sentence; none does harm.
func TestHostileNames(t *testing.T) {
	ctx := t.Context()
	kept := []string{"'; DROP TABLE farms; --", "../../etc/passwd", `C:\con`, "<script>alert(1)</script>", "çà 牧場 🐄", "%2e%2e", strings.Repeat("x", 200), "{{.}}", "\u202eevil"}
	refused := []string{"", "  ", "a\x00b", "a\nb", "\xff", strings.Repeat("x", 201)}
	b := book(t)
	for _, name := range kept {
		f, err := b.Create(ctx, name, []byte(name), name)
		if err != nil || f.Name != name {
			t.Errorf("%q: %+v, %v", name, f, err)
		}
		if err := errors.Join(b.PutWeather(ctx, name, []byte(name)), b.PutCatalogue(ctx, name, nil), b.PutPerson(ctx, office.Person{Name: name})); err != nil {
			t.Errorf("%q: %v", name, err)
		}
		if got, err := b.WeatherFile(ctx, name); err != nil || string(got) != name {
			t.Errorf("%q: %q, %v", name, got, err)
		}
	}
	for _, name := range refused {
		_, err := b.Create(ctx, name, nil, "")
		for _, err := range []error{err, b.PutWeather(ctx, name, nil), b.PutCatalogue(ctx, name, nil), b.PutPerson(ctx, office.Person{Name: name})} {
			if err == nil {
				t.Errorf("%q was kept", name)
			}
		}
	}
	if farms := must(b.Farms(ctx)); len(farms) != len(kept) {
		t.Errorf("%d farms, want %d", len(farms), len(kept))
	}
	// And a book may itself be called anything.
	for _, name := range []string{"a b?x=1&_pragma=foreign_keys(0)#c.rowen", "100%.rowen", "%41", "çà;'\".rowen"} {
		path := filepath.Join(t.TempDir(), name)
		must(open(t, path).Create(ctx, "F", nil, ""))
		if _, err := os.Stat(path); err != nil {
			t.Errorf("%q was made elsewhere: %v", name, err)
		}
		if farms := must(open(t, path).Farms(ctx)); len(farms) != 1 {
			t.Errorf("%q: %v", name, farms)
		}
	}
}

// What is no book is refused and not touched.
func TestNoBook(t *testing.T) {
	ctx, dir := t.Context(), t.TempDir()
	text := filepath.Join(dir, "farm.toml")
	if err := os.WriteFile(text, []byte(document1), 0o644); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{text: "not a book", dir: "a file, not a folder", filepath.Join(dir, "none", "b"): "in a folder that exists"} {
		if _, err := office.Open(ctx, path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", path, err, want)
		}
	}
	if got := must(os.ReadFile(text)); string(got) != document1 {
		t.Errorf("touched: %q", got)
	}
	empty := filepath.Join(dir, "empty")
	if err := os.WriteFile(empty, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	must(open(t, empty).Create(ctx, "F", nil, ""))
}
