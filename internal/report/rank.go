package report

import (
	"fmt"
	"io"
	"strings"

	"rowen/crop"
	"rowen/quantity"
)

// Ranking is the stands of the catalogue in the order in which they suit a piece of
// ground: by the class that the rules give (the worst of a stand's reasons), then
// by the yield of the middle year, then by the growth that the ground leaves. A
// rule goes before a simulated yield: the simulation does not know all that made
// the rule. Yields are kg DM/m², harvested, each stand grown alone.
type Ranking struct {
	Farm   string        `json:"farm,omitempty"`
	Field  string        `json:"field,omitempty"`
	Soil   string        `json:"soil"`
	Place  string        `json:"weather_station"`
	Use    string        `json:"use,omitempty"` // empty: each stand in the use that yields most
	First  int           `json:"first_weather_year"`
	Last   int           `json:"last_weather_year"`
	Years  int           `json:"weather_years"`
	Notes  []RankReason  `json:"notes"` // what holds for every stand, and what was not judged
	Stands []RankedStand `json:"stands"`
}

// RankedStand is one stand of a ranking.
type RankedStand struct {
	Name        string           `json:"name"`
	Title       string           `json:"title"`
	Use         string           `json:"use,omitempty"`
	Suitability crop.Suitability `json:"-"`
	Class       string           `json:"class"`
	Middle      float64          `json:"yield_middle_kg_per_m2"`
	Bad         float64          `json:"yield_bad_kg_per_m2"` // one year in five
	Growth      float64          `json:"growth_left_by_the_ground"`
	Years       int              `json:"weather_years"`
	Sown        int              `json:"years_sown_in_time"`
	Reached     int              `json:"years_use_reached"`
	Reasons     []RankReason     `json:"reasons"`
	Cautions    []string         `json:"cautions"`
}

// RankReason is one rule's words on a stand.
type RankReason struct {
	Suitability crop.Suitability `json:"-"`
	Class       string           `json:"class,omitempty"`
	Rule        string           `json:"rule"`
	Text        string           `json:"text"`
	Source      string           `json:"source"`
}

// rankPage numbers the sources in the order in which they are cited.
type rankPage struct {
	page
	numbers map[string]int
	cited   []string
}

func (p *rankPage) cite(source string) string {
	n, ok := p.numbers[source]
	if !ok {
		p.cited = append(p.cited, source)
		n = len(p.cited)
		p.numbers[source] = n
	}
	return fmt.Sprintf(" [%d]", n)
}

// WriteRanking writes a ranking as a page: what speaks against a stand first, then
// what fits, each rule with its source.
func WriteRanking(w io.Writer, r *Ranking, u quantity.System) error {
	p := &rankPage{page: page{u: u}, numbers: map[string]int{}}
	use := "each in the use that yields most"
	if r.Use != "" {
		use = "for " + r.Use
	}
	title := "Stands for " + r.Soil
	if r.Field != "" {
		title = fmt.Sprintf("Stands for %s (%s): %s", r.Field, r.Farm, r.Soil)
	}
	fmt.Fprintf(&p.b, "%s; %s\n%s\n", title, use, strings.Repeat("=", sheetWidth))
	p.para("WEATHER", fmt.Sprintf("%s, %d years, %d-%d; dry matter harvested, each stand alone, used by its rule, on its usual manure", r.Place, r.Years, r.First, r.Last))
	p.para("ORDER", "by the rules first (suited, marginal, unsuited), then by the simulated yield of the middle year, then by the growth that the ground leaves: a rule goes before a simulation")
	for i := range r.Notes {
		p.para("NOTE", r.Notes[i].Rule+": "+r.Notes[i].Text+p.cite(r.Notes[i].Source))
	}
	fmt.Fprintf(&p.b, "\n    %-48s %-8s %-8s %11s %11s\n", "stand", "use", "verdict", "middle", "1 in 5")
	for i := range r.Stands {
		p.stand(i+1, &r.Stands[i])
	}
	fmt.Fprintln(&p.b)
	for _, text := range rankCautions(r) {
		p.para("CAUTION", text)
	}
	var sources []string
	for i, s := range p.cited {
		sources = append(sources, fmt.Sprintf("[%d] %s.", i+1, s))
	}
	p.para("SOURCES", strings.Join(sources, " "))
	fmt.Fprintln(&p.b, "What ground outside the range costs, and how many years are enough, is common practice. The veterinarian, the laboratory, the label and local rules go before this page.")
	_, err := io.WriteString(w, p.b.String())
	return err
}

// stand writes one stand's line and its reasons.
func (p *rankPage) stand(n int, s *RankedStand) {
	middle, bad := "-", "-"
	if s.Middle > 0 || s.Sown > 0 {
		middle, bad = yield(s.Middle, p.u), yield(s.Bad, p.u)
	}
	fmt.Fprintf(&p.b, "%2d. %-48s %-8s %-8s %11s %11s\n", n, clip(s.Title, 47), s.Use, s.Class, middle, bad)
	var fits []string
	for i := range s.Reasons {
		r := &s.Reasons[i]
		if r.Suitability == crop.Suited {
			if s.Suitability < crop.Unsuited { // what is ruled out needs its reasons alone
				fits = append(fits, r.Text+p.cite(r.Source))
			}
			continue
		}
		p.para("", strings.ToUpper(r.Rule)+": "+r.Text+p.cite(r.Source))
	}
	if len(fits) > 0 {
		p.para("", "fits: "+strings.Join(fits, "; "))
	}
}

// rankCautions are the cautions of the stands that the page does not rule out.
func rankCautions(r *Ranking) (out []string) {
	seen := map[string]bool{}
	for i := range r.Stands {
		if r.Stands[i].Suitability == crop.Unsuited {
			continue
		}
		for _, text := range r.Stands[i].Cautions {
			if !seen[text] {
				seen[text] = true
				out = append(out, text)
			}
		}
	}
	return out
}
