package web_test

import (
	"bytes"
	"fmt"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/pelletier/go-toml/v2"
	"github.com/xuri/excelize/v2"
	"golang.org/x/net/html"

	"rowen/crop"
	"rowen/internal/office"
	"rowen/internal/web"
)

// marked is an invented language: every word of Rowen's in double brackets, arguments
// outside. What a page then shows without brackets is a name, a figure, or a word that
// no language can reach.
func marked(t *testing.T) []byte {
	t.Helper()
	english, err := web.English()
	if err != nil {
		t.Fatal(err)
	}
	var file map[string]map[string]string
	if err := toml.Unmarshal(english, &file); err != nil {
		t.Fatal(err)
	}
	for _, words := range file {
		for key, text := range words {
			words[key] = mark(text)
		}
	}
	out, err := toml.Marshal(file)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

var verb = regexp.MustCompile(`%[-+#0-9.\[\]]*[sdfqvg]|%%`)

// mark puts what stands between a pattern's arguments into brackets.
func mark(text string) string {
	var b strings.Builder
	put := func(s string) {
		if s != "" {
			b.WriteString("⟦" + s + "⟧")
		}
	}
	at := 0
	for _, m := range verb.FindAllStringIndex(text, -1) {
		put(text[at:m[0]])
		b.WriteString(text[m[0]:m[1]])
		at = m[1]
	}
	put(text[at:])
	return b.String()
}

// TestEveryWordHasALanguage shows every page in the invented language and looks for
// words that stayed English.
func TestEveryWordHasALanguage(t *testing.T) {
	book := openBook(t)
	s, err := web.New(book, web.Options{Language: marked(t)})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.OpenDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(s.Handler())
	t.Cleanup(server.Close)
	known := dataWords(t, book)
	farm := server.URL + dairy(t, book)
	status, body := post(t, farm+"/today", url.Values{"phrase": {"height 80 in on North Six"}})
	if status != http.StatusUnprocessableEntity {
		t.Errorf("a height that is asked about: status %d", status)
	}
	if english := unmarked(t, []byte(body), known); len(english) > 0 {
		t.Errorf("what a clerk asks shows words that no language reaches:\n  %s", strings.Join(english, "\n  "))
	}
	for _, paper := range []string{"plan", "field", "feeder", "seed"} {
		_, sheet := get(t, farm+"/print/"+paper+".xlsx")
		book, err := excelize.OpenReader(bytes.NewReader(sheet))
		if err != nil {
			t.Errorf("%s: %v", paper, err)
			continue
		}
		cells := 0
		for _, name := range book.GetSheetList() {
			if name == mark("Assumed") {
				continue // keys and values of the document
			}
			rows, err := book.GetRows(name)
			if err != nil {
				t.Error(err)
			}
			for _, text := range append(slices.Concat(rows...), name) {
				cells++
				if cited.MatchString(text) {
					continue // a work keeps its title
				}
				if word := outside(text, known); word != "" {
					t.Errorf("the paper %s shows %q, which no language reaches: %s", paper, word, text)
				}
			}
		}
		if cells < 20 {
			t.Errorf("the paper %s has only %d cells", paper, cells)
		}
	}
	for _, path := range everyPage(t, book) {
		status, body := get(t, server.URL+path)
		if status != 200 {
			t.Errorf("%s: status %d", path, status)
			continue
		}
		if english := unmarked(t, body, known); len(english) > 0 {
			t.Errorf("%s shows words that no language reaches:\n  %s", path, strings.Join(english, "\n  "))
		}
	}
}

// cited is a source, whose reading stands last.
var cited = regexp.MustCompile(`\((read in the source|from memory|common practice)\)$|^⟦common practice⟧$`)

// everyPage is every page of the book and of each of its farms.
func everyPage(t *testing.T, book *office.Book) []string {
	t.Helper()
	farms, err := book.Farms(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	pages := []string{"/", "/farms/list", "/farms/new", "/guide", "/settings"}
	for _, f := range farms {
		for _, page := range []string{"season", "season/new", "season/sowing/0", "", "today", "today?date=2025-05-20", "today?date=2025-06-15", "today?date=2025-07-20", "today?date=2025-10-15", "store?date=2025-10-15", "phone", "notes", "ground", "animals", "store", "print", "document", "assumed", "plans", "figures/gap.middle", "figures/cost-fed.middle", "figures/ledger.middle.need.12", "figures/ledger.bad.store.12", "figures/ledger.worst.gap.12", "figures/ledger.middle.pasture.12", "figures/account.middle.spent", "figures/account.middle.roughage", "figures/account.middle.concentrate"} {
			pages = append(pages, fmt.Sprintf("/farms/%d/%s", f.ID, page))
		}
	}
	return pages
}

// dataWords are the words that stand in the farms' documents, the catalogue and the
// examples: names of fields, crops, products and places, which no language changes.
func dataWords(t *testing.T, book *office.Book) map[string]bool {
	t.Helper()
	known := map[string]bool{}
	add := func(text string) {
		for _, w := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) }) {
			known[strings.ToLower(w)] = true
		}
	}
	for _, units := range strings.Fields("Letter dev cut test TestEveryWordHasALanguage book Winnock valley invented tmp t ha ac ton tons lb in ft cm mm kg g m DM CP NDF NEL Mcal MJ USD EUR NZD CAD GBP CHF cwt bu pH N P K C F US") {
		add(units)
	}
	var values func(v any)
	values = func(v any) {
		switch v := v.(type) {
		case string:
			add(v)
		case map[string]any:
			for _, each := range v {
				values(each)
			}
		case []any:
			for _, each := range v {
				values(each)
			}
		}
	}
	farms, err := book.Farms(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range farms {
		v, err := book.Document(t.Context(), f.ID)
		if err != nil {
			t.Fatal(err)
		}
		var doc map[string]any
		if err := toml.Unmarshal(v.Text, &doc); err != nil {
			t.Fatal(err)
		}
		values(doc)
	}
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range c.Names() {
		mix, _ := c.Mix(name)
		add(mix.Title)
	}
	return known
}

// outside is the first word of a text that stands outside brackets and is no name; empty
// where there is none.
func outside(text string, known map[string]bool) string {
	var rest strings.Builder
	depth := 0
	for _, r := range text {
		switch {
		case r == '⟦':
			depth++
		case r == '⟧':
			depth--
			rest.WriteByte(' ')
		case depth == 0:
			rest.WriteRune(r)
		}
	}
	for _, w := range strings.FieldsFunc(rest.String(), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if len(w) > 1 && !known[strings.ToLower(w)] {
			return w
		}
	}
	return ""
}

// unmarked gives each text of a page that shows words outside brackets.
func unmarked(t *testing.T, page []byte, known map[string]bool) []string {
	t.Helper()
	root, err := html.ParseWithOptions(bytes.NewReader(page), html.ParseOptionEnableScripting(false))
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	look := func(text string) {
		if word := outside(text, known); word != "" {
			found[word+": "+strings.Join(strings.Fields(text), " ")] = true
		}
	}
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.ElementNode {
			if slices.Contains(n.Attr, html.Attribute{Key: "translate", Val: "no"}) {
				return // a name, a key, or what a person wrote
			}
			if n.Data == "cite" {
				return // a work keeps its title
			}
			if n.Data == "script" || n.Data == "style" || n.Data == "textarea" || n.Data == "pre" {
				return
			}
			for _, a := range n.Attr {
				switch a.Key {
				case "title", "aria-label", "alt", "placeholder":
					look(a.Val)
				}
			}
		}
		if n.Type == html.TextNode {
			look(n.Data)
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(root)
	return slices.Sorted(maps.Keys(found))
}

// A language's file is refused where it cannot stand in the place of the English, all of
// it at once.
func TestLanguageFile(t *testing.T) {
	book := openBook(t)
	for text, want := range map[string][]string{
		"[page]\nname = 3": {"language:2"},
		"[page]\nnonsense = \"x\"\n[said]\n\"ready to %s\" = \"bereit\"\n\"no such thing\" = \"x\"": {"page.nonsense", "takes nothing; the English takes %s", "Rowen does not say this"},
		"[page]\nproblems = \"%s Fehler\"": {"takes %s; the English takes %d"},
		"[page]\nproblems = \"100 %\"":     {"write %% for the sign itself"},
		"[page]\nproblems = \"%99999d\"":   {"leave the width out"},
		"[page]\nproblems = \"%[9]d\"":     {"leaves an argument out"},
	} {
		_, err := web.New(book, web.Options{Language: []byte(text)})
		if err == nil {
			t.Errorf("%q is taken", text)
			continue
		}
		for _, w := range want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%q: %v; want %q", text, err, w)
			}
		}
	}
	if _, err := web.New(book, web.Options{Language: []byte("[nav]\nfarms = \"Höfe\"\n[said]\n\"%s and %s\" = \"%[1]s und %[2]s\"\n\"bloat\" = \"\"")}); err != nil {
		t.Errorf("a good language, half done, is refused: %v", err)
	}
}
