package web

import (
	"context"
	"html/template"
	"math"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"rowen/internal/crew"
	"rowen/internal/desk"
	"rowen/internal/document"
	"rowen/internal/report"
	"rowen/say"
	"rowen/suggest"
)

// searches are the searches for plans of an office: one runs at a time, since each takes
// the whole machine, and the latest of each farm is kept.
type searches struct {
	mu    sync.Mutex
	of    map[int64]*lookout
	alone chan struct{} // held by the search that runs
}

// lookout is one farm's search.
type lookout struct {
	Version int // of the document that it is for
	Since   time.Time
	stop    context.CancelFunc
	done    chan struct{}

	mu    sync.Mutex
	began bool
	said  say.Line
	found *desk.Suggested
	err   error
}

// asked is what a person asks for when looking for plans.
type asked struct {
	Risk  float64  `json:"risk" jsonschema:"weight of the bad years, from 0 to 1"`
	Plans int      `json:"plans" jsonschema:"how many plans"`
	Hold  []string `json:"hold" jsonschema:"what fields carry: North Six=teff, or North Six=as it is"`
	Avoid []string `json:"avoid" jsonschema:"crops never to be sown"`
	Brief bool     `json:"brief" jsonschema:"leave out what-ifs and the years that were not chosen on"`
}

const (
	usualRisk  = 0.3
	usualPlans = 4
	mostPlans  = 8
)

// check looks at what was asked before a search begins.
func (a *asked) check() error {
	var problems document.Problems
	if math.IsNaN(a.Risk) || a.Risk < 0 || a.Risk > 1 {
		problems = append(problems, document.Problem{Thing: "risk", Value: strconv.FormatFloat(a.Risk, 'g', -1, 64), Remedy: "write a weight from 0 to 1"})
	}
	if a.Plans < 1 || a.Plans > mostPlans {
		problems = append(problems, document.Problem{Thing: "plans", Value: strconv.Itoa(a.Plans), Remedy: "write how many plans, from 1 to " + strconv.Itoa(mostPlans)})
	}
	if len(problems) > 0 {
		return problems
	}
	return nil
}

// look begins a search for a farm; one that runs for it is stopped.
func (l *searches) look(o *opened, a asked) *lookout {
	ctx, cancel := context.WithCancel(context.Background())
	x := &lookout{Version: o.version.Number, Since: time.Now(), stop: cancel, done: make(chan struct{})}
	l.mu.Lock()
	if l.of == nil {
		l.of, l.alone = map[int64]*lookout{}, make(chan struct{}, 1)
	}
	if old := l.of[o.version.Farm]; old != nil {
		old.stop()
	}
	l.of[o.version.Farm] = x
	l.mu.Unlock()
	go func() {
		defer close(x.done)
		defer cancel()
		select {
		case l.alone <- struct{}{}:
			defer func() { <-l.alone }()
		case <-ctx.Done():
			x.end(nil, ctx.Err())
			return
		}
		x.tell(nil)
		var found *desk.Suggested
		err := crew.Safely(func() (err error) { // nobody above this catches a defect
			found, err = o.desk.Suggest(ctx, o.source, desk.SuggestRequest{
				Risk: a.Risk, Plans: a.Plans, Hold: a.Hold, Avoid: a.Avoid, Brief: a.Brief, WhatIf: whatIfs(a.Brief),
				Steps: func(p suggest.Progress) { x.tell(p.Text) },
			})
			return err
		})
		x.end(found, err)
	}()
	return x
}

func whatIfs(brief bool) []string {
	if brief {
		return nil
	}
	return desk.UsualWhatIfs
}

func (l *searches) find(farm int64) *lookout {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.of[farm]
}

func (x *lookout) tell(text say.Line) {
	x.mu.Lock()
	defer x.mu.Unlock()
	x.began = true
	if len(text) > 0 {
		x.said = text
	}
}

func (x *lookout) end(found *desk.Suggested, err error) {
	x.mu.Lock()
	defer x.mu.Unlock()
	x.found, x.err = found, err
}

// state is a search as it stands.
func (x *lookout) state() (began, done bool, said say.Line, found *desk.Suggested, err error) {
	select {
	case <-x.done:
		done = true
	default:
	}
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.began, done, x.said, x.found, x.err
}

// plansPage is what was found, or how far the search is.
type plansPage struct {
	Running bool
	Waits   bool
	Seconds int
	Step    say.Line
	Found   *report.Suggestion
	Trade   template.HTML
	Gaps    template.HTML
	Asked   askedForm
	Base    int
	Made    int // the version that the plans were made for
	Wrong   []document.Problem
}

// askedForm is the form as it was typed.
type askedForm struct{ Risk, Plans, Hold, Avoid string }

func (s *Server) plans(w http.ResponseWriter, r *http.Request) {
	if o := s.must(w, r); o != nil {
		s.showPlans(w, r, http.StatusOK, o, askedForm{Risk: "0.3", Plans: "4"}, nil)
	}
}

func (s *Server) showPlans(w http.ResponseWriter, r *http.Request, status int, o *opened, form askedForm, wrong []document.Problem) {
	body := plansPage{Base: o.version.Number, Asked: form, Wrong: wrong}
	if x := s.looking.find(o.version.Farm); x != nil {
		began, done, said, found, err := x.state()
		body.Running, body.Waits, body.Step, body.Made = !done, !began, said, x.Version
		body.Seconds = int(time.Since(x.Since).Seconds())
		if done && err != nil && len(wrong) == 0 {
			body.Wrong = problemsOf(err)
		}
		if found != nil {
			u := unitsOf(s.person(r))
			body.Found, body.Trade, body.Gaps = found.Page, report.TradeChart(found.Page, u), report.GapChart(found.Page, u)
		}
	}
	part := "layout"
	if fragment(r) {
		part = "plans"
	}
	s.showPart(w, r, status, "plans.html", part, page{Title: s.pages.texts.say("plans.title"), Farm: o.head(), Tab: "season", Body: body})
}

// changePlans begins a search, stops it, or takes a plan.
func (s *Server) changePlans(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	form := askedForm{Risk: r.FormValue("risk"), Plans: r.FormValue("plans"), Hold: r.FormValue("hold"), Avoid: r.FormValue("avoid")}
	var err error
	next := r.URL.Path
	switch do := r.FormValue("do"); do {
	case "look":
		var a asked
		if a, err = form.read(); err == nil {
			s.looking.look(o, a)
		}
	case "stop":
		if x := s.looking.find(o.version.Farm); x != nil {
			x.stop()
		}
	case "take":
		n, _ := strconv.Atoi(r.FormValue("plan"))
		if err = s.takePlan(r, o, n); err == nil {
			next = "/farms/" + r.PathValue("id") + "/season"
		}
	default:
		err = document.Problem{Thing: "do", Value: do, Remedy: "open the page again"}
	}
	if err != nil {
		s.showPlans(w, r, http.StatusUnprocessableEntity, o, form, problemsOf(err))
		return
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
}

// read reads the form as it was typed, every problem at once.
func (f askedForm) read() (asked, error) {
	var problems document.Problems
	a := asked{Risk: usualRisk, Plans: usualPlans}
	var err error
	if t := strings.TrimSpace(f.Risk); t != "" {
		if a.Risk, err = strconv.ParseFloat(t, 64); err != nil {
			problems = append(problems, document.Problem{Thing: "risk", Value: f.Risk, Remedy: "write a weight from 0 to 1, such as 0.3"})
			a.Risk = usualRisk
		}
	}
	if t := strings.TrimSpace(f.Plans); t != "" {
		if a.Plans, err = strconv.Atoi(t); err != nil {
			problems = append(problems, document.Problem{Thing: "plans", Value: f.Plans, Remedy: "write a number, such as 4"})
			a.Plans = usualPlans
		}
	}
	for _, line := range strings.Split(f.Hold, "\n") {
		if t := strings.TrimSpace(line); t != "" {
			a.Hold = append(a.Hold, t)
		}
	}
	for _, name := range strings.FieldsFunc(f.Avoid, func(r rune) bool { return r == ',' || r == '\n' }) {
		if t := strings.TrimSpace(name); t != "" {
			a.Avoid = append(a.Avoid, t)
		}
	}
	if bad := a.check(); bad != nil {
		problems = append(problems, problemsOf(bad)...)
	}
	if len(problems) > 0 {
		return a, problems
	}
	return a, nil
}

// takePlan makes a suggested plan the farm's: the next version of the document that it was
// made for.
func (s *Server) takePlan(r *http.Request, o *opened, n int) error {
	x := s.looking.find(o.version.Farm)
	if x == nil {
		return document.Problem{Thing: "plan", Value: strconv.Itoa(n), Remedy: "no plans were looked for; look for them first"}
	}
	_, _, _, found, err := x.state()
	switch {
	case err != nil:
		return err
	case found == nil:
		return document.Problem{Thing: "plan", Value: strconv.Itoa(n), Remedy: "the search still runs; wait for it, or stop it"}
	case x.Version != o.version.Number:
		return document.Problem{Thing: "plan", Value: strconv.Itoa(n), Remedy: "the document has changed since the plans were made; look again"}
	}
	text, err := found.Document(n)
	if err != nil {
		return document.Problem{Thing: "plan", Value: strconv.Itoa(n), Remedy: err.Error()}
	}
	return s.keep(r, o, text, s.pages.texts.say("plans.taken", strconv.Itoa(n)))
}
