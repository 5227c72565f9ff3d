package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"reflect"
	"strconv"
	"strings"

	"rowen/internal/document"
)

// readJSON reads a body whole, and nothing besides what is known. What is wanted and not
// there is a problem, not a nothing that would be taken for an answer.
func readJSON(r *http.Request, into any) error {
	text, err := io.ReadAll(r.Body)
	if err != nil {
		return err
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err = d.Decode(into); err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("more follows the JSON object")
		}
	}
	if err != nil {
		return unread(err)
	}
	if problems := wanting(text, reflect.TypeOf(into).Elem(), ""); len(problems) > 0 {
		return problems
	}
	return nil
}

const seeOpenAPI = "; /api/openapi.json says what is wanted"

// unread names the member that could not be read, where there is one.
func unread(err error) error {
	var problem document.Problem
	if errors.As(err, &problem) {
		return problem
	}
	problem = document.Problem{File: "body", Thing: "JSON", Remedy: err.Error() + seeOpenAPI}
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) && kind.Field != "" {
		problem.Thing, problem.Value, problem.Remedy = kind.Field, kind.Value, "write another kind of value"+seeOpenAPI
	}
	if name, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		if name, err = strconv.Unquote(name); err == nil {
			problem.Thing, problem.Remedy = name, "nothing of this name is known here; take it out"+seeOpenAPI
		}
	}
	return problem
}

// wanting are the members that a type wants and a text does not have, each by its path:
// "changes[2].do".
func wanting(text json.RawMessage, t reflect.Type, at string) (problems document.Problems) {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	null := string(bytes.TrimSpace(text)) == "null"
	switch {
	case null || reflect.PointerTo(t).Implements(reflect.TypeFor[json.Unmarshaler]()):
	case t.Kind() == reflect.Slice:
		var items []json.RawMessage
		if json.Unmarshal(text, &items) != nil {
			return nil // it was read before
		}
		for i, item := range items {
			problems = append(problems, wanting(item, t.Elem(), fmt.Sprintf("%s[%d]", at, i))...)
		}
	case t.Kind() == reflect.Struct:
		var members map[string]json.RawMessage
		if json.Unmarshal(text, &members) != nil {
			return nil
		}
		for _, f := range reflect.VisibleFields(t) {
			if f.Anonymous {
				continue
			}
			name, how, _ := strings.Cut(f.Tag.Get("json"), ",")
			path := strings.TrimPrefix(at+"."+name, ".")
			value, there := members[name]
			switch {
			case there && (string(value) != "null" || maybeNull(f.Type)):
				problems = append(problems, wanting(value, f.Type, path)...)
			case !strings.HasPrefix(how, "omit"):
				problems = append(problems, document.Problem{File: "body", Thing: path, Remedy: "it is wanted" + seeOpenAPI})
			}
		}
	}
	return problems
}

// maybeNull tells whether null is a value of a type.
func maybeNull(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Map:
		return true
	}
	return reflect.PointerTo(t).Implements(reflect.TypeFor[json.Unmarshaler]())
}
