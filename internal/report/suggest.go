package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
	"rowen/suggest"
)

// Suggestion is suggested plans side by side, as every face shows them. Masses are kg of
// dry matter, areas m², money in the farm's currency.
type Suggestion struct {
	Rowen      int             `json:"rowen"`
	Engine     string          `json:"engine"`
	Farm       FarmLine        `json:"farm"`
	First      int             `json:"first_weather_year"`
	Last       int             `json:"last_weather_year"`
	Count      int             `json:"weather_years"`
	Risk       float64         `json:"weight_of_bad_years"`
	Said       string          `json:"said"` // the answer in one sentence
	NoGap      bool            `json:"no_gap"`
	Unbeaten   bool            `json:"present_plan_is_not_beaten"`
	Stopped    bool            `json:"stopped"`
	Programmes int             `json:"programmes_considered"`
	Grown      int             `json:"field_years_grown"`
	Plans      []SuggestedPlan `json:"plans"` // the present plan first, then those suggested, then the rule of thumb
	Why        []WhyLine       `json:"why,omitempty"`
	Unseen     *UnseenYears    `json:"unseen_years,omitempty"`
	WhatIf     []WhatIfLine    `json:"what_if,omitempty"`
	Refused    []RefusedField  `json:"ruled_out,omitempty"`
	Terms      []string        `json:"weighed_by"`
}

// SuggestedPlan is one plan in a line, and what each field carries in it.
type SuggestedPlan struct {
	Name      string       `json:"name"`
	Also      []string     `json:"also,omitempty"`
	Suggested bool         `json:"suggested"`
	Expected  float64      `json:"cost_on_average"` // in the coupled season
	Bad       float64      `json:"cost_in_the_worst_fifth"`
	Middle    float64      `json:"shortage_middle_kg"`
	Shortage  float64      `json:"shortage_bad_year_kg"`
	Gap       float64      `json:"gap_bad_year_kg"`
	BadYear   int          `json:"bad_year"`
	Bought    float64      `json:"bought_feed_on_average"`
	Reckoned  float64      `json:"cost_reckoned"` // by the program that chose; 0 where it did not
	Bound     float64      `json:"no_plan_below"`
	Proven    float64      `json:"proven_gap"` // share of what is weighed
	Rounds    int          `json:"corrections"`
	Seconds   float64      `json:"seconds"`
	Fields    []FieldCarry `json:"fields"`
	Gaps      []GapRow     `json:"gap_by_half_month"`
}

// FieldCarry is what a field carries.
type FieldCarry struct {
	Field     string  `json:"field"`
	Area      float64 `json:"area_m2"`
	Programme string  `json:"programme"`
	Changed   bool    `json:"changed"` // from the present plan
}

// GapRow is a half-month's gap in the plan's own middle and bad year.
type GapRow struct {
	Name   string  `json:"from"`
	Middle float64 `json:"middle_kg"`
	Bad    float64 `json:"bad_kg"`
}

// WhyLine is one thing said of the first plan.
type WhyLine struct {
	About string `json:"about"`
	Text  string `json:"text"`
	Aside bool   `json:"aside,omitempty"` // of a field that no plan changes
}

// UnseenYears is how plans do in years that they were not chosen on.
type UnseenYears struct {
	Learnt    int          `json:"years_learnt"`
	Judged    int          `json:"years_judged"`
	Lines     []UnseenPlan `json:"plans"`
	Foresight float64      `json:"reckoned_with_foresight"`
}

// UnseenPlan is one of them.
type UnseenPlan struct {
	Name     string  `json:"name"`
	Reckoned float64 `json:"cost_reckoned"`
	Expected float64 `json:"cost_on_average"`
	Bad      float64 `json:"cost_in_the_worst_fifth"`
	Shortage float64 `json:"shortage_bad_year_kg"`
}

// WhatIfLine is one thing that turns out otherwise.
type WhatIfLine struct {
	Name  string   `json:"if"`
	Kept  float64  `json:"cost_of_the_plan"`
	Best  float64  `json:"cost_of_the_best"`
	Moves []string `json:"moves"` // empty: the plan stays the best found
}

// RefusedField is what was ruled out on a field.
type RefusedField struct {
	Field string        `json:"field"`
	Rules []RefusedRule `json:"rules"`
}

// RefusedRule is a rule with all that it ruled out on a field.
type RefusedRule struct {
	Rule   string   `json:"rule"`
	Text   string   `json:"text"`
	Source string   `json:"source"`
	Stands []string `json:"stands"`
}

// BuildSuggestion makes the page model of a suggestion.
func BuildSuggestion(f *farm.Farm, s *suggest.Suggestion, why *suggest.Explained, station string) *Suggestion {
	r := s.Request
	out := &Suggestion{
		Rowen: 1, Engine: season.Engine, Risk: r.Risk, NoGap: s.NoGap, Unbeaten: s.Unbeaten, Stopped: s.Stopped,
		Farm:  FarmLine{Name: f.Name, Organic: f.Organic, Currency: f.Currency, Units: f.Units.String(), First: f.FirstDay().String(), Station: station},
		First: int(r.Years[0].ID), Last: int(r.Years[len(r.Years)-1].ID), Count: len(r.Years),
		Programmes: s.Programmes, Grown: s.Grown, Terms: s.Terms(),
	}
	line := func(x *suggest.Plan, suggested bool) {
		out.Plans = append(out.Plans, planLine(f, s, x, suggested))
	}
	line(&s.Present, false)
	for i := range s.Plans {
		line(&s.Plans[i], true)
	}
	if s.Thumb != nil {
		line(s.Thumb, false)
	}
	out.Said = said(f, s)
	if why != nil {
		out.Why = whyLines(f, s, why)
		for i := range out.Why {
			out.Why[i].Aside = out.unchanged(out.Why[i].About)
		}
	}
	if u := s.Unseen; u != nil {
		out.Unseen = &UnseenYears{Learnt: len(u.Learnt), Judged: len(u.Judged), Foresight: u.Foresight}
		for _, l := range u.Lines {
			out.Unseen.Lines = append(out.Unseen.Lines, UnseenPlan{l.Name, l.Reckoned, l.Expected, l.Bad, l.Shortage})
		}
	}
	for i := range s.WhatIf {
		w := &s.WhatIf[i]
		l := WhatIfLine{Name: w.Name, Kept: w.Kept, Best: w.Best}
		for _, m := range w.Moves {
			l.Moves = append(l.Moves, fmt.Sprintf("%s: %s instead of %s", f.Fields[m.Field].Name, m.Now, m.Was))
		}
		out.WhatIf = append(out.WhatIf, l)
	}
	out.Refused = refusedLines(f, s.Refused)
	return out
}

// unchanged tells whether no plan changes a field.
func (s *Suggestion) unchanged(field string) bool {
	found := false
	for i := range s.Plans {
		for _, c := range s.Plans[i].Fields {
			if c.Field == field {
				found = true
				if c.Changed {
					return false
				}
			}
		}
	}
	return found
}

// said is the answer in one sentence.
func said(f *farm.Farm, s *suggest.Suggestion) string {
	switch {
	case s.NoGap:
		return "Even with nothing sown the farm feeds its animals in the middle year and in the 1-in-5 year: it has no gap, and nothing is suggested."
	case len(s.Plans) == 0:
		return "No plan was found."
	}
	first := &s.Plans[0]
	saves := s.Present.Run.Expected - first.Run.Expected
	switch {
	case s.Unbeaten:
		return fmt.Sprintf("No plan was found that beats the present one on the coupled farm: the best found costs %s %s a year on average, the present one %s.",
			quantity.Grouped(first.Run.Expected, 0), f.Currency, quantity.Grouped(s.Present.Run.Expected, 0))
	case saves >= 0:
		return fmt.Sprintf("The suggested plan saves %s %s of feed cost a year on average against the present plan, and %s in the worst fifth of years.",
			quantity.Grouped(saves, 0), f.Currency, quantity.Grouped(s.Present.Run.Bad-first.Run.Bad, 0))
	}
	return fmt.Sprintf("The suggested plan costs %s %s a year more on average than the present plan and saves %s in the worst fifth of years.",
		quantity.Grouped(-saves, 0), f.Currency, quantity.Grouped(s.Present.Run.Bad-first.Run.Bad, 0))
}

func planLine(f *farm.Farm, s *suggest.Suggestion, x *suggest.Plan, suggested bool) SuggestedPlan {
	r := &x.Run.Result
	middle, bad := &r.Years[r.Middle], &r.Years[r.Bad]
	l := SuggestedPlan{
		Name: x.Name, Also: x.Also, Suggested: suggested, Expected: x.Run.Expected, Bad: x.Run.Bad, Middle: x.Run.Middle, Shortage: x.Run.Shortage,
		BadYear: int(bad.ID), Reckoned: x.Reckoned, Rounds: x.Rounds,
	}
	for y := range r.Years {
		m := &r.Years[y].Money
		l.Bought += (m.BoughtForage + m.Grain + m.Protein) / float64(len(r.Years))
	}
	if c := x.Choice; c != nil {
		l.Bound, l.Proven, l.Seconds = c.Bound, c.Gap(), c.Elapsed.Seconds()
	}
	names := rowNames(middle)
	for h := range names {
		l.Gaps = append(l.Gaps, GapRow{names[h], middle.Ledger[h].Gap, bad.Ledger[h].Gap})
		l.Gap += bad.Ledger[h].Gap
	}
	for i := range f.Fields {
		now := s.Carries(&s.Present, i)
		c := FieldCarry{Field: f.Fields[i].Name, Area: float64(f.Fields[i].Area), Programme: s.Carries(x, i)}
		c.Changed = c.Programme != now
		l.Fields = append(l.Fields, c)
	}
	return l
}

// whyLines puts the explanation of the first plan in words.
func whyLines(f *farm.Farm, s *suggest.Suggestion, e *suggest.Explained) (out []WhyLine) {
	u := f.Units
	add := func(about, format string, args ...any) {
		out = append(out, WhyLine{About: about, Text: fmt.Sprintf(format, args...)})
	}
	money := func(v float64) string { return quantity.Grouped(v, 0) + " " + f.Currency }
	perLand := func(v float64) string { // money/ha
		if u == quantity.US {
			return quantity.Grouped(v*quantity.Acre.Hectares(), 0) + " " + f.Currency + "/ac"
		}
		return quantity.Grouped(v, 0) + " " + f.Currency + "/ha"
	}
	for _, w := range e.Sowings {
		name := f.Fields[w.Field].Name
		text := fmt.Sprintf("%s. Without it the farm would be %s shorter in the middle year and %s in the bad one, and feed would cost %s more a year", w.Programme, mass(w.Middle, u), mass(w.Bad, u), money(w.Cost))
		if w.Cost < 0 {
			text = fmt.Sprintf("%s. Without it the farm would be %s shorter in the middle year and %s in the bad one; in those two years it costs %s more than it saves", w.Programme, mass(w.Middle, u), mass(w.Bad, u), money(-w.Cost))
		}
		if rows := closedWords(s, w.Rows, u); rows != "" {
			text += "; it closes the gap of " + rows
		} else {
			text += "; it fills the store rather than the gap of one half-month"
		}
		add(name, "%s.", text)
	}
	for _, w := range e.Fields {
		name := f.Fields[w.Field].Name
		if w.Land > 0 {
			add(name, "One more piece of this ground under its programme is worth %s.", perLand(w.Land))
		}
		for _, n := range w.Next {
			switch {
			case n.Behind <= 0:
				add(name, "%s is level with it at the margin: a little of it would be worth as much, the whole field not.", n.Programme)
			default:
				text := fmt.Sprintf("%s is %s behind", n.Programme, perLand(n.Behind))
				if n.Yield > 1 {
					text += fmt.Sprintf("; it would win with %.0f %% more yield, or if it cost that much less", 100*(n.Yield-1))
				}
				if n.Forage > 0 && n.Forage < 5 {
					text += fmt.Sprintf("; the two are level where feed is worth %.2f times as much", n.Forage)
				}
				add(name, "%s.", text)
			}
		}
	}
	for _, w := range e.Stores {
		t := w.Tonne
		per := "t"
		if u == quantity.US {
			t, per = t*0.90718474, "ton"
		}
		add(w.Store, "It is full from %s: room for one more %s of dry matter is worth %s a year.", s.RowName(w.Full[0]), per, money(t))
	}
	for _, w := range e.Limits {
		add("limit", "%s: loosened by one (a hectare, an hour, a unit of money) it would save %s.", w.Rule, quantity.Digits(w.Worth, 3)+" "+f.Currency)
	}
	return out
}

// closedWords names the half-months whose gap is closed.
func closedWords(s *suggest.Suggestion, rows []suggest.RowWorth, u quantity.System) string {
	var parts []string
	for _, r := range rows {
		if r.Bad > 0 || r.Middle > 0 {
			parts = append(parts, fmt.Sprintf("%s (%s in the middle year, %s in the bad)", s.RowName(r.Row), mass(max(0, r.Middle), u), mass(max(0, r.Bad), u)))
		}
	}
	if len(parts) > 4 {
		parts = append(parts[:4], fmt.Sprintf("%d more half-months", len(parts)-4))
	}
	return joinAnd(parts)
}

// refusedLines gathers what was ruled out by field and rule.
func refusedLines(f *farm.Farm, all []suggest.Refusal) (out []RefusedField) {
	for i := range f.Fields {
		line := RefusedField{Field: f.Fields[i].Name}
		for _, r := range all {
			if r.Field != i {
				continue
			}
			name := r.Stand
			if r.Use != "" {
				name += " (" + r.Use + ")"
			}
			at := slices.IndexFunc(line.Rules, func(x RefusedRule) bool { return x.Rule == r.Rule && x.Text == r.Text && x.Source == r.Source })
			if at < 0 {
				line.Rules = append(line.Rules, RefusedRule{Rule: r.Rule, Text: r.Text, Source: r.Source})
				at = len(line.Rules) - 1
			}
			if !slices.Contains(line.Rules[at].Stands, name) {
				line.Rules[at].Stands = append(line.Rules[at].Stands, name)
			}
		}
		// What the catalogue says of uses holds on every field: the field's own rules first.
		slices.SortStableFunc(line.Rules, func(a, b RefusedRule) int { return cmp.Compare(btoi(a.Rule == "use"), btoi(b.Rule == "use")) })
		if len(line.Rules) > 0 {
			out = append(out, line)
		}
	}
	return out
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Names are the stands that a rule ruled out, in words.
func (r *RefusedRule) Names() string { return strings.Join(r.Stands, ", ") }
