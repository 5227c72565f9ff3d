package crop

import (
	"cmp"
	"embed"
	"fmt"
	"io/fs"
	"sort"
	"strings"

	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/internal/document"
	"rowen/quantity"
)

// files is the catalogue that comes with the program.
//
//go:embed catalogue/*.toml
var files embed.FS

// Catalogue is every crop and mixture, in the order of their files.
type Catalogue struct {
	Crops     []*Crop
	Mixes     []*Mix // named mixtures; every crop is also a mix of itself
	Overrides []Override
	sources   map[string]handbook.Source
}

// Override is one value an office file replaced: never silent.
type Override struct {
	Crop, Parameter string
	Was, Is         float64
	At              string // file:line
}

// Load reads the embedded catalogue and, over it, office files. Every problem of
// every file is reported at once.
func Load(office ...Office) (*Catalogue, error) {
	c := &Catalogue{sources: map[string]handbook.Source{}}
	var problems document.Problems
	names, err := fs.Glob(files, "catalogue/*.toml")
	if err != nil {
		return nil, fmt.Errorf("crop: %w", err)
	}
	sort.Strings(names)
	for _, name := range names {
		data, err := files.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("crop: %w", err)
		}
		problems = append(problems, c.read(strings.TrimPrefix(name, "catalogue/"), data, false)...)
	}
	for _, o := range office {
		problems = append(problems, c.read(o.Name, o.Text, true)...)
	}
	if len(problems) > 0 {
		problems.Sort()
		return nil, problems
	}
	return c, nil
}

// Office is an office's file of corrections.
type Office struct {
	Name string
	Text []byte
}

// Find gives the crop of a name, nil if there is none.
func (c *Catalogue) Find(name string) *Crop {
	for _, k := range c.Crops {
		if k.Name == name {
			return k
		}
	}
	return nil
}

// Names are the names of everything that can be sown or stand, in order.
func (c *Catalogue) Names() []string {
	var out []string
	for _, k := range c.Crops {
		out = append(out, k.Name)
	}
	for _, m := range c.Mixes {
		out = append(out, m.Name)
	}
	return out
}

// Mix gives what a name stands for: a named mixture, or a crop alone.
func (c *Catalogue) Mix(name string) (Mix, bool) {
	for _, m := range c.Mixes {
		if m.Name == name {
			out := *m
			out.Parts = append([]Part(nil), m.Parts...)
			return out, true
		}
	}
	k := c.Find(name)
	if k == nil {
		return Mix{}, false
	}
	return Mix{Name: k.Name, Title: k.Title, Parts: []Part{{Crop: k, Rate: k.Sowing.Drilled, Share: 1}}, Uses: k.Uses}, true
}

// read takes one file into the catalogue.
func (c *Catalogue) read(name string, data []byte, office bool) document.Problems {
	root, err := document.Parse(name, data)
	if err != nil {
		if p, ok := err.(document.Problem); ok {
			return document.Problems{p}
		}
		return document.Problems{{File: name, Thing: "catalogue", Remedy: err.Error()}}
	}
	r := &document.Reader{File: name}
	top := r.At(root, "")
	if v := top.Number("rowen", 0, 1, 1); v != 1 {
		top.Report("rowen", "", "the first line must be: rowen = 1")
	}
	if in, ok := top.Table("source", "source"); ok {
		for _, key := range in.Keys() {
			if s, ok := in.Table(key, "source "+key); ok {
				c.sources[key] = readSource(s, key)
				s.Unknown()
			}
		}
	}
	for _, in := range top.Tables("crop", named("crop")) {
		c.readCrop(in, office)
		in.Unknown()
	}
	for _, in := range top.Tables("mix", named("mix")) {
		c.readMix(in)
		in.Unknown()
	}
	top.Unknown()
	return r.Problems
}

func named(kind string) func(document.In) string {
	return func(in document.In) string { return fmt.Sprintf("%s %q", kind, in.Text("name")) }
}

var readings = map[string]handbook.Reading{
	"read": handbook.Read, "memory": handbook.Memory, "common practice": handbook.CommonPractice, "fitted": handbook.Fitted,
}

func readSource(in document.In, key string) handbook.Source {
	s := handbook.Source{
		Key: key, Author: in.Text("author"), Year: int(in.Number("year", 0, 1700, 2200)),
		Title: in.Need("title", `"the work"`), Where: in.Text("where"),
	}
	text := in.Need("reading", `"read", "memory", "common practice" or "fitted"`)
	reading, ok := readings[text]
	if !ok && text != "" {
		in.Report("reading", text, `write "read", "memory", "common practice" or "fitted"`)
	}
	s.Reading = reading
	return s
}

// source finds a cited source by key.
func (c *Catalogue) source(in document.In, key string) handbook.Source {
	name := in.Need(key, `the key of a [source.…]`)
	s, ok := c.sources[name]
	if !ok && name != "" {
		in.Report(key, name, "no [source."+name+"] is given; a value without a source does not enter the catalogue")
	}
	return s
}

func (c *Catalogue) readCrop(in document.In, office bool) {
	name := in.Need("name", `"pearl-millet"`)
	k := c.Find(name)
	switch {
	case k != nil && !office:
		in.Report("name", name, "it is already in the catalogue")
		return
	case k == nil:
		k = &Crop{Name: name, Growth: map[string]Parameter{}}
		if like := in.Text("like"); like != "" {
			other := c.Find(like)
			if other == nil {
				in.Report("like", like, "no such crop above it in the catalogue")
				return
			}
			copied := *other
			k = &copied
			k.Name = name
			k.Cautions = append([]string(nil), other.Cautions...)
			k.Notes = append([]string(nil), other.Notes...)
			k.Contested = append([]string(nil), other.Contested...)
			k.Growth = make(map[string]Parameter, len(other.Growth))
			for n, p := range other.Growth {
				k.Growth[n] = p
			}
		}
		c.Crops = append(c.Crops, k)
	}
	k.Title = cmp.Or(in.Text("title"), k.Title)
	choose(in, "life", &k.Life, map[string]Life{"annual": Annual, "perennial": Perennial, "winter": Winter})
	choose(in, "prussic", &k.Prussic, map[string]hazard.PrussicRisk{"none": hazard.NoPrussic, "sudangrass": hazard.PrussicSudangrass, "sorghum": hazard.PrussicSorghum})
	k.Legume = in.Truth("legume", k.Legume)
	k.Nitrate = in.Truth("nitrate", k.Nitrate)
	k.Brassica = in.Truth("brassica", k.Brassica)
	if in.Has("seed") {
		price := func(s string) (quantity.MoneyPerMass, error) { return quantity.ParseMoneyPerMass(s, "USD") }
		k.Seed = document.Quantity(in, "seed", k.Seed, price)
		k.SeedLow = document.Quantity(in, "seed_low", k.Seed, price)
		k.SeedHigh = document.Quantity(in, "seed_high", k.Seed, price)
		k.SeedSource = c.source(in, "seed_source")
	}
	for key, list := range map[string]*[]string{"cautions": &k.Cautions, "notes": &k.Notes, "contested": &k.Contested} {
		switch {
		case office: // an office may add a caution, not take one away
			*list = append(*list, in.Texts(key)...)
		case in.Has(key):
			*list = in.Texts(key)
		}
	}
	if s, ok := in.Table("sowing", in.Thing+": sowing"); ok {
		c.readSowing(s, &k.Sowing)
		s.Unknown()
	}
	if s, ok := in.Table("fit", in.Thing+": fit"); ok {
		c.readFit(s, &k.Fit)
		s.Unknown()
	}
	if s, ok := in.Table("use", in.Thing+": use"); ok {
		c.readUses(s, &k.Uses)
	}
	if s, ok := in.Table("growth", in.Thing+": growth"); ok {
		c.readGrowth(s, k, office)
	}
	for _, d := range Definitions {
		if _, ok := k.Growth[d.Name]; !ok && d.For(k.Life) {
			in.Report("growth", "", d.Name+" ("+d.Meaning+", "+d.Unit+") is missing")
		}
	}
}

// choose reads a word of a fixed set.
func choose[T any](in document.In, key string, into *T, among map[string]T) {
	text := in.Text(key)
	if text == "" {
		return
	}
	v, ok := among[text]
	if !ok {
		var words []string
		for w := range among {
			words = append(words, fmt.Sprintf("%q", w))
		}
		sort.Strings(words)
		in.Report(key, text, "write "+strings.Join(words, " or "))
		return
	}
	*into = v
}

func (c *Catalogue) readSowing(in document.In, s *Sowing) {
	s.SoilTemperature = document.Quantity(in, "soil", s.SoilTemperature, quantity.ParseTemperature)
	s.HoldDays = int(in.Number("hold_days", float64(s.HoldDays), 0, 30))
	s.Earliest = document.Quantity(in, "earliest", s.Earliest, quantity.ParseMonthDay)
	s.Latest = document.Quantity(in, "latest", s.Latest, quantity.ParseMonthDay)
	s.Drilled = document.Quantity(in, "drilled", s.Drilled, quantity.ParseMassPerArea)
	s.DrilledLow = document.Quantity(in, "drilled_low", s.Drilled, quantity.ParseMassPerArea)
	s.DrilledHigh = document.Quantity(in, "drilled_high", s.Drilled, quantity.ParseMassPerArea)
	if s.DrilledLow > s.Drilled || s.Drilled > s.DrilledHigh {
		in.Report("drilled", in.Text("drilled"), "it lies outside its own drilled_low and drilled_high")
	}
	s.Broadcast = document.Quantity(in, "broadcast", s.Broadcast, quantity.ParseMassPerArea)
	s.Depth = document.Quantity(in, "depth", s.Depth, quantity.ParseLength)
	s.SeedsPerMass = document.Quantity(in, "seeds", s.SeedsPerMass, quantity.ParseCountPerMass)
	s.Source = c.source(in, "source")
}

// DrainageClasses are the classes by their written names.
//
//say:words
var DrainageClasses = map[string]Drainage{
	"excessively drained": ExcessivelyDrained, "somewhat excessively drained": SomewhatExcessivelyDrained,
	"well drained": WellDrained, "moderately well drained": ModeratelyWellDrained,
	"somewhat poorly drained": SomewhatPoorlyDrained, "poorly drained": PoorlyDrained, "very poorly drained": VeryPoorlyDrained,
}

// String is the class's written name.
func (d Drainage) String() string {
	for name, v := range DrainageClasses {
		if v == d {
			return name
		}
	}
	return "unknown drainage"
}

func (c *Catalogue) readFit(in document.In, f *Fit) {
	f.PHLow = in.Number("ph_low", f.PHLow, 3, 10)
	f.PHHigh = in.Number("ph_high", f.PHHigh, 3, 10)
	choose(in, "wettest", &f.Wettest, DrainageClasses)
	choose(in, "wettest_tolerated", &f.WettestTolerated, DrainageClasses)
	f.Drought = cmp.Or(in.Text("drought"), f.Drought)
	f.Source = c.source(in, "source")
}

// ParseUse reads the word of a use.
func ParseUse(s string) (Use, error) {
	for u, name := range useNames {
		if s == name {
			return Use(u), nil
		}
	}
	return Leave, fmt.Errorf("no such use; write one of %s", strings.Join(useNames[:], ", "))
}

func (c *Catalogue) readUses(in document.In, uses *[Uses]UseRule) {
	for _, key := range in.Keys() {
		u, err := ParseUse(key)
		if err != nil {
			in.Report(key, key, err.Error())
			continue
		}
		s, ok := in.Table(key, in.Thing+" "+key)
		if !ok {
			continue
		}
		r := &uses[u]
		r.Allowed = s.Truth("allowed", true)
		r.Why = cmp.Or(s.Text("why"), r.Why)
		r.Ready = document.Quantity(s, "ready", r.Ready, quantity.ParseLength)
		r.ReadyLow = document.Quantity(s, "ready_low", r.Ready, quantity.ParseLength)
		r.ReadyHigh = document.Quantity(s, "ready_high", r.Ready, quantity.ParseLength)
		r.First = document.Quantity(s, "first", r.First, quantity.ParseDuration)
		r.ReadyAt = s.Number("ready_stage", r.ReadyAt, 0, 2)
		r.TooTall = document.Quantity(s, "too_tall", r.TooTall, quantity.ParseLength)
		r.Residual = document.Quantity(s, "residual", r.Residual, quantity.ParseLength)
		r.MinRest = document.Quantity(s, "rest", r.MinRest, quantity.ParseDuration)
		least := document.Quantity(s, "least", quantity.MassPerArea(r.MinYield/1000), quantity.ParseMassPerArea)
		r.MinYield = float64(least) * 1000
		r.Source = c.source(s, "source")
		s.Unknown()
		if r.Allowed && r.Residual <= 0 {
			s.Report("residual", "", "a residual is needed: a stand cut to the ground does not come back")
		}
		if r.Allowed && r.Ready > 0 && r.Ready <= r.Residual {
			s.Report("ready", r.Ready.String(), "it must lie above the residual")
		}
	}
}

func (c *Catalogue) readGrowth(in document.In, k *Crop, office bool) {
	for _, key := range in.Keys() {
		d := definition(key)
		if d == nil {
			in.Report(key, key, "no such growth parameter")
			continue
		}
		s, ok := in.Table(key, in.Thing+": "+key)
		if !ok {
			continue
		}
		if !s.Has("value") {
			s.Report("value", "", "a value is missing")
			continue
		}
		was, had := k.Growth[key]
		p := Parameter{Unit: d.Unit}
		p.Value = s.Number("value", was.Value, d.Low, d.High)
		p.Low, p.High = s.Number("low", p.Value, d.Low, d.High), s.Number("high", p.Value, d.Low, d.High)
		p.Source = c.source(s, "source")
		p.Note = s.Text("note")
		if !(p.Low <= p.Value && p.Value <= p.High) {
			s.Report("value", fmt.Sprint(p.Value), "it lies outside its own low and high")
		}
		if office {
			p.Overridden = fmt.Sprintf("%s:%d", in.R.File, s.Line("value"))
			if had {
				c.Overrides = append(c.Overrides, Override{Crop: k.Name, Parameter: key, Was: was.Value, Is: p.Value, At: p.Overridden})
			}
		}
		k.Growth[key] = p
		s.Unknown()
	}
}

func (c *Catalogue) readMix(in document.In) {
	m := &Mix{Name: in.Need("name", `"millet-rape"`), Title: in.Text("title")}
	for _, other := range c.Names() {
		if other == m.Name {
			in.Report("name", m.Name, "it is already in the catalogue")
		}
	}
	for _, s := range in.Tables("part", func(p document.In) string { return in.Thing + ": part " + p.Text("crop") }) {
		k := c.Find(s.Text("crop"))
		if k == nil {
			s.Report("crop", s.Text("crop"), "no such crop above it in the catalogue")
			continue
		}
		m.Parts = append(m.Parts, Part{
			Crop: k, Rate: document.Quantity(s, "rate", 0, quantity.ParseMassPerArea),
			Share: s.Number("share", 0, 0, 1),
		})
		s.Unknown()
	}
	if n := len(m.Parts); n == 0 || n > MaxParts {
		in.Report("part", fmt.Sprint(n), fmt.Sprintf("a mixture has 1 to %d parts", MaxParts))
		return
	}
	m.Uses = strictest(m.Parts)
	if s, ok := in.Table("use", in.Thing+": use"); ok {
		c.readUses(s, &m.Uses)
	}
	c.Mixes = append(c.Mixes, m)
}

// strictest gives a mixture the leading part's rules where every part allows the
// use, with the highest residual and the longest rest of all.
func strictest(parts []Part) [Uses]UseRule {
	rules := parts[0].Crop.Uses
	for _, p := range parts[1:] {
		for u := range rules {
			o := p.Crop.Uses[u]
			rules[u].Allowed = rules[u].Allowed && o.Allowed
			rules[u].Residual = max(rules[u].Residual, o.Residual)
			rules[u].MinRest = max(rules[u].MinRest, o.MinRest)
			rules[u].First = max(rules[u].First, o.First)
		}
	}
	return rules
}

// Join makes a mixture of crops by the plan's own words, each at its rate.
func Join(parts []Part) (Mix, error) {
	if len(parts) == 0 || len(parts) > MaxParts {
		return Mix{}, fmt.Errorf("a mixture has 1 to %d parts, not %d", MaxParts, len(parts))
	}
	var names, titles []string
	for _, p := range parts {
		names = append(names, p.Crop.Name)
		titles = append(titles, p.Crop.Title)
	}
	return Mix{Name: strings.Join(names, " + "), Title: strings.Join(titles, " with "), Parts: parts, Uses: strictest(parts)}, nil
}
