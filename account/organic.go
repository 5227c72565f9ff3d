package account

import (
	"fmt"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/organic"
	"rowen/season"
)

// Record is the sheet that an inspector asks for: a line for each thing that the
// rules want shown, and what is still missing.
type Record struct {
	Certified, Transition, Conventional float64 // ac
	Fields                              []FieldRecord
	Classes                             []ClassRecord
	Seeds                               []SeedRecord
	Swaths                              []string // fields whose swaths are grazed where they lie: they count
	Missing                             []string
}

// FieldRecord is a field's line.
type FieldRecord struct {
	Field   int
	Status  string
	History string
	Buffer  string
}

// ClassRecord is a class of animal's grazing.
type ClassRecord struct {
	Group     string
	Days      int
	Share     float64 // of dry matter from pasture over the grazing season
	Exemption string
	Passes    bool
}

// SeedRecord is a sowing's seed.
type SeedRecord struct {
	Sowing  int
	Seed    string
	Organic bool
	Search  string
}

// RecordOf fills the sheet from the document and a year of its plan.
func RecordOf(f *farm.Farm, y *season.YearResult) *Record {
	r := &Record{}
	miss := func(format string, args ...any) { r.Missing = append(r.Missing, fmt.Sprintf(format, args...)) }
	for i := range f.Fields {
		field := &f.Fields[i]
		g := &field.Ground
		acres := field.Area.Acres()
		line := FieldRecord{Field: i, Status: statusWord(g.Status), History: history(f, field), Buffer: "none needed"}
		switch g.Status {
		case farm.Certified:
			r.Certified += acres
		case farm.Transition:
			r.Transition += acres
		default:
			r.Conventional += acres
		}
		if g.Neighbour && g.Status != farm.Conventional {
			line.Buffer = g.Buffer.In(f.Units)
			if g.Buffer <= 0 {
				line.Buffer = "MISSING"
				miss("%s adjoins a conventional neighbour and no buffer is written", field.Name)
			}
		}
		if g.Status != farm.Conventional && yearsTold(f, g) < 3 {
			miss("%s: three years of history are asked; %d are written ([[field.past]])", field.Name, yearsTold(f, g))
		}
		if g.Status == farm.Transition && g.Prohibited == 0 {
			miss("%s is in transition and the day of the last prohibited substance is not written", field.Name)
		}
		if f.Organic && g.Status != farm.Certified && y.Fields[i].Grazed+y.Fields[i].Stored > 0 {
			miss("%s is %s: its forage is no organic feed; keep it apart and from organic stock, unless the certifier allows forage of the farm's own third year of transition", field.Name, line.Status)
		}
		if line.Buffer != "none needed" && g.Buffer > 0 && y.Fields[i].Stored > 0 {
			miss("%s: what is cut from its buffer of %s is no organic feed: store it apart, and write down where it went", field.Name, line.Buffer)
		}
		r.Fields = append(r.Fields, line)
	}
	for i := range f.Fields {
		swath := f.Fields[i].Swath
		for s := range f.Plan.Sowings {
			swath = swath || f.Plan.Sowings[s].Field == i && f.Plan.Sowings[s].Swath
		}
		if swath && organic.Counts(organic.SwathInPlace) {
			r.Swaths = append(r.Swaths, f.Fields[i].Name)
		}
	}
	for i := range f.Groups {
		g := &y.Groups[i]
		if g.RuleDays == 0 {
			continue
		}
		c := ClassRecord{Group: f.Groups[i].Name, Days: g.GrazingDays, Share: g.PastureShare, Exemption: f.Groups[i].Exempt}
		c.Passes = c.Share >= organic.PastureShare && c.Days >= organic.GrazingDays || c.Exemption != ""
		if !c.Passes {
			miss("%s: %.0f %% of dry matter on %d days; 30 %% and 120 days are asked, or an exemption that the certifier accepts", c.Group, 100*c.Share, c.Days)
		}
		r.Classes = append(r.Classes, c)
	}
	for s := range f.Plan.Sowings {
		sow := &f.Plan.Sowings[s]
		if f.Fields[sow.Field].Ground.Status == farm.Conventional {
			continue
		}
		line := SeedRecord{Sowing: s, Seed: sow.Mix.Title, Organic: sow.Seed.Organic, Search: sow.Seed.Search}
		if !line.Organic && line.Search == "" {
			miss("%s on %s: seed is not organic and no search for organic seed is recorded (organic_seed_search = \"...\")", sow.Mix.Title, f.Fields[sow.Field].Name)
		}
		r.Seeds = append(r.Seeds, line)
	}
	return r
}

func statusWord(s farm.Certification) string {
	return [...]string{"conventional", "transition", "certified"}[s]
}

func history(f *farm.Farm, field *farm.Field) string {
	text := ""
	for y := f.Target - 1; y >= f.Target-3; y-- {
		told := "-"
		for _, p := range field.Ground.Past {
			if p.Year == y && p.Crop != "" {
				told = p.Crop
			}
		}
		text += fmt.Sprintf("%d %s  ", y, told)
	}
	return strings.TrimSpace(text)
}

// yearsTold is of how many of the three years before the plan's a crop is written.
func yearsTold(f *farm.Farm, g *farm.Ground) (n int) {
	for year := f.Target - 3; year < f.Target; year++ {
		for _, p := range g.Past {
			if p.Year == year && p.Crop != "" {
				n++
				break
			}
		}
	}
	return n
}

// GrassFedOf tells what in a plan a grass-fed programme refuses: grain and meal fed,
// and cereals, corn or sorghums taken once grain has formed.
//
// Source: USDA AMS grass-fed standard of 2007, withdrawn 2016 (read): forage for
// life after weaning, no grain or grain by-products, cereal crops in the vegetative,
// pre-grain state.
func GrassFedOf(f *farm.Farm, y *season.YearResult) (out []string) {
	if !f.GrassFed {
		return nil
	}
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for i := range f.Groups {
		for _, p := range f.Groups[i].Periods {
			if p.Grain > 0 {
				say("%s is fed grain from %s", f.Groups[i].Name, p.From)
			}
		}
	}
	const remedy = "is cut with grain in it: take it before heads fill, as wrapped bales or haylage"
	for i := range f.Fields {
		x := &f.Fields[i]
		if Grained(&x.Stands, x.Use) || Grained(&x.Stands, x.FirstCut) {
			say("%s on %s %s", x.Stands.Title, x.Name, remedy)
		}
	}
	for s := range f.Plan.Sowings {
		sow := &f.Plan.Sowings[s]
		if Grained(&sow.Mix, sow.Use) || Grained(&sow.Mix, sow.Then) {
			say("%s on %s %s", sow.Mix.Title, f.Fields[sow.Field].Name, remedy)
		}
	}
	if y.Money.Grain > 0 {
		say("the year buys grain")
	}
	if y.Money.Protein > 0 {
		say("the year buys protein meal: ask the programme whether it is allowed")
	}
	return out
}

// Grained tells whether a use takes a crop with grain in it: whole-crop silage of what
// bears heads, or any cut that waits until past heading.
func Grained(m *crop.Mix, u crop.Use) bool {
	if len(m.Parts) == 0 || u == crop.Leave || u == crop.Graze || perennial(m) {
		return false
	}
	return u == crop.Silage && m.Parts[0].Crop.Growth["heads"].Value > 0 || m.Uses[u].ReadyAt > 1
}
