package web_test

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/pelletier/go-toml/v2"

	"rowen/crop"
	"rowen/handbook/hazard"
	"rowen/internal/report"
	"rowen/quantity"
)

// gathering gathers what the rooms say to a person: patterns of package say, and the words
// of declarations that carry the directive say:words.
type gathering struct {
	set  *token.FileSet
	said map[string]string // by where it stands
	// takers are functions of a room by the place of their parameter called pattern or
	// remedy: what is given there is a sentence.
	takers map[string]int
}

// add takes a sentence that has words.
func (s *gathering) add(text string, at token.Pos) {
	if strings.IndexFunc(verb.ReplaceAllString(text, ""), unicode.IsLetter) < 0 {
		return
	}
	where := s.set.Position(at)
	if _, ok := s.said[text]; !ok {
		s.said[text] = filepath.ToSlash(strings.TrimPrefix(where.Filename, "../../"))
	}
}

func taken(t *ast.FuncType) int {
	at := 0
	for _, p := range t.Params.List {
		for _, name := range p.Names {
			if slices.Contains([]string{"pattern", "remedy", "why"}, name.Name) {
				return at
			}
			at++
		}
	}
	return -1
}

func (s *gathering) room(files []*ast.File) {
	s.takers = map[string]int{"That": 0}
	for _, f := range files {
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				if at := taken(n.Type); at >= 0 {
					s.takers[n.Name.Name] = at
				}
			case *ast.AssignStmt:
				if lit, ok := n.Rhs[0].(*ast.FuncLit); ok {
					if name, ok := n.Lhs[0].(*ast.Ident); ok && taken(lit.Type) >= 0 {
						s.takers[name.Name] = taken(lit.Type)
					}
				}
			}
			return true
		})
	}
	for _, f := range files {
		ast.Inspect(f, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				s.call(call)
			}
			return true
		})
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				if directed(d.Doc) {
					s.words(d)
				}
			case *ast.GenDecl:
				if directed(d.Doc) {
					s.words(d)
				}
			}
		}
	}
}

func (s *gathering) call(call *ast.CallExpr) {
	name := ""
	switch f := call.Fun.(type) {
	case *ast.Ident:
		name = f.Name
	case *ast.SelectorExpr:
		name = f.Sel.Name
	}
	at, ok := s.takers[name]
	if name == "Report" { // a problem's remedy stands last
		at, ok = len(call.Args)-1, true
	}
	if ok && at < len(call.Args) {
		if lit, ok := call.Args[at].(*ast.BasicLit); ok {
			s.literal(lit)
		}
	}
}

func (s *gathering) literal(lit *ast.BasicLit) {
	if text, err := strconv.Unquote(lit.Value); err == nil && lit.Kind == token.STRING {
		s.add(text, lit.Pos())
	}
}

// words takes every literal of a declaration; sources and keys are none of a reader's
// words.
func (s *gathering) words(d ast.Node) {
	ast.Inspect(d, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			if id, ok := n.Fun.(*ast.Ident); ok && id.Name == "read" {
				return false
			}
		case *ast.KeyValueExpr:
			if id, ok := n.Key.(*ast.Ident); ok && slices.Contains([]string{"Key", "Symbol", "Source", "Sources", "Author", "Title", "Where"}, id.Name) {
				return false
			}
		case *ast.BasicLit:
			s.literal(n)
		}
		return true
	})
}

// directed tells whether a declaration carries the directive.
func directed(doc *ast.CommentGroup) bool {
	return doc != nil && slices.ContainsFunc(doc.List, func(c *ast.Comment) bool { return c.Text == "//say:words" })
}

// said are all sentences and words of the program beside those of the pages, each with
// the file in which it stands first.
func said(t *testing.T) map[string]string {
	t.Helper()
	s := &gathering{set: token.NewFileSet(), said: map[string]string{}}
	rooms := map[string][]*ast.File{}
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		name := d.Name()
		switch {
		case err != nil:
			return err
		case d.IsDir() && (name == "node_modules" || name == "tools" || name == "testdata" || name == "cli" || strings.HasPrefix(name, ".") && len(name) > 2):
			return fs.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		f, err := parser.ParseFile(s.set, path, nil, parser.ParseComments)
		rooms[filepath.Dir(path)] = append(rooms[filepath.Dir(path)], f)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, dir := range slices.Sorted(maps.Keys(rooms)) {
		s.room(rooms[dir])
	}
	for _, r := range append(hazard.Book(), hazard.Standing()...) {
		if text, ok := report.Ruled(r.Text, quantity.US)[0].(string); ok {
			s.said[text] = "handbook/hazard"
		}
		s.said[r.Hazard] = "handbook/hazard"
	}
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range c.Names() {
		mix, _ := c.Mix(name)
		s.said[mix.Title] = "the catalogue"
		for _, part := range mix.Parts {
			for _, caution := range part.Crop.Cautions {
				if text, ok := report.Ruled(caution, quantity.US)[0].(string); ok {
					s.said[text] = "the catalogue"
				}
			}
		}
	}
	return s.said
}

// texts/said.toml holds every sentence that the rooms say to a person.
func TestSaidIsCurrent(t *testing.T) {
	by := map[string][]string{}
	all := said(t)
	for text, where := range all {
		by[where] = append(by[where], text)
	}
	var b bytes.Buffer
	fmt.Fprintln(&b, "# Every sentence and word beside those of en.toml, by its English and by where it stands\n# first. Made by: go test ./internal/web -run Said -write\n\n[said]")
	for _, where := range slices.Sorted(maps.Keys(by)) {
		slices.Sort(by[where])
		fmt.Fprintf(&b, "# %s\n", where)
		for _, text := range by[where] {
			line, err := toml.Marshal(map[string]string{text: text})
			if err != nil {
				t.Fatal(err)
			}
			b.Write(line)
		}
	}
	if len(all) < 200 {
		t.Errorf("only %d sentences found: the test looks in the wrong place", len(all))
	}
	if *writeAgain {
		if err := os.WriteFile("texts/said.toml", b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	there, err := os.ReadFile("texts/said.toml")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(there, b.Bytes()) {
		t.Error("texts/said.toml is not what the program says; run: go test ./internal/web -run Said -write")
	}
}
