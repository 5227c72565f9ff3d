package office

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func TestArchive(t *testing.T) {
	b, ctx, dir := sample(t), context.Background(), t.TempDir()
	var sums []string
	for _, name := range []string{"one.zip", "two.zip"} {
		path := filepath.Join(dir, name)
		if err := b.ExportZip(ctx, path); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		sums = append(sums, fmt.Sprintf("%x", sha256.Sum256(data)))
	}
	if sums[0] != sums[1] {
		t.Error("one book gave two archives")
	}
	if err := b.ExportZip(ctx, filepath.Join(dir, "one.zip")); err == nil || !strings.Contains(err.Error(), "already there") {
		t.Errorf("written over: %v", err)
	}
	again := tempBook(t)
	if err := ImportZip(ctx, again, filepath.Join(dir, "one.zip")); err != nil {
		t.Fatal(err)
	}
	if dump(t, again) != dump(t, b) {
		t.Error("another book came back")
	}
	if err := ImportZip(ctx, tempBook(t), filepath.Join(dir, "none.zip")); err == nil {
		t.Error("an archive that is not there was read")
	}
}

// packed writes an archive by hand.
func packed(t *testing.T, files map[string]string, links map[string]string) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	put := func(h *zip.FileHeader, text string) {
		w, err := z.CreateHeader(h)
		if err == nil {
			_, err = w.Write([]byte(text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range files {
		put(&zip.FileHeader{Name: name, Method: zip.Deflate}, text)
	}
	for name, to := range links {
		h := &zip.FileHeader{Name: name}
		h.SetMode(fs.ModeSymlink | 0o777)
		put(h, to)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "made.zip")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

const weatherIndex = "rowen-book = 1\n[[weather]]\nname = \"w\"\nfile = %q\nsaved = \"2026-01-01T00:00:00.000Z\"\n"

// Archives made to do harm are refused with a sentence, and nothing outside is read or
// written.
func TestHostileArchives(t *testing.T) {
	ctx := context.Background()
	secret := filepath.Join(t.TempDir(), "secret")
	if err := os.WriteFile(secret, []byte("the secret"), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		files, links map[string]string
		want         string // empty: it may be taken in, without harm
	}{
		"path up":     {map[string]string{"book.toml": fmt.Sprintf(weatherIndex, "../../secret"), "people.toml": "", "../../secret": "x"}, nil, "leads out of the folder"},
		"absolute":    {map[string]string{"book.toml": fmt.Sprintf(weatherIndex, secret), "people.toml": "", secret: "x"}, nil, "leads out of the folder"},
		"backslashes": {map[string]string{"book.toml": fmt.Sprintf(weatherIndex, `..\..\secret`), "people.toml": "", `..\..\secret`: "x"}, nil, ""},
		"a link":      {map[string]string{"book.toml": fmt.Sprintf(weatherIndex, "w"), "people.toml": ""}, map[string]string{"w": secret}, ""},
		"a bomb":      {map[string]string{"book.toml": fmt.Sprintf(weatherIndex, "w"), "people.toml": "", "w": strings.Repeat("0", 300<<20)}, nil, "larger than"},
		"bomb index":  {map[string]string{"book.toml": strings.Repeat("#", 300<<20), "people.toml": ""}, nil, "larger than"},
		"a folder":    {map[string]string{"book.toml": fmt.Sprintf(weatherIndex, "w"), "people.toml": "", "w/x": ""}, nil, "cannot be read"},
		"no index":    {map[string]string{"people.toml": ""}, nil, "book.toml"},
	} {
		path := packed(t, c.files, c.links)
		b := tempBook(t)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		err := ImportZip(ctx, b, path)
		runtime.ReadMemStats(&after)
		if c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
		if used := (after.TotalAlloc - before.TotalAlloc) >> 20; used > 250 {
			t.Errorf("%s: %d MB were used", name, used)
		}
		if strings.Contains(dump(t, b), "the secret") {
			t.Errorf("%s: a file from outside was read", name)
		}
		if c.want != "" {
			if list, err := b.Weather(ctx); err != nil || len(list) > 0 {
				t.Errorf("%s: %v was taken in, %v", name, list, err)
			}
		}
	}
	if got, err := os.ReadFile(secret); err != nil || string(got) != "the secret" {
		t.Errorf("outside was written: %q, %v", got, err)
	}
}
