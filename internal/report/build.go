package report

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/feed"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/season"
)

// Build makes the page model of a plan's result.
func Build(f *farm.Farm, r *season.Result, m Manifest, station string, notices []string) *Plan {
	p := &Plan{
		Rowen: 1, Engine: season.Engine, Manifest: m, Notices: notices,
		Farm: FarmLine{Name: f.Name, Organic: f.Organic, Currency: f.Currency, Units: f.Units.String(), First: f.FeedYear.In(f.Target - 1).String(), Station: station},
	}
	if f.FeedYear.Month <= 2 {
		p.Farm.First = f.FeedYear.In(f.Target).String()
	}
	for i := range r.Years {
		p.Years = append(p.Years, yearLine(&r.Years[i]))
	}
	p.Middle, p.Bad, p.Worst = outcome(f, &r.Years[r.Middle]), outcome(f, &r.Years[r.Bad]), outcome(f, &r.Years[r.Worst])
	p.Bands = bands(r)
	p.sowings(f, r)
	p.seedOrder(f)
	p.safety(f)
	for _, a := range f.Assumed {
		p.Assumed = append(p.Assumed, Assumed(a))
	}
	p.calendar(f, r)
	p.Sources = sources(f)
	for _, fig := range Figures(p) {
		p.Figures = append(p.Figures, FigureKey{Key: fig.Key, Label: fig.Label, Value: fig.Value, Unit: fig.Unit})
	}
	return p
}

func yearLine(y *season.YearResult) YearLine {
	l := YearLine{Year: int(y.ID), Shortage: y.Shortage, FedCost: y.Money.CostPerTonFed, Purchases: y.Money.BoughtForage + y.Money.Grain + y.Money.Protein}
	for i := range y.Ledger {
		l.Gap += y.Ledger[i].Gap
		l.Bought += y.Ledger[i].Fed[feed.BoughtHay] + y.Ledger[i].Fed[feed.BoughtForage]
	}
	for _, lot := range y.Closing {
		l.Closing += lot.DM
	}
	for i := range y.Fields {
		l.HeldDays += y.Fields[i].Holds
	}
	return l
}

// rowNames are the half-months of a feed year in order.
func rowNames(y *season.YearResult) []string {
	names := make([]string, season.HalfMonths)
	head := y.First.HalfMonth()
	for i := range names {
		h := (head + i) % season.HalfMonths
		month := quantity.MonthDay{Month: quantityMonth(h), Day: 1 + 15*(h%2)}
		names[i] = month.String()
	}
	return names
}

func outcome(f *farm.Farm, y *season.YearResult) Outcome {
	o := Outcome{Year: int(y.ID), Shortage: y.Shortage}
	names := rowNames(y)
	for i := range y.Ledger {
		l := &y.Ledger[i]
		row := Row{Name: names[i], Demand: l.Demand, Short: l.Short, Gap: l.Gap, Harvested: l.Harvested, Left: l.Left, Store: l.Store, Held: l.Held, Energy: l.Energy, Protein: l.CP}
		for k, v := range l.Fed {
			switch kind := feed.Kind(k); {
			case kind == feed.Pasture:
				row.Pasture += v
			case kind.HomeGrown():
				row.Stored += v
			case kind.Forage():
				row.Bought += v
			default:
				row.Grain += v
			}
		}
		o.Gap += row.Gap
		o.Demand += row.Demand
		o.Rows = append(o.Rows, row)
	}
	for i := range y.Fields {
		x := &y.Fields[i]
		line := FieldLine{
			Name: f.Fields[i].Name, Area: float64(f.Fields[i].Area), Stands: stands(f, i),
			Grown: x.Grown, Grazed: x.Grazed, Stored: x.Stored, Lost: x.FieldLoss + x.Trampled + x.Lying,
			Uses: x.Uses, Supply: x.Stress, Holds: x.Holds,
		}
		for h := range x.Ledger {
			line.ByRow = append(line.ByRow, x.Ledger[h].Grazed+x.Ledger[h].Harvested)
			line.GrazedBy = append(line.GrazedBy, x.Ledger[h].Grazed)
		}
		o.Fields = append(o.Fields, line)
	}
	for i := range y.Groups {
		o.Groups = append(o.Groups, groupLine(f, i, &y.Groups[i]))
	}
	m := &y.Money
	o.Money = MoneyLine{m.Seed, m.Work, m.Nitrogen, m.BoughtForage, m.Grain, m.Protein, m.OpeningStock, m.ClosingStock, m.CostPerTonGrown, m.CostPerTonFed, m.SwardGivenUp, m.NitrogenCredit, m.Reseeding, m.GrownDM, m.FedDM}
	for i := range y.Events {
		o.Events = append(o.Events, eventLine(f, &y.Events[i]))
	}
	return o
}

func groupLine(f *farm.Farm, i int, g *season.GroupYear) GroupLine {
	l := GroupLine{
		Name: f.Groups[i].Name, Class: f.Groups[i].Class, GrazingDays: g.GrazingDays, Share: g.PastureShare,
		RuleShare: g.RuleShare, RuleDays: g.RuleDays, Passes: g.PastureShare >= g.RuleShare && g.GrazingDays >= g.RuleDays,
		Energy: 9, Protein: 9,
	}
	for h := range g.Ledger {
		l.Demand += g.Ledger[h].Demand
		if g.Ledger[h].Demand > 0 {
			l.Energy, l.Protein = min(l.Energy, g.Ledger[h].Energy), min(l.Protein, g.Ledger[h].CP)
		}
	}
	return l
}

// stands is what a field carries through the year, in words.
func stands(f *farm.Farm, i int) string {
	var words []string
	if t := f.Fields[i].Stands.Title; t != "" {
		words = append(words, t)
	}
	for s := range f.Plan.Sowings {
		if f.Plan.Sowings[s].Field == i {
			words = append(words, f.Plan.Sowings[s].Mix.Title)
		}
	}
	if len(words) == 0 {
		return "bare or stubble"
	}
	return strings.Join(words, ", then ")
}

func bands(r *season.Result) []Band {
	names := rowNames(&r.Years[0])
	var out []Band
	for h := range season.HalfMonths {
		var home []float64
		for i := range r.Years {
			sum := 0.0
			for k, v := range r.Years[i].Ledger[h].Fed {
				if feed.Kind(k).HomeGrown() {
					sum += v
				}
			}
			home = append(home, sum)
		}
		out = append(out, Band{names[h], stats.Percentile(home, 0.1), stats.Percentile(home, 0.5), stats.Percentile(home, 0.9)})
	}
	return out
}

// sowings gathers over the years when each sowing happened and what it gave.
func (p *Plan) sowings(f *farm.Farm, r *season.Result) {
	for s := range f.Plan.Sowings {
		doc := &f.Plan.Sowings[s]
		field := &f.Fields[doc.Field]
		area := doc.Area
		if area == 0 {
			area = field.Area
		}
		line := Sowing{Field: field.Name, Crop: doc.Mix.Title, Area: float64(area), Use: useWords(doc.Use), Depth: depth(doc.Mix.Parts[0].Crop.Sowing.Depth, f.Units), Rule: sowRule(doc, f.Units)}
		for _, part := range doc.Mix.Parts {
			line.Rates = append(line.Rates, fmt.Sprintf("%s %s", part.Crop.Title, seedRate(part.Rate, f.Units)))
			for _, c := range part.Crop.Cautions {
				if !slices.Contains(line.Cautions, c) {
					line.Cautions = append(line.Cautions, c)
				}
			}
		}
		var sown, used []float64
		for i := range r.Years {
			x := &r.Years[i].Fields[doc.Field]
			if x.Sown == 0 {
				line.Dropped++
				continue
			}
			sown = append(sown, float64(x.Sown-r.Years[i].First))
			if x.FirstUse != 0 {
				used = append(used, float64(x.FirstUse-r.Years[i].First))
			}
			line.Held += float64(x.Holds) / float64(len(r.Years))
		}
		first := f.FeedYear.In(f.Target - 1)
		day := func(x []float64, q float64) string {
			if len(x) == 0 {
				return "never"
			}
			return shortDate(first + quantity.Date(stats.Percentile(x, q)+0.5))
		}
		line.Early, line.Usual, line.Late, line.FirstUse = day(sown, 0.1), day(sown, 0.5), day(sown, 0.9), day(used, 0.5)
		per := func(y *season.YearResult) float64 {
			return (y.Fields[doc.Field].Grazed + y.Fields[doc.Field].Stored) / float64(field.Area)
		}
		line.Middle, line.Bad = per(&r.Years[r.Middle]), per(&r.Years[r.Bad])
		p.Sowings = append(p.Sowings, line)
	}
}

func sowRule(s *farm.Sowing, u quantity.System) string {
	if s.On != 0 {
		return "on " + shortDate(s.On) + ", or as soon after as the ground carries a drill"
	}
	c := &s.Mix.Parts[0].Crop.Sowing
	return fmt.Sprintf("when the soil at 4 in (10 cm) has held %s for %d days, from %s", c.SoilTemperature.In(u), c.HoldDays, c.Earliest)
}

func useWords(u crop.Use) string {
	switch u {
	case crop.Graze:
		return "grazing"
	case crop.Wrap:
		return "wrapped bales"
	case crop.Chop:
		return "chopped haylage"
	case crop.Hay:
		return "dry hay"
	case crop.Silage:
		return "whole-crop silage"
	}
	return "left alone"
}

// seedOrder adds the seed of every sowing up by crop.
func (p *Plan) seedOrder(f *farm.Farm) {
	index := map[string]int{}
	for s := range f.Plan.Sowings {
		doc := &f.Plan.Sowings[s]
		area := doc.Area
		if area == 0 {
			area = f.Fields[doc.Field].Area
		}
		for _, part := range doc.Mix.Parts {
			price := part.Crop.Seed
			if own, ok := f.Prices.Seed[part.Crop.Name]; ok {
				price = own
			}
			i, ok := index[part.Crop.Title]
			if !ok {
				i = len(p.Seed)
				index[part.Crop.Title] = i
				p.Seed = append(p.Seed, SeedLine{Crop: part.Crop.Title, Price: float64(price)})
			}
			l := &p.Seed[i]
			l.Area += float64(area)
			l.Mass += float64(part.Rate) * float64(area)
			l.Rate = l.Mass / l.Area
			l.Cost = l.Mass * l.Price
		}
	}
}

// safety lists the rules that concern what stands and is kept here.
func (p *Plan) safety(f *farm.Farm) {
	var prussic, nitrate, brassica, legume, silage, hay bool
	look := func(m *crop.Mix, uses ...crop.Use) {
		for _, part := range m.Parts {
			c := part.Crop
			prussic = prussic || c.Prussic != hazard.NoPrussic
			nitrate = nitrate || c.Nitrate
			legume = legume || c.Legume
			brassica = brassica || strings.Contains(c.Name, "rape") || strings.Contains(c.Name, "turnip") || strings.Contains(c.Name, "kale")
		}
		for _, u := range uses {
			silage = silage || u == crop.Silage || u == crop.Chop
			hay = hay || u == crop.Hay
		}
	}
	for i := range f.Fields {
		look(&f.Fields[i].Stands, f.Fields[i].Use, f.Fields[i].FirstCut)
	}
	for i := range f.Plan.Sowings {
		look(&f.Plan.Sowings[i].Mix, f.Plan.Sowings[i].Use, f.Plan.Sowings[i].Then)
	}
	add := func(r hazard.Rule) {
		p.Safety = append(p.Safety, Safety{r.Hazard, r.Text, r.Source.String()})
	}
	wanted := map[string]bool{"prussic acid": prussic, "horses": prussic, "nitrate": nitrate}
	for _, r := range hazard.Rules() {
		if wanted[r.Hazard] && !strings.Contains(r.Text, "laboratory") {
			add(r)
		}
	}
	standing := map[string]bool{"silo gas": silage, "heating hay": hay, "brassicas": brassica, "bloat": legume, "nitrate": nitrate, "labels": true}
	for _, r := range hazard.Standing() {
		if standing[r.Hazard] {
			add(r)
		}
	}
}

// calendar is the season's dates in the planned year: what the middle of the years
// did, and what has to be done before.
func (p *Plan) calendar(f *farm.Farm, r *season.Result) {
	first := f.FeedYear.In(f.Target - 1)
	add := func(d quantity.Date, text, more string) {
		p.Calendar = append(p.Calendar, Entry{Date: d, Day: d.String(), Text: text, More: more})
	}
	add(f.Turnout.OnOrAfter(first), "Turn-out", "By height, not by the calendar; bring animals on over a week.")
	add(f.Housing.OnOrAfter(first), "Housing", "")
	for s := range f.Plan.Sowings {
		doc, line := &f.Plan.Sowings[s], &p.Sowings[s]
		var sown, used []float64
		for i := range r.Years {
			x := &r.Years[i].Fields[doc.Field]
			if x.Sown != 0 {
				sown = append(sown, float64(x.Sown-r.Years[i].First))
			}
			if x.FirstUse != 0 {
				used = append(used, float64(x.FirstUse-r.Years[i].First))
			}
		}
		if len(sown) == 0 {
			continue
		}
		usual := first + quantity.Date(stats.Percentile(sown, 0.5)+0.5)
		add(usual-60, "Order seed: "+line.Crop, strings.Join(line.Rates, "; "))
		add(first+quantity.Date(stats.Percentile(sown, 0.1)+0.5)-7, "Look at the soil thermometer: "+line.Field, line.Rule)
		add(usual, "Sow "+line.Crop+" on "+line.Field, fmt.Sprintf("In most years between %s and %s. %s. Depth %s.", line.Early, line.Late, strings.Join(line.Rates, "; "), line.Depth))
		if len(used) > 0 {
			at := first + quantity.Date(stats.Percentile(used, 0.5)+0.5)
			add(at-5, "Measure the height on "+line.Field, "First use ("+line.Use+") usually about "+line.FirstUse+". "+strings.Join(line.Cautions, ". "))
		}
	}
	slices.SortStableFunc(p.Calendar, func(a, b Entry) int { return cmp.Compare(a.Date, b.Date) })
}

// sources are the works that the plan's figures rest on.
func sources(f *farm.Farm) []string {
	seen := map[string]bool{
		"Allen, Pereira, Raes, Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56 (from memory; worked examples recomputed)": true,
		"Rotz & Chen 1985, Alfalfa drying model for the field environment, Trans. ASAE 28(5):1686-1691 (abstract read; coefficients from memory)":   true,
		"NRC 2001, Nutrient Requirements of Dairy Cattle; NRC 1996, Beef Cattle; NRC 1985, Sheep (from memory)":                                     true,
		"7 CFR 205.237 and 205.240, the US organic pasture rule (from memory)":                                                                      true,
		"Cornell University, nitrogen credits of killed sods (read in the source)":                                                                  true,
		"Muck et al. 2015; Anderson & Mader; Buskirk et al. 2003: losses in store, harvest and feeding (read in the source)":                        true,
		"Richardson 1981, Water Resources Research 17:182-190, the family of the weather generator (from memory)":                                   true,
	}
	note := func(m *crop.Mix) {
		for _, part := range m.Parts {
			c := part.Crop
			for _, s := range []handbook.Source{c.Sowing.Source, c.Fit.Source, c.SeedSource} {
				seen[s.String()] = true
			}
			for _, v := range c.Growth {
				seen[v.Source.String()] = true
			}
			for _, u := range c.Uses {
				if u.Allowed {
					seen[u.Source.String()] = true
				}
			}
		}
	}
	for i := range f.Fields {
		note(&f.Fields[i].Stands)
	}
	for i := range f.Plan.Sowings {
		note(&f.Plan.Sowings[i].Mix)
	}
	out := make([]string, 0, len(seen))
	for s := range seen {
		out = append(out, s)
	}
	sort.Strings(out)
	return out
}
