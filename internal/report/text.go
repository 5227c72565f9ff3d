package report

import (
	"fmt"
	"io"
	"strings"

	"rowen/quantity"
)

// WriteText writes the plan as one calm screen.
func WriteText(w io.Writer, p *Plan, u quantity.System) error {
	b := &strings.Builder{}
	organic := ""
	if p.Farm.Organic {
		organic = ", organic"
	}
	fmt.Fprintf(b, "%s%s: season plan from %s\n", p.Farm.Name, organic, p.Farm.First)
	fmt.Fprintf(b, "Weather: %s, %d years (%d-%d). Middle %d, bad (1 in 5) %d, worst %d: each a real weather year.\n\n",
		p.Farm.Station, len(p.Years), p.Manifest.FirstYear, p.Manifest.LastYear, p.Middle.Year, p.Bad.Year, p.Worst.Year)
	unit := "t"
	if u == quantity.US {
		unit = "ton"
	}
	fmt.Fprintf(b, "%-8s %27s   %27s\n", "", "--- middle year, "+unit+" DM ---", "---- bad year, "+unit+" DM ----")
	fmt.Fprintf(b, "%-8s %6s %6s %6s %6s   %6s %6s %6s %6s\n", "from", "need", "graze", "store", "gap", "need", "graze", "store", "gap")
	ton := func(kg float64) string {
		v := kg / 1000
		if u == quantity.US {
			v = quantity.Mass(kg).Tons()
		}
		if v < 0.05 {
			return "-"
		}
		return quantity.Grouped(v, 1)
	}
	for i := range p.Middle.Rows {
		m, d := &p.Middle.Rows[i], &p.Bad.Rows[i]
		fmt.Fprintf(b, "%-8s %6s %6s %6s %6s   %6s %6s %6s %6s\n", m.Name, ton(m.Demand), ton(m.Pasture), ton(m.Stored), ton(m.Gap), ton(d.Demand), ton(d.Pasture), ton(d.Stored), ton(d.Gap))
	}
	fmt.Fprintf(b, "%-8s %6s %20s %6s   %6s %20s %6s\n\n", "year", ton(p.Middle.Demand), "", ton(p.Middle.Gap), ton(p.Bad.Demand), "", ton(p.Bad.Gap))
	if len(p.Sowings) > 0 {
		fmt.Fprintln(b, "Sow")
		for i := range p.Sowings {
			s := &p.Sowings[i]
			fmt.Fprintf(b, "  %s, %s: %s, for %s\n", s.Field, area(s.Area, u), strings.Join(s.Rates, " + "), s.Use)
			fmt.Fprintf(b, "    about %s (%s to %s), %s deep; first use about %s; %s in the middle year, %s in the bad\n",
				s.Usual, s.Early, s.Late, s.Depth, s.FirstUse, yieldIf(s.Middle, s.SownMiddle, u), yieldIf(s.Bad, s.SownBad, u))
			fmt.Fprintf(b, "    net of its cost and of what it gave up: %s %s, in the bad year %s\n", quantity.Grouped(s.NetMiddle, 0), p.Farm.Currency, quantity.Grouped(s.NetBad, 0))
			if s.Dropped > 0 {
				fmt.Fprintf(b, "    not sown in %d of %d years: the ground was not ready by %s, its latest useful date\n", s.Dropped, len(p.Years), s.Latest)
			}
			if s.Misses(p) {
				fmt.Fprintf(b, "    reaches %s in time in %d of the %d years in which it is sown\n", s.Goal, s.Reached, s.SownYears(p))
			}
			if s.Nothing > 0 {
				fmt.Fprintf(b, "    sown and come to nothing in %d of %d years\n", s.Nothing, len(p.Years))
			}
			if s.Held > 0.05 {
				fmt.Fprintf(b, "    ready but held for safety %.0f days a year\n", s.Held)
			}
		}
		fmt.Fprintln(b)
	}
	for _, g := range p.Middle.Groups {
		if g.RuleDays > 0 {
			word := "meets"
			if !g.Passes {
				word = "MISSES"
			}
			fmt.Fprintf(b, "%s: %.0f %% of dry matter from pasture on %d days; %s the organic rule (%.0f %%, %d days) in the middle year, and meets it in %d of the %d\n", g.Name, 100*g.Share, g.GrazingDays, word, 100*g.RuleShare, g.RuleDays, g.MetYears, len(p.Years))
		}
	}
	for _, w := range p.Warnings {
		fmt.Fprintf(b, "\n! %s\n", w)
	}
	fmt.Fprintf(b, "\nCost of feed: grown %s, fed %s in the middle year; bought feed %s %s (bad year %s)\n",
		perTon(p.Middle.Money.PerKgGrown, p.Farm.Currency, u), perTon(p.Middle.Money.PerKgFed, p.Farm.Currency, u),
		quantity.Grouped(p.Middle.Money.bought(), 0), p.Farm.Currency, quantity.Grouped(p.Bad.Money.bought(), 0))
	if len(p.Safety) > 0 {
		fmt.Fprintf(b, "\nSafety: %d rules apply; the first: %s.\nOrders of the veterinarian, the laboratory, the label and local rules go before this plan.\n", len(p.Safety), Ruled(p.Safety[0].Text, u))
	}
	fmt.Fprintf(b, "%d values were assumed; they are listed in plan.html and plan.json.\n", len(p.Assumed))
	_, err := io.WriteString(w, b.String())
	return err
}

func (m *MoneyLine) bought() float64 { return m.BoughtForage + m.Grain + m.Protein }
