package office

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// A book is copied, read through, put back and written out wherever it lies and
// whatever it is called, by whole paths and by those of the folder one stands in.
func TestPaths(t *testing.T) {
	ctx, dir := t.Context(), t.TempDir()
	b := sample(t)
	want := dump(t, b)
	names := []string{"book", "my book.rowen", "50%", "a#b", "Höfe 農場", "100%41", "file", "it's & more=1", "🐄"}
	if runtime.GOOS != "windows" {
		names = append(names, "what?mode=ro", `back\slash`, "file:odd", `"quoted"`, "colon:", "line\nbreak")
	}
	if err := os.Mkdir(filepath.Join(dir, "in"), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Chdir(filepath.Join(dir, "in"))
	for i, before := range []string{"", "./", "../", "../in/", filepath.Join(dir, "in") + "/"} {
		for _, name := range names {
			if err := roundTrip(ctx, t, b, before+name, want); err != nil {
				t.Errorf("%d, %q: %v", i, before+name, err)
			}
		}
	}
	for _, at := range []string{".", ".."} {
		if left, err := filepath.Glob(filepath.Join(at, ".rowen-*")); err != nil || len(left) > 0 {
			t.Errorf("left behind: %v, %v", left, err)
		}
	}
}

// roundTrip copies a book to a path's neighbour, puts it in place there, and takes it
// out and in again as plain files.
func roundTrip(ctx context.Context, t *testing.T, b *Book, path, want string) error {
	if err := b.Backup(ctx, path+".backup"); err != nil {
		return err
	}
	if _, err := Restore(ctx, path+".backup", path); err != nil {
		return err
	}
	if _, err := os.Stat(path); err != nil { // and not somewhere else
		return err
	}
	back, err := Open(ctx, path)
	if err != nil {
		return err
	}
	err = errors.Join(back.Check(ctx), back.ExportFolder(ctx, path+".plain/"), back.ExportZip(ctx, path+".zip"), back.Backup(ctx, path+".again"))
	if got := dump(t, back); got != want {
		t.Errorf("%q came back as %s", path, got)
	}
	if err := errors.Join(err, back.Close()); err != nil {
		return err
	}
	again, err := Open(ctx, path+".imported")
	if err != nil {
		return err
	}
	err = ImportZip(ctx, again, path+".zip")
	if got := dump(t, again); err == nil && got != want {
		t.Errorf("%q was taken in as %s", path, got)
	}
	for _, made := range []string{path, path + ".backup", path + ".again", path + ".imported", path + ".zip", path + ".plain"} {
		err = errors.Join(err, os.RemoveAll(made))
	}
	return errors.Join(err, again.Close())
}
