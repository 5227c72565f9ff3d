package account

import (
	"fmt"
	"math"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/fertility"
	"rowen/herd"
	"rowen/quantity"
	"rowen/season"
)

// NPK is nitrogen, phosphate (P2O5) and potash (K2O), lb.
type NPK struct{ N, P, K float64 }

func (a NPK) plus(b NPK) NPK      { return NPK{a.N + b.N, a.P + b.P, a.K + b.K} }
func (a NPK) times(x float64) NPK { return NPK{a.N * x, a.P * x, a.K * x} }
func (a NPK) less(b NPK) NPK      { return a.plus(b.times(-1)) }

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

// CutNutrients is what one cut takes off: what was brought in, for what wilting and
// raking leave lies on the field still. Tables of removal count tons as brought in.
type CutNutrients struct {
	Field int
	Date  quantity.Date // brought in
	Tons  float64       // DM
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
	Excess      float64 // given beyond the want, what sods give beyond it too
	Fixed       float64 // nitrogen that legumes took from the air, lb
	Balance     NPK     // applied and fixed less taken off
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
	Farm      NPK     // the fields' balances together; what comes in with feed and goes out with milk and stock is not in it
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
	var beds []bed
	for i := range f.Fields {
		n := FieldNutrients{Field: i, Acres: f.Fields[i].Area.Acres()}
		n.Phosphorus, n.Potassium = tested(&f.Fields[i])
		out.Fields = append(out.Fields, n)
		beds = append(beds, bedsOf(f, y, i)...)
	}
	out.spread(f, y, beds, heaps, taken)
	for i := range out.Fields {
		out.finish(f, y, i, beds, taken[i])
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
		thousands := perYear(f, &f.Groups[g], func(p *farm.Period) float64 { return p.Head * p.Weight.Pounds() }) / 1000
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

// finish adds balance, lime, purchases and warnings to a field.
func (n *Nutrients) finish(f *farm.Farm, y *season.YearResult, i int, beds []bed, taken NPK) {
	x, field := &n.Fields[i], &f.Fields[i]
	var applied NPK
	for l := range n.Loads {
		if n.Loads[l].Field == i {
			applied = applied.plus(n.Loads[l].Applied)
		}
	}
	var credit, counted float64
	prussic := false
	for b := range beds {
		if beds[b].field != i {
			continue
		}
		x.Wants += beds[b].want
		credit += beds[b].credit
		counted += beds[b].counted
		x.Manure += beds[b].manure
		prussic = prussic || hasPrussic(beds[b].mix)
	}
	x.Bought = dressed(f, y, i)
	applied.N += x.Bought
	x.Credit = min(credit, x.Wants)
	got := credit + x.Manure + x.Bought
	x.Short = max(0, x.Wants-got)
	x.Excess = max(0, got-x.Wants)
	x.Fixed = fixed(f, y, i)
	applied.N += x.Fixed
	x.Balance = applied.less(taken)
	x.lime(f)
	x.notes(f, field, prussic, counted)
}

// fixed is the nitrogen that the legumes of a field took from the air in a year, lb, by
// what grew there above ground and their share of it.
func fixed(f *farm.Farm, y *season.YearResult, field int) (sum float64) {
	spells := programme(f, y, field)
	acres := 0.0
	for i := range spells {
		acres += spells[i].acres
	}
	for i := range spells {
		// A field's growth is shared among its stands by their ground.
		grown := quantity.Mass(y.Fields[field].Grown).Tons() * spells[i].acres / acres
		sum += fertility.Fixed(legumeShare(spells[i].mix) * grown)
	}
	return sum
}

// dressed is the mineral nitrogen that the year's sowings were given on a field, lb.
// On certified ground and in transition there is none, whatever a plan says.
func dressed(f *farm.Farm, y *season.YearResult, field int) (sum float64) {
	if f.Organic || f.Fields[field].Ground.Status != farm.Conventional {
		return 0
	}
	for i := range y.Events {
		if e := &y.Events[i]; e.Kind == season.Dressed && int(e.Field) == field {
			sum += quantity.Mass(e.DM).Pounds()
		}
	}
	return sum
}

// notes are a field's warnings; counted is the nitrogen that the season's growth was
// given as manure, lb.
func (x *FieldNutrients) notes(f *farm.Farm, field *farm.Field, prussic bool, counted float64) {
	note := func(format string, args ...any) { x.Notes = append(x.Notes, fmt.Sprintf(format, args...)) }
	per := func(pounds float64) string { return perArea(pounds/x.Acres, f.Units) }
	if x.Short > 15*x.Acres {
		switch {
		case f.Organic || field.Ground.Status != farm.Conventional:
			note("short of %s of nitrogen: more legume, more manure, or a smaller crop; none may be bought in mineral form here", per(x.Short))
		default:
			note("short of %s of nitrogen after the farm's own manure: in no dressing over %s", per(x.Short), f.Limits.MaxNitrogen.RateIn(f.Units))
		}
	}
	if x.Excess > 40*x.Acres {
		danger := "nitrate"
		if prussic {
			danger = "nitrate and prussic acid"
		}
		note("%s more nitrogen than the crop takes: a risk of %s; test before feeding", per(x.Excess), danger)
	}
	if counted > x.Manure+20*x.Acres {
		note("the season's growth counts on %s of nitrogen from manure and the farm's own gives %s here: write what is spread (manure = ...), or expect less", per(counted), per(x.Manure))
	}
	if x.Phosphorus == fertility.High && x.Balance.P > 0 {
		note("phosphorus is high and rises by %s of phosphate: take manure elsewhere", per(x.Balance.P))
	}
	if x.Potassium == fertility.High {
		note("potassium is high: keep its forage from dry cows in their last three weeks unless tested below %.0f %%", fertility.CloseUpPotassium)
	}
	if x.Balance.K < -60*x.Acres && x.Potassium != fertility.High {
		note("potash falls by %s: alfalfa and grass thin where it goes on", per(-x.Balance.K))
	}
	if field.Ground.Test.Method == "" {
		note("no soil test: phosphorus, potassium and lime are not known")
	}
}

// perArea writes pounds an acre as the farm's units have it, without decimals.
func perArea(poundsPerAcre float64, u quantity.System) string {
	if u == quantity.Metric {
		return fmt.Sprintf("%.0f kg/ha", (quantity.MassPerArea(poundsPerAcre) * quantity.PoundPerAcre).KilogramsPerHectare())
	}
	return fmt.Sprintf("%.0f lb/ac", poundsPerAcre)
}

func hasPrussic(m *crop.Mix) bool {
	for _, p := range m.Parts {
		if p.Crop.Prussic != 0 {
			return true
		}
	}
	return false
}

// lime works out the need to the pH that the most sensitive of the field's stands
// wants.
func (x *FieldNutrients) lime(f *farm.Farm) {
	field := &f.Fields[x.Field]
	target := leastPH
	raise := func(m *crop.Mix) {
		for _, p := range m.Parts {
			target = math.Max(target, p.Crop.Fit.PHLow)
		}
	}
	raise(&field.Stands)
	for s := range f.Plan.Sowings {
		if f.Plan.Sowings[s].Field == x.Field {
			raise(&f.Plan.Sowings[s].Mix)
		}
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

// leastPH is the pH that forage ground is kept at (common practice).
const leastPH = 6.3
