package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowen/internal/document"
	"rowen/internal/report"
)

// documentLists are the lists of tables that a farm's document may have.
var documentLists = []string{"field", "field.past", "group", "group.period", "store", "stock", "manure", "machine", "sowing", "sowing.mix"}

// apiValues are the values of a document, as the pages' forms show them.
type apiValues struct {
	Version int        `json:"version"`
	Tables  []apiTable `json:"tables"`
}

// apiTable is one table of a document.
type apiTable struct {
	List   string            `json:"list" jsonschema:"such as field or group.period; empty: the document's own keys"`
	Index  int               `json:"index" jsonschema:"counted from 0 through the whole document"`
	In     *int              `json:"in,omitempty" jsonschema:"of a list such as group.period: the index of the group that the table belongs to"`
	Values map[string]string `json:"values" jsonschema:"texts and numbers by key; a key of a table within is soil.pH"`
}

func (s *Server) apiValues(r *http.Request, _ nothing) (apiValues, error) {
	o, err := s.soundFarm(r)
	if err != nil {
		return apiValues{}, err
	}
	doc := o.version.Text
	own, err := document.Values(doc, document.Place{})
	if err != nil {
		return apiValues{}, err
	}
	out := apiValues{Version: o.version.Number, Tables: []apiTable{{Values: own}}}
	for _, list := range documentLists {
		all, err := document.ValuesOf(doc, list)
		if err != nil {
			return apiValues{}, err
		}
		above, err := document.Above(doc, list)
		if err != nil {
			return apiValues{}, err
		}
		for i, values := range all {
			t := apiTable{List: list, Index: i, Values: values}
			if strings.Contains(list, ".") {
				t.In = &above[i]
			}
			out.Tables = append(out.Tables, t)
		}
	}
	return out, nil
}

// apiValue is a text, a number or a truth as a program gives it and a document writes it.
type apiValue struct {
	given bool
	toml  string // empty: null
}

// UnmarshalJSON reads a value; null takes a key out of its table.
func (v *apiValue) UnmarshalJSON(text []byte) error {
	var x any
	if err := json.Unmarshal(text, &x); err != nil {
		return err
	}
	v.given = true
	switch x := x.(type) {
	case nil:
		v.toml = ""
	case string:
		v.toml = document.Quote(x)
	case float64:
		v.toml = document.WriteNumber(x)
	case bool:
		v.toml = strconv.FormatBool(x)
	default:
		return document.Problem{File: "body", Thing: "value", Value: string(bytes.TrimSpace(text)), Remedy: "write a text, a number, true or false; null takes the key out"}
	}
	return nil
}

// apiStep is one step of a change: a value set, a table added or taken out.
type apiStep struct {
	Do     string              `json:"do" jsonschema:"set, add or drop"`
	List   string              `json:"list,omitempty" jsonschema:"such as field or group.period; empty: the document's own keys"`
	Index  *int                `json:"index,omitempty" jsonschema:"of set and drop: the table, counted from 0 through the whole document as the steps before have left it"`
	In     *int                `json:"in,omitempty" jsonschema:"of add to a list such as group.period: the index of the group"`
	Key    string              `json:"key,omitempty" jsonschema:"of set: such as area or soil.pH"`
	Value  apiValue            `json:"value,omitzero" jsonschema:"of set: a text with its unit, a number, true or false; null takes the key out"`
	Values map[string]apiValue `json:"values,omitempty" jsonschema:"of add: the table's values by key"`
}

// stepsTaken is a document after every step, in order; a step's problems name it.
func stepsTaken(doc []byte, steps []apiStep) ([]byte, error) {
	if len(steps) == 0 {
		return nil, document.Problem{File: "body", Thing: "changes", Remedy: "write one change at least"}
	}
	for i := range steps {
		var err error
		if doc, err = steps[i].take(doc); err != nil {
			problems := problemsOf(err)
			for k := range problems {
				problems[k].File = "body"
				problems[k].Thing = fmt.Sprintf("changes[%d].%s", i, problems[k].Thing)
			}
			return nil, document.Problems(problems)
		}
	}
	return doc, nil
}

func (x *apiStep) take(doc []byte) ([]byte, error) {
	if x.List != "" && !slices.Contains(documentLists, x.List) {
		return nil, document.Problem{Thing: "list", Value: x.List, Remedy: "write one of " + strings.Join(documentLists, ", ")}
	}
	switch x.Do {
	case "set":
		return x.set(doc)
	case "add":
		return x.add(doc)
	case "drop":
		at, err := x.at(doc)
		if err == nil && x.List == "" {
			err = document.Problem{Thing: "list", Remedy: "write the list that the table stands in"}
		}
		if err != nil {
			return nil, err
		}
		return document.Delete(doc, at)
	}
	return nil, document.Problem{Thing: "do", Value: x.Do, Remedy: "write set, add or drop"}
}

// at is the table that a step speaks of.
func (x *apiStep) at(doc []byte) (document.Place, error) {
	if x.List == "" {
		return document.Place{}, nil
	}
	if n := document.Count(doc, x.List); x.Index == nil || *x.Index < 0 || *x.Index >= n {
		return document.Place{}, document.Problem{Thing: "index", Value: indexText(x.Index), Remedy: fmt.Sprintf("the document has %d of %s; write the number of one, from 0", n, x.List)}
	}
	return document.Place{List: x.List, Index: *x.Index}, nil
}

// indexText is a table's number that may be missing.
func indexText(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

func (x *apiStep) set(doc []byte) ([]byte, error) {
	at, err := x.at(doc)
	switch {
	case err != nil:
		return nil, err
	case x.Key == "":
		return nil, document.Problem{Thing: "key", Remedy: "write which value is set"}
	case !x.Value.given:
		return nil, document.Problem{Thing: "value", Remedy: "write the value; null takes the key out"}
	case x.Value.toml == "":
		return document.Unset(doc, at, x.Key)
	}
	return document.Set(doc, at, x.Key, x.Value.toml)
}

func (x *apiStep) add(doc []byte) ([]byte, error) {
	var pairs []document.Pair
	for key, v := range x.Values {
		if v.toml == "" || key == "" || strings.Contains(key, ".") {
			return nil, document.Problem{Thing: "values", Value: key, Remedy: "a new table takes plain keys with values; set others, such as soil.pH, in a change that follows"}
		}
		pairs = append(pairs, document.Pair{Key: key, Value: v.toml})
	}
	slices.SortFunc(pairs, func(a, b document.Pair) int {
		if (a.Key == "name") != (b.Key == "name") { // a table's name stands first
			return map[bool]int{true: -1, false: 1}[a.Key == "name"]
		}
		return strings.Compare(a.Key, b.Key)
	})
	above, _, within := strings.Cut(x.List, ".")
	switch {
	case x.List == "":
		return nil, document.Problem{Thing: "list", Remedy: "write the list that the table is added to"}
	case !within && x.In != nil:
		return nil, document.Problem{Thing: "in", Value: indexText(x.In), Remedy: x.List + " stands in the document itself; leave it out"}
	case !within:
		return document.Append(doc, x.List, pairs...)
	}
	if n := document.Count(doc, above); x.In == nil || *x.In < 0 || *x.In >= n {
		return nil, document.Problem{Thing: "in", Value: indexText(x.In), Remedy: fmt.Sprintf("the document has %d of %s; write the number of one, from 0", n, above)}
	}
	return document.AppendIn(doc, document.Place{List: above, Index: *x.In}, x.List, pairs...)
}

// apiSteps are changes that are kept together or not at all.
type apiSteps struct {
	apiFrom
	Note    string    `json:"note,omitempty" jsonschema:"what was done, in words"`
	Changes []apiStep `json:"changes"`
}

func (s *Server) apiSteps(r *http.Request, in apiSteps) (apiChange, error) {
	return s.change(r, in.apiFrom, func(o *opened) ([]byte, string, error) {
		text, err := stepsTaken(o.version.Text, in.Changes)
		if err == nil {
			err = plainNote(in.Note)
		}
		note := in.Note
		if note == "" {
			note = s.pages.texts.say("document.changed")
		}
		return text, note, err
	})
}

// apiLooked are changes that are looked at and not kept.
type apiLooked struct {
	Base    int       `json:"base" jsonschema:"number of the version that the changes were thought out on; 409 where another was saved since"`
	Changes []apiStep `json:"changes"`
}

// apiLookDemand is what the animals would need after changes that nobody has kept.
func (s *Server) apiLookDemand(r *http.Request, in apiLooked) (*report.Demand, error) {
	o, err := s.soundAt(r, in.Base)
	if err != nil {
		return nil, err
	}
	next := *o.source
	if next.Text, err = stepsTaken(o.version.Text, in.Changes); err != nil {
		return nil, err
	}
	return o.desk.Demand(r.Context(), &next)
}
