package web_test

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rowen/examples"
)

// counterparts are the operations of the API by which a program does what a page does: by
// route, and by what a button of the page asks for. Where there is none, a reason follows
// "none:".
var counterparts = map[string]string{
	"GET /{$}":                "GET /api/needs",
	"GET /farms/list":         "GET /api/needs",
	"GET /farms/new":          "none: an empty form",
	"POST /farms/new":         "POST /api/farms/begin",
	"POST /farms/bring":       "POST /api/farms",
	"POST /book/empty":        "DELETE /api/book/demo",
	"POST /book/demo":         "PUT /api/book/demo",
	"GET /guide":              "none: a text of the program",
	"GET /book/copy/{kind}":   "GET /api/book/copy, GET /api/book/plain",
	"GET /settings":           "GET /api/people, GET /api/weather, GET /api/catalogue, GET /api/book",
	"POST /settings":          "PUT /api/people/{name}",
	"POST /files/{kind}":      "PUT /api/weather/{name}, PUT /api/catalogue/{name}",
	"POST /files/{kind}/drop": "DELETE /api/weather/{name}, DELETE /api/catalogue/{name}",

	"GET /farms/{id}/{$}":               "none: it leads on to the season",
	"GET /farms/{id}/season":            "GET /api/farms/{id}/plan",
	"POST /farms/{id}/season":           "POST /api/farms/{id}/season",
	"POST /farms/{id}/season shift":     "POST /api/farms/{id}/season",
	"POST /farms/{id}/season part":      "POST /api/farms/{id}/season",
	"POST /farms/{id}/season soil":      "POST /api/farms/{id}/season",
	"POST /farms/{id}/season remove":    "POST /api/farms/{id}/season",
	"POST /farms/{id}/season add":       "POST /api/farms/{id}/season",
	"POST /farms/{id}/season save":      "POST /api/farms/{id}/season",
	"POST /farms/{id}/season undo":      "POST /api/farms/{id}/season",
	"POST /farms/{id}/season redo":      "POST /api/farms/{id}/season",
	"GET /farms/{id}/season/sowing/{k}": "GET /api/farms/{id}/values, GET /api/farms/{id}/plan",
	"GET /farms/{id}/season/new":        "GET /api/crops",
	"GET /farms/{id}/plans":             "GET /api/farms/{id}/plans",
	"POST /farms/{id}/plans":            "POST /api/farms/{id}/plans",
	"POST /farms/{id}/plans look":       "POST /api/farms/{id}/plans",
	"POST /farms/{id}/plans stop":       "DELETE /api/farms/{id}/plans",
	"POST /farms/{id}/plans take":       "POST /api/farms/{id}/plans/take",
	"GET /farms/{id}/figures/{key}":     "GET /api/farms/{id}/figures, GET /api/farms/{id}/figures/{key}",

	"GET /farms/{id}/animals":              "GET /api/farms/{id}/values, GET /api/farms/{id}/demand",
	"POST /farms/{id}/animals":             "POST /api/farms/{id}/changes",
	"POST /farms/{id}/animals save":        "POST /api/farms/{id}/changes",
	"POST /farms/{id}/animals look":        "POST /api/farms/{id}/demand",
	"POST /farms/{id}/animals group":       "POST /api/farms/{id}/changes",
	"POST /farms/{id}/animals drop-group":  "POST /api/farms/{id}/changes",
	"POST /farms/{id}/animals period":      "POST /api/farms/{id}/changes",
	"POST /farms/{id}/animals drop-period": "POST /api/farms/{id}/changes",

	"GET /farms/{id}/ground":                "GET /api/farms/{id}/values, GET /api/farms/{id}/shapes, GET /api/weather",
	"POST /farms/{id}/ground":               "POST /api/farms/{id}/changes",
	"POST /farms/{id}/ground outline":       "POST /api/farms/{id}/outline",
	"POST /farms/{id}/ground weather":       "POST /api/farms/{id}/changes",
	"POST /farms/{id}/ground drop":          "POST /api/farms/{id}/changes",
	"POST /farms/{id}/ground/shapes":        "POST /api/farms/{id}/shapes",
	"GET /farms/{id}/ground/shapes.geojson": "GET /api/farms/{id}/shapes",

	"GET /farms/{id}/store":        "GET /api/farms/{id}/values, GET /api/farms/{id}/today",
	"POST /farms/{id}/store":       "POST /api/farms/{id}/changes",
	"POST /farms/{id}/store store": "POST /api/farms/{id}/changes",
	"GET /farms/{id}/today":        "GET /api/farms/{id}/today, GET /api/farms/{id}/journal",
	"POST /farms/{id}/today":       "POST /api/farms/{id}/phrases",
	"GET /farms/{id}/print":        "none: it lists the papers",
	"GET /farms/{id}/print/{file}": "GET /api/farms/{id}/pdf/{name}, GET /api/farms/{id}/xlsx/{name}",
	"GET /farms/{id}/assumed":      "GET /api/farms/{id}/assumed",
	"POST /farms/{id}/assumed":     "POST /api/farms/{id}/assumed",
	"GET /farms/{id}/document":     "GET /api/farms/{id}/document, GET /api/farms/{id}/versions",
	"POST /farms/{id}/document":    "PUT /api/farms/{id}/document, POST /api/check",
	"POST /farms/{id}/archive":     "PATCH /api/farms/{id}",
	"POST /farms/{id}/restore":     "PATCH /api/farms/{id}",

	"GET /farms/{id}/versions/{n}":  "GET /api/farms/{id}/document",
	"POST /farms/{id}/versions/{n}": "PUT /api/farms/{id}/document",

	"GET /farms/{id}/phone":             "GET /api/farms/{id}/today, GET /api/farms/{id}",
	"GET /farms/{id}/phone.webmanifest": "none: it lets a browser install the page",
	"GET /farms/{id}/phone/carry":       "GET /api/farms/{id}/carry",
	"GET /farms/{id}/notes":             "none: an empty form",
	"POST /farms/{id}/notes":            "POST /api/farms/{id}/notes",
	"POST /farms/{id}/notes look":       "POST /api/farms/{id}/notes",
	"POST /farms/{id}/notes take":       "POST /api/farms/{id}/notes",
	"GET /sw.js":                        "none: a file of the page",
	"GET /assets/{name...}":             "none: files of the pages",
	"GET /healthz":                      "none: it is for programs already",
}

var (
	routed  = regexp.MustCompile(`m\.HandleFunc\("([A-Z]+ [^"]+)"`)
	button  = regexp.MustCompile(`name="do" value="((?:\{\{[^}]*\}\}|[^"])*)"`)
	scripts = regexp.MustCompile(`\bdo"?: ?"([a-z-]+)"`)
	inside  = regexp.MustCompile(`\{\{[^}]*\}\}`)
)

// asksOf are the things that the buttons and scripts of the pages ask for, by route.
func asksOf(t *testing.T) (all []string) {
	t.Helper()
	post := map[string]string{"sowing": "season", "board": "season"}
	for _, pattern := range []string{"pages/*.html", "assets/*.js"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %v", pattern, files, err)
		}
		for _, path := range files {
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			name := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
			if to := post[name]; to != "" {
				name = to
			}
			ask := func(do string) { all = append(all, "POST /farms/{id}/"+name+" "+do) }
			for _, m := range button.FindAllSubmatch(text, -1) {
				words := strings.Fields(inside.ReplaceAllString(string(m[1]), " "))
				if strings.HasPrefix(string(m[1]), "{{if") { // one or the other
					for _, w := range words {
						ask(w)
					}
					continue
				}
				ask(words[0])
			}
			for _, m := range scripts.FindAllSubmatch(text, -1) {
				ask(string(m[1]))
			}
		}
	}
	return all
}

// TestAPIWhole holds the pages against the API: whatever a page shows or does, a program
// can ask for.
func TestAPIWhole(t *testing.T) {
	pages := asksOf(t)
	if len(pages) < 20 {
		t.Errorf("only %d buttons were found: %v", len(pages), pages)
	}
	for _, name := range []string{"routes.go", "phone_routes.go"} {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		found := routed.FindAllSubmatch(text, -1)
		if n := strings.Count(string(text), "m.HandleFunc("); name == "phone_routes.go" && n != len(found) || name == "routes.go" && n != len(found)+1 { // "/" is for what is not there
			t.Errorf("%s: %d of %d routes can be read", name, len(found), n)
		}
		for _, m := range found {
			pages = append(pages, string(m[1]))
		}
	}
	text, err := os.ReadFile(filepath.Join("..", "..", "docs", "openapi.json"))
	if err != nil {
		t.Fatal(err)
	}
	var offered struct {
		Paths map[string]map[string]any
	}
	if err := json.Unmarshal(text, &offered); err != nil {
		t.Fatal(err)
	}
	for _, page := range pages {
		there, known := counterparts[page]
		if !known {
			t.Errorf("%s: a page does this and no program can; give it an operation in api_routes.go and name it here", page)
		}
		if why, none := strings.CutPrefix(there, "none:"); none {
			if strings.TrimSpace(why) == "" || strings.HasPrefix(page, "POST") {
				t.Errorf("%s changes something, or nothing says why no program can ask for it", page)
			}
			continue
		}
		for _, op := range strings.Split(there, ", ") {
			method, path, _ := strings.Cut(op, " ")
			if known && offered.Paths[path][strings.ToLower(method)] == nil {
				t.Errorf("%s: the API has no %q", page, op)
			}
		}
	}
	for page := range counterparts {
		if !slices.Contains(pages, page) {
			t.Errorf("%s: no page does this any more; take it out", page)
		}
	}
}

// Every list of tables that the examples have can be changed.
func TestAPIListsOfTables(t *testing.T) {
	server, book := serve(t, true)
	at := fmt.Sprintf("%s/api/farms/%d", server.URL, dairyOf(t, book))
	names, err := fs.Glob(examples.Files, "*.toml")
	if err != nil {
		t.Fatal(err)
	}
	lists := map[string]bool{}
	for _, name := range names {
		text, err := examples.Files.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`(?m)^\[\[([a-z_.]+)\]\]`).FindAllSubmatch(text, -1) {
			lists[string(m[1])] = true
		}
	}
	if len(lists) < 7 {
		t.Errorf("only %v were found", lists)
	}
	for list := range lists {
		var said apiSaid
		call(t, "POST", at+"/changes", "application/json", fmt.Sprintf(`{"base":1,"changes":[{"do":"drop","list":%q,"index":99}]}`, list), &said)
		if len(said.Problems) != 1 || said.Problems[0].Thing != "changes[0].index" {
			t.Errorf("%s: %+v", list, said)
		}
	}
}
