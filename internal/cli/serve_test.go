package cli_test

import (
	"path/filepath"
	"strings"
	"testing"

	"rowen/internal/cli"
)

// What would let other machines in is refused with a sentence, and no book is made.
func TestServeRefuses(t *testing.T) {
	out := root(t)
	book := filepath.Join(out, "office.book")
	for _, listen := range []string{"0.0.0.0:8377", ":8377", "192.168.0.2:8377", "8377"} {
		_, problems, code := run(t, "serve", "--book", book, "--listen", listen, "--no-open")
		if code != cli.Problem || !strings.Contains(problems, "127.0.0.1:8377") {
			t.Errorf("--listen %s: exit %d, %s", listen, code, problems)
		}
	}
	if found, _ := filepath.Glob(book + "*"); len(found) > 0 {
		t.Errorf("a book was made: %v", found)
	}
	help, _, code := run(t, "serve", "--help")
	if code != cli.OK {
		t.Fatal(help)
	}
	for _, line := range cli.Examples["serve"] {
		if !strings.Contains(strings.Join(strings.Fields(help), " "), line) {
			t.Errorf("serve --help does not show %q", line)
		}
	}
}
