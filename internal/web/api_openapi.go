package web

import (
	"encoding/json"
	"fmt"
	"reflect"
	"regexp"
	"strings"

	"github.com/google/jsonschema-go/jsonschema"

	"rowen/internal/desk"
	"rowen/say"
)

// The OpenAPI 3.1 document, made of the operations and of the types that go in and come
// out.
type (
	apiDocument struct {
		OpenAPI    string                             `json:"openapi"`
		Info       map[string]string                  `json:"info"`
		Servers    []map[string]string                `json:"servers"`
		Paths      map[string]map[string]apiOperation `json:"paths"`
		Components map[string]map[string]any          `json:"components"`
	}
	apiOperation struct {
		OperationID string                 `json:"operationId"`
		Summary     string                 `json:"summary"`
		Parameters  []apiParameter         `json:"parameters,omitempty"`
		RequestBody *apiBody               `json:"requestBody,omitempty"`
		Responses   map[string]apiResponse `json:"responses"`
	}
	apiParameter struct {
		Name        string         `json:"name"`
		In          string         `json:"in"`
		Required    bool           `json:"required"`
		Description string         `json:"description,omitempty"`
		Schema      map[string]any `json:"schema"`
	}
	apiBody struct {
		Description string               `json:"description,omitempty"`
		Required    bool                 `json:"required"`
		Content     map[string]apiSchema `json:"content"`
	}
	apiResponse struct {
		Description string               `json:"description"`
		Content     map[string]apiSchema `json:"content,omitempty"`
	}
	apiSchema struct {
		Schema any `json:"schema,omitempty"`
	}
)

var inBraces = regexp.MustCompile(`\{([a-z]+)\}`)

// openAPI writes the document.
func openAPI(all []operation) ([]byte, error) {
	d := apiDocument{
		OpenAPI: "3.1.0",
		Info:    map[string]string{"title": "Rowen", "version": desk.Version, "description": "What the pages do, for programs on the same machine. All problems are told at once."},
		Servers: []map[string]string{{"url": "/"}},
		Paths:   map[string]map[string]apiOperation{}, Components: map[string]map[string]any{"schemas": {}},
	}
	schemas := d.Components["schemas"]
	problem := content{kind: "application/problem+json", of: reflect.TypeFor[apiProblem]()}
	for _, o := range all {
		in, err := o.in.schema(schemas)
		if err != nil {
			return nil, err
		}
		out, err := o.out.schema(schemas)
		if err != nil {
			return nil, err
		}
		wrong, err := problem.schema(schemas)
		if err != nil {
			return nil, err
		}
		one := apiOperation{OperationID: operationID(o), Summary: o.summary, Responses: map[string]apiResponse{
			fmt.Sprint(o.status): {Description: o.summary, Content: out}, "default": {Description: "What is wrong, and what to do", Content: wrong},
		}}
		for _, m := range inBraces.FindAllStringSubmatch(o.path, -1) {
			kind := "string"
			if m[1] == "id" {
				kind = "integer"
			}
			one.Parameters = append(one.Parameters, apiParameter{Name: m[1], In: "path", Required: true, Schema: map[string]any{"type": kind}})
		}
		for _, q := range o.query {
			one.Parameters = append(one.Parameters, apiParameter{Name: q.name, In: "query", Description: q.about, Schema: map[string]any{"type": "string"}})
		}
		for _, q := range o.header {
			one.Parameters = append(one.Parameters, apiParameter{Name: q.name, In: "header", Description: q.about, Schema: map[string]any{"type": "string"}})
		}
		if in != nil {
			one.RequestBody = &apiBody{Description: o.in.like, Required: true, Content: in}
		}
		if d.Paths[o.path] == nil {
			d.Paths[o.path] = map[string]apiOperation{}
		}
		d.Paths[o.path][strings.ToLower(o.method)] = one
	}
	text, err := json.MarshalIndent(d, "", " ")
	return append(text, '\n'), err
}

// operationID names an operation by method and path: getFarmsToday.
func operationID(o operation) string {
	id := strings.ToLower(o.method)
	for _, part := range strings.Split(strings.TrimPrefix(o.path, "/api"), "/") {
		part = strings.Trim(part, "{}")
		if part == "id" || part == "" {
			if part == "id" {
				id += "One"
			}
			continue
		}
		id += strings.ToUpper(part[:1]) + part[1:]
	}
	return id
}

// schema describes content; the schema of a type is kept under its name.
func (c content) schema(schemas map[string]any) (map[string]apiSchema, error) {
	switch {
	case c.kind == "":
		return nil, nil
	case c.of == nil:
		return map[string]apiSchema{c.kind: {}}, nil // a text or file has no schema (OpenAPI 3.1, 4.8.14)
	case c.of.Kind() == reflect.Slice:
		one, err := content{kind: c.kind, of: c.of.Elem()}.schema(schemas)
		if err != nil {
			return nil, err
		}
		return map[string]apiSchema{c.kind: {map[string]any{"type": "array", "items": one[c.kind].Schema}}}, nil
	case c.of.Kind() == reflect.Pointer:
		c.of = c.of.Elem()
	}
	name := c.of.Name()
	name = strings.TrimPrefix(name, "api")
	name = strings.ToUpper(name[:1]) + name[1:]
	if schemas[name] == nil {
		made, err := jsonschema.ForType(c.of, &jsonschema.ForOptions{TypeSchemas: textual})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", c.of, err)
		}
		schemas[name] = made
	}
	return map[string]apiSchema{c.kind: {map[string]any{"$ref": "#/components/schemas/" + name}}}, nil
}

// textual are the types that JSON knows by what they are written as.
var textual = map[reflect.Type]*jsonschema.Schema{
	reflect.TypeFor[say.Line]():        {Type: "string"},
	reflect.TypeFor[apiValue]():        {Types: []string{"string", "number", "boolean", "null"}},
	reflect.TypeFor[json.RawMessage](): {Type: "object"},
}
