package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/document"
	"rowen/internal/office"
	"rowen/internal/report"
	"rowen/quantity"
)

// seasonPage is the plan: the years' charts, the board, and what follows from it.
type seasonPage struct {
	Plan    *report.Plan
	Before  *report.Plan // before the change that was made a moment ago; else nil
	Board   *report.Board
	Top     float64
	Base    int
	Undo    bool
	Redo    bool
	New     bool     // the farm was begun a moment ago
	Wrong   []string // why a change was not made, in people's words
	Safety  []hazardRules
	Assumed int // values that nobody has said yet
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
	s.showSeason(w, r, http.StatusOK, o, nil, nil, "")
}

// showSeason shows the plan, or its part that changes where a script asks.
func (s *Server) showSeason(w http.ResponseWriter, r *http.Request, status int, o *opened, before *report.Plan, wrong []string, said string) {
	p, err := o.desk.Plan(r.Context(), o.source)
	if err != nil {
		s.showDocument(w, r, http.StatusUnprocessableEntity, o, o.version.Text, err, "")
		return
	}
	body := seasonPage{Plan: p.Plan, Before: before, Board: p.Board, Top: p.Plan.Top(), Base: o.version.Number, New: r.URL.Query().Get("new") != "", Wrong: wrong, Safety: safetyOf(p.Plan), Assumed: s.guesses(o)}
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
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	var before *report.Plan
	if p, err := o.desk.Plan(r.Context(), o.source); err == nil {
		before = p.Plan // it is kept since the page was shown
	}
	text, note, err := s.changed(r, o)
	if err == nil {
		err = s.keep(r, o, text, note)
	}
	if err != nil {
		var conflict *office.Conflict
		status := http.StatusUnprocessableEntity
		if errors.As(err, &conflict) {
			status = http.StatusConflict
		} else if do := r.FormValue("do"); do == "add" || do == "save" {
			s.sowingAgain(w, r, o, text, err)
			return
		}
		why := s.refusal(r, o, err)
		if now, again := s.open(r); again == nil && now.wrong == nil {
			o = now
		}
		s.showSeason(w, r, status, o, nil, why, "")
		return
	}
	if !fragment(r) {
		http.Redirect(w, r, fmt.Sprintf("/farms/%d/season", o.version.Farm), http.StatusSeeOther)
		return
	}
	s.showSeason(w, r, http.StatusOK, o, before, nil, note)
}

// changed is the document after the change that a form asks for, and what to call it.
func (s *Server) changed(r *http.Request, o *opened) ([]byte, string, error) {
	switch do := r.FormValue("do"); do {
	case "undo", "redo":
		return s.stepped(r, o, do)
	case "add", "save":
		return s.written(r, o)
	case "shift", "part", "remove", "soil":
		return s.moved(r, o, do)
	default:
		return nil, "", document.Problem{Thing: "change", Value: do, Remedy: "open the page again"}
	}
}

// stepped takes an earlier version up again.
func (s *Server) stepped(r *http.Request, o *opened, do string) ([]byte, string, error) {
	versions, err := s.book.Versions(r.Context(), o.version.Farm)
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
	v, err := s.book.Version(r.Context(), o.version.Farm, to)
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
func (s *Server) moved(r *http.Request, o *opened, do string) ([]byte, string, error) {
	k, sowing, err := sowingOf(o, r.FormValue("sowing"))
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
		return s.parted(r, o, k, sowing, name)
	}
	if given := r.FormValue("field"); given != "" {
		i, err := strconv.Atoi(given)
		if err != nil || i < 0 || i >= len(o.farm.Fields) {
			return nil, "", document.Problem{Thing: "field", Value: given, Remedy: "the farm has no such field; open the page again"}
		}
		to := &o.farm.Fields[i]
		if text, err = document.Set(text, at, "field", document.Quote(to.Name)); err == nil && sowing.Area > to.Area {
			text, err = document.Unset(text, at, "part")
		}
		if note := say("season.did_field", name, to.Name); err != nil || r.FormValue("weeks") == "0" {
			return text, note, err
		}
	}
	weeks, err := strconv.Atoi(r.FormValue("weeks"))
	if err != nil || weeks < -60 || weeks > 60 {
		return nil, "", document.Problem{Thing: "weeks", Value: r.FormValue("weeks"), Remedy: "write a number of weeks"}
	}
	// Where the soil decides, a move fixes the day: later than it would have been.
	p, err := o.desk.Plan(r.Context(), o.source)
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
func (s *Server) parted(r *http.Request, o *opened, k int, sowing *farm.Sowing, name string) ([]byte, string, error) {
	at := document.Place{List: "sowing", Index: k}
	field := &o.farm.Fields[sowing.Field]
	tenths, err := strconv.Atoi(r.FormValue("tenths"))
	if err != nil {
		return nil, "", document.Problem{Thing: "part", Value: r.FormValue("tenths"), Remedy: "write tenths of the field, 1 to 10"}
	}
	if r.FormValue("by") != "" { // more or less than now
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
	p, err := o.desk.Plan(r.Context(), o.source)
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
	body := sowingPage{K: -1, Values: map[string]string{}, Wrong: map[string]string{}}
	at := document.Place{List: "sowing", Index: document.Count(doc, "sowing") - 1}
	if k, _, known := sowingOf(o, r.FormValue("sowing")); known == nil && r.FormValue("do") == "save" {
		body.K, at.Index = k, k
		_, crop := r.Form["crop"]
		body.Mix = !crop
	}
	var in inputs
	for _, key := range sowingKeys {
		body.Values[key] = strings.TrimSpace(r.FormValue(key))
		in = append(in, &input{Key: key, at: at})
	}
	body.Rest = judge(doc, problemsOf(err), in)
	for _, i := range in {
		body.Wrong[i.Key] = i.Wrong
	}
	// In a side sheet the form stays where it is.
	w.Header().Set("HX-Retarget", "#sheet-body")
	s.showSowing(w, r, http.StatusUnprocessableEntity, o, body)
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
func (s *Server) written(r *http.Request, o *opened) ([]byte, string, error) {
	value := func(key string) string { return strings.TrimSpace(r.FormValue(key)) }
	if r.FormValue("do") == "add" {
		var pairs []document.Pair
		for _, key := range sowingKeys {
			if v := value(key); v != "" {
				pairs = append(pairs, document.Pair{Key: key, Value: document.Quote(v)})
			}
		}
		text, err := document.Append(o.version.Text, "sowing", pairs...)
		return text, s.pages.texts.say("season.did_add", value("field"), value("crop")), err
	}
	k, sowing, err := sowingOf(o, r.FormValue("sowing"))
	if err != nil {
		return nil, "", err
	}
	at := document.Place{List: "sowing", Index: k}
	text := o.version.Text
	for _, key := range sowingKeys {
		if _, asked := r.Form[key]; !asked {
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
