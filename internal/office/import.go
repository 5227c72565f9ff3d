package office

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"

	"rowen/internal/document"
	"rowen/journal"
)

// Import reads plain files, as Export gave them, into an empty book: all or nothing,
// every problem at once (document.Problems). The files may come from anywhere: no name
// in them leads out of the folder, and no size is believed.
func Import(ctx context.Context, b *Book, from fs.FS) error {
	found, err := readPlain(from)
	if err != nil {
		return err
	}
	return b.change(ctx, func(tx *sql.Tx) error {
		var n int
		if err := tx.QueryRowContext(ctx, "SELECT (SELECT count(*) FROM farms) + (SELECT count(*) FROM files) + (SELECT count(*) FROM people)").Scan(&n); err != nil {
			return err
		}
		if n > 0 {
			return fmt.Errorf("%s is not empty: plain files are read into a new book; give a path where none is", b.path)
		}
		return found.insert(ctx, tx)
	})
}

// The most bytes read of one file, and of all together.
const (
	maxJournalBytes = 256 << 20
	maxAllBytes     = 1 << 30
)

// plain is what was read, checked.
type plain struct {
	farms  []farmRead
	files  []fileRead
	people []Person
}

type farmRead struct {
	plainFarm
	texts [][]byte
	lines []line
}

type fileRead struct {
	plainFile
	kind string
	data []byte
}

// plainReader reads plain files and gathers problems.
type plainReader struct {
	from fs.FS
	document.Reader
	bytes int64
}

func readPlain(from fs.FS) (plain, error) {
	r := &plainReader{from: from}
	var out plain
	r.index(&out)
	r.people(&out)
	if len(r.Problems) > 0 {
		return plain{}, r.Problems
	}
	return out, nil
}

// tree reads a TOML file; ok is false where it cannot be read, and that is reported.
func (r *plainReader) tree(name string) (document.In, bool) {
	data, ok := r.file(name, name, 0, document.MaxBytes)
	r.File = name
	if !ok {
		return document.In{}, false
	}
	root, err := document.Parse(name, data)
	if err != nil {
		var p document.Problem
		if !errors.As(err, &p) {
			p = document.Problem{File: name, Thing: "file", Remedy: err.Error()}
		}
		r.Problems = append(r.Problems, p)
		return document.In{}, false
	}
	return r.At(root, ""), true
}

// file reads a file that a line of another asks for.
func (r *plainReader) file(name, asked string, line int, most int64) ([]byte, bool) {
	r.File = asked
	if !fs.ValidPath(name) {
		r.Report(line, "file", name, "it leads out of the folder; write a path inside it")
		return nil, false
	}
	f, err := r.from.Open(name)
	if err != nil {
		r.Report(line, "file", name, "cannot be read: "+err.Error())
		return nil, false
	}
	data, err := io.ReadAll(io.LimitReader(f, min(most, maxAllBytes-r.bytes)+1))
	if err := errors.Join(err, f.Close()); err != nil {
		r.Report(line, "file", name, "cannot be read: "+err.Error())
		return nil, false
	}
	r.bytes += int64(len(data))
	if int64(len(data)) > most || r.bytes > maxAllBytes {
		r.Report(line, "file", name, fmt.Sprintf("larger than the %d bytes that are read of it, or of all together; give the right folder", most))
		return nil, false
	}
	return data, true
}

const indexName = "book.toml"

func (r *plainReader) index(out *plain) {
	top, ok := r.tree(indexName)
	if !ok {
		return
	}
	if top.Number("rowen-book", 0, 1, plainVersion) != plainVersion {
		if !top.Has("rowen-book") {
			top.Report("rowen-book", "", "it is missing; give a folder that rowen book export made")
		}
		return
	}
	named := func(what string) func(document.In) string {
		return func(in document.In) string { return fmt.Sprintf("%s %q", what, in.Text("name")) }
	}
	seen := map[string]bool{}
	for _, in := range top.Tables("farm", named("farm")) {
		out.farms = append(out.farms, r.farm(in, seen))
	}
	for _, kind := range []string{weatherKind, catalogueKind} {
		for _, in := range top.Tables(kind, named(kind+" file")) {
			out.files = append(out.files, r.given(in, kind, seen))
		}
	}
	top.Unknown()
}

// once reports what stands twice in the index.
func once(in document.In, seen map[string]bool, list, key, value string) {
	at := list + " " + key + " " + value
	if seen[at] {
		in.Report(key, value, "it stands twice; keep one")
	}
	seen[at] = true
}

func (r *plainReader) farm(in document.In, seen map[string]bool) farmRead {
	f := farmRead{plainFarm: plainFarm{
		ID: count(in, "id", math.MaxInt32), Name: in.Text("name"), Contact: in.Text("contact"), Archived: in.Truth("archived", false), Folder: in.Need("folder", `"farms/001-name"`),
	}}
	once(in, seen, "farm", "id", fmt.Sprint(f.ID))
	once(in, seen, "farm", "folder", f.Folder)
	report(in, "name", f.Name, checkName("farm", f.Name))
	if why := document.WrongLine(f.Contact); why != "" {
		in.Report("contact", f.Contact, why)
	}
	versions := in.Tables("version", func(v document.In) string { return in.Thing + ": version" })
	if len(versions) == 0 {
		in.Report("version", "", "a farm has one document at least; add [[farm.version]]")
	}
	for i, v := range versions {
		p := plainText{Number: int(count(v, "number", math.MaxInt32)), Saved: savedAt(v), Who: v.Text("who"), Note: v.Text("note"), Hash: v.Text("hash")}
		if p.Number != i+1 {
			v.Report("number", fmt.Sprint(p.Number), fmt.Sprintf("versions stand in order from 1; this one is %d", i+1))
		}
		report(v, "who", p.Who, checkText("who", p.Who, false))
		report(v, "note", p.Note, checkText("note", p.Note, true))
		v.Unknown()
		f.Versions = append(f.Versions, p)
	}
	in.Unknown()
	if f.Folder == "" {
		return f
	}
	for i := range f.Versions {
		p := &f.Versions[i]
		text, ok := r.file(f.place(i+1), indexName, versions[i].Node.Line, document.MaxBytes)
		if ok {
			p.Hash = r.sound(versions[i], f.place(i+1), p.Hash, text)
		}
		f.texts = append(f.texts, text)
	}
	f.lines = r.lines(f.journal(), in.Node.Line)
	return f
}

// sound holds content against its hash, if there is one, and gives its hash.
func (r *plainReader) sound(in document.In, name, hash string, data []byte) string {
	got := hashOf(data)
	if hash != "" && hash != got {
		in.Report("hash", hash, name+" is not what was exported; if it was changed on purpose, take this line out")
	}
	return got
}

func (r *plainReader) lines(name string, asked int) []line {
	if fs.ValidPath(name) {
		if _, err := fs.Stat(r.from, name); errors.Is(err, fs.ErrNotExist) {
			return nil // a farm without facts
		}
	}
	text, ok := r.file(name, indexName, asked, maxJournalBytes)
	if !ok {
		return nil
	}
	log, err := journal.ReadAll(name, bytes.NewReader(text))
	if err != nil {
		r.Report(asked, "file", name, "cannot be read: "+err.Error())
		return nil
	}
	r.Problems = append(append(r.Problems, log.Problems...), log.Torn...)
	out, err := linesOf(log.Entries)
	var problems document.Problems
	if errors.As(err, &problems) {
		for _, p := range problems {
			p.File = name
			r.Problems = append(r.Problems, p)
		}
	}
	return out
}

func (r *plainReader) given(in document.In, kind string, seen map[string]bool) fileRead {
	f := fileRead{plainFile: plainFile{Name: in.Text("name"), File: in.Need("file", `"`+kind+`/01-name.csv"`), Saved: savedAt(in), Hash: in.Text("hash")}, kind: kind}
	in.Unknown()
	once(in, seen, kind, "name", f.Name)
	report(in, "name", f.Name, checkName(kind+" file", f.Name))
	if f.File == "" {
		return f
	}
	var ok bool
	if f.data, ok = r.file(f.File, indexName, in.Node.Line, document.MaxBytes); ok {
		f.Hash = r.sound(in, f.File, f.Hash, f.data)
	}
	return f
}

func (r *plainReader) people(out *plain) {
	top, ok := r.tree("people.toml")
	if !ok {
		return
	}
	names, devices := map[string]bool{}, map[string]bool{}
	for _, in := range top.Tables("person", func(in document.In) string { return fmt.Sprintf("person %q", in.Text("name")) }) {
		p, err := Person{in.Text("name"), in.Text("units"), in.Text("theme"), in.Text("device"), in.Text("phone")}.checked()
		report(in, "", "", err)
		if names[p.Name] {
			in.Report("name", p.Name, "it stands twice; keep one")
		}
		if p.Device != "" && devices[p.Device] {
			in.Report("device", p.Device, "another person has it; give another")
		}
		names[p.Name], devices[p.Device] = true, true
		in.Unknown()
		out.people = append(out.people, p)
	}
	top.Unknown()
}

// count is a whole number from 1.
func count(in document.In, key string, most float64) int64 {
	if !in.Has(key) {
		in.Report(key, "", "it is missing; write "+key+" = 1")
	}
	v := in.Number(key, 1, 1, most)
	if v != math.Trunc(v) {
		in.Report(key, fmt.Sprint(v), "write a whole number")
	}
	return int64(v)
}

func savedAt(in document.In) string {
	text := in.Need("saved", `"2026-07-12T21:04:05.000Z"`)
	if text == "" {
		return ""
	}
	if _, err := parseMoment(text); err != nil {
		in.Report("saved", text, `write a moment such as "2026-07-12T21:04:05.000Z"`)
	}
	return text
}

func report(in document.In, key, value string, err error) {
	if err != nil {
		in.Report(key, value, err.Error())
	}
}

func (p plain) insert(ctx context.Context, tx *sql.Tx) error {
	for _, f := range p.farms {
		if _, err := tx.ExecContext(ctx, "INSERT INTO farms (id, name, contact, archived) VALUES (?, ?, ?, ?)", f.ID, f.Name, f.Contact, f.Archived); err != nil {
			return err
		}
		for i, v := range f.Versions {
			if _, err := tx.ExecContext(ctx, "INSERT INTO versions (farm, number, text, hash, saved, who, note) VALUES (?, ?, ?, ?, ?, ?, ?)", f.ID, v.Number, f.texts[i], v.Hash, v.Saved, v.Who, v.Note); err != nil {
				return err
			}
		}
		if _, err := record(ctx, tx, f.ID, f.lines); err != nil {
			return err
		}
	}
	for _, f := range p.files {
		if _, err := tx.ExecContext(ctx, "INSERT INTO files (kind, name, data, hash, saved) VALUES (?, ?, ?, ?, ?)", f.kind, f.Name, f.data, f.Hash, f.Saved); err != nil {
			return err
		}
	}
	for _, person := range p.people {
		if err := putPerson(ctx, tx, person); err != nil {
			return err
		}
	}
	return nil
}
