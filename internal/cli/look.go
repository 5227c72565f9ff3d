package cli

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"rowen/handbook/hazard"
	"rowen/internal/desk"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/weather"
)

type growCommand struct {
	officeFlag
	stationFlags
	Crop     string   `arg:"" help:"Crop or mixture of the catalogue."`
	Weather  string   `help:"Weather file; default the invented valley's." placeholder:"FILE"`
	Sow      string   `help:"Sowing date; default: when the soil has held the crop's temperature." placeholder:"DATE"`
	Cut      []string `help:"Dates of use; default: by the rule of --use." placeholder:"DATE"`
	Use      string   `help:"${uses}." placeholder:"USE"`
	Soil     string   `help:"Texture, drainage and pH." placeholder:"TEXT"`
	Nitrogen []string `help:"Nitrogen, the first at sowing or in April, the others after each use: 60 lb/ac; default: usual manure." placeholder:"RATE"`
	Residual string   `help:"Height to leave; default: by the rule of --use." placeholder:"LENGTH"`
	NoTill   bool     `help:"Sown without tillage."`
	Age      float64  `help:"Years since a sward was sown." placeholder:"YEARS"`
	Years    string   `help:"First and last feed year." placeholder:"A-B"`
	CSV      bool     `name:"csv" help:"Print every day's state as CSV."`
	JSON     bool     `name:"json" help:"Print everything as JSON."`
}

// Help shows examples and documents the columns.
func (growCommand) Help() string {
	return `Columns of --csv: date; height_cm; standing_kg_per_ha (tops, dry matter); leaf_area_index; stage (0 emergence or last use, 1 heading, or soft dough where grain makes the feed); growth_kg_per_ha (of tops, that day); water_supply (1 enough, 0 none); root_zone_depletion_mm; mineral_nitrogen_kg_per_ha; reserves_kg_per_ha.

` + examples("grow")
}

// Run grows and prints.
func (c growCommand) Run(f *face) error {
	grown, station, err := desk.Grow(desk.GrowRequest{Crop: c.Crop, At: c.at(c.Weather), Sow: c.Sow, Cuts: c.Cut, Use: c.Use, Soil: c.Soil, Nitrogen: c.Nitrogen, Residual: c.Residual, NoTill: c.NoTill, Age: c.Age, Years: c.Years, Catalogue: c.Catalogue})
	if err != nil {
		return err
	}
	switch {
	case c.JSON:
		e := json.NewEncoder(f.out)
		e.SetIndent("", " ")
		return e.Encode(grown)
	case c.CSV:
		return growCSV(f.out, grown)
	}
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s, weather of %s. Dry matter; 1 ton/ac is 2,242 kg/ha.\n", c.Crop, station)
	fmt.Fprintf(b, "%-6s %-11s %-11s %5s %8s %9s %6s %5s %5s %6s\n", "year", "sown", "used", "days", "height", "ton/ac", "moist", "CP", "NDF", "NEL")
	for _, g := range grown {
		if len(g.Uses) == 0 {
			fmt.Fprintf(b, "%-6d %-11s no use: never ready, or not established\n", g.Year, g.Sown)
			continue
		}
		for i, u := range g.Uses {
			year, sown := strconv.Itoa(g.Year), g.Sown
			if i > 0 {
				year, sown = "", ""
			}
			fmt.Fprintf(b, "%-6s %-11s %-11s %5d %5.0f in %9.2f %5.0f%% %4.0f%% %4.0f%% %6.2f\n", year, sown, u.Date, u.Rest, u.Height/2.54, u.DM/2241.7, u.Moisture, u.CP, u.NDF, u.NEL)
		}
		fmt.Fprintf(b, "%-6s %-11s %-11s %5s %8s %9.2f   water supply %.2f\n", "", "", "year", "", "", g.Yield/2241.7, g.Stress)
	}
	_, err = io.WriteString(f.out, b.String())
	return err
}

func growCSV(w io.Writer, grown []desk.Grown) error {
	c := csv.NewWriter(w)
	rows := [][]string{{"date", "height_cm", "standing_kg_per_ha", "leaf_area_index", "stage", "growth_kg_per_ha", "water_supply", "root_zone_depletion_mm", "mineral_nitrogen_kg_per_ha", "reserves_kg_per_ha"}}
	n := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }
	for _, g := range grown {
		for _, d := range g.Days {
			rows = append(rows, []string{d.Date, n(d.Height), n(d.Mass), n(d.LeafArea), n(d.Stage), n(d.Growth), n(d.Supply), n(d.Depleted), n(d.Nitrogen), n(d.Reserve)})
		}
	}
	return c.WriteAll(rows)
}

type weatherCommand struct {
	stationFlags
	File     string `arg:"" optional:"" help:"Weather file or folder; default the invented valley's."`
	Units    string `help:"us or metric." default:"us"`
	Normals  bool   `help:"Print the months only."`
	Generate int    `help:"Instead, print so many years of invented weather fitted to the station, as a CSV that rowen reads." placeholder:"YEARS"`
	Seed     uint64 `help:"Seed of the invented weather." default:"1"`
}

// Help shows examples.
func (weatherCommand) Help() string { return examples("weather") }

// Run reads and prints.
func (c weatherCommand) Run(f *face) error {
	u, err := quantity.ParseSystem(c.Units)
	if err != nil {
		return fmt.Errorf("--units %w", err)
	}
	s, err := desk.Series(c.at(c.File))
	if err != nil {
		return err
	}
	if c.Generate > 0 {
		return writeGenerated(f.out, s, c.Generate, c.Seed)
	}
	return writeSummary(f.out, s, u, !c.Normals)
}

// writeGenerated fits a generator to a station and writes invented years as a CSV
// with units in its header.
func writeGenerated(w io.Writer, s *weather.Series, years int, seed uint64) error {
	if years > 1000 {
		return fmt.Errorf("--generate %d: give at most 1000 years", years)
	}
	g, err := weather.Fit(s)
	if err != nil {
		return err
	}
	made := g.Generate(seed, quantity.NewDate(2001, 1, 1), years)
	c := csv.NewWriter(w)
	n := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	rows := [][]string{{"date", "tmax_c", "tmin_c", "rain_mm", "latitude"}}
	for i := range made.Days {
		d := &made.Days[i]
		rows = append(rows, []string{(made.First + quantity.Date(i)).String(), n(d.TMax), n(d.TMin), n(d.Rain), strconv.FormatFloat(s.Station.Latitude, 'f', 4, 64)})
	}
	return c.WriteAll(rows)
}

func writeSummary(w io.Writer, s *weather.Series, u quantity.System, all bool) error {
	sum := s.Summarise()
	temp := func(c float64) float64 {
		if u == quantity.US {
			return quantity.Celsius(c).Fahrenheit()
		}
		return c
	}
	depth := func(mm float64) string {
		if u == quantity.US {
			return quantity.Grouped(mm/25.4, 1)
		}
		return quantity.Grouped(mm, 0)
	}
	degree, long := "°F", "in"
	if u == quantity.Metric {
		degree, long = "°C", "mm"
	}
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s: %v to %v, %s days\n\n", s.Station.Name, sum.First, sum.Last, quantity.Grouped(float64(sum.Days), 0))
	fmt.Fprintf(b, "%-6s %6s %6s %8s %8s %8s %8s %6s %9s %8s\n", "", "max", "min", "rain", "10 %", "50 %", "90 %", "wet d", "deficit", "°Cd>10")
	for i, m := range sum.Months {
		fmt.Fprintf(b, "%-6s %6.1f %6.1f %8s %8s %8s %8s %6.1f %9s %8.0f\n", time.Month(i + 1).String()[:3], temp(m.TMax), temp(m.TMin), depth(m.Rain.Mean), depth(m.Rain.P10), depth(m.Rain.P50), depth(m.Rain.P90), m.WetDays, depth(m.Deficit), m.DegreeDays)
	}
	fmt.Fprintf(b, "(%s, %s; deficit: reference evapotranspiration less rain)\n", degree, long)
	if all {
		writeFreezes(b, &sum)
		fmt.Fprintf(b, "\nApril to October: warmth %.0f °Cd above 10 °C (one year in ten below %.0f, above %.0f); rain %s %s (%s to %s); deficit %s %s (%s to %s)\n",
			sum.Warmth.Mean, sum.Warmth.P10, sum.Warmth.P90, depth(sum.Rain.Mean), long, depth(sum.Rain.P10), depth(sum.Rain.P90), depth(sum.Deficit.Mean), long, depth(sum.Deficit.P10), depth(sum.Deficit.P90))
		scale := 1.0
		if u == quantity.US {
			scale = 1.8
		}
		fmt.Fprintf(b, "Trend a decade: %+.2f %s (± %.2f), rain %+.0f mm (± %.0f)\n", sum.TrendTemperature.PerDecade*scale, degree, sum.TrendTemperature.Error*scale, sum.TrendRain.PerDecade, sum.TrendRain.Error)
		if len(sum.Notices) > 0 {
			fmt.Fprintln(b, "\nNoticed")
			for _, n := range sum.Notices {
				fmt.Fprintf(b, "  %s: %s\n", n.Kind, n.Text)
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func writeFreezes(b *strings.Builder, sum *weather.Summary) {
	day := func(d float64) string {
		if math.IsNaN(d) {
			return "-"
		}
		date := quantity.NewDate(2001, 1, 1) + quantity.Date(d+0.5) - 1
		_, m, n := date.Civil()
		return quantity.MonthDay{Month: m, Day: n}.String()
	}
	fmt.Fprintf(b, "\n%-9s %7s | last of spring, after it: %-24s | first of autumn, before it:\n", "freeze", "years", "90 %, 50 %, 10 %")
	for i := range sum.Spring {
		sp, au := sum.Spring[i], sum.Autumn[i]
		fmt.Fprintf(b, "%-9s %3.0f %3.0f | %8s %8s %8s %24s | %8s %8s %8s\n", quantity.Celsius(sp.Threshold).In(quantity.US), 100*sp.Share(), 100*au.Share(),
			day(sp.Day(0.1)), day(sp.Day(0.5)), day(sp.Day(0.9)), "", day(au.Day(0.1)), day(au.Day(0.5)), day(au.Day(0.9)))
	}
	fmt.Fprintln(b, "(years: per cent of springs and autumns with such a freeze; dates by the two-part distribution)")
}

type cropsCommand struct {
	officeFlag
	stationFlags
	Name       string `arg:"" optional:"" help:"Crop or mixture to show on one page."`
	Weather    string `help:"Weather file; default the invented valley's." placeholder:"FILE"`
	Soil       string `help:"Texture, drainage, pH, organic matter." placeholder:"TEXT"`
	Parameters bool   `help:"Show the growth parameters instead, with ranges and sources."`
	Units      string `help:"us or metric." default:"us"`
}

// Help shows examples.
func (cropsCommand) Help() string { return examples("crops") }

// Run lists or shows.
func (c cropsCommand) Run(f *face) error {
	u, err := quantity.ParseSystem(c.Units)
	if err != nil {
		return fmt.Errorf("--units %w", err)
	}
	if c.Name == "" {
		cat, err := desk.Catalogue(c.Catalogue)
		if err != nil {
			return err
		}
		return report.WriteCrops(f.out, cat)
	}
	sheet, err := desk.FieldSheet(desk.CompareRequest{Crops: []string{c.Name}, At: c.at(c.Weather), Soil: c.Soil, Catalogue: c.Catalogue})
	if err != nil {
		return err
	}
	if c.Parameters {
		for i := range sheet.Mix.Parts {
			if err := report.WriteParameters(f.out, sheet.Mix.Parts[i].Crop); err != nil {
				return err
			}
		}
		return nil
	}
	return report.WriteFieldSheet(f.out, sheet, u)
}

type hazardsCommand struct {
	Hazard string `arg:"" optional:"" help:"One hazard alone, with what other sources print; the beginning of its name is enough."`
}

// Help shows examples.
func (hazardsCommand) Help() string { return examples("hazards") }

// Run prints the rules.
func (c hazardsCommand) Run(f *face) error {
	page, err := hazard.Page(c.Hazard)
	if err != nil {
		return err
	}
	_, err = io.WriteString(f.out, page)
	return err
}
