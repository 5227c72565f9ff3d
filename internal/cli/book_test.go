package cli_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rowen/internal/cli"
)

// A farm with its journal and its weather goes into a book, and comes out of its plain
// files ready to be planned.
func TestBook(t *testing.T) {
	dir := root(t)
	in := func(name string) string { return filepath.Join(dir, name) }
	dairy, err := os.ReadFile("examples/dairy.toml")
	if err != nil {
		t.Fatal(err)
	}
	lines, err := os.ReadFile("examples/dairy.journal")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(dairy), `units = "us"`, "units = \"us\"\nweather = \"valley.csv\"", 1)
	weather, problems, code := run(t, "weather", "--generate", "12", "--seed", "3")
	if code != cli.OK {
		t.Fatal(problems)
	}
	for name, content := range map[string]string{"dairy.toml": text, "dairy.journal": string(lines), "valley.csv": weather} {
		if err := os.WriteFile(in(name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	book := []string{"--book", in("book")}
	do := func(want int, says string, args ...string) {
		t.Helper()
		out, problems, code := run(t, append([]string{"book"}, append(args, book...)...)...)
		if code != want || !strings.Contains(out+problems, says) {
			t.Errorf("%s: exit %d, %q, want %q in\n%s%s", args, code, says, says, out, problems)
		}
	}
	do(cli.Problem, "there is no book", "check")
	do(cli.OK, "Fallow Brook taken into", "import", in("dairy.toml"))
	do(cli.OK, "is sound: 1 farm", "check")
	if err := os.WriteFile(in("valley.csv"), []byte(weather+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	do(cli.Problem, "another file of this name", "import", in("dairy.toml"))
	do(cli.OK, "read through", "backup", in("backup"))
	do(cli.Problem, "already there", "backup", in("backup"))
	do(cli.OK, "taken into", "import", "examples/sheep.toml")
	do(cli.OK, "what stood there is now "+in("book")+".before-", "restore", in("backup"))
	do(cli.OK, "is sound: 1 farm", "check")
	do(cli.Problem, "not a book", "restore", in("dairy.toml"))
	do(cli.OK, "READ-ME.txt", "export", in("plain"))
	do(cli.Problem, "not empty", "export", in("plain"))
	do(cli.Problem, "is not empty", "import", in("plain"))
	folder := filepath.Join("farms", "001-fallow-brook")
	for name, want := range map[string]string{filepath.Join(folder, "farm.toml"): text, filepath.Join(folder, "farm.journal"): string(lines), "weather/01-valley.csv": weather} {
		if got, err := os.ReadFile(filepath.Join(dir, "plain", name)); err != nil || string(got) != want {
			t.Errorf("%s is not what was taken in, %v", name, err)
		}
	}
	if out, problems, code := run(t, "record", filepath.Join(dir, "plain", folder, "farm.toml"), "--list"); code != cli.OK || out == "" {
		t.Errorf("the plain farm is not read: exit %d %s", code, problems)
	}
	book = []string{"--book", in("again")}
	do(cli.OK, "1 farm taken into", "import", in("plain"))
	do(cli.OK, "READ-ME.txt", "export", in("plain.zip"))
	book = []string{"--book", in("third")}
	do(cli.OK, "1 farm taken into", "import", in("plain.zip"))
	do(cli.Problem, "bad.toml:", "import", bad(t, in("bad.toml"), text))
	do(cli.OK, "is sound: 1 farm", "check")
}

func bad(t *testing.T, path, text string) string {
	t.Helper()
	if err := os.WriteFile(path, []byte(strings.Replace(text, `area = "22 ac"`, "area = 22", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// Paths of the folder one stands in do as well as whole ones, and the help says how a
// book in use is copied.
func TestBookHere(t *testing.T) {
	dairy, err := filepath.Abs(filepath.Join("..", "..", "examples", "dairy.toml"))
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	for _, args := range [][]string{
		{"import", dairy}, {"backup", "bk.book"}, {"restore", "./bk.book"}, {"check"}, {"export", "plain/"}, {"export", "plain.zip"},
	} {
		if out, problems, code := run(t, append(append([]string{"book"}, args...), "--book", "main book#1")...); code != cli.OK {
			t.Errorf("%s: exit %d, %s%s", args, code, out, problems)
		}
	}
	for _, from := range []string{"plain", "plain.zip"} {
		if out, problems, code := run(t, "book", "import", from, "--book", from+".book"); code != cli.OK || !strings.Contains(out, "1 farm taken") {
			t.Errorf("%s: exit %d, %s%s", from, code, out, problems)
		}
	}
	if out, _, _ := run(t, "book", "--help"); !strings.Contains(strings.Join(strings.Fields(out), " "), "a copy of the book's file alone lacks that") {
		t.Errorf("help does not say how a book in use is copied:\n%s", out)
	}
}
