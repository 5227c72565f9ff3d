package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"rowen/crop"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/quantity"
)

// FieldSheet is what a grower needs of one stand on one page.
type FieldSheet struct {
	Mix         *crop.Mix
	Place, Soil string
	First, Last int
	Grown       []Candidate // the stand in each of its uses
	Overrides   []crop.Override
}

// sheetWidth is the width of the page, characters: a printed page in portrait.
const sheetWidth = 96

// WriteFieldSheet writes the page, with every value's source.
func WriteFieldSheet(w io.Writer, s *FieldSheet, u quantity.System) error {
	p := &page{u: u, sources: map[string]int{}}
	p.title(s.Mix)
	for i := range s.Mix.Parts {
		k := s.Mix.Parts[i].Crop
		if len(s.Mix.Parts) > 1 {
			p.para("PART", fmt.Sprintf("%s (%s), %s%s", k.Title, k.Name, seedRate(s.Mix.Parts[i].Rate, u), sharesWord(s.Mix.Parts[i].Share)))
		}
		p.sow(k, len(s.Mix.Parts) == 1)
		p.ground(k)
	}
	p.uses(s.Mix)
	for i := range s.Mix.Parts {
		p.quality(s.Mix.Parts[i].Crop, len(s.Mix.Parts) > 1)
	}
	p.frost(s.Mix)
	p.grown(s)
	p.words(s.Mix)
	for _, o := range s.Overrides {
		p.para("CHANGED", fmt.Sprintf("%s %s was %g, is %g (%s)", o.Crop, o.Parameter, o.Was, o.Is, o.At))
	}
	p.list()
	fmt.Fprintln(&p.b, "The veterinarian, the laboratory, the label and local rules go before this page.")
	_, err := io.WriteString(w, p.b.String())
	return err
}

// page gathers the sheet's lines and numbers its sources in order.
type page struct {
	b       strings.Builder
	u       quantity.System
	sources map[string]int
	order   []handbook.Source
}

// cite gives a source its number.
func (p *page) cite(s handbook.Source) string {
	if s.Reading == 0 {
		return ""
	}
	key := s.String()
	n, ok := p.sources[key]
	if !ok {
		n = len(p.order) + 1
		p.sources[key] = n
		p.order = append(p.order, s)
	}
	return fmt.Sprintf(" [%d]", n)
}

// para writes a headed paragraph, wrapped.
func (p *page) para(head, text string) {
	const margin = 9
	line := fmt.Sprintf("%-*s", margin, head)
	for _, word := range strings.Fields(text) {
		if len([]rune(line))+1+len([]rune(word)) > sheetWidth {
			fmt.Fprintln(&p.b, strings.TrimRight(line, " "))
			line = strings.Repeat(" ", margin)
		}
		if strings.TrimSpace(line) != "" && len(line) > margin {
			line += " "
		}
		line += word
	}
	fmt.Fprintln(&p.b, strings.TrimRight(line, " "))
}

func (p *page) title(m *crop.Mix) {
	kinds := map[crop.Life]string{crop.Annual: "annual", crop.Winter: "winter annual", crop.Perennial: "perennial"}
	risk := "no prussic acid"
	for i := range m.Parts {
		switch m.Parts[i].Crop.Prussic {
		case hazard.PrussicSorghum:
			risk = "PRUSSIC ACID"
		case hazard.PrussicSudangrass:
			if risk != "PRUSSIC ACID" {
				risk = "PRUSSIC ACID (lower)"
			}
		}
	}
	fmt.Fprintf(&p.b, "%s (%s): %s, %s\n%s\n", m.Title, m.Name, kinds[m.Parts[0].Crop.Life], risk, strings.Repeat("=", sheetWidth))
}

func sharesWord(share float64) string {
	if share <= 0 || share >= 1 {
		return ""
	}
	return fmt.Sprintf(", %.0f %% of the ground", 100*share)
}

// temperature is one in whole degrees of the reader's unit.
func (p *page) temperature(t quantity.Temperature) string {
	if p.u == quantity.Metric {
		return fmt.Sprintf("%.0f °C", float64(t))
	}
	return fmt.Sprintf("%.0f °F", math.Round(1.8*float64(t)+32)+0) // + 0: no minus before a zero
}

// length is a height or depth in the reader's unit.
func (p *page) length(l quantity.Length) string { return depth(l, p.u) }

func (p *page) money(m quantity.MoneyPerMass) string {
	if p.u == quantity.Metric {
		return fmt.Sprintf("%.2f USD/kg", float64(m))
	}
	return fmt.Sprintf("%.2f USD/lb", float64(m)*float64(quantity.Pound))
}

func daysWord(n int) string {
	if n == 1 {
		return "a day"
	}
	return fmt.Sprintf("%d days", n)
}

func (p *page) sow(k *crop.Crop, alone bool) {
	s := &k.Sowing
	text := fmt.Sprintf("when the soil at 4 in has held %s for %s, %s to %s; ", p.temperature(s.SoilTemperature), daysWord(s.HoldDays), s.Earliest, s.Latest)
	if alone {
		text += fmt.Sprintf("drill %s", seedRate(s.Drilled, p.u))
		if s.DrilledLow < s.Drilled || s.DrilledHigh > s.Drilled {
			text += fmt.Sprintf(" (%s to %s are printed)", seedRate(s.DrilledLow, p.u), seedRate(s.DrilledHigh, p.u))
		}
		text += fmt.Sprintf(", broadcast %s, ", seedRate(s.Broadcast, p.u))
	}
	perPound := float64(s.SeedsPerMass) * float64(quantity.Pound)
	text += fmt.Sprintf("%s deep; %s seeds/lb, %s seeds/sq ft at the drilled rate", p.length(s.Depth), quantity.Grouped(perPound, 0), quantity.Grouped(s.Drilled.PoundsPerAcre()*perPound/43560, 0))
	p.para("SOW", text+p.cite(s.Source))
	p.para("SEED", fmt.Sprintf("%s (%s to %s)%s; the farm's own price goes before it", p.money(k.Seed), p.money(k.SeedLow), p.money(k.SeedHigh), p.cite(k.SeedSource)))
}

func (p *page) ground(k *crop.Crop) {
	f := &k.Fit
	text := fmt.Sprintf("pH %g to %g; does well to %s, ", f.PHLow, f.PHHigh, f.Wettest)
	if f.WettestTolerated > f.Wettest {
		text += fmt.Sprintf("suffers to %s, ", f.WettestTolerated)
	}
	p.para("GROUND", text+"not on wetter; stands drought: "+f.Drought+p.cite(f.Source))
}

func (p *page) uses(m *crop.Mix) {
	head := "USE"
	for use := crop.Graze; use < crop.Uses; use++ {
		r := &m.Uses[use]
		switch {
		case !r.Allowed && r.Why == "":
			continue
		case r.Allowed && r.Ready > 0:
			text := fmt.Sprintf("%s from %s", use, p.length(r.Ready))
			if r.ReadyLow < r.Ready || r.ReadyHigh > r.Ready {
				text += fmt.Sprintf(" (%s to %s are printed)", p.length(r.ReadyLow), p.length(r.ReadyHigh))
			}
			p.para(head, text+p.useRest(r))
		case r.Allowed:
			p.para(head, fmt.Sprintf("%s at %s", use, stageName(m.Parts[0].Crop, r.ReadyAt))+p.useRest(r))
		default:
			p.para(head, fmt.Sprintf("not %s: %s%s", useNoun(use), r.Why, p.cite(r.Source)))
		}
		head = ""
	}
}

func (p *page) useRest(r *crop.UseRule) string {
	text := fmt.Sprintf(", leave %s", p.length(r.Residual))
	if r.TooTall > 0 {
		text += fmt.Sprintf(", past its best above %s", p.length(r.TooTall))
	}
	if r.First > 0 {
		text += fmt.Sprintf(", not before %.0f days from sowing", r.First.Days())
	}
	return text + fmt.Sprintf(", then %.0f days' rest at least", r.MinRest.Days()) + p.cite(r.Source)
}

func useNoun(u crop.Use) string {
	return map[crop.Use]string{crop.Graze: "grazed", crop.Wrap: "wrapped", crop.Chop: "for haylage", crop.Hay: "for hay", crop.Silage: "for whole-crop silage"}[u]
}

// stageName tells a developmental stage in words: 1 is heading, or soft dough
// where heads make the feed.
func stageName(k *crop.Crop, at float64) string {
	if v, ok := k.Growth["heads"]; ok && v.Value > 0 && !k.Brassica {
		return map[bool]string{true: "soft dough", false: fmt.Sprintf("%.0f %% of the way to soft dough", 100*at)}[at >= 0.99]
	}
	switch {
	case at < 0.9:
		return "flag leaf to early boot"
	case at < 0.97:
		return "boot"
	case at <= 1.05:
		return "early heading"
	}
	return "soft dough"
}

func (p *page) quality(k *crop.Crop, named bool) {
	g := func(name string) float64 { return k.Growth[name].Value }
	head := "FEED"
	name := ""
	if named {
		name = k.Title + ": "
	}
	text := fmt.Sprintf("%smoisture %.0f %% young, %.0f %% at %s; NDF of leaf %.0f to %.0f, of stem %.0f to %.0f %%; NDFD (48 h) %.0f young, %.0f old",
		name, 100*(1-g("dm_young")), 100*(1-g("dm_old")), ripeName(k), g("ndf_leaf_young"), g("ndf_leaf_old"), g("ndf_stem_young"), g("ndf_stem_old"), g("ndfd_young"), g("ndfd_old"))
	if h := g("heads"); h > 0 {
		word := "heads and grain"
		if k.Brassica {
			word = "bulbs"
		}
		text += fmt.Sprintf("; %s %.0f %% of it when ripe, starch %.0f %% of dry matter", word, 100*h, h*g("starch"))
	}
	p.para(head, text+p.cite(k.Growth["ndfd_old"].Source))
}

func ripeName(k *crop.Crop) string {
	switch {
	case k.Brassica:
		return "its full growth"
	case k.Growth["heads"].Value > 0:
		return "soft dough"
	}
	return "heading"
}

func (p *page) frost(m *crop.Mix) {
	for i := range m.Parts {
		k := m.Parts[i].Crop
		at := func(name string) string { return p.temperature(quantity.Temperature(k.Growth[name].Value)) }
		text := fmt.Sprintf("leaf burns at %s, the stand dies at %s%s", at("burn"), at("kill"), p.cite(k.Growth["burn"].Source))
		if k.Life.Winters() {
			text = fmt.Sprintf("leaf burns at %s; half of hardened crowns die at %s in the crown, under snow far colder air%s", at("burn"), at("hardiness"), p.cite(k.Growth["hardiness"].Source))
		}
		if len(m.Parts) > 1 {
			text = k.Title + ": " + text
		}
		p.para("FROST", text)
	}
}

// grown is what the stand gave over the years of a place.
func (p *page) grown(s *FieldSheet) {
	if len(s.Grown) == 0 {
		return
	}
	fmt.Fprintln(&p.b, strings.Repeat("-", sheetWidth))
	fmt.Fprintf(&p.b, "Grown alone in %d years (%d-%d) of %s, %s, dry matter:\n", len(s.Grown[0].Years), s.First, s.Last, s.Place, s.Soil)
	fmt.Fprintf(&p.b, "  %-8s %12s %12s %-22s %9s %5s %5s %6s %12s\n", "", "middle", "1 in 5", "first use, 8 in 10", "moisture", "CP", "NDF", "NDFD", "NEL")
	for i := range s.Grown {
		c := &s.Grown[i]
		x := c.Summarise()
		when := "-"
		if x.First[1] > 0 {
			when = dayName(x.First[0]) + " to " + dayName(x.First[2])
		}
		fmt.Fprintf(&p.b, "  %-8s %12s %12s %-22s %8.0f%% %4.0f%% %4.0f%% %5.0f%% %12s\n", c.Use, yield(x.Middle, p.u), yield(x.Bad, p.u), when, 100*x.Moisture, x.CP, x.NDF, x.NDFD, energy(x.NEL, p.u))
	}
	fmt.Fprintln(&p.b, strings.Repeat("-", sheetWidth))
}

// words are hazards, notes and contested points.
func (p *page) words(m *crop.Mix) {
	seen := map[string]bool{}
	each := func(head string, of func(*crop.Crop) []string) {
		for i := range m.Parts {
			for _, text := range of(m.Parts[i].Crop) {
				if !seen[text] {
					seen[text] = true
					p.para(head, text)
				}
			}
		}
	}
	each("CAUTION", func(k *crop.Crop) []string { return k.Cautions })
	each("NOTE", func(k *crop.Crop) []string { return k.Notes })
	each("DISPUTED", func(k *crop.Crop) []string { return k.Contested })
}

// list prints the sources in the order of their numbers.
func (p *page) list() {
	numbers := make([]string, len(p.order))
	for i, s := range p.order {
		numbers[i] = fmt.Sprintf("[%d] %s.", i+1, s)
	}
	p.para("SOURCES", strings.Join(numbers, " "))
}

// WriteParameters writes a crop's growth parameters with range, unit and source.
func WriteParameters(w io.Writer, k *crop.Crop) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s (%s): growth parameters\n", k.Title, k.Name)
	for _, d := range crop.Definitions {
		v, ok := k.Growth[d.Name]
		if !ok {
			continue
		}
		span := ""
		if v.Low < v.High {
			span = fmt.Sprintf("%g to %g", v.Low, v.High)
		}
		fmt.Fprintf(b, "  %-19s %8g %-8s %-16s %s (%s)", d.Name, v.Value, d.Unit, span, d.Meaning, v.Source.Reading)
		if v.Note != "" {
			fmt.Fprintf(b, "; %s", v.Note)
		}
		if v.Overridden != "" {
			fmt.Fprintf(b, " CHANGED by %s", v.Overridden)
		}
		fmt.Fprintln(b)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// WriteCrops lists the catalogue with the uses of each stand.
func WriteCrops(w io.Writer, c *crop.Catalogue) error {
	b := &strings.Builder{}
	names := c.Names()
	wide := 0
	for _, n := range names {
		wide = max(wide, len(n))
	}
	for _, name := range names {
		m, _ := c.Mix(name)
		var uses []string
		for use := crop.Graze; use < crop.Uses; use++ {
			if m.Uses[use].Allowed {
				uses = append(uses, use.String())
			}
		}
		fmt.Fprintf(b, "%-*s  %-48s %s\n", wide, name, m.Title, strings.Join(uses, ", "))
	}
	_, err := io.WriteString(w, b.String())
	return err
}
