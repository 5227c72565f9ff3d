package report

import (
	"fmt"
	"io"
	"strings"

	"rowen/quantity"
)

// WriteReview writes a review as a screen.
func WriteReview(w io.Writer, v *Review, u quantity.System) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s: plan against what was written down, %s to %s", v.Farm, v.First, v.Until)
	if !v.Whole {
		fmt.Fprint(b, " (the feed year is not over; the plan's figures are those up to this day)")
	}
	fmt.Fprintf(b, "\nPlanned over %s; %s written down.\n", counted(v.Years, "other weather year"), counted(v.Facts, "fact"))
	fmt.Fprintf(b, "\nThe year's weather (%s)\n", v.Station)
	for _, x := range v.Weather {
		fmt.Fprintf(b, "  %s: %s\n", x.What, x.Words)
	}
	if len(v.Sowings) > 0 {
		fmt.Fprintln(b, "\nSowings")
	}
	for i := range v.Sowings {
		v.Sowings[i].write(b)
	}
	fmt.Fprintln(b, "\nFields")
	for i := range v.Fields {
		v.Fields[i].write(b, u)
	}
	if len(v.Stored) > 0 {
		fmt.Fprintln(b, "\nPut up")
	}
	for _, x := range v.Stored {
		fmt.Fprintf(b, "  %s: planned %s in the middle year, %s in the bad; ", x.Use, mass(x.Middle, u), mass(x.Bad, u))
		switch {
		case x.Lots == 0:
			fmt.Fprintln(b, "no lot written down: unknown")
		case x.DM == nil:
			fmt.Fprintf(b, "%s written down, none weighed: unknown\n", counted(x.Lots, "lot"))
		default:
			fmt.Fprintf(b, "%s weighed in %d of %s\n", mass(*x.DM, u), x.Weighed, counted(x.Lots, "lot"))
		}
	}
	for _, n := range v.Notices {
		fmt.Fprintf(b, "\nNote: %s\n", n)
	}
	fmt.Fprintln(b, "\nAmounts are dry matter. What grazing took is estimated from weather and deeds, with one in ten below and above the range; weighed is as it was written down.")
	_, err := io.WriteString(w, b.String())
	return err
}

func (x *ReviewSowing) write(b *strings.Builder) {
	unknown := func(s string) string {
		if s == "" {
			return "unknown"
		}
		return s
	}
	fmt.Fprintf(b, "  %s, %s: window %s\n", x.Field, x.Stand, x.Window)
	fmt.Fprintf(b, "    sown: planned %s; %s\n", x.Planned, unknown(x.Sown))
	fmt.Fprintf(b, "    first use: planned %s; %s\n", x.PlannedUse, unknown(x.FirstUse))
	for _, r := range x.Reasons {
		fmt.Fprintf(b, "    %s\n", r)
	}
}

func (x *ReviewField) write(b *strings.Builder, u quantity.System) {
	stands := "bare or stubble"
	if len(x.Stands) > 0 {
		stands = strings.Join(x.Stands, ", then ")
	}
	amount := func(kg float64) string {
		if kg < Nothing {
			return "nothing"
		}
		return mass(kg, u)
	}
	span := func(r *Range) string {
		return fmt.Sprintf("%s (%s to %s)", amount(r.Mid), amount(r.Low), amount(r.High))
	}
	fmt.Fprintf(b, "  %s, %s: %s\n", x.Name, area(x.Area, u), stands)
	var plan []string
	for _, p := range []struct {
		what        string
		middle, bad float64
	}{{"grazed", x.GrazedMiddle, x.GrazedBad}, {"stored", x.CutMiddle, x.CutBad}} {
		if p.middle >= Nothing || p.bad >= Nothing {
			plan = append(plan, fmt.Sprintf("%s %s in the middle year, %s in the bad", p.what, amount(p.middle), amount(p.bad)))
		}
	}
	if len(plan) == 0 {
		plan = []string{"nothing off it by this day"}
	}
	fmt.Fprintf(b, "    planned: %s\n", strings.Join(plan, "; "))
	var had []string
	if x.Grazings > 0 {
		text := counted(x.Grazings, "grazing")
		if x.Grazed != nil {
			text += ", about " + span(x.Grazed)
		}
		had = append(had, text)
	}
	if x.WeighedDM != nil {
		had = append(had, fmt.Sprintf("%s weighed, %s", counted(x.Weighed, "cut"), amount(*x.WeighedDM)))
	}
	if n := x.Cuts - x.Weighed; n > 0 {
		text := counted(n, "cut") + " not weighed"
		if x.Estimated != nil {
			text += ", about " + span(x.Estimated)
		}
		had = append(had, text)
	}
	if len(had) > 0 {
		fmt.Fprintf(b, "    written down: %s\n", strings.Join(had, "; "))
	}
	if x.Taken != nil {
		fmt.Fprintf(b, "    together about %s\n", span(x.Taken))
	}
	for _, h := range x.Heights {
		fmt.Fprintf(b, "    %s: %s tall, expected %s (%s to %s)\n", h.Date, stick(h.Seen, u), stick(h.Expected.Mid, u), stick(h.Expected.Low, u), stick(h.Expected.High, u))
	}
	for _, r := range x.Reasons {
		fmt.Fprintf(b, "    %s\n", r)
	}
}
