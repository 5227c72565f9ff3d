package office

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"github.com/paulmach/orb/geojson"
	"github.com/pelletier/go-toml/v2"

	"rowen/internal/document"
)

// Export gives the whole book, as it is at one moment, as plain files; put takes each
// under its slashed name. Import reads them back. A text that is not what was saved is
// given too, beside the hash that tells so: the rest of a damaged book can be had, and
// Import refuses that text until a person has put it right.
func (b *Book) Export(ctx context.Context, put func(name string, data []byte) error) error {
	return b.look(ctx, func(tx *sql.Tx) error {
		index := plainIndex{Version: plainVersion}
		var err error
		if index.Farms, err = exportFarms(ctx, tx, put); err != nil {
			return err
		}
		if index.Weather, err = exportFiles(ctx, tx, weatherKind, put); err != nil {
			return err
		}
		if index.Catalogue, err = exportFiles(ctx, tx, catalogueKind, put); err != nil {
			return err
		}
		found, err := people(ctx, tx, "")
		if err != nil {
			return err
		}
		var list plainPeople
		for _, p := range found {
			list.People = append(list.People, plainPerson(p))
		}
		return errors.Join(putTOML(put, "people.toml", list), putTOML(put, "book.toml", index), put("READ-ME.txt", []byte(plainReadMe)))
	})
}

func putTOML(put func(string, []byte) error, name string, v any) error {
	text, err := toml.Marshal(v)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return put(name, text)
}

func exportFarms(ctx context.Context, tx *sql.Tx, put func(string, []byte) error) ([]plainFarm, error) {
	farms, err := rows(ctx, tx, func(r *sql.Rows) (Farm, error) { return scanFarm(r) }, farmColumns+" ORDER BY f.id")
	if err != nil {
		return nil, err
	}
	var out []plainFarm
	for _, f := range farms {
		p := plainFarm{ID: f.ID, Name: f.Name, Contact: f.Contact, Archived: f.Archived, Folder: path.Join("farms", plainName(3, int(f.ID), f.Name)), Versions: make([]plainText, f.Version)}
		for i := range p.Versions {
			v, err := versionAsKept(ctx, tx, f.ID, i+1)
			if err != nil {
				return nil, err
			}
			p.Versions[i] = plainText{v.Number, plainMoment(v.Saved), v.Who, v.Note, v.Hash}
			if err := put(p.place(v.Number), v.Text); err != nil {
				return nil, err
			}
			if v.Number == f.Version {
				if shapes := shapes(v.Text); shapes != nil {
					if err := put(p.shapes(), shapes); err != nil {
						return nil, err
					}
				}
			}
		}
		lines, err := journalText(ctx, tx, f.ID, 0)
		if err != nil {
			return nil, err
		}
		if err := put(p.journal(), lines); err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

func exportFiles(ctx context.Context, tx *sql.Tx, kind string, put func(string, []byte) error) ([]plainFile, error) {
	list, err := files(ctx, tx, kind)
	if err != nil {
		return nil, err
	}
	var out []plainFile
	for i, f := range list {
		data, _, err := contentAsKept(ctx, tx, kind, f.Name)
		if err != nil {
			return nil, err
		}
		end := plainEnd(f.Name)
		p := plainFile{f.Name, path.Join(kind, plainName(2, i+1, f.Name[:len(f.Name)-len(end)])+end), plainMoment(f.Saved), f.Hash}
		if err := put(p.File, data); err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// shapes are the outlines of a document's fields for a map, nil if it has none that
// can be read.
func shapes(text []byte) []byte {
	root, err := document.Parse("farm", text)
	if err != nil {
		return nil
	}
	all := geojson.NewFeatureCollection()
	for _, in := range (&document.Reader{}).At(root, "").Tables("field", func(document.In) string { return "" }) {
		outline, err := geojson.UnmarshalGeometry([]byte(in.Text("outline")))
		if err != nil {
			continue
		}
		f := geojson.NewFeature(outline.Geometry())
		f.Properties["name"] = in.Text("name")
		all.Append(f)
	}
	if len(all.Features) == 0 {
		return nil
	}
	out, err := json.MarshalIndent(all, "", " ")
	if err != nil {
		return nil
	}
	return append(out, '\n')
}

// ExportFolder writes the plain files into a new folder, all or none.
func (b *Book) ExportFolder(ctx context.Context, dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return fmt.Errorf("cannot write into %s: %w; give another folder", dir, err)
	case len(entries) > 0:
		return fmt.Errorf("%s is not empty; give a new folder", dir)
	default:
		if err := os.Remove(dir); err != nil {
			return err
		}
	}
	return beside(dir, func(stage string) error {
		folders := map[string]bool{}
		err := b.Export(ctx, func(name string, data []byte) error {
			at := filepath.Join(stage, filepath.FromSlash(name))
			folders[filepath.Dir(at)] = true
			return writeSynced(at, data)
		})
		if err != nil {
			return fmt.Errorf("cannot write %s: %w; nothing was written", dir, err)
		}
		for folder := range folders {
			if err := syncFolder(folder); err != nil {
				return err
			}
		}
		return place(stage, dir)
	})
}

func writeSynced(name string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}
