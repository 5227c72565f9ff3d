package web

import (
	"bytes"
	"fmt"
	"net/http"
	"slices"
	"strings"

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
	if !slices.Contains(papers, name) || kind != "pdf" && kind != "xlsx" {
		s.refuse(w, r, http.StatusNotFound, "refused.missing")
		return
	}
	o := s.must(w, r)
	if o == nil {
		return
	}
	u := o.source.Units
	p, err := o.desk.Plan(r.Context(), o.source)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var paper *report.Paper
	switch name {
	case "plan":
		paper = report.PlanPaper(p.Plan, u)
	case "field":
		paper = report.FieldPaper(p.Plan, p.Farm, p.Result, u)
	case "seed":
		paper = report.SeedPaper(p.Plan, u)
	case "feeder":
		on, err := dateOf(r)
		if err != nil {
			s.fail(w, r, err)
			return
		}
		// Without weather up to the day the sheet is the plan's alone.
		var today *report.Today
		if day, err := o.desk.Today(r.Context(), o.source, on); err == nil {
			today = day.Page
		}
		paper = report.FeederPaper(p.Plan, today, u)
	}
	var b bytes.Buffer
	if kind == "pdf" {
		size := r.URL.Query().Get("paper")
		if !slices.Contains(report.PaperSizes, size) {
			size = usualSize(u)
		}
		err = report.WritePDF(&b, paper, size, u)
		w.Header().Set("Content-Type", "application/pdf")
	} else {
		err = report.WriteXLSX(&b, paper)
		w.Header().Set("Content-Type", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet")
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="%s-%s.%s"`, report.Slug(p.Farm.Name), name, kind))
	_, _ = w.Write(b.Bytes())
}
