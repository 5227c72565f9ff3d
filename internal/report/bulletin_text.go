package report

import (
	"fmt"
	"io"
	"strings"

	"rowen/quantity"
)

// bulletinWidth is the columns of a bulletin on a screen.
const bulletinWidth = 96

// NotForecast is said wherever shares of past years stand.
const NotForecast = "Shares are of the station's past years, not a forecast: look at the forecast before you sow, mow or turn out."

// WriteBulletinText writes the bulletin as a screen.
func WriteBulletinText(w io.Writer, b *Bulletin) error {
	t := &strings.Builder{}
	fmt.Fprintf(t, "Forage bulletin, %s\n%s\n%s\n", b.Day, b.Counted(), NotForecast)
	fmt.Fprintln(t, "\nWho needs a call")
	for i, c := range b.Calls {
		fmt.Fprintf(t, "  %d. %s (%s)\n", i+1, c.Farm, c.Contact)
		if len(c.Reasons) == 0 {
			fmt.Fprintln(t, "     nothing this week")
		}
		for _, r := range c.Reasons {
			wrap(t, fmt.Sprintf("     %-11s", r.Head), 16, r.Text)
		}
	}
	for i := range b.Stations {
		b.Stations[i].text(t)
	}
	fmt.Fprintln(t, "\nSeed by supplier")
	for _, x := range seedTotals(b.Seed) {
		fmt.Fprintf(t, "  %d lines, %d whole bags, %s %s\n", x.Lines, x.Bags, quantity.Grouped(x.Cost, 0), x.Currency)
	}
	if len(b.Seed) == 0 {
		fmt.Fprintln(t, "  nothing to order")
	}
	fmt.Fprintln(t, "\nComparison between farms")
	if b.Compared.Withheld != "" {
		wrap(t, "  ", 2, b.Compared.Withheld)
	} else {
		fmt.Fprintf(t, "  %d farms under letters, in comparison.html\n", len(b.Compared.Rows))
	}
	_, err := io.WriteString(w, t.String())
	return err
}

// Counted says which farms stand in the bulletin and how many do not.
func (b *Bulletin) Counted() string {
	text := fmt.Sprintf("%s in this bulletin.", counted(b.Farms, "farm"))
	if b.WithoutConsent > 0 {
		text += fmt.Sprintf(" %s left out for want of consent (consent = true in the document).", counted(b.WithoutConsent, "farm"))
	} else {
		text += " None is left out for want of consent."
	}
	if b.Broken > 0 {
		text += fmt.Sprintf(" %s left out for problems in the document.", counted(b.Broken, "farm"))
	}
	return text
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (s *StationWeek) text(t *strings.Builder) {
	fmt.Fprintf(t, "\nWeather of %s, %s\n", s.Name, s.Span)
	wrap(t, "  for         ", 14, joinAnd(s.Farms))
	wrap(t, "  soil, 4 in  ", 14, s.Soil)
	fmt.Fprintf(t, "  trend       %s\n", s.Trend)
	fmt.Fprintf(t, "  nights      %s\n", s.Nights)
	fmt.Fprintf(t, "  %-16s %-14s %-24s %s\n", "at or below", "last 7", "coming 7 days", "coming 14 days")
	for _, x := range s.Freeze {
		fmt.Fprintf(t, "  %-16s %-14s %-24s %s\n", x.Threshold, x.Past, x.Seven, x.Fourteen)
	}
	fmt.Fprintln(t, "  rainless days in a row within the coming 10 days")
	for _, x := range s.Rainless {
		fmt.Fprintf(t, "    %-15s %s\n", x.Days, x.Share)
	}
	fmt.Fprintln(t, "  hours in the swath on a rainless day, about 9 a day")
	for _, x := range s.Drying {
		fmt.Fprintf(t, "    %s\n", x)
	}
	if len(s.Sowings) > 0 {
		fmt.Fprintln(t, "  sowings and the soil they ask")
	}
	for _, x := range s.Sowings {
		wrap(t, "    ", 6, fmt.Sprintf("%s, %s: %s, asks %s, open %s: %s", x.Farm, x.Field, x.Crop, x.Asks, x.Open, x.Held))
	}
}

// wrap writes text after a head, broken before the width and set in.
func wrap(t *strings.Builder, head string, indent int, text string) {
	line := head
	used := len([]rune(head))
	for i, word := range strings.Fields(text) {
		n := len([]rune(word))
		if i > 0 && used+1+n > bulletinWidth {
			fmt.Fprintln(t, line)
			line, used = strings.Repeat(" ", indent), indent
		} else if i > 0 {
			line, used = line+" ", used+1
		}
		line, used = line+word, used+n
	}
	fmt.Fprintln(t, line)
}

// WriteVisitText writes a visit sheet as a screen.
func WriteVisitText(w io.Writer, v *Visit) error {
	t := &strings.Builder{}
	fmt.Fprintf(t, "%s: visit, %s\n%s\n", v.Farm, v.Day, v.Contact)
	wrap(t, "Facts: ", 2, v.LastFacts)
	if v.Plan != "" {
		wrap(t, "", 0, v.Plan)
	}
	fmt.Fprintln(t)
	for _, r := range v.Rows {
		fmt.Fprintf(t, "%s, %s: %s; soil test: %s\n", r.Field, r.Area, r.Stand, r.Test)
		for _, d := range r.Due {
			wrap(t, "    ", 6, d)
		}
		if r.MoreDue > 0 {
			fmt.Fprintf(t, "    and %d more\n", r.MoreDue)
		}
	}
	if v.More != "" {
		wrap(t, "", 0, v.More)
	}
	fmt.Fprintf(t, "\nPlan\n  %s\n  %s\n  %s\n", v.Middle, v.Bad, v.Feed)
	list := func(head string, items []string) {
		if len(items) > 0 {
			fmt.Fprintf(t, "\n%s\n", head)
		}
		for i, x := range items {
			wrap(t, fmt.Sprintf("  %d. ", i+1), 5, x)
		}
	}
	reasons := make([]string, 0, len(v.Reasons))
	for _, r := range v.Reasons {
		reasons = append(reasons, r.When+": "+r.Text)
	}
	list("Why now", reasons)
	list("Ask", v.Questions)
	list("Cautions", v.Cautions)
	fmt.Fprintf(t, "%s\n", v.Defers())
	_, err := io.WriteString(w, t.String())
	return err
}

// Defers says what goes before the sheet.
func (v *Visit) Defers() string {
	return fmt.Sprintf("The veterinarian, the laboratory, the label and local rules go before this sheet; %d safety rules apply in all (rowen hazards).", v.Rules)
}
