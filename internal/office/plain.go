package office

import (
	"fmt"
	"path"
	"strings"
	"time"
	"unicode"
)

// The book as plain files:
//
//	READ-ME.txt                         what lies where
//	book.toml                           farms, versions and files given, with their hashes
//	people.toml
//	farms/001-fallow-brook/farm.toml    the document in force
//	farms/001-fallow-brook/farm.journal
//	farms/001-fallow-brook/fields.geojson    where the document has outlines; not read back
//	farms/001-fallow-brook/versions/1.toml   earlier documents
//	weather/01-albany.csv               as given
//	catalogue/01-ours.toml
//
// The names of files are made from numbers and plain letters, so that no name that a
// person gave can lead out of the folder.

// plainVersion is that of the layout.
const plainVersion = 1

// plainIndex is book.toml.
type plainIndex struct {
	Version   int         `toml:"rowen-book"`
	Farms     []plainFarm `toml:"farm"`
	Weather   []plainFile `toml:"weather"`
	Catalogue []plainFile `toml:"catalogue"`
}

type plainFarm struct {
	ID       int64       `toml:"id"`
	Name     string      `toml:"name"`
	Contact  string      `toml:"contact"`
	Archived bool        `toml:"archived"`
	Folder   string      `toml:"folder"`
	Versions []plainText `toml:"version"`
}

type plainText struct {
	Number int    `toml:"number"`
	Saved  string `toml:"saved"`
	Who    string `toml:"who"`
	Note   string `toml:"note"`
	Hash   string `toml:"hash"`
}

type plainFile struct {
	Name  string `toml:"name"`
	File  string `toml:"file"`
	Saved string `toml:"saved"`
	Hash  string `toml:"hash"`
}

// plainPeople is people.toml.
type plainPeople struct {
	People []plainPerson `toml:"person"`
}

type plainPerson struct {
	Name   string `toml:"name"`
	Units  string `toml:"units"`
	Theme  string `toml:"theme"`
	Device string `toml:"device"`
	Phone  string `toml:"phone"`
}

// place is where a version of the farm's document lies.
func (f plainFarm) place(number int) string {
	if number == len(f.Versions) {
		return path.Join(f.Folder, "farm.toml")
	}
	return path.Join(f.Folder, "versions", fmt.Sprintf("%d.toml", number))
}

func (f plainFarm) journal() string { return path.Join(f.Folder, "farm.journal") }

func (f plainFarm) shapes() string { return path.Join(f.Folder, "fields.geojson") }

// plainName makes a file's name of a number and what can be said of a name in small
// letters and digits.
func plainName(width, number int, name string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%0*d-", width, number)
	gap := false
	for _, c := range strings.ToLower(name) {
		if c > unicode.MaxASCII || !(unicode.IsLetter(c) || unicode.IsDigit(c)) {
			gap = true
			continue
		}
		if gap && !strings.HasSuffix(b.String(), "-") {
			b.WriteByte('-')
		}
		gap = false
		b.WriteRune(c)
		if b.Len() > 40 {
			break
		}
	}
	return strings.TrimSuffix(b.String(), "-")
}

// plainEnd is a name's ending if it is a plain one, such as ".csv".
func plainEnd(name string) string {
	end := path.Ext(name)
	if len(end) < 2 || len(end) > 6 || strings.Trim(strings.ToLower(end[1:]), "abcdefghijklmnopqrstuvwxyz0123456789") != "" {
		return ""
	}
	return strings.ToLower(end)
}

func plainMoment(t time.Time) string { return t.UTC().Format(moment) }

const plainReadMe = `This folder is a whole book of Rowen's as plain files: rowen book import reads it
back, and any text editor opens it.

book.toml                      the farms, every version of their documents, the files given
people.toml                    people of the office
farms/NNN-name/farm.toml       a farm's document, with its journal beside it
farms/NNN-name/farm.journal    one dated fact a line, JSON, each with its checksum
farms/NNN-name/fields.geojson  the fields' outlines, for a map; not read back
farms/NNN-name/versions/       earlier documents
weather/, catalogue/           files as they were given

To change a document by hand before reading it back, take its hash out of book.toml.
`
