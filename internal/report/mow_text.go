package report

import (
	"fmt"
	"io"
	"strings"

	"rowen/quantity"
)

// WriteMow writes a mowing as one calm screen.
func WriteMow(w io.Writer, m *Mow, u quantity.System) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s, %s, %s: %s\n", m.Farm, m.Field, m.Date, m.Use)
	ahead := "no forecast is given"
	if m.Forecast > 0 {
		ahead = fmt.Sprintf("%d days of forecast, taken at their word", m.Forecast)
	}
	fmt.Fprintf(b, "Weather of %s, last known %s; %s; then what %d other years had.\n", m.Station, m.Weather, ahead, m.Years)
	length := func(r Range) string {
		return fmt.Sprintf("%s (%s to %s)", stick(r.Mid, u), stick(r.Low, u), stick(r.High, u))
	}
	fmt.Fprintf(b, "\n%s, %s tall; %s (%s to %s) above %s of stubble, %.0f %% moisture (%.0f to %.0f); %s\n", m.Stand, length(m.Height),
		yield(m.Yield.Mid/1000, u), yield(m.Yield.Low/1000, u), yield(m.Yield.High/1000, u), stick(m.Stubble, u), m.Moisture.Mid, m.Moisture.Low, m.Moisture.High, m.Say)
	crimped := "not conditioned"
	if m.Conditioned {
		crimped = "conditioned"
	}
	fmt.Fprintf(b, "Swath over %.0f %% of the cut width, %s, dried to %.0f %%.\n", 100*m.Swath, crimped, m.Target)
	if m.Held != "" {
		fmt.Fprintf(b, "\n! %s says Hold: the days below speak of drying alone\n", m.Held)
	}
	fmt.Fprintf(b, "\n%s%s\n", strings.ToUpper(m.Advice[:1]), m.Advice[1:])
	m.writeDays(b)
	m.writeLosses(b, u)
	m.writeStore(b, u)
	gates := &strings.Builder{}
	for i := range m.Gates {
		writeGate(gates, &m.Gates[i], false, u)
	}
	if gates.Len() > 0 {
		fmt.Fprintf(b, "\nGates\n%s", gates)
	}
	list := func(title string, lines []string) {
		if len(lines) > 0 {
			fmt.Fprintf(b, "\n%s\n", title)
		}
		for _, l := range lines {
			fmt.Fprintf(b, "  %s\n", l)
		}
	}
	list("Heed", m.Cautions)
	list("Assumed", m.Assumed)
	for _, n := range m.Notices {
		fmt.Fprintf(b, "\nNote: %s\n", n)
	}
	fmt.Fprintln(b, "\nThe veterinarian, the laboratory, the label and local rules go before this page.")
	_, err := io.WriteString(w, b.String())
	return err
}

// day is a date of the model as a person says it.
func day(text string) string {
	d, err := quantity.ParseDate(text)
	if err != nil {
		return "–"
	}
	return shortDate(d)
}

// writeDays writes the table of days.
func (m *Mow) writeDays(b *strings.Builder) {
	fmt.Fprintln(b, "\n  mow on    dry day  in before rain  saved first  drying hours      in by")
	for i := range m.Days {
		x := &m.Days[i]
		if x.Mown == 0 {
			fmt.Fprintf(b, "  %-8s  %5.0f %%  not mown in rain\n", day(x.Day), x.Mown)
			continue
		}
		hours, by := "–", "not within ten days"
		if x.Middle != "" {
			hours = fmt.Sprintf("%.0f (%.0f to %.0f)", x.Hours.Mid, x.Hours.Low, x.Hours.High)
			by = fmt.Sprintf("%s (%s to %s)", day(x.Middle), day(x.Early), day(x.Late))
		}
		if x.Never >= 0.5 {
			by += fmt.Sprintf("; never in %.0f of 100", x.Never)
		}
		fmt.Fprintf(b, "  %-8s  %5.0f %%  %12.0f %%  %9.0f %%  %-16s  %s\n", day(x.Day), x.Mown, x.Dry, x.Rescue, hours, by)
	}
	for i := range m.Others {
		x := &m.Others[i]
		hours := fmt.Sprintf("%.0f (%.0f to %.0f)", x.Hours.Mid, x.Hours.Low, x.Hours.High)
		fmt.Fprintf(b, "  %s, %s: in before rain in %.0f of 100, drying hours %s\n", day(m.Best), x.What, x.Dry, hours)
	}
	saved := fmt.Sprintf("gathered at %.0f %% or less", m.Wettest)
	if m.Wettest < 20 {
		saved = "wrapped at 60 % or less instead"
	}
	fmt.Fprintf(b, "  of 100 courses that weather, yield and drying may take; saved first: rain is coming, but by then it can be %s\n", saved)
}

// writeLosses writes what is lost on the best day, with and without rain.
func (m *Mow) writeLosses(b *strings.Builder, u quantity.System) {
	for i := range m.Days {
		x := &m.Days[i]
		if x.Day != m.Best {
			continue
		}
		fmt.Fprintf(b, "\nLost on the way, mown on %s\n", day(x.Day))
		lost := func(name string, r Range, more string) {
			if r != (Range{}) {
				fmt.Fprintf(b, "  %s: %.0f %% of dry matter (%.0f to %.0f): %s\n", name, r.Mid, r.Low, r.High, more)
			}
		}
		lost("without rain", x.LostDry, fmt.Sprintf("breathed away about %.1f, left by gathering about %.1f", x.Breathed, x.Gathered))
		lost("rained on and still brought in", x.LostRained, fmt.Sprintf("breathed away about %.1f, washed out about %.1f, left by gathering about %.1f", x.BreathedIn, x.Washed, x.Gathered))
	}
	if m.Best == "" {
		return
	}
	worth := func(name string, q Worth) {
		fmt.Fprintf(b, "  %s: protein %.0f %%, NDF %.0f %%, NEL %s\n", name, q.CP, q.NDF, energy(q.NEL, u))
	}
	worth("as it stands", m.Quality.Standing)
	worth("in store without rain", m.Quality.Dry)
	if m.Quality.Rained != nil {
		worth("in store after rain", *m.Quality.Rained)
	}
}

// writeStore writes what comes into store.
func (m *Mow) writeStore(b *strings.Builder, u quantity.System) {
	s := m.Store
	if s == nil {
		return
	}
	space := func(m3 float64) string {
		if u == quantity.US {
			return quantity.Grouped(m3/0.028316846592, 0) + " ft³"
		}
		return quantity.Grouped(m3, 0) + " m³"
	}
	ground := func(m2 float64) string {
		if u == quantity.US {
			return quantity.Grouped(m2/0.09290304, 0) + " ft²"
		}
		return quantity.Grouped(m2, 0) + " m²"
	}
	side := func(metres float64) string {
		if u == quantity.US {
			return fmt.Sprintf("%.1f ft", quantity.Length(metres).Feet())
		}
		return fmt.Sprintf("%.2f m", metres)
	}
	what := "loads"
	if s.Bales {
		what = "round bales"
	}
	fmt.Fprintln(b, "\nInto store, rain or not")
	ton := func(kg float64) string {
		if kg < Nothing {
			return "nothing"
		}
		return mass(kg, u)
	}
	fmt.Fprintf(b, "  %s of dry matter (%s to %s)\n", ton(s.DM.Mid), ton(s.DM.Low), ton(s.DM.High))
	fmt.Fprintf(b, "  %s %s (%s to %s) of %s as fed, %s dry", quantity.Grouped(s.Count.Mid, 0), what, quantity.Grouped(s.Count.Low, 0), quantity.Grouped(s.Count.High, 0), smallMass(s.EachFresh, u), smallMass(s.EachDry, u))
	if s.Bales {
		fmt.Fprintf(b, ", %s thick and %s wide", side(s.Diameter), side(s.Width))
	}
	fmt.Fprintln(b)
	if s.Rolls > 0 {
		fmt.Fprintf(b, "  film: %.0f layers of 1 mil, %.0f rolls 30 in wide of 1,500 m, about %.0f bales each, stretched 60 %%, each bale wrapped by itself\n", s.Layers, s.Rolls, s.PerRoll)
	}
	fmt.Fprintf(b, "  room: %s", space(s.Space))
	if s.Ground > 0 {
		fmt.Fprintf(b, ", %s of ground in one layer", ground(s.Ground))
	}
	fmt.Fprintln(b)
}
