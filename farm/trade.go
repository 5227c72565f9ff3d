package farm

import (
	"cmp"
	"fmt"
	"strings"

	"rowen/handbook/fertility"
	"rowen/handbook/seed"
	"rowen/internal/document"
	"rowen/quantity"
)

// Manure is one store of the farm's own manure and its analysis, mass in mass.
type Manure struct {
	Name                                  string
	Amount                                quantity.Mass // to be spread in the feed year, as it is
	Nitrogen, Ammonium, Phosphate, Potash quantity.Fraction
	Line                                  int
}

// slurryDensity is what a volume of liquid manure weighs, kg/m³ (common practice: as
// water, 8.3 lb/gal).
const slurryDensity = 1000

// parseManure reads an amount of manure as mass, or of slurry as volume.
func parseManure(text string) (quantity.Mass, error) {
	m, err := quantity.ParseMass(text)
	if err == nil {
		return m, nil
	}
	if v, verr := quantity.ParseVolume(text); verr == nil {
		return quantity.Mass(float64(v) * slurryDensity), nil
	}
	return 0, err
}

// parseAnalysis reads what is in manure: mass in mass, or as laboratories print slurry,
// "25 lb/1000 gal" or "3 kg/m3".
func parseAnalysis(text string) (quantity.Fraction, error) {
	if mass, volume, ok := strings.Cut(text, "/"); ok {
		m, merr := quantity.ParseMass(mass)
		volume = strings.ReplaceAll(strings.TrimSpace(volume), ",", "")
		if volume != "" && (volume[0] < '0' || volume[0] > '9') {
			volume = "1 " + volume
		}
		v, verr := quantity.ParseVolume(volume)
		if merr == nil && verr == nil && v > 0 {
			return quantity.Fraction(float64(m) / (float64(v) * slurryDensity)), nil
		}
	}
	return quantity.ParseFraction(text)
}

// manure reads a heap or a pit.
func (r *reader) manure(in document.In) {
	m := Manure{Name: in.Text("name"), Line: in.Node.Line}
	if in.Need("amount", `"600 ton"`) != "" {
		m.Amount = document.Quantity(in, "amount", 0, within(ofStored, parseManure))
	}
	read := func(key, example string) quantity.Fraction {
		if in.Need(key, example) == "" {
			return 0
		}
		return document.Quantity(in, key, 0, within(ofShare, parseAnalysis))
	}
	m.Nitrogen, m.Ammonium = read("nitrogen", `"10 lb/ton"`), read("ammonium", `"5 lb/ton", of the nitrogen`)
	m.Phosphate, m.Potash = read("phosphate", `"4 lb/ton"`), read("potash", `"8 lb/ton"`)
	if m.Ammonium > m.Nitrogen {
		in.Report("ammonium", in.Text("ammonium"), "it is a part of the nitrogen and cannot be more")
	}
	r.f.Manures = append(r.f.Manures, m)
}

// Machine is a machine of the farm's own, to be held against custom work.
type Machine struct {
	Name         string
	Work         string // "mowing", "raking", "baling", "chopping", "drilling"
	Price        float64
	Years        int
	Hours        float64 // a year
	Width        quantity.Length
	Speed        quantity.Speed
	Tractor      float64 // PTO horsepower
	Interest     quantity.Fraction
	Fuel, Labour float64 // money per gallon and hour
	Line         int
}

// Works are the works whose machines are known.
var Works = []string{"mowing", "raking", "baling", "chopping", "drilling"}

func (r *reader) machine(in document.In) {
	m := Machine{
		Name: in.Text("name"), Work: in.Need("work", `"mowing"`), Price: in.Number("price", 0, 0, 5e6),
		Years: int(in.Number("years", 10, 1, 40)), Hours: in.Number("hours", 0, 0, ofUse.most),
		Width: document.Quantity(in, "width", 0, within(ofWidth, quantity.ParseLength)), Speed: document.Quantity(in, "speed", 0, within(ofPace, quantity.ParseSpeed)),
		Tractor: in.Number("tractor_hp", 80, 0, 800), Interest: document.Quantity(in, "interest", 0.07, within(ofShare, quantity.ParseFraction)),
		Fuel: in.Number("fuel_per_gallon", 4, 0, 50), Labour: in.Number("labour_per_hour", 25, 0, 500), Line: in.Node.Line,
	}
	known := false
	for _, w := range Works {
		known = known || w == m.Work
	}
	if !known && m.Work != "" {
		in.Report("work", m.Work, fmt.Sprintf("write one of: %v", Works))
	}
	for key, v := range map[string]float64{"price": m.Price, "hours": m.Hours, "width": float64(m.Width), "speed": float64(m.Speed)} {
		if v <= 0 && !r.reported(in, key) {
			in.Report(key, in.Text(key), "it must be more than nothing: a machine's cost per acre stands on it")
		}
	}
	if m.Hours > 0 && !ofUse.holds(m.Hours) {
		in.Report("hours", fmt.Sprint(m.Hours), ofUse.said)
	}
	r.f.Machines = append(r.f.Machines, m)
}

// Seed is what a sowing's seed is: what is ordered, and what an inspector asks.
type Seed struct {
	Product     string
	Supplier    string
	Germination quantity.Fraction // 0 takes a usual 85 %
	Purity      quantity.Fraction // 0 takes a usual 98 %
	Coating     quantity.Fraction // share of the bag that is coat
	Bag         quantity.Mass     // 0 takes 50 lb
	Plants      quantity.CountPerArea
	Maturity    int    // days
	Organic     bool   // certified organic seed
	Treated     bool   // with a substance not allowed on certified land
	Search      string // the search for organic seed, as recorded
	Substitute  string
	Inoculant   bool
}

// terminations are how what stood before is ended.
var terminations = []string{"ploughed", "herbicide", "winterkilled", "rolled", "cut", "nothing stood"}

// Before is how a sowing's ground is made ready.
type Before struct {
	Termination string
	Frost       bool   // frost-seeded
	Drill       string // as the farm calls it
	Label       string // the label's plant-back and grazing intervals, as entered; never invented
	PlantBack   quantity.Date
	GrazeAfter  quantity.Date
}

// Usual qualities of a bag where a sowing does not tell its own (common practice; the
// tag goes before them).
const (
	UsualGermination = 0.85
	UsualPurity      = 0.98
)

// PureLive is the share of a sowing's bag that is pure live seed, 0 to 1.
func (x *Seed) PureLive() float64 {
	return seed.PureLive(float64(x.Coating), float64(cmp.Or(x.Purity, UsualPurity)), float64(cmp.Or(x.Germination, UsualGermination)))
}

// fromPlants works a sowing's rate out from the plants that are wanted: through what
// of it comes up and what of a bag lives. A mixture has no one number of plants.
func (r *reader) fromPlants(in document.In, s *Sowing) {
	x := &s.Seed
	if x.Plants <= 0 {
		return
	}
	switch {
	case in.Has("rate"):
		in.Report("plants", in.Text("plants"), "give the rate or the plants wanted, not both")
	case len(s.Mix.Parts) > 1:
		in.Report("plants", in.Text("plants"), "a mixture has no one number of plants; give a rate for each part")
	case len(s.Mix.Parts) == 1:
		c := s.Mix.Parts[0].Crop
		perPound := float64(c.Sowing.SeedsPerMass) * float64(quantity.Pound)
		germination := float64(cmp.Or(x.Germination, UsualGermination))
		live := fertility.SeedRate(float64(x.Plants)*float64(quantity.Acre), perPound, germination, seed.FieldEmergence(perPound)) * germination
		rate := quantity.MassPerArea(seed.Bulk(live, x.PureLive())) * quantity.PoundPerAcre
		if !ofSeed.holds(float64(rate)) {
			in.Report("plants", in.Text("plants")+": "+rate.RateIn(r.f.Units), ofSeed.said)
			return
		}
		s.Mix.Parts[0].Rate = rate
	}
}

// seedOf reads what a sowing's seed is.
func (r *reader) seedOf(in document.In, s *Sowing) {
	x := &s.Seed
	x.Product, x.Supplier, x.Search, x.Substitute = in.Text("product"), in.Text("supplier"), in.Text("organic_seed_search"), in.Text("substitute")
	x.Germination = document.Quantity(in, "germination", 0, within(ofLife, quantity.ParseFraction))
	x.Purity = document.Quantity(in, "purity", 0, within(ofLife, quantity.ParseFraction))
	x.Coating = document.Quantity(in, "coating", 0, within(ofShare, quantity.ParseFraction))
	x.Bag = document.Quantity(in, "bag", 0, within(ofBag, quantity.ParseMass))
	x.Plants = document.Quantity(in, "plants", 0, within(ofPlants, quantity.ParseCountPerArea))
	x.Maturity = int(in.Number("maturity_days", 0, 0, 200))
	x.Organic, x.Treated, x.Inoculant = in.Truth("organic_seed", false), in.Truth("treated", false), in.Truth("inoculant", false)
	if x.Coating >= 0.7 {
		in.Report("coating", in.Text("coating"), "a coat of more than 70 % is a mistake; write the share of the bag that is not seed")
	}
	r.fromPlants(in, s)
	b := &s.Before
	b.Termination, b.Drill, b.Label = in.Text("termination"), in.Text("drill"), in.Text("label")
	b.Frost = in.Truth("frost_seeded", false)
	b.PlantBack = document.Quantity(in, "plant_back", 0, quantity.ParseDate)
	b.GrazeAfter = document.Quantity(in, "graze_after", 0, quantity.ParseDate)
	known := b.Termination == ""
	for _, t := range terminations {
		known = known || t == b.Termination
	}
	if !known {
		in.Report("termination", b.Termination, fmt.Sprintf("write one of: %q", terminations))
	}
	certified := s.Field >= 0 && r.f.Fields[s.Field].Ground.Status != Conventional
	if certified && x.Treated {
		in.Report("treated", "true", "treated seed is not allowed on certified or transition land: order it untreated, certified organic where it can be found")
	}
	if certified && b.Termination == "herbicide" {
		in.Report("termination", b.Termination, "no herbicide on certified or transition land; plough, roll or cut it")
	}
	if s.Field >= 0 && s.Nitrogen > 0 && r.f.Fields[s.Field].Ground.Status != Conventional {
		in.Report("nitrogen", in.Text("nitrogen"), "no mineral nitrogen on certified or transition land; write manure = ... for what manure makes available")
	}
	if b.PlantBack != 0 && s.On != 0 && s.On < b.PlantBack {
		in.Report("on", s.On.String(), "the label, as entered, allows no sowing before "+b.PlantBack.String()+" (plant_back)")
	}
	if (b.PlantBack != 0 || b.GrazeAfter != 0) && b.Label == "" {
		in.Report("label", "", "name the label that the interval was read from: label = \"...\"")
	}
}
