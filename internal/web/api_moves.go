package web

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"rowen/internal/document"
)

// apiMove is one change of the season's plan, as a drag, a key or a button of the page
// makes it.
type apiMove struct {
	apiFrom
	Do     string            `json:"do" jsonschema:"shift, part, soil, remove, add, save, undo or redo"`
	Sowing *int              `json:"sowing,omitempty" jsonschema:"of shift, part, soil, remove and save: the sowing's index in the document, from 0"`
	Weeks  *int              `json:"weeks,omitempty" jsonschema:"of shift: later by so many weeks, -60 to 60; the day is then fixed"`
	Field  *int              `json:"field,omitempty" jsonschema:"of shift: the index of the field that it moves to"`
	Tenths *int              `json:"tenths,omitempty" jsonschema:"of part: how much of the field, 1 to 10 tenths"`
	Values map[string]string `json:"values,omitempty" jsonschema:"of add and save: field, crop, use, then, on, from, by, part, rate; an empty text takes one out"`
}

// move is what a change of the plan takes.
type move struct{ wants, may []string }

// moves are the changes of the plan. Soil lets the soil's warmth and water decide the day.
var moves = map[string]move{
	"shift":  {wants: []string{"sowing"}, may: []string{"weeks", "field"}},
	"part":   {wants: []string{"sowing", "tenths"}},
	"soil":   {wants: []string{"sowing"}},
	"remove": {wants: []string{"sowing"}},
	"add":    {wants: []string{"values"}},
	"save":   {wants: []string{"sowing", "values"}},
	"undo":   {},
	"redo":   {},
}

// form is a move as the page's form says it, once every member is one that the move takes.
func (m *apiMove) form() (url.Values, error) {
	known, ok := moves[m.Do]
	if !ok {
		return nil, document.Problem{File: "body", Thing: "do", Value: m.Do, Remedy: "write one of " + strings.Join(slices.Sorted(maps.Keys(moves)), ", ")}
	}
	form := url.Values{"do": {m.Do}}
	for name, n := range map[string]*int{"sowing": m.Sowing, "weeks": m.Weeks, "field": m.Field, "tenths": m.Tenths} {
		if n != nil {
			form.Set(name, strconv.Itoa(*n))
		}
	}
	if m.Values != nil {
		form.Set("values", "")
	}
	var problems document.Problems
	refuse := func(thing, value, advice string) {
		problems = append(problems, document.Problem{File: "body", Thing: thing, Value: value, Remedy: advice})
	}
	for _, name := range []string{"sowing", "weeks", "field", "tenths", "values"} {
		switch wanted := slices.Contains(known.wants, name); {
		case wanted && !form.Has(name):
			refuse(name, "", m.Do+" wants it")
		case !wanted && form.Has(name) && !slices.Contains(known.may, name):
			refuse(name, form.Get(name), m.Do+" does not take it; leave it out")
		}
	}
	switch {
	case m.Do == "shift" && m.Weeks == nil && m.Field == nil:
		refuse("weeks", "", "shift wants weeks, a field, or both")
	case m.Do == "shift" && m.Weeks == nil:
		form.Set("weeks", "0")
	case m.Weeks != nil && (*m.Weeks < -60 || *m.Weeks > 60):
		refuse("weeks", form.Get("weeks"), "write a number of weeks, -60 to 60")
	}
	if m.Tenths != nil && (*m.Tenths < 1 || *m.Tenths > 10) {
		refuse("tenths", form.Get("tenths"), "write tenths of the field, 1 to 10")
	}
	form.Del("values")
	for _, key := range slices.Sorted(maps.Keys(m.Values)) {
		if !slices.Contains(sowingKeys, key) {
			refuse("values."+key, m.Values[key], "write one of "+strings.Join(sowingKeys, ", "))
			continue
		}
		form.Set(key, m.Values[key])
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return form, nil
}

func (s *Server) apiMove(r *http.Request, in apiMove) (apiChange, error) {
	return s.change(r, in.apiFrom, func(o *opened) ([]byte, string, error) {
		form, err := in.form()
		if err != nil {
			return nil, "", err
		}
		return s.changed(r.Context(), o, form)
	})
}
