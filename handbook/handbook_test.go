package handbook_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/handbook"
)

// Every exported function of a topic cites its source and has an Example.
func TestEveryFunctionIsCitedAndShown(t *testing.T) {
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, e := range entries {
		if !e.IsDir() || e.Name() == "testdata" {
			continue
		}
		files, err := filepath.Glob(filepath.Join(e.Name(), "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		set := token.NewFileSet()
		examples := map[string]bool{}
		var functions []*ast.FuncDecl
		for _, name := range files {
			file, err := parser.ParseFile(set, name, nil, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range file.Decls {
				f, ok := d.(*ast.FuncDecl)
				switch {
				case !ok:
				case strings.HasSuffix(name, "_test.go"):
					if after, ok := strings.CutPrefix(f.Name.Name, "Example"); ok {
						examples[after] = true
					}
				case f.Name.IsExported():
					functions = append(functions, f)
				}
			}
		}
		for _, f := range functions {
			checked++
			name := f.Name.Name
			if f.Recv != nil {
				name = receiver(f) + "_" + name
			}
			if strings.HasSuffix(name, "_String") {
				continue
			}
			if !strings.Contains(f.Doc.Text(), "Source:") {
				t.Errorf("%s: %s.%s has no Source: line", set.Position(f.Pos()), e.Name(), name)
			}
			if !examples[name] {
				t.Errorf("%s: %s.%s has no Example", set.Position(f.Pos()), e.Name(), name)
			}
		}
	}
	if checked < 80 {
		t.Errorf("only %d functions found: the test looks in the wrong place", checked)
	}
}

func receiver(f *ast.FuncDecl) string {
	switch r := f.Recv.List[0].Type.(type) {
	case *ast.StarExpr:
		return fmt.Sprint(r.X)
	default:
		return fmt.Sprint(r)
	}
}

func TestFigureCheck(t *testing.T) {
	double := &handbook.Formula{Key: "double", Eval: func(in []float64) float64 { return 2 * in[0] }}
	good := handbook.Figure{Key: "a", Value: 6, Formula: double, Inputs: []handbook.Figure{{Key: "x", Value: 3}}}
	if err := good.Check(); err != nil {
		t.Error(err)
	}
	bad := good
	bad.Value = 6.01
	if err := bad.Check(); err == nil || !strings.Contains(err.Error(), "double") {
		t.Errorf("a figure that disagrees with its formula passed: %v", err)
	}
	nested := handbook.Figure{Key: "b", Value: 12.02, Formula: double, Inputs: []handbook.Figure{bad}}
	if nested.Check() == nil {
		t.Error("a wrong input passed")
	}
}

func TestAnswers(t *testing.T) {
	if handbook.Answer(9).String() != "Hold" {
		t.Error("an unknown answer must read Hold")
	}
	if !(handbook.Clear < handbook.Caution && handbook.Caution < handbook.Hold) {
		t.Error("answers are out of order")
	}
}

func ExampleSource_String() {
	s := handbook.Source{Author: "Allen, Pereira, Raes, Smith", Year: 1998, Title: "Crop evapotranspiration", Where: "FAO Irrigation and Drainage Paper 56", Place: "eq 6", Reading: handbook.Memory}
	fmt.Println(s)
	// Output: Allen, Pereira, Raes, Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, eq 6 (from memory)
}
