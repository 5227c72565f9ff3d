package office

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/paulmach/orb/geojson"
	"pgregory.net/rapid"

	"rowen/internal/document"
	"rowen/journal"
	"rowen/quantity"
)

// tempBook is a book in a folder of its own.
func tempBook(t interface {
	Fatal(...any)
	Cleanup(func())
}) *Book {
	dir, err := os.MkdirTemp("", "book")
	if err != nil {
		t.Fatal(err)
	}
	b, err := Open(context.Background(), filepath.Join(dir, "book"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := errors.Join(b.Close(), os.RemoveAll(dir)); err != nil {
			t.Fatal(err)
		}
	})
	return b
}

// dump is every cell of a book's tables, but for the rows' own numbers.
func dump(t interface{ Fatal(...any) }, b *Book) string {
	var out bytes.Buffer
	err := b.look(context.Background(), func(tx *sql.Tx) error {
		for _, q := range []string{
			"SELECT id, name, contact, archived FROM farms ORDER BY id", "SELECT * FROM versions ORDER BY farm, number",
			"SELECT farm, device, sequence, hex(hash), line FROM entries ORDER BY farm, row", "SELECT * FROM files ORDER BY kind, name", "SELECT * FROM people ORDER BY name",
		} {
			lines, err := rows(context.Background(), tx, scanProblem, q)
			if err != nil {
				return err
			}
			fmt.Fprintf(&out, "%s\n%q\n", q, lines)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func exported(t interface{ Fatal(...any) }, b *Book) fstest.MapFS {
	out := fstest.MapFS{}
	if err := b.Export(context.Background(), func(name string, data []byte) error {
		if out[name] != nil {
			return fmt.Errorf("%s twice", name)
		}
		out[name] = &fstest.MapFile{Data: bytes.Clone(data)}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return out
}

func fact(device string, n uint64, inches int, note string) journal.Entry {
	return journal.Entry{
		ID: journal.ID{Device: device, Sequence: n}, Date: quantity.NewDate(2026, time.July, 1), Field: "North Six", Note: note,
		Recorded: time.Date(2026, 7, 1, 0, int(n%1000), 0, 0, time.UTC), Fact: journal.Height{Heights: []journal.Amount[quantity.Length]{journal.MustSay[quantity.Length](fmt.Sprint(inches) + " in")}},
	}
}

// Whatever is in a book, its plain files give an equal book.
func TestPlainFilesGiveTheBookBack(t *testing.T) {
	ctx := context.Background()
	name := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"../..", "Hill Farm", `a"b'c\d`, "çà 牧場", "<b>", "x.csv", "x.CSV", ".toml"}))
	text := rapid.OneOf(rapid.SliceOf(rapid.Byte()), rapid.Map(name, func(s string) []byte { return fmt.Appendf(nil, "rowen = 1\nname = %q\n", s) }))
	rapid.Check(t, func(rt *rapid.T) {
		b := tempBook(rt)
		at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
		b.now = func() time.Time { at = at.Add(1234567 * time.Microsecond); return at }
		var ids []int64
		refused := 0
		for range rapid.IntRange(1, 25).Draw(rt, "steps") {
			var err error
			var farm int64
			if len(ids) > 0 {
				farm = rapid.SampledFrom(ids).Draw(rt, "farm")
			}
			switch what := rapid.IntRange(0, 7).Draw(rt, "what"); {
			case what == 0 || farm == 0:
				var f Farm
				f, err = b.Create(ctx, name.Draw(rt, "name"), text.Draw(rt, "text"), name.Draw(rt, "who"))
				if err == nil {
					ids = append(ids, f.ID)
				}
			case what == 1:
				var now Version
				if now, err = b.Document(ctx, farm); err == nil {
					_, err = b.Save(ctx, farm, now.Number, text.Draw(rt, "text"), name.Draw(rt, "who"), name.Draw(rt, "note")+"\n\ttwo")
				}
			case what == 2:
				err = b.Archive(ctx, farm)
			case what == 3:
				err = b.PutWeather(ctx, name.Draw(rt, "weather"), text.Draw(rt, "file"))
			case what == 4:
				err = b.PutCatalogue(ctx, name.Draw(rt, "catalogue"), text.Draw(rt, "file"))
			case what == 5:
				err = b.PutPerson(ctx, Person{name.Draw(rt, "person"), rapid.SampledFrom([]string{"", "us", "metric"}).Draw(rt, "units"), "dark", rapid.SampledFrom([]string{"", "a", "b"}).Draw(rt, "device"), name.Draw(rt, "phone")})
			default:
				_, err = b.Record(ctx, farm, fact(rapid.SampledFrom([]string{"barn", "phone"}).Draw(rt, "device"), rapid.Uint64Range(1, 3).Draw(rt, "n"), rapid.IntRange(1, 3).Draw(rt, "inches"), name.Draw(rt, "note")))
			}
			if err != nil {
				refused++ // a name that cannot be
			}
		}
		files := exported(rt, b)
		again := tempBook(rt)
		if err := Import(ctx, again, files); err != nil {
			rt.Fatal(err)
		}
		if got, want := dump(rt, again), dump(rt, b); got != want {
			rt.Fatalf("got\n%s\nwant\n%s", got, want)
		}
		if err := again.Check(ctx); err != nil {
			rt.Fatal(err)
		}
		for name, file := range exported(rt, again) {
			if !bytes.Equal(file.Data, files[name].Data) {
				rt.Fatalf("%s differs", name)
			}
		}
		if err := Import(ctx, again, files); len(ids) > 0 && (err == nil || !strings.Contains(err.Error(), "not empty")) {
			rt.Fatalf("read into a full book: %v", err)
		}
	})
}

const outlined = `rowen = 1
name = "Fallow Brook"
[[field]]
name = "North Six"
outline = '{"type":"Polygon","coordinates":[[[-74.48,43.0],[-74.475,43.0],[-74.475,43.004],[-74.48,43.004],[-74.48,43.0]]]}'
[[field]]
name = "Low"
area = "5 ac"
`

func sample(t interface {
	Fatal(...any)
	Cleanup(func())
}) *Book {
	b, ctx := tempBook(t), context.Background()
	f, err := b.Create(ctx, "Farm", []byte("rowen = 1\n"), "Ada")
	if err == nil {
		_, err = b.Save(ctx, f.ID, 1, []byte(outlined), "Ada", "outlines")
	}
	if err == nil {
		_, err = b.Record(ctx, f.ID, fact("barn", 1, 7, ""), fact("barn", 1, 8, ""))
	}
	if err := errors.Join(err, b.PutWeather(ctx, "Albany.csv", []byte("x")), b.PutCatalogue(ctx, "ours", []byte("y = 1\n")), b.PutPerson(ctx, Person{Name: "Ada"})); err != nil {
		t.Fatal(err)
	}
	return b
}

func TestExportFolder(t *testing.T) {
	ctx, dir := t.Context(), filepath.Join(t.TempDir(), "out")
	b := sample(t)
	if err := b.ExportFolder(ctx, dir); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"READ-ME.txt", "book.toml", "people.toml", "farms/001-fallow-brook/farm.toml", "farms/001-fallow-brook/versions/1.toml", "farms/001-fallow-brook/farm.journal", "weather/01-albany.csv", "catalogue/01-ours"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			t.Error(err)
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "farms/001-fallow-brook/fields.geojson"))
	if err != nil {
		t.Fatal(err)
	}
	shapes, err := geojson.UnmarshalFeatureCollection(text)
	if err != nil || len(shapes.Features) != 1 || shapes.Features[0].Properties["name"] != "North Six" || !json.Valid(text) {
		t.Errorf("%s, %v", text, err)
	}
	if err := b.ExportFolder(ctx, dir); err == nil || !strings.Contains(err.Error(), "not empty") {
		t.Errorf("written over: %v", err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	again := tempBook(t)
	if err := Import(ctx, again, root.FS()); err != nil {
		t.Fatal(err)
	}
	if dump(t, again) != dump(t, b) {
		t.Error("another book came back")
	}
	// A name that leads out of the folder through a link is not followed.
	secret := filepath.Join(t.TempDir(), "secret")
	journal := filepath.Join(dir, "farms/001-fallow-brook/farm.toml")
	if err := errors.Join(os.WriteFile(secret, []byte("secret"), 0o600), os.Remove(journal), os.Symlink(secret, journal)); err != nil {
		t.Fatal(err)
	}
	if err := Import(ctx, tempBook(t), root.FS()); err == nil || !strings.Contains(err.Error(), "cannot be read") {
		t.Errorf("a link out of the folder: %v", err)
	}
}

// Everything wrong with a folder is told at once, by file and line, and nothing is
// taken in.
func TestImportProblems(t *testing.T) {
	ctx := t.Context()
	good := exported(t, sample(t))
	const index, farm = "book.toml", "farms/001-fallow-brook/"
	for name, c := range map[string]struct {
		file     string
		old, new string
		want     []string
	}{
		"two at once":  {index, `folder = 'farms/001-fallow-brook'`, `folder = '../../etc'`, []string{`book.toml:10: file: "../../etc/versions/1.toml": it leads out`, `book.toml:17: file: "../../etc/farm.toml": it leads out`}},
		"absolute":     {index, `file = 'weather/01-albany.csv'`, `file = '/etc/passwd'`, []string{"leads out of the folder"}},
		"no number":    {index, "number = 1\n", "number = 5\n", []string{"stand in order from 1"}},
		"hash":         {farm + "farm.toml", "North Six", "South Six", []string{"is not what was exported"}},
		"journal":      {farm + "farm.journal", "7 in", "9 in", []string{"farm.journal:1: line", "checksum is wrong"}},
		"moment":       {index, "saved = '2", "saved = 'x", []string{"write a moment"}},
		"later":        {index, "rowen-book = 1", "rowen-book = 9", []string{"must lie between"}},
		"no book":      {index, "rowen-book = 1", "", []string{"rowen book export"}},
		"person":       {"people.toml", "units = 'us'", "units = 'ells'", []string{"people.toml:", "ells"}},
		"syntax":       {index, "[[farm]]", "[[farm", []string{"book.toml:"}},
		"half a id":    {index, "id = 1", "id = 1.5", []string{"whole number"}},
		"unknown":      {index, "archived", "archive", []string{"did you mean archived"}},
		"missing file": {index, `file = 'weather/01-albany.csv'`, `file = 'weather/none'`, []string{"cannot be read"}},
	} {
		files := maps.Clone(good)
		text := string(good[c.file].Data)
		if !strings.Contains(text, c.old) {
			t.Fatalf("%s: %q is not in\n%s", name, c.old, text)
		}
		files[c.file] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(text, c.old, c.new))}
		b := tempBook(t)
		err := Import(ctx, b, files)
		for _, want := range c.want {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %v, want %q", name, err, want)
			}
		}
		if farms, err := b.Farms(ctx); err != nil || len(farms) > 0 {
			t.Errorf("%s: taken in: %v, %v", name, farms, err)
		}
	}
	var problems document.Problems
	if err := Import(ctx, tempBook(t), fstest.MapFS{}); !errors.As(err, &problems) || len(problems) != 2 {
		t.Errorf("an empty folder: %v", err)
	}
	// A document changed by hand is taken in once its hash is out.
	files := maps.Clone(good)
	files[farm+"farm.toml"] = &fstest.MapFile{Data: []byte("name = \"By Hand\"\n")}
	lines := strings.Split(string(good[index].Data), "\n")
	for i := range lines {
		if strings.HasPrefix(lines[i], "hash = ") {
			lines[i] = ""
		}
	}
	files[index] = &fstest.MapFile{Data: []byte(strings.Join(lines, "\n"))}
	b := tempBook(t)
	if err := errors.Join(Import(ctx, b, files), b.Check(ctx)); err != nil {
		t.Error(err)
	}
}

func FuzzImport(f *testing.F) {
	good := exported(f, sample(f))
	const farm = "farms/001-fallow-brook/"
	f.Add(good["book.toml"].Data, good["people.toml"].Data, good[farm+"farm.toml"].Data, good[farm+"farm.journal"].Data)
	f.Add([]byte("rowen-book = 1\n[[farm]]\nid = 1\nfolder = \"..\"\n"), []byte("[[person]]\n"), []byte(nil), []byte("{}\n"))
	f.Fuzz(func(t *testing.T, index, people, text, lines []byte) {
		files := maps.Clone(good)
		files["book.toml"], files["people.toml"] = &fstest.MapFile{Data: index}, &fstest.MapFile{Data: people}
		files[farm+"farm.toml"], files[farm+"farm.journal"] = &fstest.MapFile{Data: text}, &fstest.MapFile{Data: lines}
		if _, err := readPlain(inside{t, files}); err != nil {
			return // told, before the book is touched
		}
		// What is taken in is a sound book that comes back from its own files.
		b, again := tempBook(t), tempBook(t)
		if err := Import(context.Background(), b, files); err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(b.Check(context.Background()), Import(context.Background(), again, exported(t, b))); err != nil {
			t.Fatal(err)
		}
		if dump(t, again) != dump(t, b) {
			t.Fatal("another book came back")
		}
	})
}

// inside fails where a name leads out of the folder.
type inside struct {
	t     *testing.T
	files fstest.MapFS
}

func (i inside) Open(name string) (fs.File, error) {
	if !fs.ValidPath(name) {
		i.t.Errorf("%q was asked for", name)
	}
	return i.files.Open(name)
}

// Whatever is recorded and read in whatever order, through two handles, a journal read
// on from where it was is the journal read whole.
func TestLogReadOn(t *testing.T) {
	ctx := context.Background()
	rapid.Check(t, func(t *rapid.T) {
		one := tempBook(t)
		two, err := Open(ctx, one.Path())
		if err != nil {
			t.Fatal(err)
		}
		defer two.Close()
		for _, name := range []string{"A", "B"} {
			if _, err := one.Create(ctx, name, nil, ""); err != nil {
				t.Fatal(err)
			}
		}
		stamps := map[string]string{}
		for range rapid.IntRange(1, 20).Draw(t, "steps") {
			b := rapid.SampledFrom([]*Book{one, two}).Draw(t, "book")
			farm := rapid.Int64Range(1, 2).Draw(t, "farm")
			if rapid.Bool().Draw(t, "write") {
				if _, err := b.Record(ctx, farm, fact("barn", rapid.Uint64Range(1, 4).Draw(t, "n"), rapid.IntRange(1, 3).Draw(t, "inches"), "")); err != nil {
					t.Fatal(err)
				}
				continue
			}
			got, err := b.Log(ctx, farm)
			if err != nil {
				t.Fatal(err)
			}
			fresh, err := Open(ctx, one.Path())
			if err != nil {
				t.Fatal(err)
			}
			want, err := fresh.Log(ctx, farm)
			if err := errors.Join(err, fresh.Close()); err != nil {
				t.Fatal(err)
			}
			said := fmt.Sprint(got.Entries, got.Conflicts)
			if said != fmt.Sprint(want.Entries, want.Conflicts) || got.Stamp != want.Stamp {
				t.Fatalf("got %s %s\nwant %v %v %s", said, got.Stamp, want.Entries, want.Conflicts, want.Stamp)
			}
			if known, ok := stamps[got.Stamp]; ok && known != said {
				t.Fatalf("stamp %s was of %s, now %s", got.Stamp, known, said)
			}
			stamps[got.Stamp] = said
		}
	})
}
