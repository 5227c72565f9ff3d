package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowen/farm"
	"rowen/internal/document"
)

// assumedPage is everything that nobody has said yet, each to be put right by itself.
type assumedPage struct {
	Base  int
	Other *otherPage
	Lines []assumedLine
	Wrong []document.Problem
}

// assumedLine is one assumed value: where it stands or would stand, and why it was taken.
type assumedLine struct {
	Thing, Key, Value, Why string
	Name                   string // the key in words
	Typed, Wrong           string
	Form                   string // the page whose form holds it, where it is no single value

	at   document.Place
	here bool // it stands in the document, marked as assumed
}

// ID names the line for a form.
func (l *assumedLine) ID() string { return fmt.Sprintf("%s %d %s", l.at.List, l.at.Index, l.Key) }

// assumedMark is what a begun document writes beside a guess.
const assumedMark = "(assumed"

// assumedOf gathers what is assumed: what the document marks as guessed, and what it does
// not say.
func (s *Server) assumedOf(o *opened) (*assumedPage, error) {
	body := &assumedPage{Base: o.version.Number}
	marks, err := document.Marked(o.version.Text, assumedMark)
	if err != nil {
		return nil, err
	}
	for _, m := range marks {
		l := assumedLine{Thing: m.Thing, Key: m.Key, Value: m.Value, Why: s.pages.texts.say("assumed.begun"), at: m.At, here: true}
		if m.Kind == document.Table {
			l.Form = "ground"
		}
		body.Lines = append(body.Lines, l)
	}
	for _, a := range o.farm.Assumed {
		l, ok := lineOf(o.farm, a)
		if !ok {
			l.Form = "document"
			l.Thing = a.Key
		}
		if !slices.ContainsFunc(body.Lines, func(x assumedLine) bool { return x.ID() == l.ID() }) {
			body.Lines = append(body.Lines, l)
		}
	}
	for i := range body.Lines {
		l := &body.Lines[i]
		l.Name = s.pages.texts.key(l.Key)
	}
	return body, nil
}

// guesses is how many values the page of what is assumed lists; every page that leads
// there says this number.
func (s *Server) guesses(o *opened) int {
	if o.farm == nil {
		return 0
	}
	body, err := s.assumedOf(o)
	if err != nil {
		return len(o.farm.Assumed)
	}
	return len(body.Lines)
}

// ownTables are the document's tables that are no list.
var ownTables = []string{"prices", "custom", "limits"}

// lineOf finds where an assumed value would be written: "field.North Six.soil.pH" in the
// table of that field. It is false for tables that are not of a list.
func lineOf(f *farm.Farm, a farm.Assumption) (assumedLine, bool) {
	l := assumedLine{Value: a.Value, Why: a.Why}
	kind, rest, dotted := strings.Cut(a.Key, ".")
	if !dotted || slices.Contains(ownTables, kind) {
		l.Key = a.Key
		for _, basis := range []string{" as fed", " DM"} { // prices say what they are of
			l.Value = strings.TrimSuffix(l.Value, basis)
		}
		return l, true
	}
	find := func(list string, names []string) bool {
		for i, name := range names {
			if key, ok := strings.CutPrefix(rest, name+"."); ok && name != "" {
				l.Thing, l.Key, l.at = name, key, document.Place{List: list, Index: i}
				return true
			}
		}
		return false
	}
	var names []string
	switch kind {
	case "field":
		for i := range f.Fields {
			names = append(names, f.Fields[i].Name)
		}
		// A whole soil is no single value.
		ok := find("field", names)
		if l.Key == "soil" {
			l.Form = "ground"
		}
		return l, ok
	case "group":
		for i := range f.Groups {
			for range f.Groups[i].Periods {
				names = append(names, f.Groups[i].Name)
			}
		}
		return l, find("group.period", names)
	case "sowing":
		line := -1
		for i := range f.Plan.Sowings {
			if x := &f.Plan.Sowings[i]; x.Line != line {
				names, line = append(names, f.Fields[x.Field].Name), x.Line
			}
		}
		return l, find("sowing", names)
	}
	return l, false
}

func (s *Server) assumed(w http.ResponseWriter, r *http.Request) {
	o, body := begun(s, w, r, s.assumedOf)
	if o == nil {
		return
	}
	s.showAssumed(w, r, http.StatusOK, o, body)
}

func (s *Server) showAssumed(w http.ResponseWriter, r *http.Request, status int, o *opened, body *assumedPage) {
	s.show(w, r, status, "assumed.html", page{Title: s.pages.texts.say("assumed.title"), Farm: o.head(), Tab: "document", Body: body})
}

// putRight writes one assumed value down as known: as it was taken, or otherwise.
func (s *Server) putRight(w http.ResponseWriter, r *http.Request) {
	o, body := begun(s, w, r, s.assumedOf)
	if o == nil {
		return
	}
	i := slices.IndexFunc(body.Lines, func(l assumedLine) bool { return l.ID() == r.FormValue("line") && l.Form == "" })
	if i < 0 {
		// It is known by now, or was said otherwise; what was typed is told, not lost.
		body.Wrong = []document.Problem{{Thing: r.FormValue("line"), Value: r.FormValue("value"), Remedy: s.pages.texts.say("assumed.stale")}}
		s.showAssumed(w, r, http.StatusUnprocessableEntity, o, body)
		return
	}
	l := &body.Lines[i]
	l.Typed = strings.TrimSpace(r.FormValue("value"))
	doc, note, err := s.righted(o, l)
	if err == nil {
		err = s.keepSingle(r, o, doc, note)
	}
	if other := s.other(err).again(r.PostForm); other != nil {
		o = s.newest(r.Context(), o)
		if body, err = s.assumedOf(o); err != nil {
			s.fail(w, r, err)
			return
		}
		body.Other = other
		s.showAssumed(w, r, http.StatusConflict, o, body)
		return
	}
	if err != nil {
		problems := problemsOf(err)
		l.Wrong = problems[0].Remedy
		body.Wrong = problems[1:]
		s.showAssumed(w, r, http.StatusUnprocessableEntity, o, body)
		return
	}
	http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
}

// righted is the document with an assumed value written as known, and what to call it.
func (s *Server) righted(o *opened, l *assumedLine) (doc []byte, note string, err error) {
	doc, err = document.Set(o.version.Text, l.at, l.Key, plainly(l.Value, l.Typed))
	if err == nil && l.here {
		doc, err = document.Unmark(doc, l.at, l.Key)
	}
	return doc, s.pages.texts.say("assumed.note", strings.TrimSpace(l.Thing+" "+l.Key)), err
}

// plainly writes a value as TOML: bare where the assumed one is a bare number or a truth.
func plainly(like, typed string) string {
	_, number := strconv.ParseFloat(like, 64)
	v, err := strconv.ParseFloat(typed, 64)
	switch {
	case number == nil && err == nil && finite(v):
		return document.WriteNumber(v)
	case (like == "true" || like == "false") && (typed == "true" || typed == "false"):
		return typed
	}
	return document.Quote(typed)
}
