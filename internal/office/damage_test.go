package office

import (
	"bytes"
	"errors"
	"path/filepath"
	"strings"
	"testing"
)

// A digit changed in the file is met where the text is read: nothing is made of it, and
// the book says so from then on. The rest of the book can still be had as plain files.
func TestChangedText(t *testing.T) {
	ctx := t.Context()
	b := sample(t)
	if err := b.Wrong(); err != nil {
		t.Fatal(err)
	}
	for _, do := range []string{
		"UPDATE versions SET text = CAST(CAST(text AS TEXT) || ' ' AS BLOB) WHERE number = 2",
		"UPDATE files SET data = CAST('y' AS BLOB)",
	} {
		if _, err := b.write.Exec(do); err != nil {
			t.Fatal(err)
		}
	}
	if v, err := b.Version(ctx, 1, 1); err != nil || v.Number != 1 {
		t.Errorf("the sound version: %+v, %v", v, err)
	}
	for thing, read := range map[string]func() error{
		"version 2":                        func() error { v, err := b.Document(ctx, 1); return emptied(v.Text, err) },
		`farm 1 "Fallow Brook", version 2`: func() error { v, err := b.Version(ctx, 1, 2); return emptied(v.Text, err) },
		"farm 1":                           func() error { _, err := b.Save(ctx, 1, 2, []byte("rowen = 1\n# more\n"), "", ""); return err },
		`weather file "Albany.csv"`:        func() error { data, err := b.WeatherFile(ctx, "Albany.csv"); return emptied(data, err) },
		`catalogue file "ours"`:            func() error { _, err := b.Catalogue(ctx); return err },
	} {
		err := read()
		if err == nil || !strings.Contains(err.Error(), thing) || !strings.Contains(err.Error(), "rowen book check") || !strings.Contains(err.Error(), "rowen book restore") {
			t.Errorf("%s: %v", thing, err)
		}
	}
	if err := b.Wrong(); !errors.Is(err, errDamaged) {
		t.Errorf("the book says %v of itself", err)
	}
	out := filepath.Join(t.TempDir(), "out.zip")
	if err := b.ExportZip(ctx, out); err != nil {
		t.Errorf("the rest cannot be had: %v", err)
	}
	if err := ImportZip(ctx, tempBook(t), out); err == nil || !strings.Contains(err.Error(), "is not what was exported") {
		t.Errorf("taken in again: %v", err)
	}
}

func emptied(data []byte, err error) error {
	if data != nil {
		return errors.New("the changed text was given away")
	}
	return err
}

// A book that cannot be written says so until it can; what was refused for its own sake
// changes nothing of that.
func TestUnwritten(t *testing.T) {
	ctx := t.Context()
	b := sample(t)
	pages := func(n string) {
		t.Helper()
		if _, err := b.write.Exec("PRAGMA max_page_count = " + n); err != nil {
			t.Fatal(err)
		}
	}
	pages("1") // SQLite takes as many as there are
	if err := b.PutWeather(ctx, "long", bytes.Repeat([]byte("x"), 1<<20)); err == nil {
		t.Fatal("written without room")
	}
	for range 2 {
		if err := b.Wrong(); err == nil || !strings.Contains(err.Error(), "could not be written") || !strings.Contains(err.Error(), "full") {
			t.Errorf("the book says %v of itself", err)
		}
		if err := b.Archive(ctx, 77); !errors.Is(err, ErrMissing) {
			t.Error(err)
		}
	}
	pages("1000000")
	if err := b.PutWeather(ctx, "long", bytes.Repeat([]byte("x"), 1<<20)); err != nil {
		t.Fatal(err)
	}
	if err := b.Wrong(); err != nil {
		t.Errorf("written again, and it says %v", err)
	}
}
