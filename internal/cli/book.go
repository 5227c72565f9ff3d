package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rowen/internal/desk"
	"rowen/internal/office"
	"rowen/journal"
)

type bookCommand struct {
	Check   bookCheck   `cmd:"" help:"Read the book through: its file, every document, every line of a journal."`
	Backup  bookBackup  `cmd:"" help:"Copy the book, as it is at one moment, while it is in use."`
	Restore bookRestore `cmd:"" help:"Put a backup in the book's place; what stood there is kept aside."`
	Export  bookExport  `cmd:"" help:"Write the whole book as plain files into a new folder or a .zip archive."`
	Import  bookImport  `cmd:"" help:"Take in what export wrote, or one farm document with its journal."`
}

// Help shows examples.
func (bookCommand) Help() string {
	return `The office's book is one file that holds farms with every version of their documents, journals, weather, catalogue corrections and people. While a program has it open, what was written last stands beside it, in a file ending in -wal: a copy of the book's file alone lacks that and may be of no moment at all. Copy it with rowen book backup, at any time. What export wrote is read into an empty book alone; farm documents are added to any. Of a document the journal beside it and the weather file that it names come with it.

` + examples("book")
}

// bookFlag names the book.
type bookFlag struct {
	Book string `help:"The office's book. Default: rowen.book in your configuration folder." placeholder:"FILE"`
}

func (b bookFlag) path() (string, error) {
	if b.Book != "" {
		return b.Book, nil
	}
	return usualBook()
}

// existing opens a book that is there.
func (b bookFlag) existing(ctx context.Context, do func(*office.Book) error) error {
	path, err := b.path()
	if err != nil {
		return err
	}
	if _, err := os.Stat(path); err != nil {
		return fmt.Errorf("there is no book: %w; give its path with --book", err)
	}
	return opened(ctx, path, do)
}

// opened does something with a book, made if it is missing, and closes it.
func opened(ctx context.Context, path string, do func(*office.Book) error) error {
	b, err := office.Open(ctx, path)
	if err != nil {
		return err
	}
	return errors.Join(do(b), b.Close())
}

type bookCheck struct{ bookFlag }

// Run reads the book through.
func (c bookCheck) Run(f *face) error {
	return c.existing(f.ctx, func(b *office.Book) error {
		if err := b.Check(f.ctx); err != nil {
			return err
		}
		farms, err := b.Farms(f.ctx)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(f.out, "%s is sound: %s\n", b.Path(), counted(len(farms), "farm"))
		return err
	})
}

type bookBackup struct {
	bookFlag
	To string `arg:"" help:"File to write; it must not be there yet."`
}

// Run copies the book.
func (c bookBackup) Run(f *face) error {
	return c.existing(f.ctx, func(b *office.Book) error {
		if err := b.Backup(f.ctx, c.To); err != nil {
			return err
		}
		_, err := fmt.Fprintf(f.out, "Backup of %s written to %s and read through\n", b.Path(), c.To)
		return err
	})
}

type bookRestore struct {
	bookFlag
	From string `arg:"" help:"The backup."`
}

// Run puts a backup in the book's place.
func (c bookRestore) Run(f *face) error {
	path, err := c.path()
	if err != nil {
		return err
	}
	aside, err := office.Restore(f.ctx, c.From, path)
	if err != nil {
		return err
	}
	kept := ""
	if aside != "" {
		kept = "; what stood there is now " + aside
	}
	_, err = fmt.Fprintf(f.out, "%s is the backup %s%s\n", path, c.From, kept)
	return err
}

type bookExport struct {
	bookFlag
	To string `arg:"" help:"Folder to write, new or empty; or a new archive, ending in .zip."`
}

// Run writes the book as plain files.
func (c bookExport) Run(f *face) error {
	return c.existing(f.ctx, func(b *office.Book) error {
		write := b.ExportFolder
		if isArchive(c.To) {
			write = b.ExportZip
		}
		if err := write(f.ctx, c.To); err != nil {
			return err
		}
		_, err := fmt.Fprintf(f.out, "Written to %s; READ-ME.txt in it says what lies where\n", c.To)
		return err
	})
}

type bookImport struct {
	bookFlag
	officeFlag
	From string `arg:"" help:"Folder or archive that export wrote, or a farm document."`
	Who  string `help:"Who takes it in." placeholder:"NAME"`
}

// Run takes in a folder or a document.
func (c bookImport) Run(f *face) error {
	path, err := c.path()
	if err != nil {
		return err
	}
	read := func(b *office.Book) error { return office.ImportZip(f.ctx, b, c.From) }
	switch {
	case desk.IsFolder(c.From):
		root, err := os.OpenRoot(c.From)
		if err != nil {
			return fmt.Errorf("cannot read the folder: %w", err)
		}
		read = func(b *office.Book) error { return errors.Join(office.Import(f.ctx, b, root.FS()), root.Close()) }
	case !isArchive(c.From):
		return c.document(f, path)
	}
	return opened(f.ctx, path, func(b *office.Book) error {
		if err := read(b); err != nil {
			return err
		}
		farms, err := b.Farms(f.ctx)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(f.out, "%s taken into %s\n", counted(len(farms), "farm"), path)
		return err
	})
}

func isArchive(path string) bool { return strings.EqualFold(filepath.Ext(path), ".zip") }

// document takes in one farm with what belongs to it, all read before the book is
// touched.
func (c bookImport) document(f *face, path string) error {
	checked, err := desk.Check(c.From, c.Catalogue)
	if err != nil {
		return err
	}
	text, err := os.ReadFile(c.From)
	if err != nil {
		return fmt.Errorf("cannot read the document: %w", err)
	}
	log, err := journal.Read(strings.TrimSuffix(c.From, filepath.Ext(c.From)) + ".journal")
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if len(log.Problems) > 0 {
		return log.Problems
	}
	for _, torn := range log.Torn {
		f.progress(torn.Error())
	}
	var weather []byte
	if name := checked.Weather; name != "" {
		if !filepath.IsAbs(name) {
			name = filepath.Join(filepath.Dir(c.From), name)
		}
		if weather, err = os.ReadFile(name); err != nil {
			return fmt.Errorf("cannot read the weather that the document names: %w; name a file, or leave the line out", err)
		}
	}
	return opened(f.ctx, path, func(b *office.Book) error {
		if weather != nil {
			if there, err := b.WeatherFile(f.ctx, checked.Weather); err == nil && !bytes.Equal(there, weather) {
				return fmt.Errorf("weather %q: the book has another file of this name; give this one another name, in the document too", checked.Weather)
			}
			if err := b.PutWeather(f.ctx, checked.Weather, weather); err != nil {
				return err
			}
		}
		farm, err := b.Create(f.ctx, checked.Name, text, c.Who)
		if err != nil {
			return err
		}
		n, err := b.Record(f.ctx, farm.ID, log.Entries...)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(f.out, "%s taken into %s with %s of its journal\n", farm.Name, path, entries(n))
		return err
	})
}

func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
