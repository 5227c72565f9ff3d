package report

import (
	"fmt"
	"math"
	"strings"

	"rowen/account"
	"rowen/farm"
	"rowen/handbook"
	"rowen/handbook/fertility"
	"rowen/herd"
	"rowen/quantity"
	"rowen/say"
	"rowen/season"
)

// Account is what follows from the plan's middle year: nutrients, lots, rotation,
// records and money in full. Masses are kg, areas m².
type Account struct {
	Nutrients Nutrients     `json:"nutrients"`
	Lots      []Lot         `json:"lots"`
	Advice    []Advice      `json:"rotation"`
	Fields    []Programme   `json:"programmes"`
	Record    *Record       `json:"record,omitempty"`
	GrassFed  []string      `json:"grass_fed,omitempty"`
	Budget    *Budget       `json:"budget,omitempty"`
	Cash      []Month       `json:"cash"`
	Undated   float64       `json:"cash_undated"`
	Costs     UnitCosts     `json:"costs"`
	If        []Sensitivity `json:"sensitivity"`
	Machines  []Machine     `json:"machines,omitempty"`
	Land      float64       `json:"land_rent"`
	Hours     Hours         `json:"labour"`
}

// Nutrients is the farm's year of nutrients. N is nitrogen, P phosphate (P2O5),
// K potash (K2O), kg.
type Nutrients struct {
	Year      int              `json:"weather_year"` // the one nearest the middle in which all is sown
	Fields    []FieldNutrients `json:"fields"`
	Notes     []Note           `json:"notes"`
	Loads     []Load           `json:"manure_loads"`
	Cuts      []CutNutrients   `json:"cuts"`
	Collected float64          `json:"manure_collected_kg"`
	Left      float64          `json:"manure_left_kg"`
	Balance   NPK              `json:"balance"`
	Assumed   []string         `json:"assumed,omitempty"`
	Defers    string           `json:"defers,omitempty"`
}

// NPK is nitrogen, phosphate and potash, kg.
type NPK struct {
	N float64 `json:"n_kg"`
	P float64 `json:"p2o5_kg"`
	K float64 `json:"k2o_kg"`
}

// FieldNutrients is one field's line.
type FieldNutrients struct {
	Field   string  `json:"field"`
	Area    float64 `json:"area_m2"`
	Wants   float64 `json:"wants_n_kg"`
	Credit  float64 `json:"credit_n_kg"`
	Manure  float64 `json:"manure_n_kg"`
	Bought  float64 `json:"bought_n_kg"`
	Short   float64 `json:"short_n_kg"`
	Fixed   float64 `json:"fixed_n_kg"` // by legumes from the air
	Balance NPK     `json:"balance"`
	Soil    string  `json:"soil_test"`
	Lime    float64 `json:"lime_kg_per_m2"`
	NoLime  string  `json:"lime_unknown,omitempty"`
}

// Note is one thing to know, of one field or several.
type Note struct {
	Fields string `json:"fields"`
	Text   string `json:"text"`
}

// Load is manure to be spread.
type Load struct {
	Day    string  `json:"date"`
	Field  string  `json:"field"`
	Source string  `json:"source"`
	Mass   float64 `json:"mass_kg"`
	Gives  float64 `json:"gives_n_kg"`
	Why    string  `json:"why"`
}

// CutNutrients is what one cut takes off.
type CutNutrients struct {
	Day       string  `json:"date"`
	Field     string  `json:"field"`
	Mass      float64 `json:"dm_kg"`
	Taken     NPK     `json:"taken"`
	Potassium float64 `json:"potassium_percent"`
}

// Lot is one cut in store.
type Lot struct {
	Name     string  `json:"name"`
	Feed     string  `json:"feed"`
	Day      string  `json:"stored,omitempty"`
	Mass     float64 `json:"dm_kg"`
	Moisture float64 `json:"moisture"`
	CP       float64 `json:"cp_percent"`
	NDF      float64 `json:"ndf_percent"`
	Fibre    float64 `json:"effective_fibre_percent"`
	NEL      float64 `json:"nel_mcal_per_kg"`
	Ca       float64 `json:"ca_percent"`
	P        float64 `json:"p_percent"`
	Mg       float64 `json:"mg_percent"`
	K        float64 `json:"k_percent"`
	For      string  `json:"for"`
	Why      string  `json:"why"`
	Cattle   Gate    `json:"cattle"`
	Strict   Gate    `json:"horses_and_sheep"`
}

// Gate is a gate's answer in words.
type Gate struct {
	Answer  string   `json:"answer"`
	Reasons []string `json:"reasons,omitempty"`
	Missing []string `json:"missing,omitempty"`
}

func gateOf(g handbook.Gate) Gate {
	out := Gate{Answer: g.Answer.String(), Missing: g.Missing}
	for _, r := range g.Reasons {
		out.Reasons = append(out.Reasons, r.Text)
	}
	return out
}

// Programme is a field's stands over the years: those before, oldest first, and the
// one planned.
type Programme struct {
	Field  string   `json:"field"`
	Before []string `json:"years_before"` // one for each of the three years, "" unknown
	Now    string   `json:"planned"`
	Slope  float64  `json:"slope"`
}

// programmes are the fields' programmes.
func programmes(f *farm.Farm) (out []Programme) {
	for i := range f.Fields {
		g := &f.Fields[i].Ground
		p := Programme{Field: f.Fields[i].Name, Now: stands(f, i), Slope: float64(g.Slope), Before: make([]string, 3)}
		for _, past := range g.Past {
			if ago := f.Target - past.Year; ago >= 1 && ago <= 3 {
				p.Before[3-ago] = strings.ReplaceAll(past.Crop, "-", " ")
			}
		}
		out = append(out, p)
	}
	return out
}

// Advice is one thing said of a field's programme.
type Advice struct {
	Field  string `json:"field"`
	Text   string `json:"text"`
	Source string `json:"source"`
	Stop   bool   `json:"stop"`
}

// Record is the sheet that an organic inspector asks for.
type Record struct {
	Certified    float64       `json:"certified_m2"`
	Transition   float64       `json:"transition_m2"`
	Conventional float64       `json:"conventional_m2"`
	Fields       []FieldRecord `json:"fields"`
	Classes      []ClassRecord `json:"classes"`
	Seeds        []SeedRecord  `json:"seeds"`
	Swaths       []string      `json:"swaths_grazed_in_place,omitempty"`
	Missing      []string      `json:"missing"`
}

// FieldRecord is a field's line of it.
type FieldRecord struct {
	Field   string  `json:"field"`
	Area    float64 `json:"area_m2"`
	Status  string  `json:"status"`
	Stands  string  `json:"stands"`
	History string  `json:"history"`
	Buffer  string  `json:"buffer"`
}

// ClassRecord is a class of animals' grazing.
type ClassRecord struct {
	Group     string  `json:"group"`
	Days      int     `json:"days"`
	Share     float64 `json:"share"`
	Exemption string  `json:"exemption,omitempty"`
	Passes    bool    `json:"passes"`
}

// SeedRecord is a sowing's seed.
type SeedRecord struct {
	Field   string `json:"field"`
	Seed    string `json:"seed"`
	Organic bool   `json:"organic"`
	Search  string `json:"search,omitempty"`
}

// Budget is the plan held against another in the same weather year.
type Budget struct {
	Against string   `json:"against"`
	Added   float64  `json:"added"`
	Saved   float64  `json:"saved"`
	Spent   float64  `json:"spent"`
	Lost    float64  `json:"lost"`
	Net     float64  `json:"net"`
	NetBad  float64  `json:"net_bad"`
	Lines   []string `json:"lines"`
}

// Month is a month's payments.
type Month struct {
	Name   string  `json:"month"`
	Seed   float64 `json:"seed"`
	Work   float64 `json:"work"`
	Bought float64 `json:"bought_feed"`
	N      float64 `json:"nitrogen"`
}

// UnitCosts are what feed costs by what it makes; 0 where there is none.
type UnitCosts struct {
	FeedCost   float64 `json:"feed_cost"`
	PerKgGrown float64 `json:"per_kg_grown"`
	PerKgFed   float64 `json:"per_kg_fed"`
	PerKgMilk  float64 `json:"per_kg_milk,omitempty"`
	PerKgGain  float64 `json:"per_kg_gain,omitempty"`
}

// Sensitivity is the year's feed cost when one thing changes.
type Sensitivity struct {
	What string  `json:"what"`
	Cost float64 `json:"cost"`
}

// Hours is what the year asks of people.
type Hours struct {
	Field float64 `json:"field_work_h"`
	Stock float64 `json:"moving_stock_h"`
}

// Machine is a machine of the farm's own against custom work, money for a m².
type Machine struct {
	Name      string  `json:"name"`
	Work      string  `json:"work"`
	Area      float64 `json:"area_a_year_m2"`
	Own       float64 `json:"own_per_m2"`
	Custom    float64 `json:"custom_per_m2"`
	BreakEven float64 `json:"break_even_m2"`
}

const (
	kgPerLb   = float64(quantity.Pound)
	kgPerTon  = float64(quantity.Ton)
	m2PerAcre = float64(quantity.Acre)
)

// Present is the plan that a new one is held against: its name and its middle and
// bad year.
type Present struct {
	Name        string
	Middle, Bad *season.YearResult
}

// account fills the page's accounts from the middle year.
func (p *Plan) account(f *farm.Farm, r *season.Result, now *Present) {
	y := &r.Years[r.Middle]
	a := &p.Account
	whole := sownYear(r)
	a.Nutrients = nutrients(f, whole)
	a.Nutrients.Year = int(whole.ID)
	lots := account.LotsOf(f, y)
	for i := range lots {
		a.Lots = append(a.Lots, lot(f, y, &lots[i]))
	}
	p.warn(f, y, lots)
	for _, v := range account.RotationOf(f, y) {
		a.Advice = append(a.Advice, Advice{f.Fields[v.Field].Name, v.Text, v.Source, v.Stop})
	}
	a.Fields = programmes(f)
	p.Strict = strict(f)
	if certified(f) {
		a.Record = record(f, y)
	}
	a.GrassFed = account.GrassFedOf(f, y)
	if now != nil {
		b := account.BudgetOf(f, now.Middle, y)
		bad := account.BudgetOf(f, now.Bad, &r.Years[r.Bad])
		a.Budget = &Budget{now.Name, b.Added, b.Saved, b.Spent, b.Lost, b.Net, bad.Net, b.Lines}
	}
	months, undated := account.CashOf(f, y)
	for _, m := range months {
		a.Cash = append(a.Cash, Month{m.Name, m.Seed, m.Work, m.Bought, m.Nitrogen})
	}
	a.Undated = undated
	a.Land, a.Hours = account.LandOf(f), Hours(account.LabourOf(f, y))
	u := account.UnitCostsOf(f, y)
	a.Costs = UnitCosts{u.FeedCost, u.PerTonGrown / kgPerTon, u.PerTonFed / kgPerTon, u.PerHundredMilk / (100 * kgPerLb), u.PerPoundGain / kgPerLb}
	for _, s := range account.SensitivityOf(f, y) {
		a.If = append(a.If, Sensitivity(s))
	}
	for _, m := range account.MachinesOf(f) {
		a.Machines = append(a.Machines, Machine{m.Name, m.Work, m.Acres * m2PerAcre, m.PerAcre / m2PerAcre, m.Custom / m2PerAcre, m.BreakEven * m2PerAcre})
	}
	for _, s := range account.ScoutsOf(f) {
		p.add("walk", f.Fields[s.Field].Name+"\x00"+s.Text, s.On, "Walk "+f.Fields[s.Field].Name, s.Text)
	}
	for _, l := range a.Nutrients.Loads {
		if d, err := quantity.ParseDate(l.Day); err == nil {
			p.add("spread", l.Field+"\x00"+l.Source, d, fmt.Sprintf("Spread %s of %s on %s", quantity.Mass(l.Mass).In(f.Units), l.Source, l.Field), l.Why)
		}
	}
}

// strict tells whether horses or sheep are kept.
func strict(f *farm.Farm) bool {
	for i := range f.Groups {
		class, err := herd.ParseClass(f.Groups[i].Class)
		if f.Groups[i].Horses || err == nil && (class == herd.Ewe || class == herd.LambGrowing || class == herd.Ram || class == herd.Horse) {
			return true
		}
	}
	return false
}

// sownYear is the year nearest the middle in shortage in which every sowing of the plan
// was made and used: what the ground wants is planned for all that is meant to grow on
// it. It is the middle year itself where there is none.
func sownYear(r *season.Result) *season.YearResult {
	middle := &r.Years[r.Middle]
	best := middle
	far := math.Inf(1)
	for i := range r.Years {
		y := &r.Years[i]
		whole := true
		for s := range y.Sowings {
			whole = whole && y.Sowings[s].Sown != 0 && y.Sowings[s].FirstUse != 0
		}
		if d := math.Abs(y.Shortage - middle.Shortage); whole && d < far {
			best, far = y, d
		}
	}
	return best
}

// warn says at the head of the page what the figures below it would hide.
func (p *Plan) warn(f *farm.Farm, y *season.YearResult, lots []account.Lot) {
	tell := func(pattern string, args ...any) { p.Warnings = append(p.Warnings, say.That(pattern, args...)) }
	held, full := 0.0, 0.0
	for i := range lots {
		if lots[i].For == "nobody yet" {
			held += lots[i].Tons * kgPerTon
		}
	}
	if held > Nothing {
		tell("%s of stored feed may be given to no class as it stands (see lots); this plan feeds it. Until its pH is read the gap is larger by as much.", mass(held, f.Units))
	}
	for i := range y.Events {
		if y.Events[i].Kind == season.StoreFull {
			full += y.Events[i].DM
		}
	}
	if full > 1000 {
		tell("%s of what was cut in the middle year found no room in store and is lost in these figures: add a store, or sell it.", mass(full, f.Units))
	}
	for _, c := range account.ClaimsOf(f, y, lots) {
		if c.Missing != "" {
			tell("%s: %s.", c.Group, c.Missing)
		}
	}
}

// certified tells whether any ground is organic or on the way there.
func certified(f *farm.Farm) bool {
	for i := range f.Fields {
		if f.Fields[i].Ground.Status != farm.Conventional {
			return true
		}
	}
	return false
}

func npk(x account.NPK) NPK { return NPK{x.N * kgPerLb, x.P * kgPerLb, x.K * kgPerLb} }

func nutrients(f *farm.Farm, y *season.YearResult) Nutrients {
	n := account.NutrientsOf(f, y)
	out := Nutrients{Collected: n.Collected * kgPerTon, Left: n.Left * kgPerTon, Balance: npk(n.Farm), Assumed: n.Assumed, Defers: n.Defers}
	for i := range n.Fields {
		x := &n.Fields[i]
		out.Fields = append(out.Fields, FieldNutrients{
			Field: f.Fields[x.Field].Name, Area: x.Acres * m2PerAcre, Wants: x.Wants * kgPerLb, Credit: x.Credit * kgPerLb, Manure: x.Manure * kgPerLb,
			Bought: x.Bought * kgPerLb, Short: x.Short * kgPerLb, Fixed: x.Fixed * kgPerLb, Balance: npk(x.Balance), Soil: soilWords(x),
			Lime: x.Lime * kgPerTon / m2PerAcre, NoLime: x.LimeUnknown,
		})
		name := f.Fields[x.Field].Name
		for _, text := range x.Notes {
			out.note(name, text)
		}
		if x.LimeUnknown != "" {
			out.note(name, "lime not known: "+x.LimeUnknown)
		}
	}
	for _, l := range n.Loads {
		out.Loads = append(out.Loads, Load{l.On.String(), f.Fields[l.Field].Name, l.Source, l.Tons * kgPerTon, l.Gives * kgPerLb, l.Why})
	}
	for _, c := range n.Cuts {
		out.Cuts = append(out.Cuts, CutNutrients{planned(f, y, c.Date).String(), f.Fields[c.Field].Name, c.Tons * kgPerTon, npk(c.Taken), c.K})
	}
	return out
}

// note says a thing once, of every field that it is true of.
func (n *Nutrients) note(field, text string) {
	for i := range n.Notes {
		if n.Notes[i].Text == text {
			n.Notes[i].Fields += ", " + field
			return
		}
	}
	n.Notes = append(n.Notes, Note{field, text})
}

// planned is a weather year's day in the year that is planned.
func planned(f *farm.Farm, y *season.YearResult, d quantity.Date) quantity.Date {
	return f.FirstDay() + (d - y.First)
}

func soilWords(x *account.FieldNutrients) string {
	if x.Phosphorus == fertility.Unknown && x.Potassium == fertility.Unknown {
		return "not tested"
	}
	return fmt.Sprintf("P %s, K %s", x.Phosphorus, x.Potassium)
}

func lot(f *farm.Farm, y *season.YearResult, l *account.Lot) Lot {
	out := Lot{
		Name: l.Name, Feed: l.Kind.String(), Mass: l.Tons * kgPerTon, Moisture: l.Moisture, CP: l.CP, NDF: l.NDF, Fibre: l.Fibre, NEL: l.NEL,
		Ca: l.Ca, P: l.P, Mg: l.Mg, K: l.K, For: l.For, Why: l.Why, Cattle: gateOf(l.Cattle), Strict: gateOf(l.Strict),
	}
	if l.Field >= 0 {
		out.Day = planned(f, y, l.Stored).String()
	}
	return out
}

func record(f *farm.Farm, y *season.YearResult) *Record {
	x := account.RecordOf(f, y)
	r := &Record{Certified: x.Certified * m2PerAcre, Transition: x.Transition * m2PerAcre, Conventional: x.Conventional * m2PerAcre, Missing: x.Missing, Swaths: x.Swaths}
	for _, l := range x.Fields {
		r.Fields = append(r.Fields, FieldRecord{f.Fields[l.Field].Name, float64(f.Fields[l.Field].Area), l.Status, stands(f, l.Field), l.History, l.Buffer})
	}
	for _, c := range x.Classes {
		r.Classes = append(r.Classes, ClassRecord(c))
	}
	for _, s := range x.Seeds {
		sow := &f.Plan.Sowings[s.Sowing]
		r.Seeds = append(r.Seeds, SeedRecord{f.Fields[sow.Field].Name, s.Seed, s.Organic, s.Search})
	}
	return r
}
