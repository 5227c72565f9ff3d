package web

import (
	"bytes"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"rowen/internal/office"
	"rowen/internal/report"
	"rowen/quantity"
)

// papers are what can be printed, in the order of the page.
var papers = []string{"plan", "field", "feeder", "seed"}

type printPage struct {
	Papers []string
	Sizes  []string
	Size   string
}

// print lists what can be printed.
func (s *Server) print(w http.ResponseWriter, r *http.Request) {
	o := s.must(w, r)
	if o == nil {
		return
	}
	s.show(w, r, http.StatusOK, "print.html", page{Title: s.pages.texts.say("print.title"), Farm: o.head(), Tab: "print", Body: printPage{papers, report.PaperSizes, usualSize(o.source.Units)}})
}

// usualSize is the paper that lies in the printer where people measure so.
func usualSize(u quantity.System) string {
	if u == quantity.US {
		return "Letter"
	}
	return "A4"
}

// printed makes a paper as a PDF or a workbook.
func (s *Server) printed(w http.ResponseWriter, r *http.Request) {
	name, kind, _ := strings.Cut(r.PathValue("file"), ".")
	if !slices.Contains(papers, name) || paperKinds[kind] == "" {
		s.refuse(w, r, http.StatusNotFound, "refused.missing")
		return
	}
	o := s.must(w, r)
	if o == nil {
		return
	}
	data, err := s.paper(r, o, name, kind)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.give(w, o, name, kind, data)
}

// paperKinds are the files that papers are made as, with their media types.
var paperKinds = map[string]string{
	"pdf":  "application/pdf",
	"xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}

func (s *Server) give(w http.ResponseWriter, o *opened, name, kind string, data []byte) {
	w.Header().Set("Content-Type", paperKinds[kind])
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="%s-%s.%s"`, report.Slug(o.farm.Name), name, kind))
	_, _ = w.Write(data)
}

// paper makes one of the papers of a farm as a file of a kind.
func (s *Server) paper(r *http.Request, o *opened, name, kind string) ([]byte, error) {
	u := o.source.Units
	p, err := made(o.desk.Plan(r.Context(), o.source))
	if err != nil {
		return nil, err
	}
	var paper *report.Paper
	switch name {
	case "plan":
		paper = report.PlanPaper(p.Plan, u)
	case "field":
		paper = report.FieldPaper(p.Plan, p.Board, u)
	case "seed":
		paper = report.SeedPaper(p.Plan, u)
	case "feeder":
		on, err := dateOf(r)
		if err != nil {
			return nil, err
		}
		// Without weather up to the day the sheet is the plan's alone.
		var today *report.Today
		if day, err := o.desk.Today(r.Context(), o.source, on); err == nil {
			today = day.Page
		}
		paper = report.FeederPaper(p.Plan, today, u)
	}
	paper.Tongue = s.pages.texts.said
	var b bytes.Buffer
	if kind == "xlsx" {
		err = report.WriteXLSX(&b, paper)
		return b.Bytes(), err
	}
	size := r.URL.Query().Get("paper")
	if !slices.Contains(report.PaperSizes, size) {
		size = usualSize(u)
	}
	err = report.WritePDF(&b, paper, size, u)
	return b.Bytes(), err
}

// apiPaper makes a paper for a program.
func (s *Server) apiPaper(kind string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		o, err := s.soundFarm(r)
		if err != nil {
			s.apiFail(w, r, err)
			return
		}
		name := r.PathValue("name")
		if !slices.Contains(papers, name) {
			s.apiFail(w, r, office.ErrMissing)
			return
		}
		data, err := s.paper(r, o, name, kind)
		if err != nil {
			s.apiFail(w, r, err)
			return
		}
		s.give(w, o, name, kind, data)
	}
}
