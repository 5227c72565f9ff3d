package web

import (
	"net/http"
	"strconv"
	"strings"

	"rowen/herd"
	"rowen/internal/document"
	"rowen/internal/report"
)

// animalsPage is the groups through the year, as forms over the document.
type animalsPage struct {
	Base    int
	Other   *otherPage
	Groups  []groupForm
	Classes []string
	Demand  *report.Demand
	Wrong   []document.Problem
}

type groupForm struct {
	Index   int
	Inputs  inputs
	Periods []periodForm
}

type periodForm struct {
	Index  int // among all periods of the document
	Inputs inputs
}

var (
	groupSpecs  = []spec{{"name", text}, {"class", text}, {"grazes", truth}}
	periodSpecs = []spec{{"from", text}, {"head", number}, {"weight", text}, {"milk", text}, {"fat", text}, {"protein", text}, {"gain", text}, {"gestation", number}, {"grain", text}}
)

func animalsForm(o *opened) (*animalsPage, error) {
	doc := o.version.Text
	body := &animalsPage{Base: o.version.Number}
	for c := herd.Class(0); c < herd.Classes; c++ {
		body.Classes = append(body.Classes, c.String())
	}
	groups, err := forms(doc, "group", "g", groupSpecs)
	if err != nil {
		return nil, err
	}
	periods, err := forms(doc, "group.period", "p", periodSpecs)
	if err != nil {
		return nil, err
	}
	n := 0
	for g := range min(len(groups), len(o.farm.Groups)) {
		if grazes := groups[g].By("grazes"); grazes.Value == "" {
			grazes.Value = "true"
		}
		f := groupForm{Index: g, Inputs: groups[g]}
		for range o.farm.Groups[g].Periods {
			f.Periods = append(f.Periods, periodForm{n, periods[n]})
			n++
		}
		body.Groups = append(body.Groups, f)
	}
	return body, nil
}

func (p *animalsPage) inputs() (out []inputs) {
	for _, g := range p.Groups {
		out = append(out, g.Inputs)
		for _, x := range g.Periods {
			out = append(out, x.Inputs)
		}
	}
	return out
}

func (s *Server) animals(w http.ResponseWriter, r *http.Request) {
	o, body := begun(s, w, r, animalsForm)
	if o == nil {
		return
	}
	var err error
	if body.Demand, err = made(o.desk.Demand(r.Context(), o.source)); err != nil {
		s.fail(w, r, err)
		return
	}
	s.showAnimals(w, r, http.StatusOK, o, body)
}

func (s *Server) showAnimals(w http.ResponseWriter, r *http.Request, status int, o *opened, body *animalsPage) {
	s.show(w, r, status, "animals.html", page{Title: s.pages.texts.say("animals.title"), Farm: o.head(), Tab: "animals", Body: body})
}

// saveAnimals keeps what the form says, or does what a button asks; "look" keeps nothing
// and shows the need that would follow.
func (s *Server) saveAnimals(w http.ResponseWriter, r *http.Request) {
	o, body := begun(s, w, r, animalsForm)
	if o == nil {
		return
	}
	doc, err := apply(o.version.Text, r, body.inputs()...)
	look := r.FormValue("do") == "look"
	if err == nil && !look {
		doc, err = s.grown(doc, r.FormValue("do"))
	}
	if err == nil && !look {
		err = s.keep(r, o, doc, s.pages.texts.say("animals.note"))
	}
	if err == nil && !look {
		http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
		return
	}
	if err == nil {
		next := *o.source
		next.Text = doc
		body.Demand, err = o.desk.Demand(r.Context(), &next)
	}
	status := http.StatusOK
	if err != nil {
		status = refusal(err)
		body.Other = s.other(err, body.inputs()...)
		body.Wrong = judge(doc, restOf(err), body.inputs()...)
	}
	if look {
		s.showPart(w, r, http.StatusOK, "animals.html", "demand", page{Farm: o.head(), Body: body})
		return
	}
	body.Demand, _ = o.desk.Demand(r.Context(), o.source)
	s.showAnimals(w, r, status, o, body)
}

// grown adds or takes out a table as a button asks: "period 1" adds one to the second
// group, "drop-period 3", "group", "drop-group 0".
func (s *Server) grown(doc []byte, do string) ([]byte, error) {
	what, which, _ := strings.Cut(do, " ")
	list := map[string]string{"period": "group", "drop-period": "group.period", "drop-group": "group"}[what]
	n, ok := numbered(which, document.Count(doc, list))
	if list != "" && !ok {
		return doc, document.Problem{Thing: list, Value: which, Remedy: s.pages.texts.say("animals.no_such")}
	}
	switch what {
	case "period":
		return document.AppendIn(doc, document.Place{List: "group", Index: n}, "group.period", document.Pair{Key: "from", Value: `"1 Apr"`}, document.Pair{Key: "head", Value: "1"}, document.Pair{Key: "weight", Value: `"1,200 lb"`})
	case "drop-period":
		return document.Delete(doc, document.Place{List: "group.period", Index: n})
	case "group":
		doc, err := document.Append(doc, "group", document.Pair{Key: "name", Value: document.Quote("Group " + strconv.Itoa(document.Count(doc, "group")+1))}, document.Pair{Key: "class", Value: document.Quote(herd.DairyHeifer.String())})
		if err != nil {
			return nil, err
		}
		return document.AppendIn(doc, document.Place{List: "group", Index: document.Count(doc, "group") - 1}, "group.period", document.Pair{Key: "from", Value: `"1 Nov"`}, document.Pair{Key: "head", Value: "10"}, document.Pair{Key: "weight", Value: `"800 lb"`})
	case "drop-group":
		return document.Delete(doc, document.Place{List: "group", Index: n})
	}
	return doc, nil
}
