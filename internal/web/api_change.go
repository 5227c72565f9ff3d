package web

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"rowen/internal/document"
	"rowen/internal/office"
)

// apiFrom is what every change of a document begins with.
type apiFrom struct {
	Base int    `json:"base" jsonschema:"number of the version that the change was thought out on; 409 where another was saved since"`
	Who  string `json:"who,omitempty" jsonschema:"who changes it"`
}

// apiChange is what a change of a document came to.
type apiChange struct {
	Version int      `json:"version" jsonschema:"number of the document in force"`
	Note    string   `json:"note" jsonschema:"what was done, in words"`
	Before  *apiGaps `json:"before" jsonschema:"gaps before the change; null where no plan could be made"`
	After   *apiGaps `json:"after" jsonschema:"gaps after it"`
}

// apiGaps are what the animals lack in the three years that a plan shows, dry matter.
type apiGaps struct {
	Middle float64 `json:"middle_kg"`
	Bad    float64 `json:"bad_kg"`
	Worst  float64 `json:"worst_kg"`
}

// gapsOf are a farm's gaps as its document stands; nil where no plan can be made.
func gapsOf(ctx context.Context, o *opened) *apiGaps {
	p, err := o.desk.Plan(ctx, o.source)
	if err != nil {
		return nil
	}
	return &apiGaps{p.Plan.Middle.Gap, p.Plan.Bad.Gap, p.Plan.Worst.Gap}
}

// soundAt opens a farm for whoever began with a version of its document. A version that is
// no longer in force is a conflict before anything is done: places in the document may
// mean other things now.
func (s *Server) soundAt(r *http.Request, base int) (*opened, error) {
	o, err := s.open(r)
	if err != nil {
		return nil, err
	}
	now := o.version
	if err := savedBase(base, now.Number); err != nil {
		return nil, err
	}
	if base != now.Number {
		began, err := s.book.Version(r.Context(), now.Farm, base)
		if err != nil {
			return nil, err
		}
		return nil, &office.Conflict{Base: began, Theirs: now}
	}
	return o, o.wrong
}

// savedBase tells whether a version was ever saved.
func savedBase(base, latest int) error {
	if base < 1 || base > latest {
		return document.Problem{File: "body", Thing: "base", Value: strconv.Itoa(base), Remedy: "write the number of the version that you read, from 1 to " + strconv.Itoa(latest)}
	}
	return nil
}

// plainNote refuses a note that would be taken for an undo or a redo: by its note alone a
// version is known for one.
func plainNote(note string) error {
	for _, own := range []string{undoNote, redoNote} {
		if strings.HasPrefix(note, own) {
			return document.Problem{File: "body", Thing: "note", Value: note, Remedy: "an undo and a redo are marked so; begin it otherwise"}
		}
	}
	return nil
}

// change makes the next version of a farm's document, and tells what it does to the gaps.
func (s *Server) change(r *http.Request, from apiFrom, how func(*opened) (text []byte, note string, err error)) (apiChange, error) {
	o, err := s.soundAt(r, from.Base)
	if err != nil {
		return apiChange{}, err
	}
	text, note, err := how(o)
	if err != nil {
		return apiChange{}, err
	}
	before := gapsOf(r.Context(), o)
	if err := s.keepFrom(r.Context(), o, from.Base, text, from.Who, note); err != nil {
		return apiChange{}, err
	}
	return apiChange{o.version.Number, note, before, gapsOf(r.Context(), o)}, nil
}
