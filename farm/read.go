package farm

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"sort"
	"strings"
	"time"
	_ "time/tzdata" // a farm's zone must be known on every machine

	"rowen/crop"
	"rowen/internal/document"
	"rowen/quantity"
)

// Read reads a farm document and checks it whole. The error, if any, is
// document.Problems: everything that is wrong, in order of line.
func Read(path string, catalogue *crop.Catalogue) (*Farm, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("farm: %w", err)
	}
	defer func() { _ = file.Close() }()
	text, err := io.ReadAll(io.LimitReader(file, document.MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("farm: %w", err)
	}
	return Parse(path, text, catalogue)
}

// Parse reads a farm document's text; path is for problems and the manifest.
func Parse(path string, text []byte, catalogue *crop.Catalogue) (*Farm, error) {
	root, err := document.Parse(path, text)
	if err != nil {
		var p document.Problem
		if errors.As(err, &p) {
			return nil, document.Problems{p}
		}
		return nil, err
	}
	sum := sha256.Sum256(text)
	r := reader{
		R: &document.Reader{File: path}, catalogue: catalogue,
		f: &Farm{Document: Document{Path: path, Text: text, Hash: hex.EncodeToString(sum[:])}},
	}
	r.read(root)
	if len(r.R.Problems) > 0 {
		r.R.Problems.Sort()
		return nil, r.R.Problems
	}
	return r.f, nil
}

// reader takes one document into a farm.
type reader struct {
	R         *document.Reader
	f         *Farm
	catalogue *crop.Catalogue
}

func (r *reader) assume(key, value, why string) {
	r.f.Assumed = append(r.f.Assumed, Assumption{Key: key, Value: value, Why: why})
}

// orAssume reads a quantity or takes the default, and says so.
func orAssume[T interface{ String() string }](r *reader, in document.In, path, key string, otherwise T, why string, parse func(string) (T, error)) T {
	if !in.Has(key) {
		_ = in.Text(key)
		r.assume(path+key, otherwise.String(), why)
		return otherwise
	}
	return document.Quantity(in, key, otherwise, parse)
}

func named(kind string) func(document.In) string {
	return func(in document.In) string {
		name := in.Need("name", `"..."`)
		thing := fmt.Sprintf("%s %q", kind, short(name))
		if wrong := document.WrongName(name); wrong != "" {
			in.R.Report(in.Line("name"), thing, "", wrong)
		}
		return thing
	}
}

// short is a name as problems say it: what is no name of a person's making is cut.
func short(name string) string {
	if letters := []rune(name); len(letters) > document.MaxName {
		return string(letters[:20]) + "..."
	}
	return name
}

func (r *reader) read(root *document.Node) {
	f, top := r.f, r.R.At(root, "")
	if v := top.Number("rowen", 0, 1, 1); v != 1 {
		top.Report("rowen", "", "the first line must be: rowen = 1")
	}
	f.Name = top.Need("name", `"the farm's name"`)
	if wrong := document.WrongName(f.Name); wrong != "" {
		top.Report("name", f.Name, wrong)
	}
	r.place(top)
	r.time(top)
	fields := top.Tables("field", named("field"))
	if len(fields) > MostFields {
		top.Report("field", fmt.Sprint(len(fields)), fmt.Sprintf("a farm has %d fields at most; put the smallest together, or divide the farm", MostFields))
		fields = fields[:MostFields]
	}
	for _, in := range fields {
		r.field(in)
		in.Unknown()
	}
	for _, in := range top.Tables("group", named("group")) {
		r.group(in)
		in.Unknown()
	}
	for _, in := range top.Tables("store", named("store")) {
		r.store(in)
		in.Unknown()
	}
	for _, in := range top.Tables("stock", func(in document.In) string { return fmt.Sprintf("stock in %q", in.Text("store")) }) {
		r.stock(in)
		in.Unknown()
	}
	for _, in := range top.Tables("manure", named("manure")) {
		r.manure(in)
		in.Unknown()
	}
	for _, in := range top.Tables("machine", named("machine")) {
		r.machine(in)
		in.Unknown()
	}
	r.money(top)
	sowings := top.Tables("sowing", func(in document.In) string { return fmt.Sprintf("sowing on %q", in.Text("field")) })
	if len(sowings) > MostSowings {
		top.Report("sowing", fmt.Sprint(len(sowings)), fmt.Sprintf("a plan has %d sowings at most; put those of one crop on one field together", MostSowings))
		sowings = sowings[:MostSowings]
	}
	for _, in := range sowings {
		r.sowing(in)
		in.Unknown()
	}
	top.Unknown()
	r.whole(top)
}

// place is where the farm lies and how it is shown.
func (r *reader) place(top document.In) {
	f := r.f
	for _, k := range []string{"latitude", "longitude"} {
		if !top.Has(k) {
			top.Report(k, "", "it is missing; write "+k+" = 43.0 in degrees")
		}
	}
	f.Latitude = top.Number("latitude", 43, -60, 60)
	f.Longitude = top.Number("longitude", -74, -180, 180)
	f.Elevation = orAssume(r, top, "", "elevation", 250*quantity.Metre, "a valley farm", within(ofElevation, quantity.ParseLength))
	f.TimeZone = top.Text("time_zone")
	if f.TimeZone == "" {
		f.TimeZone = "America/New_York"
		r.assume("time_zone", f.TimeZone, "used for the word today alone")
	}
	if _, err := time.LoadLocation(f.TimeZone); err != nil {
		top.Report("time_zone", f.TimeZone, `no such time zone; write an IANA name, such as "America/New_York"`)
	}
	f.Currency = top.Text("currency")
	if f.Currency == "" {
		f.Currency = "USD"
		r.assume("currency", f.Currency, "none given")
	}
	if len(f.Currency) != 3 || strings.ToUpper(f.Currency) != f.Currency {
		top.Report("currency", f.Currency, `write three capital letters, such as "USD"`)
	}
	if units := top.Text("units"); units != "" {
		s, err := quantity.ParseSystem(units)
		if err != nil {
			top.Report("units", units, `write "us" or "metric"`)
		}
		f.Units = s
	}
	f.Organic = top.Truth("organic", false)
	f.GrassFed, f.Consent, f.Regulated = top.Truth("grass_fed", false), top.Truth("consent", false), top.Truth("regulated_nutrient_plan", false)
	f.Contact = top.Text("contact")
	if wrong := document.WrongLine(f.Contact); wrong != "" {
		top.Report("contact", f.Contact, wrong)
	}
	f.Magnesium = top.Truth("magnesium_fed", false)
	f.Weather = top.Text("weather")
}

// time is the feed year and the grazing season.
func (r *reader) time(top document.In) {
	f := r.f
	f.FeedYear = orAssume(r, top, "", "feed_year", quantity.MonthDay{Month: time.November, Day: 1}, "the usual start of winter feeding", quantity.ParseMonthDay)
	if !top.Has("first_year") {
		top.Report("first_year", "", "it is missing; write the calendar year in which the planned feed year ends, such as first_year = 2027")
	}
	f.Target = int(top.Number("first_year", 2000, quantity.FirstYear, quantity.LastYear))
	f.Turnout = orAssume(r, top, "", "turnout", quantity.MonthDay{Month: time.May, Day: 5}, "usual at 43° north", quantity.ParseMonthDay)
	f.Housing = orAssume(r, top, "", "housing", quantity.MonthDay{Month: time.October, Day: 25}, "usual at 43° north", quantity.ParseMonthDay)
	if spring := f.Turnout.In(2001); f.Housing.In(2001) <= spring && f.Latitude > 0 {
		top.Report("turnout", f.Turnout.String(), "it must come before housing ("+f.Housing.String()+")")
	}
}

func (r *reader) field(in document.In) {
	f := Field{Name: in.Text("name"), Line: in.Node.Line}
	path := "field." + f.Name + "."
	for i := range r.f.Fields {
		if r.f.Fields[i].Name == f.Name && f.Name != "" {
			in.Report("name", f.Name, fmt.Sprintf("another field on line %d has this name", r.f.Fields[i].Line))
		}
	}
	outline := in.Text("outline")
	if outline != "" {
		ring, area, err := Outline(outline)
		if err != nil {
			in.Report("outline", outline, err.Error())
		}
		f.Ring, f.Area = ring, area
	}
	if in.Has("area") || outline == "" {
		if in.Need("area", `"12.4 ac"`) != "" {
			f.Area = document.Quantity(in, "area", 0, within(ofGround, quantity.ParseArea))
		}
	}
	r.soil(in, path, &f)
	f.Grazeable = in.Truth("grazeable", true)
	f.Distance = orAssume(r, in, path, "distance", 400*quantity.Metre, "a middling walk", within(ofWay, quantity.ParseLength))
	f.Water = in.Truth("water", true)
	f.Age = in.Number("age", 0, 0, 60)
	f.Weedy = in.Truth("weedy", false)
	f.Swath = in.Truth("swath_grazed", false)
	if name := in.Text("stand"); name != "" {
		f.Stands = r.mix(in, "stand", name)
	}
	f.Use = r.use(in, "use", crop.Graze)
	f.FirstCut = r.use(in, "first_cut", crop.Leave)
	if len(f.Stands.Parts) > 0 && f.Use != crop.Leave && !f.Stands.Uses[f.Use].Allowed {
		in.Report("use", f.Use.String(), notAllowed(&f.Stands, f.Use))
	}
	if f.Use != crop.Graze && len(f.Stands.Parts) > 0 {
		f.Manure = orAssume(r, in, path, "manure", meadowManure, "a mown sward's usual manure, as nitrogen made available", within(ofDressing, quantity.ParseMassPerArea))
	} else {
		f.Manure = document.Quantity(in, "manure", 0, within(ofDressing, quantity.ParseMassPerArea))
	}
	r.ground(in, &f)
	r.f.Fields = append(r.f.Fields, f)
}

// meadowManure is the nitrogen that a livestock farm's manure makes available to a
// mown sward in a year (common practice).
const meadowManure = 80 * quantity.PoundPerAcre

// reported tells whether a key of a table already has a problem.
func (r *reader) reported(in document.In, key string) bool {
	for _, p := range r.R.Problems {
		if p.Line == in.Line(key) {
			return true
		}
	}
	return false
}

func notAllowed(m *crop.Mix, u crop.Use) string {
	why := "this crop is not used so"
	if w := m.Uses[u].Why; w != "" {
		why = w
	}
	var can []string
	for k := crop.Graze; k < crop.Uses; k++ {
		if m.Uses[k].Allowed {
			can = append(can, k.String())
		}
	}
	return why + "; it can be: " + strings.Join(can, ", ")
}

func (r *reader) use(in document.In, key string, otherwise crop.Use) crop.Use {
	text := in.Text(key)
	if text == "" {
		return otherwise
	}
	u, err := crop.ParseUse(text)
	if err != nil {
		in.Report(key, text, err.Error())
	}
	return u
}

func (r *reader) soil(in document.In, path string, f *Field) {
	s, ok := in.Table("soil", in.Thing+": soil")
	f.Soil = Soil{Texture: "silt loam", Drainage: crop.WellDrained, PH: 6.4, Organic: 3.5}
	if !ok {
		r.assume(path+"soil", "silt loam, well drained, pH 6.4, 3.5 % organic matter", "no soil given")
	}
	if t := strings.ToLower(s.Text("texture")); t != "" {
		f.Soil.Texture = t
	} else if ok {
		r.assume(path+"soil.texture", f.Soil.Texture, "none given")
	}
	if d := strings.ToLower(s.Text("drainage")); d != "" {
		class, known := crop.DrainageClasses[d]
		if !known {
			var names []string
			for n := range crop.DrainageClasses {
				names = append(names, n)
			}
			sort.Strings(names)
			s.Report("drainage", d, "write one of: "+strings.Join(names, ", "))
		}
		f.Soil.Drainage = class
	} else if ok {
		r.assume(path+"soil.drainage", "well drained", "none given")
	}
	if !s.Has("pH") && ok {
		r.assume(path+"soil.pH", "6.4", "no soil test given")
	}
	f.Soil.PH = s.Number("pH", f.Soil.PH, 3, 10)
	f.Soil.Organic = 100 * float64(document.Quantity(s, "organic_matter", quantity.Fraction(f.Soil.Organic/100), within(ofShare, quantity.ParseFraction)))
	f.Soil.Depth = document.Quantity(s, "depth", 0, within(ofDepth, quantity.ParseLength))
	f.Soil.Text = fmt.Sprintf("%s, %s, pH %g", f.Soil.Texture, f.Soil.Drainage, f.Soil.PH)
	if ok {
		s.Unknown()
	}
}

// mix finds what stands or is sown by name.
func (r *reader) mix(in document.In, key, name string) crop.Mix {
	m, ok := r.catalogue.Mix(name)
	if !ok {
		in.Report(key, name, "no such crop in the catalogue; write one of: "+strings.Join(r.catalogue.Names(), ", "))
	}
	return m
}

func (r *reader) group(in document.In) {
	g := Group{Name: in.Text("name"), Line: in.Node.Line}
	g.Class = in.Need("class", `"dairy cow in milk"`)
	g.Grazes = in.Truth("grazes", true)
	g.Horses = in.Truth("horses", false)
	g.CloseUp = in.Truth("close_up", false)
	g.Exempt = in.Text("pasture_exemption")
	for _, p := range in.Tables("period", func(p document.In) string { return fmt.Sprintf("%s: period from %q", in.Thing, p.Text("from")) }) {
		path := "group." + g.Name + "."
		x := Period{
			From: document.Quantity(p, "from", r.f.FeedYear, quantity.ParseMonthDay),
			Head: p.Number("head", 0, 0, ofHead.most),
		}
		if !ofHead.holds(x.Head) {
			p.Report("head", fmt.Sprint(x.Head), ofHead.said)
		}
		if p.Has("head") && r.reported(p, "head") {
			x.Head = ofHead.least // told already: not told again as a farm without animals
		}
		if !p.Has("head") {
			p.Report("head", "", "it is missing; write head = 70")
		}
		if p.Need("weight", `"1,300 lb"`) != "" {
			x.Weight = document.Quantity(p, "weight", 0, within(ofAnimal, quantity.ParseMass))
		}
		x.Milk = document.Quantity(p, "milk", 0, within(ofMilk.perDay(), quantity.ParseMassPerTime))
		if x.Milk > 0 {
			x.Fat = orAssume(r, p, path, "fat", 4.0*quantity.Percent, "a usual tank", within(ofMilkSolids, quantity.ParseFraction))
			x.Protein = orAssume(r, p, path, "protein", 3.2*quantity.Percent, "a usual tank", within(ofMilkSolids, quantity.ParseFraction))
		}
		x.DaysInMilk = p.Number("days_in_milk", 0, 0, 1000)
		x.Gain = document.Quantity(p, "gain", 0, within(ofGain.perDay(), quantity.ParseMassPerTime))
		x.Gestation = p.Number("gestation", 0, 0, 360)
		x.Young = p.Number("young", 0, 0, 4)
		x.Grain = document.Quantity(p, "grain", 0, within(ofGrain.perDay(), quantity.ParseMassPerTime))
		if r.f.GrassFed && x.Grain > 0 {
			p.Report("grain", p.Text("grain"), "a grass-fed programme refuses grain; leave it out, or write grass_fed = false")
		}
		p.Unknown()
		g.Periods = append(g.Periods, x)
	}
	if len(g.Periods) == 0 {
		in.Report("period", "", "it is missing; add [[group.period]] with from, head and weight")
	}
	r.f.Groups = append(r.f.Groups, g)
}

func (r *reader) store(in document.In) {
	s := Store{Name: in.Text("name"), Kind: in.Need("kind", `"bunker"`), Line: in.Node.Line}
	if in.Need("capacity", `"120 ton"`) != "" {
		s.Capacity = document.Quantity(in, "capacity", 0, within(ofStored, quantity.ParseMass))
	}
	r.f.Stores = append(r.f.Stores, s)
}

func (r *reader) stock(in document.In) {
	s := Stock{Store: in.Need("store", `"the store's name"`), Feed: in.Need("feed", `"baleage"`), Line: in.Node.Line}
	found := false
	for i := range r.f.Stores {
		found = found || r.f.Stores[i].Name == s.Store
	}
	if !found && s.Store != "" {
		in.Report("store", s.Store, "no store has this name; add a [[store]] before it")
	}
	if in.Need("amount", `"40 ton"`) != "" {
		s.Amount = document.Quantity(in, "amount", 0, within(ofStored, quantity.ParseMass))
	}
	s.CP = document.Quantity(in, "crude_protein", 0, within(ofShare, quantity.ParseFraction))
	s.NDF = document.Quantity(in, "ndf", 0, within(ofShare, quantity.ParseFraction))
	r.f.Stock = append(r.f.Stock, s)
}

// stagger adds a sowing, or its blocks: equal parts of the ground, each sown some
// days after the one before, so that they are ready one after another.
func (r *reader) stagger(in document.In, s Sowing) {
	blocks := int(in.Number("blocks", 1, 1, 6))
	days := document.Quantity(in, "stagger", 0, within(ofStagger, quantity.ParseDuration))
	if (blocks > 1) != (days > 0) && !r.reported(in, "stagger") {
		in.Report("blocks", in.Text("blocks"), `blocks and stagger belong together: blocks = 3, stagger = "10 d"`)
	}
	if blocks > 1 && s.Field >= 0 {
		if s.Area == 0 {
			s.Area = r.f.Fields[s.Field].Area
		}
		s.Area /= quantity.Area(blocks)
	}
	for k := range blocks {
		s.Delay = k * int(days.Days()+0.5)
		r.f.Plan.Sowings = append(r.f.Plan.Sowings, s)
	}
}

func (r *reader) sowing(in document.In) {
	s := Sowing{Field: -1, Line: in.Node.Line}
	name := in.Need("field", `"the field's name"`)
	for i := range r.f.Fields {
		if r.f.Fields[i].Name == name {
			s.Field = i
		}
	}
	if s.Field < 0 && name != "" {
		in.Report("field", name, "no field has this name")
	}
	s.Area = document.Quantity(in, "part", 0, within(ofGround, quantity.ParseArea))
	r.sown(in, &s)
	date := func(key string) quantity.Date {
		d := document.Quantity(in, key, 0, quantity.ParseDate)
		if d != 0 && !d.Sane() {
			in.Report(key, d.String(), fmt.Sprintf("write a day from %d to %d", quantity.FirstYear, quantity.LastYear))
		}
		return d
	}
	s.On, s.From, s.By = date("on"), date("from"), date("by")
	if s.By != 0 && (s.On != 0 && s.By < s.On || s.From != 0 && s.By < s.From) {
		in.Report("by", s.By.String(), "it comes before the sowing may begin")
	}
	s.Use = r.use(in, "use", crop.Graze)
	s.Then = r.use(in, "then", crop.Leave)
	for _, u := range []crop.Use{s.Use, s.Then} {
		if u != crop.Leave && len(s.Mix.Parts) > 0 && !s.Mix.Uses[u].Allowed {
			in.Report("use", u.String(), notAllowed(&s.Mix, u))
		}
	}
	s.NoTill = in.Truth("no_till", false)
	if s.Swath = in.Truth("swath_grazed", false); s.Swath && s.Use != crop.Graze && s.Then != crop.Graze {
		in.Report("swath_grazed", "true", "a swath is grazed only where the use is grazing; write use = \"graze\"")
	}
	s.Broadcast = in.Truth("broadcast", false)
	s.Nitrogen = document.Quantity(in, "nitrogen", 0, within(ofDressing, quantity.ParseMassPerArea))
	if r.f.Organic && s.Nitrogen > 0 {
		in.Report("nitrogen", in.Text("nitrogen"), "an organic farm uses no mineral nitrogen; write manure = ... for what manure makes available")
	}
	if s.Nitrogen > r.f.Limits.MaxNitrogen {
		in.Report("nitrogen", in.Text("nitrogen"), "more than the farm's limit in one dressing, "+r.f.Limits.MaxNitrogen.RateIn(r.f.Units)+" (limits.nitrogen): high single doses raise prussic acid and nitrate")
	}
	s.Manure = orAssume(r, in, "sowing."+name+".", "manure", UsualManure, "a livestock farm's usual manure, as nitrogen made available", within(ofDressing, quantity.ParseMassPerArea))
	r.seedOf(in, &s)
	r.stagger(in, s)
}

// UsualManure is the nitrogen that a livestock farm's manure makes available to an
// annual (common practice, about 100 lb/ac).
const UsualManure = 100 * quantity.PoundPerAcre

// sown reads the crop or the mixture of a sowing.
func (r *reader) sown(in document.In, s *Sowing) {
	rate := document.Quantity(in, "rate", 0, within(ofSeed, quantity.ParseMassPerArea))
	if in.Has("crop") || !in.Has("mix") {
		if name := in.Need("crop", `"pearl-millet"`); name != "" {
			s.Mix = r.mix(in, "crop", name)
			if rate > 0 && len(s.Mix.Parts) == 1 {
				s.Mix.Parts[0].Rate = rate
			} else if rate > 0 {
				in.Report("rate", in.Text("rate"), "a mixture needs a rate for each part; write mix = [...]")
			}
		}
		return
	}
	var parts []crop.Part
	for _, p := range in.Tables("mix", func(p document.In) string { return in.Thing + ": mix" }) {
		name := p.Need("crop", `"pearl-millet"`)
		c := r.catalogue.Find(name)
		if c == nil {
			p.Report("crop", name, "no such crop in the catalogue; write one of: "+strings.Join(r.catalogue.Names(), ", "))
			continue
		}
		part := crop.Part{Crop: c, Rate: c.Sowing.Drilled}
		if p.Need("rate", `"15 lb/ac"`) != "" {
			part.Rate = document.Quantity(p, "rate", part.Rate, within(ofSeed, quantity.ParseMassPerArea))
		}
		p.Unknown()
		parts = append(parts, part)
	}
	m, err := crop.Join(parts)
	if err != nil {
		in.Report("mix", "", err.Error())
		return
	}
	s.Mix = m
}

// whole checks what concerns the document as a whole.
func (r *reader) whole(top document.In) {
	f := r.f
	if len(f.Fields) == 0 {
		top.Report("field", "", "there is no field; add [[field]] with name and area")
	}
	head, grazes := 0.0, false
	for i := range f.Groups {
		for _, p := range f.Groups[i].Periods {
			head += p.Head
		}
		grazes = grazes || f.Groups[i].Grazes
	}
	if head == 0 {
		top.Report("group", "", "there are no animals; add [[group]] with class and [[group.period]] with head")
	}
	ground := false
	for i := range f.Fields {
		ground = ground || f.Fields[i].Grazeable && f.Fields[i].Use == crop.Graze && len(f.Fields[i].Stands.Parts) > 0
	}
	for i := range f.Plan.Sowings {
		ground = ground || f.Plan.Sowings[i].Use == crop.Graze
	}
	if grazes && !ground && len(f.Fields) > 0 {
		top.Report("group", "", "a group grazes and nothing is there to graze: give a field a stand and use = \"graze\", or write grazes = false")
	}
	r.overlaps()
}

// The beginnings of two remedies that a face knows and puts into words of its own.
const (
	OverlapsSowing = "it overlaps the sowing"
	PartsTooLarge  = "the parts sown add up to"
)

// overlaps reports sowings that want the same ground at the same time.
func (r *reader) overlaps() {
	f := r.f
	parts := map[int]quantity.Area{}
	for i := range f.Plan.Sowings {
		s := &f.Plan.Sowings[i]
		if s.Field < 0 {
			continue
		}
		field := &f.Fields[s.Field]
		thing := fmt.Sprintf("sowing on %q", field.Name)
		if s.Area < 0 || s.Area > field.Area {
			r.R.Report(s.Line, thing+": part", s.Area.String(), "it must lie between nothing and the field's "+field.Area.String())
			continue
		}
		part := s.Area > 0 && s.Area < field.Area
		if part {
			parts[s.Field] += s.Area
			if parts[s.Field] > field.Area*1.0001 {
				r.R.Report(s.Line, thing+": part", s.Area.String(), PartsTooLarge+" more than the field's "+field.Area.String())
			}
			continue
		}
		for j := range i {
			o := &f.Plan.Sowings[j]
			if o.Field != s.Field || o.Area > 0 && o.Area < field.Area {
				continue
			}
			if r.begins(s) <= r.begins(o) {
				r.R.Report(s.Line, thing, s.Mix.Name, fmt.Sprintf("%s on line %d; sowings of one field must follow one another in time", OverlapsSowing, o.Line))
			}
		}
	}
}

// begins is the first day of a sowing's window as the plan's year has it.
func (r *reader) begins(s *Sowing) quantity.Date {
	switch {
	case s.On != 0:
		return s.On
	case s.From != 0:
		return s.From
	case len(s.Mix.Parts) > 0:
		e := s.Mix.Parts[0].Crop.Sowing.Earliest
		return e.OnOrAfter(r.f.FirstDay())
	}
	return 0
}
