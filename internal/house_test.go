// Package internal_test keeps the house's rules.
package internal_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// floors is the house: a room imports rooms below it and, on its own floor, only
// what is named in neighbours.
var floors = map[string]int{
	"cmd/rowen": 8, "internal/cli": 7, "internal/web": 7, "internal/story": 7, "internal/desk": 6, "internal/report": 6,
	"suggest": 4, "trial": 4, "account": 4, "steer": 4, "season": 3, "internal/validation": 5, "internal/office": 5, "stand": 2, "herd": 2, "feed": 2, "farm": 1, "crop": 1, "weather": 1, "journal": 1,
	"handbook": 0, "quantity": 0, "say": 0, "internal/crew": 0, "internal/document": 0, "internal/files": 0, "internal/solver": 0, "examples": 0,
}

// neighbours are the imports allowed on one floor.
var neighbours = map[string][]string{
	"internal/desk": {"internal/report"}, "internal/cli": {"internal/web"}, "farm": {"crop"}, "suggest": {"account"}, "handbook": {"quantity", "say"}, "say": {"quantity"},
}

// room is the room a package belongs to: the topics of the handbook are one room.
func room(path string) string {
	for r := range floors {
		if path == r || strings.HasPrefix(path, r+"/") {
			return r
		}
	}
	return ""
}

func TestImportsRunDownwards(t *testing.T) {
	checked := 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && strings.HasPrefix(d.Name(), ".") && d.Name() != ".." {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		dir := filepath.ToSlash(strings.TrimPrefix(filepath.Dir(path), ".."+string(filepath.Separator)))
		if strings.HasPrefix(dir, "tools") {
			return nil
		}
		from := room(dir)
		if from == "" {
			t.Errorf("%s: this folder is no room of the house", path)
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, imp := range file.Imports {
			name, _ := strconv.Unquote(imp.Path.Value)
			if name == "golang.org/x/sync/errgroup" && from != "internal/crew" {
				t.Errorf("%s imports %s: a panic there ends the program; use internal/crew", path, name)
			}
			after, ok := strings.CutPrefix(name, "rowen/")
			if !ok {
				continue
			}
			checked++
			to := room(after)
			switch {
			case to == "":
				t.Errorf("%s imports %s, which is no room", path, name)
			case to == from, floors[to] < floors[from]:
			default:
				allowed := false
				for _, n := range neighbours[from] {
					allowed = allowed || n == to
				}
				if !allowed {
					t.Errorf("%s (%s, floor %d) imports %s (floor %d)", path, from, floors[from], to, floors[to])
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if checked < 60 {
		t.Errorf("only %d imports seen: the test looks in the wrong place", checked)
	}
}
