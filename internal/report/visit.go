package report

import (
	"fmt"
	"html/template"
	"strings"

	"rowen/account"
	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
)

// Visit is the sheet an adviser takes to one farm: a page, in words ready to be
// shown.
type Visit struct {
	Farm, Contact string
	Day           string
	Plan          string // what year it plans, how far the date lies from it
	LastFacts     string
	Reasons       []CallReason
	Rows          []VisitRow
	More          string // fields that found no room; empty where all did
	Middle, Bad   string // the plan's gap
	Feed          string // whether home feed lasts until turn-out in the bad year
	Questions     []string
	Cautions      []string
	Rules         int // how many safety rules apply in all
	Letter        string
	Slug          string
}

// VisitRow is one field.
type VisitRow struct {
	Field, Area, Stand, Test string
	TestWanting              bool
	Due                      []string
	MoreDue                  int
}

// What a page holds.
const (
	mostRows    = 16
	fewRows     = 10 // up to so many fields each tells mostDue things, of more one less
	mostDue     = 3
	mostReasons = 5
)

// BuildVisit makes the sheet of a farm for a date from its plan's result.
func BuildVisit(f *farm.Farm, r *season.Result, w *account.Weeks, on quantity.Date) *Visit {
	v := &Visit{
		Farm: f.Name, Contact: contact(f), Day: on.Time().Format("Monday 2 January 2006"), LastFacts: account.LastFacts(f), Slug: slug(f.Name),
		Middle: gapWords("middle", &r.Years[r.Middle], f.Units), Bad: gapWords("bad", &r.Years[r.Bad], f.Units), Feed: feedWords(f, r),
	}
	if first := f.FirstDay(); on < first || on >= f.FeedYear.In(first.Year()+1) {
		v.Plan = fmt.Sprintf("The document plans the feed year from %v; its dates are told for this year by day and month.", first)
	}
	v.Reasons, _ = reasons(account.ReasonsOf(f, r, w, on))
	v.Reasons = v.Reasons[:min(mostReasons, len(v.Reasons))]
	v.rows(f, r, on)
	questions := account.Questions(f, r, w, on)
	v.Questions = questions[:]
	v.cautions(f, r)
	return v
}

func gapWords(name string, y *season.YearResult, u quantity.System) string {
	var gap, demand float64
	for i := range y.Ledger {
		gap += y.Ledger[i].Gap
		demand += y.Ledger[i].Demand
	}
	share := ""
	if demand > 0 {
		share = fmt.Sprintf(" (%.1f %%)", 100*gap/demand)
	}
	return fmt.Sprintf("%s year (%d): gap %s of %s needed%s", name, y.ID, mass(gap, u), mass(demand, u), share)
}

func feedWords(f *farm.Farm, r *season.Result) string {
	if from, lacking, ok := account.RunsOut(f, &r.Years[r.Bad]); ok {
		return fmt.Sprintf("home feed runs out about %s in the bad year, before turn-out %s: %s to be bought", shortDate(from), f.Turnout, mass(lacking, f.Units))
	}
	return fmt.Sprintf("home feed lasts until turn-out (%s) in the bad year", f.Turnout)
}

// rows tells every field; where a page would not hold them, those with nothing due
// are left to the plan first.
func (v *Visit) rows(f *farm.Farm, r *season.Result, on quantity.Date) {
	due := make([][]string, len(f.Fields))
	for _, d := range account.DueOf(f, r, on, account.VisitDays) {
		text := shortDate(d.On) + ": " + d.What
		if d.UsuallyOver {
			text = "usually over: " + d.What + " (in some years to " + shortDate(d.Late) + ")"
		}
		due[d.Field] = append(due[d.Field], text)
	}
	spare, most := len(f.Fields)-mostRows, mostDue
	if len(f.Fields) > fewRows {
		most--
	}
	var left []string
	for i := range f.Fields {
		field := &f.Fields[i]
		if spare > 0 && len(due[i]) == 0 || len(v.Rows) == mostRows {
			left = append(left, field.Name)
			spare--
			continue
		}
		row := VisitRow{Field: field.Name, Area: area(float64(field.Area), f.Units), Stand: stands(f, i), Due: due[i]}
		row.Test, row.TestWanting = testWords(field, on)
		if n := len(row.Due); n > most {
			row.Due, row.MoreDue = row.Due[:most], n-most
		}
		v.Rows = append(v.Rows, row)
	}
	if len(left) > 0 {
		v.More = fmt.Sprintf("%d more in the plan: %s", len(left), clip(strings.Join(left, ", "), 160))
	}
}

func testWords(field *farm.Field, on quantity.Date) (text string, wanting bool) {
	missing, old := account.TestAge(field, on)
	t := &field.Ground.Test
	switch {
	case missing:
		return "none", true
	case t.Date == 0:
		return t.Method + ", no date", true
	case old:
		return fmt.Sprintf("%s %v, old", t.Method, t.Date), true
	}
	return fmt.Sprintf("%s %v", t.Method, t.Date), false
}

// cautions are what must not be done, and the first safety rule of each hazard
// that concerns the farm, with the wait after frost beside the height of sorghum.
func (v *Visit) cautions(f *farm.Farm, r *season.Result) {
	for _, a := range account.RotationOf(f, &r.Years[r.Middle]) {
		if a.Stop {
			v.Cautions = append(v.Cautions, f.Fields[a.Field].Name+": "+a.Text)
		}
	}
	var p Plan
	p.safety(f)
	v.Rules = len(p.Safety)
	seen := map[string]bool{}
	for _, s := range p.Safety {
		frost := strings.Contains(s.Text, "days after a frost")
		if seen[s.Hazard] && !frost {
			continue
		}
		seen[s.Hazard] = true
		v.Cautions = append(v.Cautions, s.Hazard+": "+s.Text)
	}
}

// Type is the size in which a sheet is printed: smaller where more has to go on its
// one page.
func (v *Visit) Type() template.CSS {
	lines := len(v.Cautions)/2 + len(v.Reasons) + 2*len(v.Questions)
	for i := range v.Rows {
		lines += max(1, len(v.Rows[i].Due)+min(1, v.Rows[i].MoreDue))
	}
	switch {
	case lines > 50:
		return "6.5pt"
	case lines > 36:
		return "7.2pt"
	case lines > 26:
		return "8pt"
	}
	return "9pt"
}
