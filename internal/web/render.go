package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"
	"text/template/parse"

	"rowen/internal/crew"
	"rowen/internal/document"
	"rowen/internal/office"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/say"
)

//go:embed pages/*.html
var pageFiles embed.FS

//go:embed assets
var assetFiles embed.FS

// pages are the templates, made once for each pair of units and currency.
type pages struct {
	texts  *texts
	hashes map[string]string // of assets by name

	mu   sync.Mutex
	sets map[string]*template.Template
}

// newPages reads the pages and their words; language, which may be nil for English, is
// the text of a language's file.
func newPages(language []byte) (*pages, error) {
	t, err := readTexts(language)
	if err != nil {
		return nil, err
	}
	p := &pages{texts: t, hashes: map[string]string{}, sets: map[string]*template.Template{}}
	err = fs.WalkDir(assetFiles, "assets", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := assetFiles.ReadFile(name)
		sum := sha256.Sum256(data)
		p.hashes[strings.TrimPrefix(name, "assets/")] = hex.EncodeToString(sum[:6])
		return err
	})
	if err != nil {
		return nil, err
	}
	// Every page is parsed once now, so that a defect shows at the start.
	names, err := fs.Glob(pageFiles, "pages/*.html")
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		if _, err := p.set(path.Base(name), quantity.US, "USD"); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// set is a page's templates for units and currency.
func (p *pages) set(page string, u quantity.System, currency string) (*template.Template, error) {
	key := page + u.String() + currency
	p.mu.Lock()
	defer p.mu.Unlock()
	if t, ok := p.sets[key]; ok {
		return t, nil
	}
	t, err := template.New(page).Funcs(report.Words(currency, u)).Funcs(p.words(u, currency)).ParseFS(pageFiles, "pages/layout.html", "pages/parts.html", "pages/"+page)
	if err != nil {
		return nil, err
	}
	for _, part := range t.Templates() {
		speak(part.Tree.Root, "")
	}
	p.sets[key] = t
	return t, nil
}

// speak puts what a template shows a person into the reader's language, as html/template
// adds what escapes, so that no page can forget it: text between tags, and the attributes
// that are read out. Values of a form, addresses and the like stay what they are. before
// is the text of the tag in which the node stands; it gives that behind it.
func speak(node parse.Node, before string) string {
	switch n := node.(type) {
	case *parse.TextNode:
		text := before + string(n.Text)
		return text[strings.LastIndexByte(text, '>')+1:]
	case *parse.ListNode:
		if n == nil {
			break
		}
		for _, each := range n.Nodes {
			before = speak(each, before)
		}
	case *parse.ActionNode:
		if len(n.Pipe.Decl) == 0 && shown(before) {
			n.Pipe.Cmds = append(n.Pipe.Cmds, &parse.CommandNode{NodeType: parse.NodeCommand, Pos: n.Pos, Args: []parse.Node{parse.NewIdentifier("said").SetPos(n.Pos)}})
		}
	case *parse.IfNode:
		speak(n.ElseList, before)
		return speak(n.List, before)
	case *parse.RangeNode:
		speak(n.ElseList, before)
		return speak(n.List, before)
	case *parse.WithNode:
		speak(n.ElseList, before)
		return speak(n.List, before)
	}
	return before
}

// within is an attribute that is open at the end of a tag's text.
var within = regexp.MustCompile(`([a-z-]+)="[^"]*$`)

// shown tells whether a person reads what stands behind the text of a tag.
func shown(before string) bool {
	if strings.IndexByte(before, '<') < 0 {
		return true
	}
	m := within.FindStringSubmatch(before)
	return m != nil && slices.Contains([]string{"title", "aria-label", "alt", "placeholder"}, m[1])
}

// words are the templates' own functions.
func (p *pages) words(u quantity.System, currency string) template.FuncMap {
	return template.FuncMap{
		"t":      p.texts.say,
		"said":   p.texts.said.Say,
		"tongue": func() say.Tongue { return p.texts.said },
		"cite":   p.texts.cite,
		"asset":  func(name string) string { return "/assets/" + name + "?v=" + p.hashes[name] },
		"chart":  func(o *report.Outcome, top float64) template.HTML { return report.YearChart(o, top, u, p.texts.said) },
		"strip":  report.YearStrip,
		"part":   p.texts.part,
		"hatches": func() template.HTML {
			return report.Hatches
		},
		"list":     func(items ...any) []any { return items },
		"shortage": func(o report.Outcome) string { return p.shortage(&o, u) },
		"was": func(before, now *report.Plan, what string) string {
			if before == nil {
				return ""
			}
			value, year, same := report.PerTon(before.Middle.Money.PerKgGrown, currency, u), before.Middle.Year, now.Middle.Year
			for k, name := range report.YearKeys {
				if name == what {
					value, year, same = report.Mass(before.Outcomes()[k].Gap, u), before.Outcomes()[k].Year, now.Outcomes()[k].Year
				}
			}
			if year != same { // a change may rank the years otherwise
				return p.texts.say("season.was_in", value, year)
			}
			return p.texts.say("season.was", value)
		},
		"areaOf":   func() func(float64) string { return func(m2 float64) string { return report.Area(m2, u) } },
		"afterDot": func(s string) string { return s[strings.LastIndexByte(s, '.')+1:] },
		"opens":    func(key string) bool { return strings.Contains(key, ".") }, // an input that is no figure has a plain name
		"cell": func(year int, column string, row int) string {
			return report.LedgerCell(report.YearKeys[year], column, row)
		},
		"under":  func(year int) string { return report.UnderNeed(report.YearKeys[year]) },
		"line":   func(year int, line string) string { return report.AccountLine(report.YearKeys[year], line) },
		"units":  func() quantity.System { return u },
		"mine":   func(text string) string { return mine(text, u) },
		"lower":  strings.ToLower,
		"figure": func(v float64, unit string) say.Line { return report.FigureText(v, unit, currency, u) },
		"pair": func(items ...any) map[string]any {
			m := map[string]any{}
			for i := 0; i+1 < len(items); i += 2 {
				m[fmt.Sprint(items[i])] = items[i+1]
			}
			return m
		},
	}
}

// shortage says how home-grown feed stands to need in a year, and what of it the stores
// give or gain: by this the years are ranked, whatever is bought in them.
func (p *pages) shortage(o *report.Outcome, u quantity.System) string {
	stores := o.Shortage - o.Gap
	switch {
	case o.Shortage < 0:
		return p.texts.say("season.over_by", report.Mass(-o.Shortage, u))
	case stores > report.Nothing:
		return p.texts.say("season.short_from", report.Mass(o.Shortage, u), report.Mass(stores, u))
	}
	return p.texts.say("season.short_by", report.Mass(o.Shortage, u))
}

// page is what the layout shows around a page's own model.
type page struct {
	Title  string
	Person office.Person
	Farm   *farmHead // nil on pages of the office
	Tab    string
	Demo   bool // the farm is of the invented valley; on pages of the office: it is in the book
	Sheet  bool // a side sheet alone, to be put into a page that is there
	Said   string
	Body   any
}

// farmHead is the farm that a page is of.
type farmHead struct {
	ID       int64
	Name     string
	Version  int
	Currency string
}

// show writes a page.
func (s *Server) show(w http.ResponseWriter, r *http.Request, status int, name string, pg page) {
	s.showPart(w, r, status, name, "layout", pg)
}

// showPart writes one template of a page: the whole, or the part that a script asked
// for.
func (s *Server) showPart(w http.ResponseWriter, r *http.Request, status int, name, part string, pg page) {
	pg.Person = s.person(r)
	pg.Demo = pg.Farm == nil && s.demo(r.Context()) || pg.Farm != nil && s.isDemo(r.Context(), pg.Farm.ID)
	if part == "layout" && pg.Sheet && fragment(r) {
		part = "sheet"
	}
	currency := "USD"
	if pg.Farm != nil && pg.Farm.Currency != "" {
		currency = pg.Farm.Currency
	}
	t, err := s.pages.set(name, unitsOf(pg.Person), currency)
	var b bytes.Buffer
	if err == nil {
		err = t.ExecuteTemplate(&b, part, pg)
	}
	if err != nil {
		s.log.Error("page", "name", name, "error", err)
		s.refuse(w, r, http.StatusInternalServerError, "refused.defect")
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(b.Bytes())
}

// fragment tells whether a script asks, which puts the answer into its page.
func fragment(r *http.Request) bool { return r.Header.Get("HX-Request") == "true" }

// refuse writes a page that says what is wrong and what to do, whatever else is broken.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, status int, key string, args ...any) {
	s.plain(w, r, status, s.pages.texts.say(key, args...))
}

// plain tells a person on a page of its own, and a program as the API does.
func (s *Server) plain(w http.ResponseWriter, r *http.Request, status int, text string) {
	if strings.HasPrefix(r.URL.Path, "/api/") {
		s.apiRefuse(w, status, text)
		return
	}
	s.showRefused(w, r, status, refusedPage{Text: text})
}

func (s *Server) showRefused(w http.ResponseWriter, r *http.Request, status int, body refusedPage) {
	t, err := s.pages.set("refused.html", quantity.US, "USD")
	var b bytes.Buffer
	if err == nil {
		err = t.ExecuteTemplate(&b, "layout", page{Title: s.pages.texts.say("refused.title"), Body: body, Person: s.person(r)})
	}
	if err != nil {
		s.log.Error("page", "name", "refused.html", "error", err)
		http.Error(w, body.Text, status)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(b.Bytes())
}

// fail tells an error of the book or the desk.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	var tooLarge *http.MaxBytesError
	var problems document.Problems
	var problem document.Problem
	var defect *crew.Defect
	var input office.InputError
	var weather unmade
	switch {
	case errors.As(err, &defect):
		s.defect(r, defect)
		s.refuse(w, r, http.StatusInternalServerError, "refused.defect")
	case errors.Is(err, office.ErrMissing):
		s.refuse(w, r, http.StatusNotFound, "refused.missing")
	case errors.As(err, &tooLarge):
		s.refuse(w, r, http.StatusRequestEntityTooLarge, "refused.large", tooLarge.Limit>>20)
	case errors.Is(err, office.ErrNoRoom):
		s.log.Error("no room", "path", r.URL.Path, "error", err)
		s.plain(w, r, http.StatusInsufficientStorage, err.Error())
	case errors.As(err, &problems), errors.As(err, &problem), errors.As(err, &input):
		s.plain(w, r, http.StatusUnprocessableEntity, err.Error())
	case errors.As(err, &weather):
		s.log.Warn("not made", "path", r.URL.Path, "error", err)
		s.showUnmade(w, r, err)
	case errors.Is(err, errForm):
		s.refuse(w, r, http.StatusBadRequest, "refused.form")
	case r.Context().Err() != nil: // nobody waits for it any more
		w.WriteHeader(http.StatusBadRequest)
	default:
		s.log.Error("failed", "path", r.URL.Path, "error", err)
		s.plain(w, r, http.StatusInternalServerError, err.Error())
	}
}

// defect writes a panic of a worker into the log, as the guard does with one of its own.
func (s *Server) defect(r *http.Request, d *crew.Defect) {
	s.log.Error("defect", "path", r.URL.Path, "panic", d.Value, "stack", string(d.Stack))
}

// asset serves an embedded file; its address carries its hash, so it is kept for good.
func (s *Server) asset(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	hash, ok := s.pages.hashes[name]
	if !ok {
		s.refuse(w, r, http.StatusNotFound, "refused.missing")
		return
	}
	if r.URL.Query().Get("v") == hash {
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	http.ServeFileFS(w, r, assetFiles, "assets/"+name)
}
