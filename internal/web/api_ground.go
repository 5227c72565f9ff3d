package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"

	"rowen/farm"
	"rowen/internal/document"
)

// apiDrawn is a field's outline as it is drawn on the map.
type apiDrawn struct {
	apiFrom
	Field    *int        `json:"field,omitempty" jsonschema:"the field's index in the document, from 0; left out, a new field is made"`
	Name     string      `json:"name,omitempty" jsonschema:"of a new field"`
	Ring     [][]float64 `json:"ring" jsonschema:"the corners in order: longitude and latitude in degrees"`
	KeepArea bool        `json:"keep_area,omitempty" jsonschema:"keep the area as it is written; else it is the outline's"`
}

func (s *Server) apiDraw(r *http.Request, in apiDrawn) (apiChange, error) {
	return s.change(r, in.apiFrom, func(o *opened) ([]byte, string, error) {
		at := document.Place{List: "field", Index: -1}
		if in.Field != nil {
			if at.Index = *in.Field; at.Index < 0 || at.Index >= len(o.farm.Fields) {
				return nil, "", document.Problem{File: "body", Thing: "field", Value: strconv.Itoa(at.Index), Remedy: fmt.Sprintf("the farm has %d fields; write the number of one, from 0, or leave it out for a new one", len(o.farm.Fields))}
			}
		}
		ring := make([][2]float64, len(in.Ring))
		for i, p := range in.Ring {
			if len(p) != 2 {
				return nil, "", document.Problem{File: "body", Thing: fmt.Sprintf("ring[%d]", i), Value: fmt.Sprint(p), Remedy: "write longitude and latitude"}
			}
			ring[i] = [2]float64(p)
		}
		text, err := s.outlined(o.version.Text, at, ring, in.Name, in.KeepArea)
		return text, s.pages.texts.say("ground.note"), err
	})
}

// apiShapes are outlines as maps carry them.
type apiShapes struct {
	apiFrom
	Shapes   json.RawMessage `json:"shapes" jsonschema:"GeoJSON (RFC 7946): polygons of fields by their names; others become new fields"`
	KeepArea bool            `json:"keep_area,omitempty" jsonschema:"keep areas as they are written; else they are the outlines'"`
}

// apiMapped is what a map came to.
type apiMapped struct {
	apiChange
	Left     []apiFault   `json:"left" jsonschema:"features that are no fields; the first of them, where there are many"`
	Overlaps []apiOverlap `json:"overlaps" jsonschema:"outlines of the map that lie over one another or over other fields; the first of them"`
}

// apiOverlap are two fields that share ground.
type apiOverlap struct {
	A    string  `json:"a"`
	B    string  `json:"b"`
	Area float64 `json:"area_m2"`
}

// apiBringShapes takes the fields of a map, as the page does: what is no field is left out
// and told; where nothing is one, nothing is changed.
func (s *Server) apiBringShapes(r *http.Request, in apiShapes) (apiMapped, error) {
	out := apiMapped{Left: []apiFault{}, Overlaps: []apiOverlap{}}
	if len(in.Shapes) > mostShapes {
		return out, &http.MaxBytesError{Limit: mostShapes}
	}
	shapes, left := farm.ReadShapes("shapes", in.Shapes)
	var err error
	var at *opened
	out.apiChange, err = s.change(r, in.apiFrom, func(o *opened) ([]byte, string, error) {
		if at = o; len(shapes) == 0 {
			return nil, "", document.Problems(firstFew(left))
		}
		text, err := withShapes(o.version.Text, o.farm, shapes, in.KeepArea)
		return text, s.pages.texts.say("ground.note_map", len(shapes)), err
	})
	if err != nil {
		return out, err
	}
	brought, err := lookedAt(r.Context(), at, shapes, left)
	if err == nil && brought != nil {
		out.Left = faults(brought.Left)
		out.Overlaps = each(brought.Overlaps, func(o overlapTold) apiOverlap { return apiOverlap(o) })
	}
	return out, err
}

// apiGetShapes gives the outlines away.
func (s *Server) apiGetShapes(w http.ResponseWriter, r *http.Request) {
	o, err := s.soundFarm(r)
	if err == nil {
		err = giveShapes(w, o)
	}
	if err != nil {
		s.apiFail(w, r, err)
	}
}
