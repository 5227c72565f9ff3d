package suggest

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"rowen/account"
	"rowen/crop"
	"rowen/feed"
	"rowen/handbook/nutrition"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/season"
)

// Terms are what a plan is weighed by beside the farm's own prices. All are chosen
// here (common practice), printed with every suggestion, and the same for the plan
// that is held against it.
const (
	// shortOver is what dry matter that nothing meets costs, over the dearest bought
	// forage: feed found in a hurry.
	shortOver = 3
	// lackOver is what energy and protein that a ration lacks cost, over what grain
	// and meal would have cost to bring them.
	lackOver = 1.5
	// ruleOver is what a kilogram of pasture short of the organic rule costs, over
	// bought forage: the certificate is worth far more.
	ruleOver = 20
	// leastPrice keeps shortage from being free where everything bought is, money/kg.
	leastPrice = 0.01
	// waits is what is left of pasture that waits ungrazed for a half-month: growth
	// made up for by leaf that dies and is trodden.
	waits = 0.9
	// saving is what reaches the store of pasture that is mown and wrapped instead of
	// being grazed, over what would have been eaten: nothing trampled, some lost in the
	// swath.
	saving = 0.95
)

// program lays out the farm's choice. Everything is in kg DM and money.
type program struct {
	*Program
	s          *search
	classes    *classes
	choice     [][]int // by field and candidate: index into First
	rows       rowsOf
	cols       colsOf
	terms      terms
	eaters     []season.Eater
	market     []feed.Offer
	opening    float64    // in store when the year begins, kg
	room, keep [3]float64 // of the stores: kg, and what is left of feed after a half-month
	relief     relief
}

// relief scales what programmes give towards what the coupled run made of it.
type relief struct {
	pasture [season.HalfMonths]float64
	stored  float64
}

func noRelief() (r relief) {
	for h := range r.pasture {
		r.pasture[h] = 1
	}
	r.stored = 1
	return r
}

// rowsOf tells where the links of a year lie; -1 where there is none.
type rowsOf struct {
	pasture  [season.HalfMonths][]int // by class
	stored   [season.HalfMonths][]int // by class
	capacity [season.HalfMonths][3]int
}

// colsOf tells where a year's columns lie.
type colsOf struct {
	eat  [season.HalfMonths][][]int // by group and class; -1 none
	buy  [season.HalfMonths][][]int // by group and market feed
	held [season.HalfMonths][]int   // by class
	save [season.HalfMonths][]int   // by class
	rule []int                      // by group
}

// terms are the prices of what goes wrong.
type terms struct {
	short, protein float64    // money/kg
	energy         [2]float64 // money/Mcal by energy system
	rule, closing  float64
	forage         float64
}

func termsOf(s *search) (t terms) {
	grain, meal := leastPrice, leastPrice
	t.forage = leastPrice
	var g, p *feed.Offer
	market := s.model.Market()
	for i := range market {
		o := &market[i]
		switch {
		case o.Kind.Forage():
			t.short = max(t.short, o.Price)
			if t.forage == leastPrice || o.Price < t.forage {
				t.forage = max(o.Price, leastPrice)
			}
		case o.Kind == feed.Grain:
			g = o
		case o.Kind == feed.Protein:
			p = o
		}
	}
	t.short = shortOver * max(t.short, leastPrice)
	if g != nil {
		grain = max(g.Price, leastPrice)
	}
	if p != nil {
		meal = max(p.Price, leastPrice)
	}
	for sys := range t.energy {
		per := 2.0 // Mcal/kg of grain
		if g != nil {
			per = g.Analysis.Energy(nutrition.System(sys))
		}
		t.energy[sys] = lackOver * grain / per
	}
	t.protein = lackOver * meal / 0.48
	t.rule = ruleOver * t.forage
	t.closing = s.model.ClosingPrice()
	return t
}

// newProgram lays out the choice of a search under its request's limits.
func newProgram(s *search, r *Request, scale relief) *program {
	p := &program{Program: &Program{Name: "farm", Risk: Risk{Weight: r.Risk, Tail: tailOf(r.Tail)}}, s: s, relief: scale}
	p.eaters, p.market, p.terms = alike(s.model.Eaters()), s.model.Market(), termsOf(s)
	p.classes = classify(s.fields, s.opening.Lots)
	p.land(r)
	p.labour(r)
	p.feeding(r)
	p.supply(r)
	return p
}

// hectare is the land's unit in rules, m².
const hectare = 1e4

// land lays out the choice of programmes and the limits on them.
func (p *program) land(r *Request) {
	s := p.s
	sown := map[string][]Term{}
	var seeding, cash []Term
	var names []string
	for i := range s.fields {
		f := &s.farm.Fields[i]
		one := Constraint{Name: f.Name + " carries one programme" + r.heldTo(f.Name), Low: 1, Up: 1}
		p.choice = append(p.choice, nil)
		for j := range s.fields[i] {
			c := &s.fields[i][j]
			at := len(p.First)
			p.First = append(p.First, Column{Name: f.Name + ": " + c.Name(), Up: 1, Whole: true})
			p.choice[i] = append(p.choice[i], at)
			one.Terms = append(one.Terms, Term{at, 1})
			ground := float64(f.Area) / hectare * c.Share
			if !c.Leaves() {
				seeding = append(seeding, Term{at, ground})
				cash = append(cash, Term{at, float64(f.Area) * s.outlay(c)})
			}
			for k := range c.Sowings {
				n := c.Sowings[k].Mix.Name
				if sown[n] == nil {
					names = append(names, n)
				}
				sown[n] = append(sown[n], Term{at, ground})
			}
		}
		p.Rules = append(p.Rules, one)
	}
	total := 0.0
	for i := range s.farm.Fields {
		total += float64(s.farm.Fields[i].Area) / hectare
	}
	if r.Limits.Crop > 0 && r.Limits.Crop < 1 {
		for _, n := range names {
			p.Rules = append(p.Rules, Constraint{Name: fmt.Sprintf("%s on at most %.0f %% of the land", n, 100*r.Limits.Crop), Low: math.Inf(-1), Up: r.Limits.Crop * total, Terms: sown[n]})
		}
	}
	if r.Limits.Seeding > 0 {
		p.Rules = append(p.Rules, Constraint{Name: fmt.Sprintf("at most %s is sown", r.Limits.Seeding.In(s.farm.Units)), Low: math.Inf(-1), Up: float64(r.Limits.Seeding) / hectare, Terms: seeding})
	}
	if r.Limits.Cash > 0 {
		p.Rules = append(p.Rules, Constraint{Name: fmt.Sprintf("seed and seedbed cost at most %.0f %s", r.Limits.Cash, s.farm.Currency), Low: math.Inf(-1), Up: r.Limits.Cash, Terms: cash})
	}
}

// labour limits the hours of field work in every half-month, as they are in four years of
// five: a later year's rush is not planned for, and not forbidden.
func (p *program) labour(r *Request) {
	if r.Limits.Labour <= 0 {
		return
	}
	s := p.s
	var rules [season.HalfMonths]Constraint
	for i := range s.fields {
		for j := range s.fields[i] {
			var by [season.HalfMonths][]float64
			for y := range s.years {
				for h, hours := range s.hours(&s.fields[i][j], y, s.farm.Fields[i].Area) {
					by[h] = append(by[h], hours)
				}
			}
			for h := range by {
				if usual := stats.Percentile(by[h], inTime); usual > 0 {
					rules[h].Terms = append(rules[h].Terms, Term{p.choice[i][j], usual})
				}
			}
		}
	}
	for h := range rules {
		if len(rules[h].Terms) == 0 {
			continue
		}
		rules[h].Name = fmt.Sprintf("at most %g hours of field work in the half-month from %s", r.Limits.Labour, s.row(h))
		rules[h].Low, rules[h].Up = math.Inf(-1), r.Limits.Labour
		p.Rules = append(p.Rules, rules[h])
	}
}

// heldTo says what a field is held to, for the name of its rule.
func (r *Request) heldTo(field string) string {
	var stands []string
	for _, h := range r.Hold {
		if h.Field == field {
			stands = append(stands, h.Stand)
		}
	}
	if stands == nil {
		return ""
	}
	return " with " + strings.Join(stands, " and ")
}

// outlay is what a programme asks for before it gives anything: seed and the making
// of its seedbed, money/m².
func (s *search) outlay(c *Candidate) float64 {
	sum := 0.0
	for i := range c.Sowings {
		w := &c.Sowings[i]
		for k := range w.Mix.Parts {
			sum += float64(w.Mix.Parts[k].Rate) * float64(s.farm.SeedPrice(w.Mix.Parts[k].Crop))
		}
		sum += float64(s.farm.Custom.Drilling)
		if w.NoTill {
			sum += float64(s.farm.Custom.NoTill)
		} else {
			sum += float64(s.farm.Custom.Tillage)
		}
	}
	return sum * c.Share
}

// alike adds up groups that eat alike: of one energy system, grazing or not, and
// producing or not. What is asked of all of them together is no more than what is asked
// of each, so that a bound stays a bound.
func alike(groups []season.Eater) (out []season.Eater) {
	for _, e := range groups {
		system := func(x *season.Eater) int {
			for h := range x.Demand {
				if x.Demand[h].Days > 0 {
					return int(x.Demand[h].System)
				}
			}
			return -1
		}
		at := slices.IndexFunc(out, func(o season.Eater) bool {
			return o.Grazes == e.Grazes && o.Class.Producing() == e.Class.Producing() && o.Share == e.Share && system(&o) == system(&e)
		})
		if at < 0 {
			out = append(out, e)
			continue
		}
		o := &out[at]
		o.Name += " and " + e.Name
		for h := range o.Demand {
			d, x := &o.Demand[h], &e.Demand[h]
			if d.Days == 0 {
				d.System = x.System
			}
			d.Days = max(d.Days, x.Days)
			d.DM += x.DM
			d.Energy += x.Energy
			d.CP += x.CP
			d.MinNDF += x.MinNDF
			d.MaxNDF += x.MaxNDF
			d.Grain += x.Grain
			d.MaxGrain += x.MaxGrain
		}
	}
	return out
}

func (p *program) column(name string, low, up, cost float64) int {
	p.Second = append(p.Second, Column{Name: name, Low: low, Up: up, Cost: cost})
	return len(p.Second) - 1
}

func (p *program) link(name string, low, up float64, terms ...Term) int {
	p.Links = append(p.Links, Constraint{Name: name, Low: low, Up: up, Terms: terms})
	return len(p.Links) - 1
}

var inf = math.Inf(1)

// feeding lays out a year of it.
func (p *program) feeding(r *Request) {
	for _, l := range p.s.opening.Lots {
		p.opening += l.DM
	}
	p.Fixed = p.opening * p.terms.closing
	p.room, p.keep = p.barns()
	for h := range season.HalfMonths {
		p.rations(h)
	}
	p.pastures()
	p.stores(r)
	p.pastureRule()
}

// rations lays out what every group eats in a half-month.
func (p *program) rations(h int) {
	c, n := &p.cols, len(p.eaters)
	c.eat[h], c.buy[h] = make([][]int, n), make([][]int, n)
	for g := range p.eaters {
		e := &p.eaters[g]
		d := &e.Demand[h]
		c.eat[h][g], c.buy[h][g] = none(len(p.classes.list)), none(len(p.market))
		if d.DM <= 0 {
			continue
		}
		at := p.s.row(h) + " " + e.Name
		var dm, energy, protein, least, most, grain []Term
		eat := func(col int, a *nutrition.Analysis) {
			dm = append(dm, Term{col, 1})
			energy = append(energy, Term{col, a.Energy(d.System)})
			protein = append(protein, Term{col, a.CP / 100})
			least = append(least, Term{col, a.NDF / 100})
			most = append(most, Term{col, a.NDF / 100})
		}
		for k := range p.classes.list {
			cl := &p.classes.list[k]
			if cl.kind == feed.Pasture && (!e.Grazes || e.Grazing[h] == 0) || cl.kind != feed.Pasture && p.room[storeOf(cl.kind)] <= 0 {
				continue
			}
			up := inf
			if cl.kind == feed.Pasture {
				up = d.DM * min(1, e.Grazing[h]/max(d.Days, 1))
			}
			c.eat[h][g][k] = p.column(at+" eats "+cl.name, 0, up, 0)
			eat(c.eat[h][g][k], &cl.analysis)
		}
		for k := range p.market {
			o := &p.market[k]
			up := inf
			if o.Kind == feed.Protein {
				up = mostProtein * d.DM
			}
			c.buy[h][g][k] = p.column(at+" buys "+o.Kind.String(), 0, up, o.Price)
			eat(c.buy[h][g][k], &o.Analysis)
			if !o.Kind.Forage() {
				grain = append(grain, Term{c.buy[h][g][k], 1})
			}
		}
		short := p.column(at+" goes short", 0, inf, p.terms.short)
		p.link(at+" eats its fill", d.DM, d.DM, append(dm, Term{short, 1})...)
		lacks := p.column(at+" lacks energy", 0, inf, p.terms.energy[d.System])
		p.link(at+" has its energy", d.Energy, inf, append(energy, Term{lacks, 1})...)
		p.link(at+" has its protein", d.CP, inf, append(protein, Term{p.column(at+" lacks protein", 0, inf, p.terms.protein), 1})...)
		if d.MinNDF > 0 {
			p.link(at+" has its fibre", d.MinNDF, inf, append(least, Term{p.column(at+" lacks fibre", 0, inf, p.terms.forage), 1})...)
		}
		if d.MaxNDF > 0 {
			p.link(at+" can hold its fibre", math.Inf(-1), d.MaxNDF, append(most, Term{p.column(at+" is too full", 0, inf, p.terms.forage), -1})...)
		}
		if len(grain) > 0 {
			p.link(at+" has its grain", min(d.Grain, d.DM), max(d.Grain, d.MaxGrain), grain...)
		}
	}
}

// mostProtein is the most protein supplement in a ration, as the season feeds it.
const mostProtein = 0.12

func none(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = -1
	}
	return out
}

// pastures lays out grazing: what grew is eaten, waits, or is wrapped.
func (p *program) pastures() {
	n := len(p.classes.list)
	wait := none(n)
	for h := range season.HalfMonths {
		p.rows.pasture[h], p.cols.save[h] = none(n), none(n)
		next := none(n)
		for k := range p.classes.list {
			if p.classes.list[k].kind != feed.Pasture {
				continue
			}
			at := p.s.row(h) + " " + p.classes.list[k].name
			var terms []Term
			for g := range p.eaters {
				if col := p.cols.eat[h][g][k]; col >= 0 {
					terms = append(terms, Term{col, 1})
				}
			}
			if len(terms) == 0 {
				continue
			}
			next[k] = p.column(at+" waits", 0, inf, 0)
			terms = append(terms, Term{next[k], 1})
			if wait[k] >= 0 {
				terms = append(terms, Term{wait[k], -waits})
			}
			if p.classes.at[feed.Baleage][0] >= 0 && p.room[storeOf(feed.Baleage)] > 0 {
				p.cols.save[h][k] = p.column(at+" is wrapped", 0, inf, p.baling())
				terms = append(terms, Term{p.cols.save[h][k], 1})
			}
			p.rows.pasture[h][k] = p.link(at+" is grown", math.Inf(-1), 0, terms...)
		}
		wait = next
	}
}

// baling is what a kilogram of surplus pasture costs to mow and wrap: a light cut of
// 2 t/ha (common practice).
func (p *program) baling() float64 {
	const light = 2000.0
	c := &p.s.farm.Custom
	return (float64(c.Mowing)*1e4 + c.Gather(crop.Wrap, light, 1e4)) / light
}

// stores lays out what lies in store: opening stock, harvest, losses, feeding, sale,
// and what is left for the next year.
func (p *program) stores(r *Request) {
	n := len(p.classes.list)
	start := make([]float64, n)
	for _, l := range p.s.opening.Lots {
		start[p.classes.of(l.Kind, l.Analysis.NEL)] += l.DM
	}
	before, fills := none(n), p.fills()
	for h := range season.HalfMonths {
		p.rows.stored[h], p.cols.held[h] = none(n), none(n)
		var full [3][]Term
		for k := range p.classes.list {
			cl := &p.classes.list[k]
			st := storeOf(cl.kind)
			if cl.kind == feed.Pasture || p.room[st] <= 0 {
				continue
			}
			at := p.s.row(h) + " " + cl.name
			lost := 1 - feed.FeedingLoss(cl.kind)
			held := p.column(at+" in store", 0, inf, 0)
			var fed []Term
			for g := range p.eaters {
				if col := p.cols.eat[h][g][k]; col >= 0 {
					fed = append(fed, Term{col, 1 / lost})
				}
			}
			if r.Sale > 0 {
				fed = append(fed, Term{p.column(at+" is sold", 0, inf, -r.Sale), 1})
			}
			have := 0.0
			if before[k] >= 0 {
				fed = append(fed, Term{before[k], -p.keep[st]})
			} else {
				have = start[k]
			}
			in := append(fed, Term{held, 1})
			if cl.kind == feed.Baleage && cl.grade == 0 {
				for from, col := range p.cols.save[h] {
					if col >= 0 && p.classes.list[from].kind == feed.Pasture {
						in = append(in, Term{col, -saving})
					}
				}
			}
			p.rows.stored[h][k] = p.link(at+" is brought in", math.Inf(-1), have, in...)
			full[st] = append(full[st], Term{held, 1})
			p.cols.held[h][k] = held
			before[k] = held
		}
		for st := range full {
			p.rows.capacity[h][st] = -1
			if len(full[st]) > 0 && fills[h][st] {
				p.rows.capacity[h][st] = p.link(fmt.Sprintf("%s %s has room", p.s.row(h), storeNames[st]), math.Inf(-1), p.room[st], full[st]...)
			}
		}
	}
	// What is left feeds the next winter: it is worth its price; what the stores lack
	// of what they opened with must be bought.
	var left []Term
	for _, col := range p.cols.held[season.HalfMonths-1] {
		if col >= 0 {
			p.Second[col].Cost -= p.terms.closing
			left = append(left, Term{col, 1})
		}
	}
	if p.opening > 0 {
		lack := p.column("the stores close emptier", 0, inf, max(0, p.terms.forage-p.terms.closing))
		p.link("the stores close as they opened", p.opening, inf, append(left, Term{lack, 1})...)
	}
}

// fills tells in which half-months anything comes into a store: only then can it be full.
func (p *program) fills() (out [season.HalfMonths][3]bool) {
	for i := range p.s.fields {
		for j := range p.s.fields[i] {
			for y := range p.s.fields[i][j].Supply {
				for _, t := range p.s.fields[i][j].Supply[y].Takes {
					if t.Kind != feed.Pasture {
						out[t.Row][storeOf(t.Kind)] = true
					}
				}
			}
		}
	}
	for h := range out {
		for _, col := range p.cols.save[h] {
			out[h][storeOf(feed.Baleage)] = out[h][storeOf(feed.Baleage)] || col >= 0
		}
	}
	return out
}

var storeNames = [3]string{"silage store", "bale store", "hay store"}

// barns adds the farm's stores up by what they keep: room, and what is left of feed
// after a half-month.
func (p *program) barns() (capacity, keep [3]float64) {
	for _, b := range p.s.model.Barns() {
		for st, k := range [3]feed.Kind{feed.Haylage, feed.Baleage, feed.Hay} {
			if b.Kind.Keeps(k) && b.Capacity > 0 {
				capacity[st] += b.Capacity
				keep[st] += b.Capacity * keeping(b.Kind.DailyLoss())
			}
		}
	}
	for st := range keep {
		if capacity[st] > 0 {
			keep[st] /= capacity[st]
		}
	}
	return capacity, keep
}

// pastureRule lays out the organic rule: the least share of a group's dry matter from
// pasture over the grazing season.
func (p *program) pastureRule() {
	p.cols.rule = none(len(p.eaters))
	for g := range p.eaters {
		e := &p.eaters[g]
		if e.Share <= 0 {
			continue
		}
		var eaten []Term
		wanted := 0.0
		for h := range season.HalfMonths {
			if d := &e.Demand[h]; d.Days > 0 {
				wanted += d.DM * min(1, e.Grazing[h]/d.Days)
			}
			for k, col := range p.cols.eat[h][g] {
				if col >= 0 && p.classes.list[k].kind == feed.Pasture {
					eaten = append(eaten, Term{col, 1})
				}
			}
		}
		p.cols.rule[g] = p.column(e.Name+" short of the pasture rule", 0, inf, p.terms.rule)
		p.link(e.Name+" keeps the pasture rule", e.Share*wanted, inf, append(eaten, Term{p.cols.rule[g], 1})...)
	}
}

// supply fills in what every programme gives and costs in every year.
func (p *program) supply(r *Request) {
	s := p.s
	for y := range s.years {
		sc := Scenario{Name: fmt.Sprint(int(s.years[y].ID)), Weight: 1 / float64(len(s.years)), Cost: make([]float64, len(p.First)), Tech: make([][]Term, len(p.First))}
		for i := range s.fields {
			area := float64(s.farm.Fields[i].Area) / 1e4
			for j := range s.fields[i] {
				c := &s.fields[i][j]
				at := p.choice[i][j]
				sup := &c.Supply[y]
				sc.Cost[at] = area * (sup.Cost - c.Credit)
				byRow := p.classes.taken(sup)
				var terms []Term
				for h := range byRow {
					for k, dm := range byRow[h] {
						row := -1
						if p.classes.list[k].kind == feed.Pasture {
							row = p.rows.pasture[h][k]
							dm *= p.relief.pasture[h]
						} else {
							row = p.rows.stored[h][k]
							dm *= p.relief.stored
						}
						if row >= 0 && dm > 0 {
							terms = append(terms, Term{row, -dm * area})
						}
					}
				}
				sc.Tech[at] = sorted(terms)
			}
		}
		p.Years = append(p.Years, sc)
	}
}

// hours are the hours of field work that a programme asks of a field, by half-month.
func (s *search) hours(c *Candidate, year int, area quantity.Area) (out [season.HalfMonths]float64) {
	if c.whole != nil {
		sown, rest := s.hours(c.whole, year, area*quantity.Area(c.Share)), s.hours(c.rest, year, area*quantity.Area(1-c.Share))
		for h := range out {
			out[h] = sown[h] + rest[h]
		}
		return out
	}
	first, n := s.years[year].First, 0
	for _, e := range c.Supply[year].Work {
		h := (e.Date.HalfMonth() - first.HalfMonth() + season.HalfMonths) % season.HalfMonths
		e.DM *= float64(area) / 1e4
		noTill := false
		if e.Kind == season.Sown && n < len(c.Sowings) {
			noTill = c.Sowings[n].NoTill
			n++
		}
		out[h] += account.HoursOf(s.farm, &e, area, noTill)
	}
	return out
}

// row is the name of a half-month of the feed year: "1 Nov".
func (s *search) row(h int) string {
	at := (s.farm.FirstDay().HalfMonth() + h) % season.HalfMonths
	return quantity.MonthDay{Month: time.Month(at/2 + 1), Day: 1 + 15*(at%2)}.String()
}

// sorted puts a column's terms in order of row, those of one row added up.
func sorted(terms []Term) []Term {
	slices.SortStableFunc(terms, func(a, b Term) int { return cmp.Compare(a.At, b.At) })
	out := terms[:0]
	for _, t := range terms {
		if n := len(out); n > 0 && out[n-1].At == t.At {
			out[n-1].Value += t.Value
			continue
		}
		out = append(out, t)
	}
	return out
}
