package web

import (
	"net/http"
	"slices"
	"strings"

	"rowen/internal/document"
)

// apiAssumptions is everything that nobody has said of a farm yet.
type apiAssumptions struct {
	Version int             `json:"version"`
	Lines   []apiAssumption `json:"lines"`
}

// apiAssumption is one value that was assumed.
type apiAssumption struct {
	Line   string `json:"line" jsonschema:"names it when it is put right"`
	Thing  string `json:"thing" jsonschema:"such as the field; empty for the farm itself"`
	Key    string `json:"key"`
	Name   string `json:"name" jsonschema:"the key in words"`
	Value  string `json:"value"`
	Why    string `json:"why"`
	Single bool   `json:"single" jsonschema:"one value, that can be put right by itself; else it is written in the document"`
}

func (s *Server) apiAssumed(r *http.Request, _ nothing) (apiAssumptions, error) {
	o, err := s.soundFarm(r)
	if err != nil {
		return apiAssumptions{}, err
	}
	body, err := s.assumedOf(o)
	if err != nil {
		return apiAssumptions{}, err
	}
	return apiAssumptions{body.Base, each(body.Lines, func(l assumedLine) apiAssumption {
		return apiAssumption{l.ID(), l.Thing, l.Key, l.Name, l.Value, l.Why, l.Form == ""}
	})}, nil
}

// apiRight puts an assumed value right.
type apiRight struct {
	apiFrom
	Line  string `json:"line"`
	Value string `json:"value" jsonschema:"as it is known; the assumed value where that was right"`
}

func (s *Server) apiPutRight(r *http.Request, in apiRight) (apiChange, error) {
	return s.change(r, in.apiFrom, func(o *opened) ([]byte, string, error) {
		body, err := s.assumedOf(o)
		if err != nil {
			return nil, "", err
		}
		i := slices.IndexFunc(body.Lines, func(l assumedLine) bool { return l.ID() == in.Line && l.Form == "" })
		if i < 0 {
			return nil, "", document.Problem{File: "body", Thing: "line", Value: in.Line, Remedy: "no single value of this name is assumed; ask for the list again"}
		}
		body.Lines[i].Typed = strings.TrimSpace(in.Value)
		return s.righted(o, &body.Lines[i])
	})
}
