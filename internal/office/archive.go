package office

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	pathpkg "path"
	"strings"
	"time"
)

// ExportZip writes the plain files into one new archive. The same book gives the same
// bytes.
func (b *Book) ExportZip(ctx context.Context, path string) error {
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return errors.Join(fmt.Errorf("%s is already there; give the archive another name", path), err)
	}
	return beside(path, func(stage string) error {
		f, err := os.OpenFile(stage, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return err
		}
		z := zip.NewWriter(f)
		err = b.Export(ctx, func(name string, data []byte) error {
			// One moment for all: what was saved when stands in book.toml.
			w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)})
			if err == nil {
				_, err = w.Write(data)
			}
			return err
		})
		if err := errors.Join(err, z.Close(), f.Sync(), f.Close()); err != nil {
			return fmt.Errorf("cannot write %s: %w; nothing was written", path, err)
		}
		return place(stage, path)
	})
}

// maxEntries is how many files an archive may have: many times those of a large office
// with all its versions.
const maxEntries = 200_000

// ImportZip reads an archive, as ExportZip wrote it, into an empty book; see Import.
func ImportZip(ctx context.Context, b *Book, path string) error {
	z, err := zip.OpenReader(path)
	if err != nil {
		return fmt.Errorf("cannot read the archive %s: %w; give one that rowen book export wrote", path, err)
	}
	err = honest(z.File)
	if err != nil {
		err = fmt.Errorf("%s: %w; give one that rowen book export wrote", path, err)
	} else {
		err = Import(ctx, b, &z.Reader)
	}
	return errors.Join(err, z.Close())
}

// honest refuses an archive that could be read in two ways, or that unpacks to more than
// is read. No file of an archive gives more bytes than are told here: the reader holds
// it to them.
func honest(files []*zip.File) error {
	if len(files) > maxEntries {
		return fmt.Errorf("the archive has %d files; %d are the most", len(files), maxEntries)
	}
	seen := make(map[string]bool, len(files))
	var unpacked uint64
	for _, f := range files {
		name := strings.TrimPrefix(pathpkg.Clean("/"+strings.ReplaceAll(f.Name, `\`, "/")), "/") // as it is looked for
		if seen[name] {
			return fmt.Errorf("the archive has two files named %q, of which only one would be read", name)
		}
		seen[name] = true
		if unpacked += min(f.UncompressedSize64, maxAllBytes+1); unpacked > maxAllBytes {
			return fmt.Errorf("the archive unpacks to more than the %d bytes that are read", maxAllBytes)
		}
	}
	return nil
}
