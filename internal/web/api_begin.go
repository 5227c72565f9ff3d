package web

import (
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"rowen/farm"
	"rowen/internal/desk"
	"rowen/internal/document"
	"rowen/quantity"
)

// apiEight begins a farm by eight numbers; all else is assumed, and said to be.
type apiEight struct {
	Name      string  `json:"name"`
	Organic   bool    `json:"organic"`
	Place     string  `json:"place" jsonschema:"latitude and longitude in degrees, such as 43.05, -74.48"`
	Animals   float64 `json:"animals" jsonschema:"how many"`
	Milk      string  `json:"milk" jsonschema:"of a dairy cow a day, such as 48 lb/d; else an animal's weight, such as 1,300 lb"`
	Sward     string  `json:"sward" jsonschema:"area of grass, such as 180 ac"`
	Cropland  string  `json:"cropland" jsonschema:"area that can be sown"`
	Stored    string  `json:"stored" jsonschema:"feed in store, such as 250 ton"`
	Turnout   string  `json:"turnout" jsonschema:"the day of the year, such as 5 May"`
	FirstYear int     `json:"first_year"`
	Units     string  `json:"units,omitempty" jsonschema:"us or metric, in which the document is written; empty: as the book's first person has it"`
	Who       string  `json:"who,omitempty"`
}

func (s *Server) apiBegin(r *http.Request, in apiEight) (apiFarm, error) {
	e := farm.Eight{Name: strings.TrimSpace(in.Name), Organic: in.Organic, Units: unitsOf(s.person(r))}
	if in.Units != "" {
		u, err := quantity.ParseSystem(in.Units)
		if err != nil {
			return apiFarm{}, document.Problem{File: "body", Thing: "units", Value: in.Units, Remedy: "write us or metric"}
		}
		e.Units = u
	}
	said := map[string]string{
		"place": in.Place, "animals": document.WriteNumber(in.Animals), "milk": in.Milk, "sward": in.Sward, "cropland": in.Cropland,
		"stored": in.Stored, "turnout": in.Turnout, "first_year": strconv.Itoa(in.FirstYear),
	}
	var problems document.Problems
	wrong := s.answered(&e, func(key string) string { return said[key] })
	for _, key := range slices.Sorted(maps.Keys(wrong)) {
		problems = append(problems, document.Problem{File: "body", Thing: key, Value: said[key], Remedy: wrong[key]})
	}
	if len(problems) > 0 {
		return apiFarm{}, problems
	}
	return s.apiCreate(r, apiNewFarm{Document: e.Document(), Who: in.Who})
}

// apiBook is the book that the program has open.
type apiBook struct {
	Path    string `json:"path" jsonschema:"where it lies on this machine"`
	Program string `json:"program" jsonschema:"the program's version"`
	Demo    bool   `json:"demo" jsonschema:"farms of the invented valley stand in it"`
}

func (s *Server) apiBook(r *http.Request, _ nothing) (apiBook, error) {
	return apiBook{s.book.Path(), desk.Version, s.demo(r.Context())}, nil
}

func (s *Server) apiOpenDemo(r *http.Request, _ nothing) (nothing, error) {
	return nothing{}, s.OpenDemo(r.Context())
}

func (s *Server) apiCloseDemo(r *http.Request, _ nothing) (nothing, error) {
	return nothing{}, s.closeDemo(r.Context())
}

// apiCrop is a stand that can be sown.
type apiCrop struct {
	Name  string `json:"name" jsonschema:"as a document writes it"`
	Title string `json:"title"`
}

func (s *Server) apiCrops(r *http.Request, _ nothing) ([]apiCrop, error) {
	d, err := s.deskOf(r.Context())
	if err != nil {
		return nil, err
	}
	return each(cropsOf(&opened{desk: d}), func(c cropChoice) apiCrop { return apiCrop(c) }), nil
}
