package web

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"rowen/farm"
	"rowen/internal/document"
	"rowen/internal/office"
	"rowen/internal/report"
)

// whyRefused says in people's words why a change of the season was not made: what stands
// where, not the lines of the document. o is the farm as it was when the change was sent.
func (s *Server) whyRefused(r *http.Request, o *opened, err error) (out []string) {
	say := s.pages.texts.say
	var conflict *office.Conflict
	if errors.As(err, &conflict) {
		who := conflict.Theirs.Who
		if who == "" {
			who = say("season.someone")
		}
		return []string{say("season.conflict", who, conflict.Theirs.Saved.Format("15:04"))}
	}
	for _, p := range problemsOf(err) {
		out = append(out, s.whyNot(r, o, p))
	}
	return out
}

// whyNot says one problem. The bar that was moved is refused, not whichever of two
// sowings the document happens to write last.
func (s *Server) whyNot(r *http.Request, o *opened, p document.Problem) string {
	say := s.pages.texts.say
	k, sowing, err := sowingOf(o, r.FormValue("sowing"))
	if err != nil {
		return say("season.refused", p.Thing, p.Remedy)
	}
	to := sowing.Field
	if i, err := strconv.Atoi(r.FormValue("field")); err == nil && i >= 0 && i < len(o.farm.Fields) {
		to = i
	}
	field := &o.farm.Fields[to]
	switch {
	case strings.HasPrefix(p.Remedy, farm.OverlapsSowing):
		if there := s.standing(r, o, to, k); there != nil {
			if there.End != 0 {
				return say("season.clash", sowing.Mix.Title, field.Name, there.Title, there.Date.MonthDay(), there.End.MonthDay())
			}
			return say("season.clash_open", sowing.Mix.Title, field.Name, there.Title, there.Date.MonthDay())
		}
	case strings.HasPrefix(p.Remedy, farm.PartsTooLarge):
		return say("season.full", sowing.Mix.Title, field.Name)
	}
	return say("season.refused", sowing.Mix.Title+", "+field.Name, p.Remedy)
}

// standing is the sowing on a whole field that another one cannot share it with; nil
// where the plan cannot be grown or has none.
func (s *Server) standing(r *http.Request, o *opened, field, but int) *report.BoardBar {
	p, err := o.desk.Plan(r.Context(), o.source)
	if err != nil {
		return nil
	}
	bars := p.Board.Rows[field].Bars
	for i := range bars {
		if b := &bars[i]; b.Sowing >= 0 && b.Sowing != but && b.Tenths == 10 {
			return b
		}
	}
	return nil
}
