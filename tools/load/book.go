package main

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"
)

// writePlain writes an office as plain files: copies of the invented dairy, each with
// its fields repeated and seasons of grazing, heights and cuts in its journal.
func writePlain(dir string) (entries int, err error) {
	model, err := os.ReadFile(filepath.Join("..", "examples", "dairy.toml"))
	if err != nil {
		return 0, fmt.Errorf("run it in the folder tools: %w", err)
	}
	var index bytes.Buffer
	index.WriteString("rowen-book = 1\n")
	for n := 1; n <= *farms; n++ {
		name := fmt.Sprintf("Load Farm %03d", n)
		folder := fmt.Sprintf("farms/%03d-load", n)
		text, names := farmText(string(model), name)
		journal, count := journalText(names, n)
		entries += count
		at := filepath.Join(dir, filepath.FromSlash(folder))
		if err := os.MkdirAll(at, 0o755); err != nil {
			return 0, err
		}
		if err := os.WriteFile(filepath.Join(at, "farm.toml"), []byte(text), 0o644); err != nil {
			return 0, err
		}
		if err := os.WriteFile(filepath.Join(at, "farm.journal"), journal, 0o644); err != nil {
			return 0, err
		}
		fmt.Fprintf(&index, "[[farm]]\nid = %d\nname = %q\nfolder = %q\n[[farm.version]]\nnumber = 1\nsaved = \"2026-01-01T00:00:00.000Z\"\n", n, name, folder)
	}
	if err := os.WriteFile(filepath.Join(dir, "people.toml"), nil, 0o644); err != nil {
		return 0, err
	}
	return entries, os.WriteFile(filepath.Join(dir, "book.toml"), index.Bytes(), 0o644)
}

var (
	fieldBlock = regexp.MustCompile(`(?s)\[\[field\]\]\n.*?\n(\n|$)`)
	fieldName  = regexp.MustCompile(`(?m)^name = "(.*)"$`)
)

// farmText is the model under another name with as many fields as asked. Copies have a
// number behind their name.
func farmText(model, name string) (text string, names []string) {
	blocks := fieldBlock.FindAllString(model, -1)
	var all strings.Builder
	for i := range *fields {
		block := blocks[i%len(blocks)]
		field := fieldName.FindStringSubmatch(block)[1]
		if k := i / len(blocks); k > 0 {
			field = fmt.Sprintf("%s %d", field, k+1)
			block = fieldName.ReplaceAllString(block, fmt.Sprintf("name = %q", field))
		}
		names = append(names, field)
		all.WriteString(strings.TrimRight(block, "\n") + "\n\n")
	}
	first := strings.Index(model, blocks[0])
	for _, b := range blocks {
		model = strings.Replace(model, b, "", 1)
	}
	model = strings.Replace(model, "Fallow Brook\"", name+"\"", 1)
	return model[:first] + all.String() + model[first:], names
}

// journalText writes seasons of facts: on pastures a rotation with heights, on meadows
// three cuts.
func journalText(names []string, farm int) (text []byte, count int) {
	var out bytes.Buffer
	add := func(day time.Time, body string) {
		count++
		line := fmt.Sprintf(`{"v":1,"date":"%s","at":"%s","device":"desk","seq":%d,%s`, day.Format(time.DateOnly), day.Add(22*time.Hour).Format(time.RFC3339), count, body)
		fmt.Fprintf(&out, "%s,\"sum\":\"%08x\"}\n", line, crc32.Checksum([]byte(line), crc32.MakeTable(crc32.Castagnoli)))
	}
	for season := range *seasons {
		spring := time.Date(2027-*seasons+season, time.May, 5, 0, 0, 0, 0, time.UTC)
		for i, name := range names {
			switch kind := i % 10; {
			case kind < 5: // pasture: in and out, and a height before
				for turn := range 5 {
					day := spring.AddDate(0, 0, 30*turn+(i*4+farm)%26)
					add(day.AddDate(0, 0, -2), fmt.Sprintf(`"kind":"height","field":%q,"heights":["%d in","%d in"]`, name, 8+(i+turn)%4, 9+(i+turn)%3))
					add(day, fmt.Sprintf(`"kind":"grazing-in","field":%q,"group":"Milkers","head":62`, name))
					add(day.AddDate(0, 0, 1), fmt.Sprintf(`"kind":"grazing-out","field":%q,"residual":"4 in"`, name))
				}
			case kind < 7: // meadow
				for cut := range 3 {
					day := spring.AddDate(0, 0, 24+45*cut+(i+farm)%9)
					add(day.AddDate(0, 0, -3), fmt.Sprintf(`"kind":"height","field":%q,"heights":["%d in"]`, name, 18-3*cut))
					add(day, fmt.Sprintf(`"kind":"cut","field":%q,"use":"wrap","stubble":"4 in","bales":%d,"each":"980 lb"`, name, 90-20*cut))
				}
			}
		}
	}
	return out.Bytes(), count
}
