package report

import (
	"fmt"
	"io"
	"strings"

	"rowen/quantity"
)

// WriteSuggestion writes suggested plans as one screen: side by side, then why.
func WriteSuggestion(w io.Writer, s *Suggestion, u quantity.System) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s: plans for the feed year from %s, chosen over %d weather years (%d-%d), %s\n", s.Farm.Name, s.Farm.First, s.Count, s.First, s.Last, s.Farm.Station)
	fmt.Fprintf(b, "%d programmes were considered, %s field-years grown.\n\n%s\n", s.Programmes, quantity.Grouped(float64(s.Grown), 0), s.Said)
	if s.Stopped {
		fmt.Fprintln(b, "The search was stopped, or its time ran out, before the proof was closed: these are the best plans so far.")
	}
	if s.NoGap {
		_, err := io.WriteString(w, b.String())
		return err
	}
	s.table(b, u)
	s.carried(b)
	if len(s.Why) > 0 {
		fmt.Fprintln(b, "\nWhy the first of them")
		about := ""
		for _, l := range s.Why {
			if l.Aside {
				continue
			}
			if l.About != about {
				fmt.Fprintf(b, "  %s\n", l.About)
				about = l.About
			}
			fmt.Fprintf(b, "    %s\n", l.Text)
		}
	}
	if x := s.Unseen; x != nil {
		fmt.Fprintf(b, "\nIn %d weather years that it was not chosen on (chosen on the %d others), %s a year\n", x.Judged, x.Learnt, s.Farm.Currency)
		for _, l := range x.Lines {
			fmt.Fprintf(b, "  %-32s %12s on average %12s in the worst fifth, short %s in the 1-in-5 year\n", l.Name, quantity.Grouped(l.Expected, 0), quantity.Grouped(l.Bad, 0), mass(l.Shortage, u))
		}
		fmt.Fprintf(b, "  as reckoned: %s; with each year known beforehand no plan is below %s\n", quantity.Grouped(x.Lines[0].Reckoned, 0), quantity.Grouped(x.Foresight, 0))
	}
	for i, l := range s.WhatIf {
		if i == 0 {
			fmt.Fprintln(b, "\nWhat if")
		}
		fmt.Fprintf(b, "  %s: ", l.Name)
		switch {
		case len(l.Moves) == 0:
			fmt.Fprintf(b, "the plan stays the best found, %s %s\n", quantity.Grouped(l.Best, 0), s.Farm.Currency)
		case l.Kept == 0:
			fmt.Fprintf(b, "the plan is not allowed then; %s, %s %s\n", strings.Join(l.Moves, "; "), quantity.Grouped(l.Best, 0), s.Farm.Currency)
		default:
			fmt.Fprintf(b, "%s would be better, %s against %s %s\n", strings.Join(l.Moves, "; "), quantity.Grouped(l.Best, 0), quantity.Grouped(l.Kept, 0), s.Farm.Currency)
		}
	}
	fmt.Fprintln(b, "\nRuled out (all rules with their sources in suggest.html and --json)")
	for _, f := range s.Refused {
		var parts []string
		for _, r := range f.Rules {
			parts = append(parts, fmt.Sprintf("%s: %s", r.Rule, clip(r.Names(), 60)))
		}
		if len(parts) > 3 {
			parts = append(parts[:3], fmt.Sprintf("and %d more rules", len(parts)-3))
		}
		fmt.Fprintf(b, "  %s: %s\n", f.Field, strings.Join(parts, "; "))
	}
	fmt.Fprintln(b, "\nWeighed by")
	for _, t := range s.Terms {
		fmt.Fprintf(b, "  %s\n", t)
	}
	fmt.Fprintln(b, "\nA suggestion is arithmetic, not advice: hazards, rotation and the ground go before it. rowen plan prints the safety rules of a plan;\norders of the veterinarian, the laboratory, the label and local rules go before all.")
	_, err := io.WriteString(w, b.String())
	return err
}

// table sets the plans side by side.
func (s *Suggestion) table(b *strings.Builder, u quantity.System) {
	unit := "t"
	if u == quantity.US {
		unit = "ton"
	}
	ton := func(kg float64) string {
		if u == quantity.US {
			return quantity.Grouped(quantity.Mass(kg).Tons(), 0)
		}
		return quantity.Grouped(kg/1000, 0)
	}
	fmt.Fprintf(b, "\n%-4s%-32s %12s %12s %12s %10s %10s %8s\n", "", "on the coupled farm", s.Farm.Currency+"/year", "worst fifth", "bought feed", "short mid", "short bad", "gap bad")
	fmt.Fprintf(b, "%-4s%-32s %12s %12s %12s %10s %10s %8s\n", "", "", "on average", "of years", "on average", unit+" DM", unit+" DM", unit+" DM")
	for i := range s.Plans {
		p := &s.Plans[i]
		fmt.Fprintf(b, "%-4s%-32s %12s %12s %12s %10s %10s %8s\n", s.Mark(i), p.Name, quantity.Grouped(p.Expected, 0), quantity.Grouped(p.Bad, 0), quantity.Grouped(p.Bought, 0), ton(p.Middle), ton(p.Shortage), ton(p.Gap))
	}
	for i := range s.Plans {
		if also := s.Plans[i].Also; len(also) > 0 {
			fmt.Fprintf(b, "%s is also that of %s.\n", s.Mark(i), joinAnd(also))
		}
	}
	fmt.Fprintln(b, "Short: home-grown feed short of demand, what the stores gain counted in; below nothing is a surplus.")
	for i := range s.Plans {
		p := &s.Plans[i]
		if !p.Suggested {
			continue
		}
		fmt.Fprintf(b, "%s: reckoned %s %s, on the coupled farm %s (%+.1f %%)", s.Mark(i), quantity.Grouped(p.Reckoned, 0), s.Farm.Currency, quantity.Grouped(p.Expected, 0), partOf(p.Expected-p.Reckoned, p.Reckoned))
		fmt.Fprintf(b, "; proven: no plan is below %s of what is weighed, gap %.2f %%, %.1f s\n", quantity.Grouped(p.Bound, 0), 100*p.Proven, p.Seconds)
	}
}

func partOf(part, whole float64) float64 {
	if whole == 0 {
		return 0
	}
	return 100 * part / whole
}

// Mark tells a plan: now the present one, then numbers, rule for the rule of thumb.
func (s *Suggestion) Mark(i int) string {
	switch {
	case i == 0:
		return "now"
	case s.Plans[i].Suggested:
		return fmt.Sprint(i)
	}
	return "rule"
}

// carried lists what changes on each field, plan by plan.
func (s *Suggestion) carried(b *strings.Builder) {
	fmt.Fprintln(b, "\nWhat the fields carry (those that change in some plan)")
	for k := range s.Plans[0].Fields {
		same := true
		for i := range s.Plans {
			same = same && s.Plans[i].Fields[k].Programme == s.Plans[0].Fields[k].Programme
		}
		if same {
			continue
		}
		fmt.Fprintf(b, "  %s\n", s.Plans[0].Fields[k].Field)
		for i := range s.Plans {
			fmt.Fprintf(b, "    %-5s%s\n", s.Mark(i), s.Plans[i].Fields[k].Programme)
		}
	}
}
