package account

import (
	"fmt"
	"math"
	"sort"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/fertility"
	"rowen/herd"
	"rowen/quantity"
	"rowen/season"
)

// NPK is nitrogen, phosphate (P2O5) and potash (K2O), lb.
type NPK struct{ N, P, K float64 }

func (a NPK) plus(b NPK) NPK            { return NPK{a.N + b.N, a.P + b.P, a.K + b.K} }
func (a NPK) times(x float64) NPK       { return NPK{a.N * x, a.P * x, a.K * x} }
func (a NPK) less(b NPK) NPK            { return a.plus(b.times(-1)) }
func (a NPK) perAcre(acres float64) NPK { return a.times(1 / acres) }

// Load is manure put on a field.
type Load struct {
	Field   int
	Source  string
	On      quantity.Date
	Tons    float64
	Applied NPK     // all that is in it
	Gives   float64 // nitrogen it makes available this year, lb
	Worked  bool    // into the ground within a day
	Why     string
}

// CutNutrients is what one cut takes off.
type CutNutrients struct {
	Field int
	Date  quantity.Date
	Tons  float64 // DM
	Taken NPK
	K     float64 // potassium, % of dry matter, estimated
}

// FieldNutrients is a field's year. Amounts are lb for the whole field.
type FieldNutrients struct {
	Field       int
	Acres       float64
	Wants       float64 // available nitrogen its stand is given, lb
	Credit      float64 // of it from sod, past manure and legumes
	Manure      float64 // of it from this year's manure
	Bought      float64 // of it to be bought; never on certified land
	Short       float64 // left unmet
	Excess      float64 // given beyond the want
	Balance     NPK     // applied less taken off
	Phosphorus  fertility.Band
	Potassium   fertility.Band
	Lime        float64 // ton/ac, 0 none or not known
	LimeUnknown string  // why lime could not be worked out
	Notes       []string
}

// Nutrients is the farm's year of nutrients.
type Nutrients struct {
	Fields    []FieldNutrients
	Loads     []Load
	Cuts      []CutNutrients
	Collected float64 // manure, ton
	Left      float64 // not spread, ton
	Farm      NPK     // balance: bought feed and nitrogen in, sold and stored change left out
	Assumed   []string
	Defers    string // to the certified planner, where the law asks a plan
}

// heap is manure that can still be spread.
type heap struct {
	name                                 string
	tons, n, ammonium, phosphate, potash float64 // tons left; lb in a ton
}

// NutrientsOf works out a farm's nutrients from one year of its plan.
func NutrientsOf(f *farm.Farm, y *season.YearResult) Nutrients {
	out := Nutrients{}
	heaps := out.heaps(f, y)
	for i := range heaps {
		out.Collected += heaps[i].tons
	}
	taken := out.removal(f, y)
	for i := range f.Fields {
		out.Fields = append(out.Fields, fieldNeeds(f, y, i))
	}
	out.spread(f, y, heaps)
	for i := range out.Fields {
		finish(f, &out.Fields[i], taken[i], out.Loads)
	}
	for i := range heaps {
		out.Left += heaps[i].tons
	}
	for i := range out.Fields {
		out.Farm = out.Farm.plus(out.Fields[i].Balance)
	}
	if f.Regulated {
		out.Defers = "a nutrient plan is required here: the certified planner's plan goes before this page"
	}
	return out
}

// heaps are the farm's own manures, or one worked out from its animals.
func (n *Nutrients) heaps(f *farm.Farm, y *season.YearResult) (out []heap) {
	for i := range f.Manures {
		m := &f.Manures[i]
		perTon := func(x quantity.Fraction) float64 { return float64(x) * 2000 }
		out = append(out, heap{name: m.Name, tons: m.Amount.Tons(), n: perTon(m.Nitrogen), ammonium: perTon(m.Ammonium), phosphate: perTon(m.Phosphate), potash: perTon(m.Potash)})
	}
	if len(out) > 0 {
		return out
	}
	var tons float64
	var sum NPK
	for g := range f.Groups {
		class, err := herd.ParseClass(f.Groups[g].Class)
		if err != nil {
			continue
		}
		thousands := meanWeight(&f.Groups[g]) / 1000
		t, nn, p, k := fertility.Collected(excretion(class), thousands, 1-y.Groups[g].OnPasture())
		tons += t
		sum = sum.plus(NPK{nn, p, k})
	}
	if tons <= 0 {
		return nil
	}
	n.Assumed = append(n.Assumed, fmt.Sprintf("no manure is written in the document: %.0f ton worked out from the animals and their days off pasture (NRCS table, losses of storage taken off), half of its nitrogen ammonium; weigh and analyse it", tons))
	return []heap{{name: "the animals' manure", tons: tons, n: sum.N / tons, ammonium: 0.5 * sum.N / tons, phosphate: sum.P / tons, potash: sum.K / tons}}
}

func excretion(c herd.Class) fertility.Excretion {
	switch c {
	case herd.DairyLactating, herd.DairyDry:
		return fertility.DairyExcretion
	case herd.DairyHeifer:
		return fertility.HeiferExcretion
	case herd.Ewe, herd.LambGrowing, herd.Ram:
		return fertility.SheepExcretion
	}
	return fertility.BeefExcretion
}

// meanWeight is a group's live weight, lb, the mean of its periods.
func meanWeight(g *farm.Group) float64 {
	sum := 0.0
	for i := range g.Periods {
		sum += g.Periods[i].Head * g.Periods[i].Weight.Pounds()
	}
	if len(g.Periods) == 0 {
		return 0
	}
	return sum / float64(len(g.Periods))
}

// removal is what cuts and grazing took off each field, lb.
func (n *Nutrients) removal(f *farm.Farm, y *season.YearResult) []NPK {
	taken := make([]NPK, len(f.Fields))
	for i := range y.Events {
		e := &y.Events[i]
		if e.Kind != season.Cut || e.Field < 0 {
			continue
		}
		mix, _ := stands(f, int(e.Field))
		tons := e.DM / 907.18474
		p, k := kindOf(mix).minerals()
		if _, band := tested(&f.Fields[e.Field]); band == fertility.High {
			k *= luxuryPotash
		}
		c := CutNutrients{Field: int(e.Field), Date: e.Date, Tons: tons, Taken: NPK{tons * 2000 * e.CP / 625, tons * p, tons * k}, K: fertility.PotassiumOfPotash(k)}
		n.Cuts = append(n.Cuts, c)
		taken[e.Field] = taken[e.Field].plus(c.Taken)
	}
	for i := range f.Fields {
		mix, _ := stands(f, i)
		p, k := kindOf(mix).minerals()
		tons := y.Fields[i].Grazed / 907.18474
		// Animals keep about a third of what they graze; the rest falls there.
		taken[i] = taken[i].plus(NPK{0.35 * tons * 2000 * grazedProtein / 625, 0.30 * tons * p, 0.20 * tons * k})
	}
	return taken
}

const (
	// luxuryPotash is how much more potash forage takes where the ground is rich in
	// it (common practice).
	luxuryPotash = 1.3
	// grazedProtein is crude protein of pasture, % of dry matter.
	grazedProtein = 19
)

func tested(f *farm.Field) (p, k fertility.Band) {
	t := &f.Ground.Test
	return fertility.ReadTest(t.Method, float64(t.P)*1e6, float64(t.K)*1e6)
}

// fieldNeeds is a field's want and credits, lb.
func fieldNeeds(f *farm.Farm, y *season.YearResult, i int) FieldNutrients {
	field := &f.Fields[i]
	n := FieldNutrients{Field: i, Acres: field.Area.Acres()}
	n.Phosphorus, n.Potassium = tested(field)
	mix, sowing := stands(f, i)
	if len(mix.Parts) == 0 {
		return n
	}
	n.Wants = kindOf(mix).wants() * n.Acres
	credit := 0.0
	if sowing != nil && len(field.Stands.Parts) > 0 && field.Stands.Parts[0].Crop.Life == crop.Perennial {
		credit += fertility.SodCredit(legumeShare(&field.Stands), 1)
	}
	var past [2]float64 // organic nitrogen of last year's manure and the year's before
	for _, p := range field.Ground.Past {
		ago := f.Target - p.Year
		if ago < 1 || ago > 2 {
			continue
		}
		past[ago-1] += p.Manure.PoundsPerAcre() * usualOrganicN
	}
	credit += fertility.OrganicRelease(0, past[0], past[1])
	n.Credit = min(credit*n.Acres, n.Wants)
	return n
}

// usualOrganicN is organic nitrogen in cow manure, lb in a lb (5 lb in a ton).
const usualOrganicN = 5.0 / 2000

// spread gives manure to the fields that gain most by it before anything is bought:
// hungry annuals first, then grass, by what a ton gives; never on ground whose
// phosphorus is high while other ground is not, and not on legumes.
func (n *Nutrients) spread(f *farm.Farm, y *season.YearResult, heaps []heap) {
	order := make([]int, len(n.Fields))
	for i := range order {
		order[i] = i
	}
	rank := func(i int) float64 {
		x := &n.Fields[i]
		_, sowing := stands(f, x.Field)
		r := x.Wants / x.Acres
		if sowing != nil {
			r += 100 // worked in, it gives most
		}
		if x.Phosphorus == fertility.High {
			r -= 1000
		}
		return r - f.Fields[x.Field].Distance.Metres()/1e4
	}
	sort.SliceStable(order, func(a, b int) bool { return rank(order[a]) > rank(order[b]) })
	for _, i := range order {
		x := &n.Fields[i]
		for h := range heaps {
			need := x.Wants - x.Credit - x.Manure
			if need <= 0 || heaps[h].tons <= 0 {
				continue
			}
			n.load(f, y, x, &heaps[h], need)
		}
	}
}

// load puts what a field still needs, or what there is, from a heap.
func (n *Nutrients) load(f *farm.Farm, y *season.YearResult, x *FieldNutrients, h *heap, need float64) {
	_, sowing := stands(f, x.Field)
	worked := sowing != nil && !sowing.NoTill
	days := 9 // left on top: the ammonium is gone
	if worked {
		days = 1
	}
	gives := fertility.ManureNitrogen(h.ammonium, h.n-h.ammonium, days)
	if gives <= 0 {
		return
	}
	tons := min(h.tons, need/gives, mostTons*x.Acres)
	on := f.FirstDay() + 165 // mid-April of the planned year
	why := "on the sward in April, not worked in: its ammonium goes to the air"
	if sowing != nil {
		for s := range f.Plan.Sowings {
			if &f.Plan.Sowings[s] == sowing && y.Sowings[s].Sown != 0 {
				on = f.FirstDay() + (y.Sowings[s].Sown - y.First) - 2
			}
		}
		why = "before the seedbed, worked in within a day"
		if !worked {
			why = "before the drill, on top: its ammonium goes to the air"
		}
	}
	h.tons -= tons
	x.Manure += tons * gives
	n.Loads = append(n.Loads, Load{Field: x.Field, Source: h.name, On: on, Tons: tons, Applied: NPK{tons * h.n, tons * h.phosphate, tons * h.potash}, Gives: tons * gives, Worked: worked, Why: why})
}

// mostTons is the most manure put on an acre in one year (common practice; local
// rules go before it).
const mostTons = 30

// finish adds balance, lime, purchases and warnings.
func finish(f *farm.Farm, x *FieldNutrients, taken NPK, loads []Load) {
	field := &f.Fields[x.Field]
	var applied NPK
	for i := range loads {
		if loads[i].Field == x.Field {
			applied = applied.plus(loads[i].Applied)
		}
	}
	mix, sowing := stands(f, x.Field)
	if sowing != nil {
		mineral := sowing.Nitrogen.PoundsPerAcre() * x.Acres
		applied.N += mineral
		x.Bought = mineral
	}
	got := x.Credit + x.Manure + x.Bought
	x.Short = max(0, x.Wants-got)
	x.Excess = max(0, got-x.Wants)
	x.Balance = applied.less(taken)
	x.lime(field)
	note := func(format string, args ...any) { x.Notes = append(x.Notes, fmt.Sprintf(format, args...)) }
	if x.Short > 15*x.Acres {
		switch {
		case field.Ground.Status != farm.Conventional:
			note("short of %.0f lb/ac of nitrogen: more legume, more manure, or a smaller crop; none may be bought in mineral form here", x.Short/x.Acres)
		default:
			note("short of %.0f lb/ac of nitrogen after the farm's own manure: %.0f lb/ac in no dressing over %s", x.Short/x.Acres, x.Short/x.Acres, f.Limits.MaxNitrogen.RateIn(f.Units))
		}
	}
	if x.Excess > 40*x.Acres {
		danger := "nitrate"
		if hasPrussic(mix) {
			danger = "nitrate and prussic acid"
		}
		note("%.0f lb/ac more nitrogen than the crop takes: a risk of %s; test before feeding", x.Excess/x.Acres, danger)
	}
	if x.Phosphorus == fertility.High && x.Balance.P > 0 {
		note("phosphorus is high and rises by %.0f lb/ac of phosphate: take manure elsewhere", x.Balance.P/x.Acres)
	}
	if x.Potassium == fertility.High {
		note("potassium is high: keep its forage from dry cows in their last three weeks unless tested below %.0f %%", fertility.CloseUpPotassium)
	}
	if x.Balance.K < -60*x.Acres && x.Potassium != fertility.High {
		note("potash falls by %.0f lb/ac: alfalfa and grass thin where it goes on", -x.Balance.K/x.Acres)
	}
	if field.Ground.Test.Method == "" {
		note("no soil test: phosphorus, potassium and lime are not known")
	}
}

func hasPrussic(m *crop.Mix) bool {
	for _, p := range m.Parts {
		if p.Crop.Prussic != 0 {
			return true
		}
	}
	return false
}

// lime works out the need to the pH that the field's stand wants.
func (x *FieldNutrients) lime(field *farm.Field) {
	mix := &field.Stands
	target := 6.3
	for _, p := range mix.Parts {
		target = math.Max(target, p.Crop.Fit.PHLow)
	}
	t := &field.Ground.Test
	switch {
	case field.Soil.PH >= target:
	case t.BufferPH == 0:
		x.LimeUnknown = fmt.Sprintf("pH %.1f is below %.1f and the test gives no buffer pH", field.Soil.PH, target)
	default:
		tons, err := fertility.LimeNeed(field.Soil.PH, t.BufferPH, target)
		if err != nil {
			x.LimeUnknown = err.Error()
			return
		}
		x.Lime = tons
	}
}
