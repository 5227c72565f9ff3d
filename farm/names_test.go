package farm_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/farm"
)

// A name is what a person would call a thing: not a book of text, nothing unseen.
func TestNames(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "examples", "sheep.toml"))
	if err != nil {
		t.Fatal(err)
	}
	f, err := farm.Parse("sheep.toml", text, catalogue(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, old := range []string{f.Name, f.Fields[0].Name, f.Groups[0].Name} {
		for name, want := range map[string]string{
			strings.Repeat("n", 100_000): "the name has 100000 characters; 200 are the most",
			strings.Repeat("農", 201):     "the name has 201 characters; 200 are the most",
			`North\u0000`:                "control character",
			`North\nSix`:                 "control character",
			`North\u0085`:                "control character",
		} {
			_, err := farm.Parse("sheep.toml", []byte(strings.Replace(string(text), `"`+old+`"`, `"`+name+`"`, 1)), catalogue(t))
			if err == nil || !strings.Contains(err.Error(), want) || len(err.Error()) > 3000 {
				t.Errorf("%.30q for %q: %.500v, want %q", name, old, err, want)
			}
		}
		for _, name := range []string{strings.Repeat("農", 200), "Barn 🐄", "e\u0301 Ελιά"} {
			_, err := farm.Parse("sheep.toml", []byte(strings.ReplaceAll(string(text), `"`+old+`"`, `"`+name+`"`)), catalogue(t))
			if err != nil {
				t.Errorf("%q for %q: %v", name, old, err)
			}
		}
	}
}
