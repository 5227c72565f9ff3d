package office

import (
	"errors"
	"strings"
	"testing"
)

// A name or contact that cannot be kept is refused with its reason, not dropped.
func TestHeads(t *testing.T) {
	b, ctx := tempBook(t), t.Context()
	f, err := b.Create(ctx, "Farm", []byte("name = \"Sound 農場 🐄\"\ncontact = \"call\"\n"), "")
	if err != nil || f.Name != "Sound 農場 🐄" || f.Contact != "call" {
		t.Fatal(f, err)
	}
	for text, want := range map[string]string{
		"contact = \"" + strings.Repeat("c", 20_000) + "\"": "the line has 20000 characters; 10000 are the most",
		`contact = "a\u0000b"`:                              "control character",
		"name = \"" + strings.Repeat("n", 201) + "\"":       "the name has 201 characters; 200 are the most",
		`name = "a\u0000b"`:                                 "control character",
		`name = "  "`:                                       "a name is missing",
	} {
		var input InputError
		if _, err := b.Create(ctx, "Farm", []byte(text), ""); !errors.As(err, &input) || !strings.Contains(err.Error(), want) || len(err.Error()) > 300 {
			t.Errorf("%.30s: made: %v, want %q", text, err, want)
		}
		if _, err := b.Save(ctx, f.ID, 1, []byte(text), "", ""); !errors.As(err, &input) || !strings.Contains(err.Error(), want) {
			t.Errorf("%.30s: saved: %v, want %q", text, err, want)
		}
	}
	if all, err := b.Farms(ctx); err != nil || len(all) != 1 || all[0].Version != 1 {
		t.Errorf("%+v, %v", all, err)
	}
	if f, err := b.Create(ctx, strings.Repeat("農", 200), []byte("no toml ["), ""); err != nil || f.Contact != "" {
		t.Errorf("a document that cannot be read: %+v, %v", f, err)
	}
}
