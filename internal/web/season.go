package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/desk"
	"rowen/internal/document"
	"rowen/internal/office"
	"rowen/internal/report"
	"rowen/quantity"
)

// seasonPage is the plan: the years' charts, the board, and what follows from it.
type seasonPage struct {
	Plan     *report.Plan
	Before   *report.Plan // before the change that was made a moment ago; else nil
	Board    *report.Board
	Top      float64
	Base     int
	Other    *otherPage // what another window changed, where a change was not made for it
	Undo     bool
	Redo     bool
	New      bool     // the farm was begun a moment ago
	Wrong    []string // why a change was not made, in people's words
	Safety   []hazardRules
	Assumed  int  // values that nobody has said yet
	Invented bool // an own farm stands on the invented valley's weather
}

// hazardRules are the rules of one hazard that bear on the plan.
type hazardRules struct {
	Name  string
	Rules []report.Safety
}

func safetyOf(p *report.Plan) (out []hazardRules) {
	for _, x := range p.Safety {
		i := slices.IndexFunc(out, func(h hazardRules) bool { return h.Name == x.Hazard })
		if i < 0 {
			i = len(out)
			out = append(out, hazardRules{Name: x.Hazard})
		}
		out[i].Rules = append(out[i].Rules, x)
	}
	return out
}

type cropChoice struct{ Name, Title string }

// season shows the plan.
func (s *Server) season(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	s.showSeason(w, r, http.StatusOK, o, seasonPage{}, "")
}

// showSeason shows the plan, or its part that changes where a script asks.
func (s *Server) showSeason(w http.ResponseWriter, r *http.Request, status int, o *opened, body seasonPage, said string) {
	p, err := o.desk.Plan(r.Context(), o.source)
	if err != nil {
		s.showDocument(w, r, http.StatusUnprocessableEntity, o, o.version.Text, err, "")
		return
	}
	body.Plan, body.Board, body.Top, body.Safety = p.Plan, p.Board, p.Plan.Top(), safetyOf(p.Plan)
	body.Base, body.New = o.version.Number, r.URL.Query().Get("new") != ""
	body.Assumed = s.guesses(o)
	body.Invented = p.Plan.Manifest.Weather == desk.Generated && !s.isDemo(r.Context(), o.version.Farm)
	versions, err := s.book.Versions(r.Context(), o.version.Farm)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	undo, redo := steps(versions)
	body.Undo, body.Redo = undo > 0, redo > 0
	part := "layout"
	if fragment(r) {
		part = "plan"
	}
	s.showPart(w, r, status, "season.html", part, page{Title: s.pages.texts.say("season.title"), Farm: o.head(), Tab: "season", Said: said, Body: body})
}

// cropsOf are the stands that can be sown, by title.
func cropsOf(o *opened) (out []cropChoice) {
	for _, name := range o.desk.Catalogue.Names() {
		m, _ := o.desk.Catalogue.Mix(name)
		out = append(out, cropChoice{name, m.Title})
	}
	slices.SortFunc(out, func(a, b cropChoice) int { return strings.Compare(strings.ToLower(a.Title), strings.ToLower(b.Title)) })
	return out
}

// Notes by which a version says that it took an earlier one up again.
const (
	undoNote = "undo: as in version "
	redoNote = "redo: as in version "
)

// steps tells to which version an undo goes back and a redo forward, 0 where there is
// none. The book is the memory: every change is a version, an undo is one more that
// says which it repeats, so that steps outlive the program.
func steps(versions []office.Version) (undo, redo int) {
	past, future := []int{}, []int{}
	now := 0
	for i := len(versions) - 1; i >= 0; i-- { // the oldest first
		v := &versions[i]
		switch {
		case strings.HasPrefix(v.Note, undoNote) && len(past) > 0:
			future = append(future, now)
			now, past = past[len(past)-1], past[:len(past)-1]
		case strings.HasPrefix(v.Note, redoNote) && len(future) > 0:
			past = append(past, now)
			now, future = future[len(future)-1], future[:len(future)-1]
		default:
			if now != 0 {
				past = append(past, now)
			}
			now, future = v.Number, nil
		}
	}
	if len(past) > 0 {
		undo = past[len(past)-1]
	}
	if len(future) > 0 {
		redo = future[len(future)-1]
	}
	return undo, redo
}

// changeSeason makes one change of the plan: it is saved as a version at once, and can
// be undone.
func (s *Server) changeSeason(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	var before *report.Plan
	if p, err := o.desk.Plan(r.Context(), o.source); err == nil {
		before = p.Plan // it is kept since the page was shown
	}
	began, err := s.asBegun(r, o)
	if err == nil {
		err = began.wrong
	}
	form := r.FormValue("do") == "add" || r.FormValue("do") == "save"
	if err == nil && !form && began != o { // a move is of the board that was seen
		err = &office.Conflict{Base: began.version, Theirs: o.version}
	}
	var text []byte
	var note string
	if err == nil {
		o = began
		if text, note, err = s.changed(r.Context(), o, r.Form); err == nil {
			err = s.keep(r, o, text, note)
		}
	}
	if err != nil && form && began != nil && began.wrong == nil {
		s.sowingAgain(w, r, o, text, err)
		return
	}
	if err != nil {
		var body seasonPage
		var conflict *office.Conflict
		if errors.As(err, &conflict) {
			body.Other = s.otherChanges(conflict)
		}
		body.Wrong = s.whyRefused(r, o, err)
		s.showSeason(w, r, refusal(err), s.newest(r.Context(), o), body, "")
		return
	}
	if !fragment(r) {
		http.Redirect(w, r, fmt.Sprintf("/farms/%d/season", o.version.Farm), http.StatusSeeOther)
		return
	}
	s.showSeason(w, r, http.StatusOK, o, seasonPage{Before: before}, note)
}

// changed is the document after the change that a form asks for, and what to call it.
func (s *Server) changed(ctx context.Context, o *opened, form url.Values) ([]byte, string, error) {
	switch do := form.Get("do"); do {
	case "undo", "redo":
		return s.stepped(ctx, o, do)
	case "add", "save":
		return s.written(o, form)
	case "shift", "part", "remove", "soil":
		return s.moved(ctx, o, form, do)
	default:
		return nil, "", document.Problem{Thing: "change", Value: do, Remedy: "open the page again"}
	}
}

// stepped takes an earlier version up again.
func (s *Server) stepped(ctx context.Context, o *opened, do string) ([]byte, string, error) {
	versions, err := s.book.Versions(ctx, o.version.Farm)
	if err != nil {
		return nil, "", err
	}
	undo, redo := steps(versions)
	to, note := undo, undoNote
	if do == "redo" {
		to, note = redo, redoNote
	}
	if to == 0 {
		return nil, "", document.Problem{Thing: do, Remedy: s.pages.texts.say("season.no_" + do)}
	}
	v, err := s.book.Version(ctx, o.version.Farm, to)
	return v.Text, note + strconv.Itoa(to), err
}

// sowingOf is the sowing that a form names: its table, and the first of its blocks.
func sowingOf(o *opened, text string) (int, *farm.Sowing, error) {
	tables := report.SowingsOf(o.farm)
	k, err := strconv.Atoi(text)
	if err != nil || k < 0 || k >= len(tables) {
		return 0, nil, document.Problem{Thing: "sowing", Value: text, Remedy: "the plan has no such sowing; it may have changed in another window: open the page again"}
	}
	return k, &o.farm.Plan.Sowings[tables[k][0]], nil
}

// moved changes one thing of a sowing, as a drag or a key does.
func (s *Server) moved(ctx context.Context, o *opened, form url.Values, do string) ([]byte, string, error) {
	k, sowing, err := sowingOf(o, form.Get("sowing"))
	if err != nil {
		return nil, "", err
	}
	at := document.Place{List: "sowing", Index: k}
	name := o.farm.Fields[sowing.Field].Name + ", " + sowing.Mix.Title
	text := o.version.Text
	say := s.pages.texts.say
	switch do {
	case "remove":
		text, err = document.Delete(text, at)
		return text, say("season.did_remove", name), err
	case "soil":
		text, err = document.Unset(text, at, "on")
		return text, say("season.did_soil", name), err
	case "part":
		return s.parted(o, form, k, sowing, name)
	}
	if given := form.Get("field"); given != "" {
		i, err := strconv.Atoi(given)
		if err != nil || i < 0 || i >= len(o.farm.Fields) {
			return nil, "", document.Problem{Thing: "field", Value: given, Remedy: "the farm has no such field; open the page again"}
		}
		to := &o.farm.Fields[i]
		if text, err = document.Set(text, at, "field", document.Quote(to.Name)); err == nil && sowing.Area > to.Area {
			text, err = document.Unset(text, at, "part")
		}
		if note := say("season.did_field", name, to.Name); err != nil || form.Get("weeks") == "0" {
			return text, note, err
		}
	}
	weeks, err := strconv.Atoi(form.Get("weeks"))
	if err != nil || weeks < -60 || weeks > 60 {
		return nil, "", document.Problem{Thing: "weeks", Value: form.Get("weeks"), Remedy: "write a number of weeks"}
	}
	// Where the soil decides, a move fixes the day: later than it would have been.
	p, err := o.desk.Plan(ctx, o.source)
	if err != nil {
		return nil, "", err
	}
	day := sowing.On
	for _, row := range p.Board.Rows {
		for _, bar := range row.Bars {
			if bar.Sowing == k && day == 0 {
				day = bar.Date
			}
		}
	}
	first := o.farm.FirstDay()
	day = max(first, min(first+363, day+quantity.Date(7*weeks)))
	for _, key := range []string{"from", "by"} {
		if text, err = document.Unset(text, at, key); err != nil {
			return nil, "", err
		}
	}
	text, err = document.Set(text, at, "on", document.Quote(day.String()))
	return text, say("season.did_shift", name, day.String()), err
}

// parted gives a sowing another part of its field, in tenths.
func (s *Server) parted(o *opened, form url.Values, k int, sowing *farm.Sowing, name string) ([]byte, string, error) {
	at := document.Place{List: "sowing", Index: k}
	field := &o.farm.Fields[sowing.Field]
	tenths, err := strconv.Atoi(form.Get("tenths"))
	if err != nil {
		return nil, "", document.Problem{Thing: "part", Value: form.Get("tenths"), Remedy: "write tenths of the field, 1 to 10"}
	}
	if form.Get("by") != "" { // more or less than now
		now := 10
		if sowing.Area > 0 {
			area := float64(sowing.Area)
			for _, table := range report.SowingsOf(o.farm) {
				if &o.farm.Plan.Sowings[table[0]] == sowing {
					area *= float64(len(table))
				}
			}
			now = int(10*area/float64(field.Area) + 0.5)
		}
		tenths += now
	}
	tenths = max(1, min(10, tenths))
	if tenths == 10 {
		text, err := document.Unset(o.version.Text, at, "part")
		return text, s.pages.texts.say("season.did_whole", name), err
	}
	area := (field.Area * quantity.Area(tenths) / 10).In(o.source.Units)
	text, err := document.Set(o.version.Text, at, "part", document.Quote(area))
	return text, s.pages.texts.say("season.did_part", name, area), err
}

// sowingPage is one sowing as a form.
type sowingPage struct {
	K      int // -1: a new one
	Base   int
	Values map[string]string
	Wrong  map[string]string
	Theirs map[string]string // what another window saved meanwhile
	Other  *otherPage
	Rest   []document.Problem // that no field of the form is about
	Said   *report.Sowing     // what the years say of it
	Plan   *report.Plan
	Mix    bool // several crops, written in the document
	Crops  []cropChoice
	Fields []string
	Uses   []string
}

// sowingKeys are the keys of a sowing that the form writes.
var sowingKeys = []string{"field", "crop", "use", "then", "on", "from", "by", "part", "rate"}

func (s *Server) sowingSheet(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	k, sowing, err := sowingOf(o, r.PathValue("k"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	p, err := made(o.desk.Plan(r.Context(), o.source))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	values, err := document.Values(o.version.Text, document.Place{List: "sowing", Index: k})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if values["use"] == "" {
		values["use"] = sowing.Use.String()
	}
	body := sowingPage{K: k, Values: values, Mix: values["crop"] == ""}
	if i := report.SowingsOf(o.farm)[k][0]; i < len(p.Plan.Sowings) {
		body.Said = &p.Plan.Sowings[i]
	}
	s.showSowing(w, r, http.StatusOK, o, body)
}

// sowingAgain shows a sowing's form as it was sent, with what is wrong beside the fields.
func (s *Server) sowingAgain(w http.ResponseWriter, r *http.Request, o *opened, doc []byte, err error) {
	body := sowingPage{K: -1, Values: map[string]string{}, Wrong: map[string]string{}, Theirs: map[string]string{}}
	at := document.Place{List: "sowing", Index: document.Count(doc, "sowing") - 1}
	if k, _, known := sowingOf(o, r.FormValue("sowing")); known == nil && r.FormValue("do") == "save" {
		body.K, at.Index = k, k
		_, crop := r.Form["crop"]
		body.Mix = !crop
	}
	var in inputs
	for _, key := range sowingKeys {
		body.Values[key] = strings.TrimSpace(r.FormValue(key))
		in = append(in, &input{Key: key, Value: body.Values[key], at: at})
	}
	if body.K >= 0 {
		before, _ := document.Values(o.version.Text, at) // as the sheet has shown it
		if before["use"] == "" {
			before["use"] = body.Values["use"]
		}
		for _, i := range in {
			i.began = before[i.Key]
		}
		body.Other = s.other(err, in)
	} else {
		body.Other = s.other(err)
	}
	body.Rest = judge(doc, restOf(err), in)
	for _, i := range in {
		body.Wrong[i.Key], body.Theirs[i.Key] = i.Wrong, i.Theirs
	}
	// In a side sheet the form stays where it is.
	w.Header().Set("HX-Retarget", "#sheet-body")
	s.showSowing(w, r, refusal(err), o, body)
}

func (s *Server) newSowingSheet(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	values := map[string]string{"crop": "pearl-millet", "use": "graze"}
	if i, err := strconv.Atoi(r.URL.Query().Get("field")); err == nil && i >= 0 && i < len(o.farm.Fields) {
		values["field"] = o.farm.Fields[i].Name
	}
	if week, err := strconv.Atoi(r.URL.Query().Get("week")); err == nil && week >= 0 && week < report.Weeks {
		values["on"] = (o.farm.FirstDay() + quantity.Date(7*week)).String()
	}
	s.showSowing(w, r, http.StatusOK, o, sowingPage{K: -1, Values: values})
}

func (s *Server) showSowing(w http.ResponseWriter, r *http.Request, status int, o *opened, body sowingPage) {
	body.Base, body.Crops = o.version.Number, cropsOf(o)
	if p, err := o.desk.Plan(r.Context(), o.source); err == nil {
		body.Plan = p.Plan
	}
	for i := range o.farm.Fields {
		body.Fields = append(body.Fields, o.farm.Fields[i].Name)
	}
	for u := crop.Graze; u < crop.Uses; u++ {
		body.Uses = append(body.Uses, u.String())
	}
	title := s.pages.texts.say("sowing.new")
	if body.K >= 0 {
		title = body.Values["field"]
	}
	s.show(w, r, status, "sowing.html", page{Title: title, Farm: o.head(), Tab: "season", Sheet: true, Body: body})
}

// written is the document with a sowing as its form has it.
func (s *Server) written(o *opened, form url.Values) ([]byte, string, error) {
	value := func(key string) string { return strings.TrimSpace(form.Get(key)) }
	if form.Get("do") == "add" {
		var pairs []document.Pair
		for _, key := range sowingKeys {
			if v := value(key); v != "" {
				pairs = append(pairs, document.Pair{Key: key, Value: document.Quote(v)})
			}
		}
		text, err := document.Append(o.version.Text, "sowing", pairs...)
		return text, s.pages.texts.say("season.did_add", value("field"), value("crop")), err
	}
	k, sowing, err := sowingOf(o, form.Get("sowing"))
	if err != nil {
		return nil, "", err
	}
	at := document.Place{List: "sowing", Index: k}
	text := o.version.Text
	for _, key := range sowingKeys {
		if _, asked := form[key]; !asked {
			continue
		}
		if v := value(key); v == "" {
			text, err = document.Unset(text, at, key)
		} else {
			text, err = document.Set(text, at, key, document.Quote(v))
		}
		if err != nil {
			return nil, "", err
		}
	}
	return text, s.pages.texts.say("season.did_save", o.farm.Fields[sowing.Field].Name), nil
}
