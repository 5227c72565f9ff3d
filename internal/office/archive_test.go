package office

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
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

// An archive with two files of one name could be taken in either way: it is refused, and
// so is one that unpacks to more than is read, or has files without number, before any
// of it is unpacked.
func TestDishonestArchives(t *testing.T) {
	ctx := context.Background()
	var small bytes.Buffer
	w, err := flate.NewWriter(&small, flate.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	const large = 32 << 20
	sum := crc32.NewIEEE()
	if _, err := io.CopyN(io.MultiWriter(w, sum), zeros{}, large); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		fill func(put func(name, text string), bomb func(name string))
		want string
	}{
		"two of a name": {func(put func(name, text string), _ func(string)) {
			put("book.toml", "rowen-book = 1\n")
			put("people.toml", "")
			put("book.toml", "rowen-book = 1\n")
		}, `two files named "book.toml"`},
		"two in disguise": {func(put func(name, text string), _ func(string)) {
			put("book.toml", "rowen-book = 1\n")
			put("people.toml", "")
			put("./book.toml", "rowen-book = 1\n")
		}, `two files named "book.toml"`},
		"many small bombs": {func(put func(name, text string), bomb func(string)) {
			index := "rowen-book = 1\n"
			for i := range 40 {
				file := fmt.Sprintf("w%d", i)
				index += fmt.Sprintf("[[weather]]\nname = %q\nfile = %q\nsaved = \"2026-01-01T00:00:00.000Z\"\n", file, file)
				bomb(file)
			}
			put("book.toml", index)
			put("people.toml", "")
		}, "unpacks to more"},
		"files without number": {func(put func(name, text string), _ func(string)) {
			put("book.toml", "rowen-book = 1\n")
			put("people.toml", "")
			for i := range maxEntries {
				put(fmt.Sprint("n", i), "")
			}
		}, "files; 200000 are the most"},
	} {
		path := filepath.Join(t.TempDir(), "made.zip")
		f, err := os.Create(path)
		if err != nil {
			t.Fatal(err)
		}
		z := zip.NewWriter(f)
		c.fill(func(name, text string) {
			w, err := z.CreateHeader(&zip.FileHeader{Name: name})
			if err == nil {
				_, err = io.WriteString(w, text)
			}
			if err != nil {
				t.Fatal(err)
			}
		}, func(name string) {
			w, err := z.CreateRaw(&zip.FileHeader{Name: name, Method: zip.Deflate, CRC32: sum.Sum32(), CompressedSize64: uint64(small.Len()), UncompressedSize64: large})
			if err == nil {
				_, err = w.Write(small.Bytes())
			}
			if err != nil {
				t.Fatal(err)
			}
		})
		if err := errors.Join(z.Close(), f.Close()); err != nil {
			t.Fatal(err)
		}
		b := tempBook(t)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		err = ImportZip(ctx, b, path)
		runtime.ReadMemStats(&after)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
		if used := (after.TotalAlloc - before.TotalAlloc) >> 20; used > 250 {
			t.Errorf("%s: %d MB were used", name, used)
		}
		if list, err := b.Weather(ctx); err != nil || len(list) > 0 {
			t.Errorf("%s: %v was taken in, %v", name, list, err)
		}
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) {
	clear(p)
	return len(p), nil
}
