package report

import (
	"fmt"
	"io"
	"math"
	"sort"
	"strings"
	"time"

	"rowen/crop"
	"rowen/handbook/stats"
	"rowen/quantity"
)

// GrownYear is one year of a stand grown alone, as a comparison needs it.
type GrownYear struct {
	Year     int
	Yield    [24]float64 // harvested by half-month of the calendar year, kg DM/m²
	First    int         // day of the year of the first use; 0 none
	Sown     bool
	Unripe   bool    // frost or the season's end came before the stage it is grown for
	Reached  bool    // its first use came at the height or stage of the rule
	Cost     float64 // money/m²
	Moisture float64 // of fresh, 0..1
	CP       float64 // % of DM
	NDF      float64
	NDFD     float64
	NEL      float64 // Mcal/kg DM
	Nitrate  float64 // NO3-N estimated, ppm
}

// Total is the year's harvested dry matter, kg/m².
func (g *GrownYear) Total() (sum float64) {
	for _, y := range g.Yield {
		sum += y
	}
	return sum
}

// Candidate is one stand of a comparison over its years.
type Candidate struct {
	Mix   *crop.Mix
	Use   crop.Use
	Years []GrownYear
}

// Summary is what a candidate's years come to. Yields in kg DM/m².
type Summary struct {
	Middle, Bad, Worst float64 // median, one year in five, least
	ByHalfMonth        [24]float64
	BadByHalfMonth     [24]float64 // of the years no better than one in five
	First              [3]int      // day of the year of the first use: early, usual, late
	Unused, Unripe     float64     // shares of years
	CostPerKg          float64     // money/kg DM harvested, middle
	Moisture           float64
	CP, NDF, NDFD, NEL float64
	Nitrate            float64
}

// Summarise works a candidate's years.
func (c *Candidate) Summarise() (s Summary) {
	var totals, firsts, costs []float64
	var weight float64
	for i := range c.Years {
		g := &c.Years[i]
		t := g.Total()
		totals = append(totals, t)
		if g.First == 0 {
			s.Unused++
		} else {
			firsts = append(firsts, float64(g.First))
			costs = append(costs, g.Cost/t)
		}
		if g.Unripe {
			s.Unripe++
		}
		weight += t
		s.Moisture += t * g.Moisture
		s.CP += t * g.CP
		s.NDF += t * g.NDF
		s.NDFD += t * g.NDFD
		s.NEL += t * g.NEL
		s.Nitrate += t * g.Nitrate
	}
	n := float64(len(c.Years))
	if n == 0 {
		return s
	}
	s.Middle, s.Bad, s.Worst = stats.Percentile(totals, 0.5), stats.Percentile(totals, 0.2), stats.Percentile(totals, 0)
	var poor float64
	for i := range c.Years {
		bad := totals[i] <= s.Bad
		if bad {
			poor++
		}
		for h, y := range c.Years[i].Yield {
			s.ByHalfMonth[h] += y / n
			if bad {
				s.BadByHalfMonth[h] += y
			}
		}
	}
	for h := range s.BadByHalfMonth {
		s.BadByHalfMonth[h] /= max(1, poor)
	}
	s.Unused, s.Unripe = s.Unused/n, s.Unripe/n
	if len(firsts) > 0 {
		for k, p := range []float64{0.1, 0.5, 0.9} {
			s.First[k] = int(stats.Percentile(firsts, p) + 0.5)
		}
		s.CostPerKg = stats.Percentile(costs, 0.5)
	}
	if weight > 0 {
		for _, v := range []*float64{&s.Moisture, &s.CP, &s.NDF, &s.NDFD, &s.NEL, &s.Nitrate} {
			*v /= weight
		}
	}
	return s
}

// Comparison is stands side by side for a place over its years.
type Comparison struct {
	Place, Soil, Currency string
	First, Last           int
	Candidates            []Candidate
}

// column is the width of a candidate's column.
const column = 22

// WriteComparison writes stands side by side.
func WriteComparison(w io.Writer, c *Comparison, u quantity.System) error {
	b := &strings.Builder{}
	unit := "t/ha"
	per := func(v float64) float64 { return 10 * v }
	if u == quantity.US {
		unit = "ton/ac"
		per = func(v float64) float64 { return quantity.MassPerArea(v).TonsPerAcre() }
	}
	var s []Summary
	for i := range c.Candidates {
		s = append(s, c.Candidates[i].Summarise())
	}
	fmt.Fprintf(b, "%s, %s; %d years, %d-%d. Dry matter, %s, harvested.\nEach stand alone, used by its rule, on its usual manure; a bad year is one in five.\n\n", c.Place, c.Soil, len(c.Candidates[0].Years), c.First, c.Last, unit)
	line := func(name string, cell func(i int) string) {
		fmt.Fprintf(b, "%-22s", name)
		for i := range s {
			fmt.Fprintf(b, "%*s", column, cell(i))
		}
		fmt.Fprintln(b)
	}
	line("", func(i int) string { return clip(c.Candidates[i].Mix.Name, column-1) })
	line("use", func(i int) string { return c.Candidates[i].Use.String() })
	for h := range 24 {
		grows := false
		for i := range s {
			grows = grows || per(s[i].ByHalfMonth[h]) >= 0.05 || per(s[i].BadByHalfMonth[h]) >= 0.05
		}
		if !grows {
			continue
		}
		line(halfMonthName(h), func(i int) string {
			return fmt.Sprintf("%s  bad %4s", small(per(s[i].ByHalfMonth[h])), small(per(s[i].BadByHalfMonth[h])))
		})
	}
	line("year, middle", func(i int) string { return fmt.Sprintf("%.1f", per(s[i].Middle)) })
	line("  bad; worst", func(i int) string { return fmt.Sprintf("%.1f; %.1f", per(s[i].Bad), per(s[i].Worst)) })
	line("first use, usual", func(i int) string { return dayName(s[i].First[1]) })
	line("  one in ten", func(i int) string {
		if s[i].First[1] == 0 {
			return "-"
		}
		return dayName(s[i].First[0]) + " - " + dayName(s[i].First[2])
	})
	line("never used", func(i int) string { return share(s[i].Unused) })
	line("frost before it is ripe", func(i int) string {
		if !ripens(&c.Candidates[i]) {
			return "no stage to reach"
		}
		return share(s[i].Unripe)
	})
	line("cost, harvested", func(i int) string {
		if s[i].CostPerKg == 0 {
			return "-"
		}
		return perTon(s[i].CostPerKg, c.Currency, u)
	})
	line("moisture when taken", func(i int) string { return fmt.Sprintf("%.0f %%", 100*s[i].Moisture) })
	line("CP; NDF, % of DM", func(i int) string { return fmt.Sprintf("%.0f; %.0f", s[i].CP, s[i].NDF) })
	line("NDFD, 48 h; NEL", func(i int) string { return fmt.Sprintf("%.0f %%; %s", s[i].NDFD, energy(s[i].NEL, u)) })
	line("prussic acid", func(i int) string { return prussicWord(c.Candidates[i].Mix) })
	line("nitrate", func(i int) string {
		for _, p := range c.Candidates[i].Mix.Parts {
			if p.Crop.Nitrate {
				return "yes"
			}
		}
		return "little"
	})
	fmt.Fprint(b, "\nCost counts seed, seedbed, drilling, manure spreading and custom harvest at usual rates, a sward's seeding spread over its life; not land, store or losses.\n")
	for _, caution := range cautions(c) {
		fmt.Fprintf(b, "CAUTION %s\n", caution)
	}
	fmt.Fprintln(b, "The veterinarian, the laboratory, the label and local rules go before this page.")
	_, err := io.WriteString(w, b.String())
	return err
}

// ripens tells whether a stand is grown for a stage that frost may forestall.
func ripens(c *Candidate) bool {
	lead := c.Mix.Parts[0].Crop
	return c.Mix.Uses[c.Use].ReadyAt > 0 && lead.Life == crop.Annual
}

func prussicWord(m *crop.Mix) string {
	for _, p := range m.Parts {
		if p.Crop.Prussic != 0 {
			return "YES: see hazards"
		}
	}
	return "no"
}

func cautions(c *Comparison) (out []string) {
	seen := map[string]bool{}
	for i := range c.Candidates {
		for _, p := range c.Candidates[i].Mix.Parts {
			for _, text := range p.Crop.Cautions {
				if !seen[text] {
					seen[text] = true
					out = append(out, text)
				}
			}
		}
	}
	sort.Strings(out)
	return out
}

func small(v float64) string {
	if math.Abs(v) < 0.05 {
		return "-"
	}
	return fmt.Sprintf("%.1f", v)
}

func share(v float64) string {
	switch {
	case v == 0:
		return "no year"
	case v > 0.995:
		return "every year"
	}
	return fmt.Sprintf("%.0f years in 100", 100*v)
}

// dayName is a day of the year as a date; "-" for none.
func dayName(yearDay int) string {
	if yearDay == 0 {
		return "-"
	}
	_, m, d := (quantity.NewDate(2001, 1, 1) + quantity.Date(yearDay-1)).Civil()
	return fmt.Sprintf("%d %s", d, m.String()[:3])
}

// halfMonthName is a half-month of the year in words.
func halfMonthName(h int) string {
	month := time.Month(h/2 + 1).String()[:3]
	if h%2 == 0 {
		return "1-15 " + month
	}
	return "16-end " + month
}

// energy writes net energy of lactation.
func energy(mcalPerKg float64, u quantity.System) string {
	if u == quantity.US {
		return fmt.Sprintf("%.2f Mcal/lb", mcalPerKg/2.20462)
	}
	return fmt.Sprintf("%.2f Mcal/kg", mcalPerKg)
}
