package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"rowen/account"
	"rowen/crop"
	"rowen/farm"
	"rowen/feed"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/say"
	"rowen/season"
)

// Build makes the page model of a plan's result; now, which may be nil, is what it
// is held against.
func Build(f *farm.Farm, r *season.Result, now *Present, m Manifest, station string, notices []say.Line) *Plan {
	p := &Plan{
		Rowen: 1, Engine: season.Engine, Manifest: m, Notices: notices,
		Farm: FarmLine{Name: f.Name, Organic: f.Organic, Currency: f.Currency, Units: f.Units.String(), First: f.FirstDay().String(), Station: station},
	}
	for i := range r.Years {
		p.Years = append(p.Years, yearLine(&r.Years[i]))
	}
	p.Middle, p.Bad, p.Worst = outcome(f, r, r.Middle), outcome(f, r, r.Bad), outcome(f, r, r.Worst)
	for i := range p.Middle.Groups {
		for y := range r.Years {
			if g := &r.Years[y].Groups[i]; g.RuleDays > 0 && g.PastureShare >= g.RuleShare && g.GrazingDays >= g.RuleDays {
				p.Middle.Groups[i].MetYears++
			}
		}
	}
	p.Bands = bands(r)
	p.sowings(f, r)
	p.seedOrder(f)
	p.safety(f)
	for _, a := range f.Assumed {
		p.Assumed = append(p.Assumed, Assumed(a))
	}
	p.account(f, r, now)
	p.calendar(f)
	p.Sources = sources(f)
	for _, fig := range Figures(p) {
		p.Figures = append(p.Figures, FigureKey{Key: fig.Key, Label: fig.Label, Value: fig.Value, Unit: fig.Unit})
	}
	return p
}

func yearLine(y *season.YearResult) YearLine {
	l := YearLine{Year: int(y.ID), Shortage: y.Shortage, FedCost: y.Money.CostFed, Purchases: y.Money.BoughtForage + y.Money.Grain + y.Money.Protein}
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
		names[i] = quantity.MonthDay{Month: time.Month(h/2 + 1), Day: 1 + 15*(h%2)}.String()
	}
	return names
}

func outcome(f *farm.Farm, r *season.Result, year int) Outcome {
	y := &r.Years[year]
	o := Outcome{Year: int(y.ID), Shortage: y.Shortage}
	for _, lot := range y.Opening {
		o.Opening += lot.DM
	}
	for k, price := range r.Prices {
		if mass := y.Pools[k].Bought; mass > 0 {
			o.Market = append(o.Market, Purchase{feed.Kind(k).String(), feed.Kind(k).Forage(), mass, price})
		}
	}
	names := rowNames(y)
	for i := range y.Ledger {
		l := &y.Ledger[i]
		row := Row{Name: names[i], Demand: l.Demand, Short: l.Short, Beyond: l.Beyond, Gap: l.Gap, Harvested: l.Harvested, Left: l.Left, Lost: l.Lost, Store: l.Store, Held: l.Held, Energy: l.Energy, Protein: l.CP}
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
	o.Money = MoneyLine{m.Seed, m.Work, m.Nitrogen, m.BoughtForage, m.Grain, m.Protein, m.OpeningStock, m.ClosingStock, m.CostGrown, m.CostFed, m.SwardGivenUp, m.NitrogenCredit, m.Reseeding, m.GrownDM, m.FedDM}
	for i := range y.Events {
		o.Events = append(o.Events, eventLine(f, &y.Events[i]))
	}
	return o
}

func groupLine(f *farm.Farm, i int, g *season.GroupYear) GroupLine {
	l := GroupLine{
		Name: f.Groups[i].Name, Class: f.Groups[i].Class, GrazingDays: g.GrazingDays, Share: g.PastureShare,
		RuleShare: g.RuleShare, RuleDays: g.RuleDays, Passes: g.PastureShare >= g.RuleShare && g.GrazingDays >= g.RuleDays,
		Energy: math.Inf(1), Protein: math.Inf(1), Nights: g.NightDays,
	}
	for h := range g.Ledger {
		l.Demand += g.Ledger[h].Demand
		l.ByRow = append(l.ByRow, g.Ledger[h].Demand)
		if g.Ledger[h].Demand > 0 {
			l.Energy, l.Protein = min(l.Energy, g.Ledger[h].Energy), min(l.Protein, g.Ledger[h].CP)
			l.Fibre = max(l.Fibre, g.Ledger[h].Fill)
		}
	}
	if l.Demand == 0 { // no animals: nothing was wanting
		l.Energy, l.Protein = 1, 1
	}
	return l
}

// stands is what a field carries through the year, in words.
//
//say:words
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

// happened is when a sowing took place and was first used, day of the feed year by
// weather year.
type happened struct{ sown, used []float64 }

func happenings(r *season.Result, s int) (h happened) {
	for i := range r.Years {
		y := &r.Years[i]
		if x := &y.Sowings[s]; x.Sown != 0 {
			h.sown = append(h.sown, float64(x.Sown-y.First))
			if x.FirstUse != 0 {
				h.used = append(h.used, float64(x.FirstUse-y.First))
			}
		}
	}
	return h
}

// at is the date in the planned year by which a share of the years had it.
func at(first quantity.Date, days []float64, share float64) quantity.Date {
	return first + quantity.Date(stats.Percentile(days, share)+0.5)
}

// sowings tells over the years when each sowing happened and what it gave, and
// puts its dates into the calendar.
func (p *Plan) sowings(f *farm.Farm, r *season.Result) {
	first := f.FirstDay()
	for s := range f.Plan.Sowings {
		doc := &f.Plan.Sowings[s]
		ground := float64(f.Ground(doc))
		line := Sowing{
			Field: f.Fields[doc.Field].Name, Crop: doc.Mix.Title, Area: ground, Use: useWords(doc.Use),
			Depth: depth(doc.Mix.Parts[0].Crop.Sowing.Depth, f.Units), Rule: sowRule(doc, f.Units),
			Early: "never", Usual: "never", Late: "never", FirstUse: "never",
		}
		for _, part := range doc.Mix.Parts {
			line.Rates = append(line.Rates, fmt.Sprintf("%s %s", part.Crop.Title, seedRate(part.Rate, f.Units)))
			for _, c := range part.Crop.Cautions {
				if !slices.Contains(line.Cautions, c) {
					line.Cautions = append(line.Cautions, c)
				}
			}
		}
		for i := range r.Years {
			line.Held += float64(r.Years[i].Sowings[s].Holds) / float64(len(r.Years))
		}
		middle, bad := &r.Years[r.Middle].Sowings[s], &r.Years[r.Bad].Sowings[s]
		line.Middle, line.Bad = (middle.Grazed+middle.Stored)/ground, (bad.Grazed+bad.Stored)/ground
		line.NetMiddle, line.NetBad = middle.Net, bad.Net
		line.SownMiddle, line.SownBad = middle.Sown != 0, bad.Sown != 0
		h := happenings(r, s)
		line.Dropped = len(r.Years) - len(h.sown)
		for i := range r.Years {
			if x := &r.Years[i].Sowings[s]; x.Sown != 0 && x.FirstUse == 0 {
				line.Nothing++
			}
		}
		line.Latest, line.Goal = shortDate(latestUseful(doc)), goal(doc, f.Units)
		for i := range r.Years {
			if r.Years[i].Sowings[s].Reached {
				line.Reached++
			}
		}
		if len(h.sown) > 0 {
			line.Early, line.Usual, line.Late = shortDate(at(first, h.sown, 0.1)), shortDate(at(first, h.sown, 0.5)), shortDate(at(first, h.sown, 0.9))
		}
		if len(h.used) > 0 {
			line.FirstUse = shortDate(at(first, h.used, 0.5))
		}
		p.Sowings = append(p.Sowings, line)
		p.sowingDates(first, sowingKey(f, s), &line, &h)
		p.groundDates(first, sowingKey(f, s), doc, &line, &h)
	}
}

// Days before: seed is ordered, the soil thermometer is looked at, and the height
// is measured, so many days before they are needed (common practice).
const (
	orderBefore   = 60
	lookBefore    = 7
	measureBefore = 5
)

// sowingDates puts a sowing into the calendar; of names it for good.
func (p *Plan) sowingDates(first quantity.Date, of string, line *Sowing, h *happened) {
	if len(h.sown) == 0 {
		return
	}
	usual := at(first, h.sown, 0.5)
	p.add("order", of, usual-orderBefore, "Order seed: "+line.Crop, strings.Join(line.Rates, "; "))
	p.add("soil", of, at(first, h.sown, 0.1)-lookBefore, "Look at the soil thermometer: "+line.Field, line.Rule)
	p.add("sow", of, usual, "Sow "+line.Crop+" on "+line.Field, fmt.Sprintf("In most years between %s and %s. %s. Depth %s.", line.Early, line.Late, strings.Join(line.Rates, "; "), line.Depth))
	if len(h.used) > 0 {
		p.add("measure", of, at(first, h.used, 0.5)-measureBefore, "Measure the height on "+line.Field, "First use ("+line.Use+") usually about "+line.FirstUse+". "+strings.Join(line.Cautions, ". "))
	}
}

// endBefore is how many days before a sowing what stands there is ended, so that it
// is dead and has begun to rot (common practice: two weeks).
const endBefore = 14

// groundDates puts the making ready of a sowing's ground, and the waits of labels, into
// the calendar.
func (p *Plan) groundDates(first quantity.Date, of string, doc *farm.Sowing, line *Sowing, h *happened) {
	b := &doc.Before
	if b.Termination != "" && b.Termination != "nothing stood" && len(h.sown) > 0 {
		more := "Two weeks before the drill, so that it is dead and rotting. Slugs and weeds live in what does not die: look again before sowing."
		if b.Drill != "" {
			more += " Drill: " + b.Drill + "."
		}
		p.add("end", of, at(first, h.sown, 0.5)-endBefore, fmt.Sprintf("End what stands on %s: %s", line.Field, b.Termination), more)
	}
	if b.PlantBack != 0 {
		p.add("plant-back", of, b.PlantBack, "Not before today: sow "+line.Field, "As read from the label: "+b.Label+". The label goes before this page.")
	}
	if b.GrazeAfter != 0 {
		p.add("graze-after", of, b.GrazeAfter, "Not before today: graze "+line.Field, "As read from the label: "+b.Label+". The label goes before this page.")
	}
}

// add puts a line of a kind into the calendar; of names what it is of.
func (p *Plan) add(kind, of string, d quantity.Date, text, more string) {
	p.Calendar = append(p.Calendar, Entry{Key: freeKey(p.Calendar, kind, of), Date: d, Day: d.String(), Text: text, More: more})
}

// latestUseful is the day past which a sowing is not made: the plan's own, else the
// crop's.
func latestUseful(s *farm.Sowing) quantity.Date {
	if s.By != 0 {
		return s.By
	}
	year := s.On.Year()
	if s.On == 0 {
		year = s.From.Year()
	}
	return s.Mix.Parts[0].Crop.Sowing.Latest.In(year)
}

// goal is what a sowing's first use waits for, in words.
func goal(s *farm.Sowing, u quantity.System) string {
	rule := &s.Mix.Uses[s.Use]
	switch {
	case s.Use == crop.Leave:
		return ""
	case rule.Ready > 0:
		return depth(rule.Ready, u)
	}
	return stageName(s.Mix.Parts[0].Crop, rule.ReadyAt)
}

func sowRule(s *farm.Sowing, u quantity.System) string {
	by := shortDate(latestUseful(s))
	if s.On != 0 {
		if s.On > latestUseful(s) {
			return fmt.Sprintf("on %s is later than its latest useful date, %s: it is not sown; sow it by then, or write by = \"...\" to sow it all the same", shortDate(s.On), by)
		}
		return "on " + shortDate(s.On) + ", or as soon after as the ground carries a drill"
	}
	c := &s.Mix.Parts[0].Crop.Sowing
	from := c.Earliest.String()
	if s.From != 0 {
		from = shortDate(s.From)
	}
	return fmt.Sprintf("when the soil at 4 in (10 cm) has held %s for %d days, from %s and not after %s", c.SoilTemperature.In(u), c.HoldDays, from, by)
}

//say:words
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

// seedOrder lists the seed to order by product.
func (p *Plan) seedOrder(f *farm.Farm) {
	for _, o := range account.SeedOrderOf(f) {
		p.Seed = append(p.Seed, SeedLine{
			Crop: o.Crop, Product: o.Product, Supplier: o.Supplier, Area: o.Acres * m2PerAcre, Rate: o.Rate * kgPerLb / m2PerAcre,
			FromPlants: o.FromPlants, PureLive: o.PureLive, Mass: o.Pounds * kgPerLb, Bag: o.Bag * kgPerLb, Bags: o.Bags, Cost: o.Cost,
			SeedsPerKg: o.SeedsPerLb / kgPerLb, Maturity: o.Maturity, Organic: o.Organic, Certified: o.Certified,
			Inoculant: o.Inoculant, Substitute: o.Substitute, Latest: o.By.String(),
		})
	}
}

// safety lists the rules that concern what stands and is kept here.
func (p *Plan) safety(f *farm.Farm) {
	var risks [hazard.PrussicSorghum + 1]bool
	var prussic, nitrate, brassica, legume, silage, hay bool
	look := func(m *crop.Mix, uses ...crop.Use) {
		for _, part := range m.Parts {
			c := part.Crop
			risks[c.Prussic] = true
			prussic = prussic || c.Prussic != hazard.NoPrussic
			nitrate = nitrate || c.Nitrate
			legume = legume || c.Legume
			brassica = brassica || c.Brassica
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
		if wanted[r.Hazard] && !r.Laboratory && (r.Risk == hazard.NoPrussic || risks[r.Risk]) {
			add(r)
		}
	}
	for i := range f.Fields {
		if x := &f.Fields[i]; x.Grazeable && !x.Water && x.Use == crop.Graze {
			p.Safety = append(p.Safety, Safety{"water", x.Name + " is not grazed in this plan, since it has no water: haul it there and write water = true", "farm document"})
		}
	}
	standing := map[string]bool{"silo gas": silage, "heating hay": hay, "brassicas": brassica, "bloat": legume, "nitrate": nitrate, "labels": true}
	for _, r := range hazard.Standing() {
		if standing[r.Hazard] {
			add(r)
		}
	}
}

// calendar adds the grazing season and puts the dates in order.
func (p *Plan) calendar(f *farm.Farm) {
	first := f.FirstDay()
	p.add("turnout", "", f.Turnout.OnOrAfter(first), "Turn-out", "By height, not by the calendar; bring animals on over a week.")
	p.add("housing", "", f.Housing.OnOrAfter(first), "Housing", "")
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
