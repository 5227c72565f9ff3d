package season

import (
	"fmt"
	"runtime"
	"strconv"
	"sync"

	"rowen/crop"
	"rowen/farm"
	"rowen/feed"
	"rowen/handbook/hazard"
	"rowen/herd"
	"rowen/quantity"
	"rowen/stand"
	"rowen/weather"
)

// Model is a farm with a plan, compiled over weather years: read-only once
// made, so any number of workers may run it.
type Model struct {
	// Workers is how many years run at once; 0 takes one for each processor.
	// The result does not depend on it.
	Workers int

	farm   *farm.Farm
	plan   *farm.Plan
	start  quantity.MonthDay
	years  []yearInput
	plots  []plot
	groups []group
	stores []store
	market []bought
	prices prices

	stock    []feed.Lot // on hand when the feed year begins
	maxGrain float64    // kg DM a head
	grazers  float64    // dry matter all grazing groups want in summer, kg/d
	lastCuts []int      // by year, see lastCut
	climates *climates
}

// yearInput is one weather year with what the fields share of it.
type yearInput struct {
	id      weather.YearID
	first   quantity.Date
	days    int
	forcing *stand.Forcing
	weather []weather.Day
}

// plot is ground managed as one piece: a field, or the part of it that a
// sowing takes while the rest stays as it was.
type plot struct {
	field     int
	area      float64 // m²
	grazeable bool
	phases    []phase // what stands there through the year, in order
	sward     bool    // a perennial stood here when the year began
}

// phase is one stand in a plot's programme: what stood there at the start, or
// one sowing.
type phase struct {
	stand    *stand.Stand
	climates []*stand.Climate // by year, shared with equal mixes
	mix      *crop.Mix
	sowing   *farm.Sowing // nil for what stood there
	index    int          // of the sowing in the plan
	rules    [crop.Uses]rule
	use      crop.Use // of the first growth
	then     crop.Use // of later growths
	prussic  hazard.PrussicRisk
	risky    []int // parts that carry it
	nitrate  bool
	annual   bool
	winter   bool // a winter annual leads
	bare     bool
	legume   float64 // share of legumes in the mix, 0..1
	soilTemp float64 // °C to be held before sowing
	holdDays int
	delay    int     // days that a later block of a staggered sowing waits
	seedCost float64 // money/m²
	sowCost  float64 // money/m², seedbed and drilling
	dressing float64 // kg mineral N/ha at sowing
	manure   float64 // kg N/ha that manure makes available
}

// rule is a crop.UseRule in the loop's units.
type rule struct {
	allowed  bool
	ready    float64 // cm; 0 where the stage rules
	readyAt  float64 // stage
	tooTall  float64 // cm; 0 no limit
	residual float64 // cm
	first    int     // days from sowing to the first use
	minRest  int     // days
	minYield float64 // g DM/m²
}

// group is a group of animals, its needs worked out day by day.
type group struct {
	name   string
	class  herd.Class
	grazes bool
	horses bool
	rule   bool // the organic pasture rule applies
	// needs of the whole group by day of the feed year, for a common and a
	// leap year: animals do not read the weather.
	needs [2][]groupNeed
}

// groupNeed is a group's need on one day.
type groupNeed struct {
	head   float64
	weight float64   // of one animal, kg
	need   herd.Need // of one animal
	grain  float64   // kg DM of grain fed as a habit, whole group
}

// Sky is feed years made ready for runs, with what they are to each mixture that was
// grown under them: models share it. Its crops are of one catalogue.
type Sky struct {
	years    []yearInput
	climates climates
}

// NewSky readies feed years. They are not written into.
func NewSky(years []weather.Year) *Sky {
	s := &Sky{years: make([]yearInput, len(years))}
	for i := range years {
		y := &years[i]
		s.years[i] = yearInput{id: y.ID, first: y.First, days: len(y.Days), forcing: stand.NewForcing(y), weather: y.Days}
	}
	return s
}

// Compile is Compile under a sky of its own.
func Compile(f *farm.Farm, plan *farm.Plan, years []weather.Year) (*Model, []farm.Problem) {
	return NewSky(years).Compile(f, plan)
}

// Compile checks a plan against its farm's ground and readies everything a run
// needs: stands on their soils, weather forcing and the animals' needs. It
// reports every problem it finds, not the first alone; with any problem the
// model is nil.
func (s *Sky) Compile(f *farm.Farm, plan *farm.Plan) (*Model, []farm.Problem) {
	m := &Model{farm: f, plan: plan, start: f.FeedYear, prices: pricesOf(f), years: s.years, climates: &s.climates}
	var problems []farm.Problem
	add := func(line int, thing, value, remedy string) {
		problems = append(problems, farm.Problem{File: f.Document.Path, Line: line, Thing: thing, Value: value, Remedy: remedy})
	}
	if len(s.years) == 0 {
		add(0, "weather", "no usable feed year", "give a weather file with at least one complete feed year")
	}
	m.compileGroups(add)
	m.compilePlots(add)
	m.compileStores(add)
	m.compileMarket()
	m.compileLastCuts()
	if len(problems) > 0 {
		return nil, problems
	}
	return m, nil
}

// compilePlots lays the plan on the fields: every sowing of a whole field
// follows what stands there; a sowing of a part splits the part off.
func (m *Model) compilePlots(add func(line int, thing, value, remedy string)) {
	for i := range m.farm.Fields {
		field := &m.farm.Fields[i]
		thing := fmt.Sprintf("field %q", field.Name)
		soil, err := soilOf(field)
		if err != nil {
			add(field.Line, thing+": soil", field.Soil.Text, err.Error())
			continue
		}
		base := plot{
			field: i, area: float64(field.Area), grazeable: field.Grazeable,
		}
		opening, err := m.openingPhase(field, soil)
		if err != nil {
			add(field.Line, thing+": stands", field.Stands.Name, err.Error())
			continue
		}
		base.sward = !opening.annual && len(opening.mix.Parts) > 0
		base.phases = []phase{opening}
		var parts []plot
		for s := range m.plan.Sowings {
			sowing := &m.plan.Sowings[s]
			if sowing.Field != i {
				continue
			}
			ph, err := m.sowingPhase(s, soil)
			if err != nil {
				add(sowing.Line, "sowing on "+thing, sowing.Mix.Name, err.Error())
				continue
			}
			if sowing.Area > 0 && float64(sowing.Area) < base.area*0.999 {
				part := base
				part.area = float64(sowing.Area)
				part.phases = []phase{opening, ph}
				parts = append(parts, part)
				base.area -= part.area
				continue
			}
			base.phases = append(base.phases, ph)
		}
		for _, p := range append([]plot{base}, parts...) {
			m.plots = append(m.plots, m.paddocks(p)...)
		}
	}
}

// paddockDays is how long a paddock feeds all grazing groups, and readyHerbage
// what such a paddock offers, g DM/m² (about 1,300 lb/ac); maxPaddocks bounds how
// finely one field is divided (common practice: a field is grazed in pieces that
// last a few days, so that what was grazed first has rested when the last is done).
const (
	paddockDays  = 2.5
	readyHerbage = 145
	maxPaddocks  = 6
)

// paddocks divides ground that is grazed into pieces managed one after another.
func (m *Model) paddocks(p plot) []plot {
	grazed := false
	for i := range p.phases {
		grazed = grazed || p.phases[i].use == crop.Graze || p.phases[i].then == crop.Graze
	}
	if !p.grazeable || !grazed || m.grazers <= 0 {
		return []plot{p}
	}
	piece := m.grazers * paddockDays / (readyHerbage / 1000.0 * utilisation)
	n := max(1, min(maxPaddocks, int(p.area/piece+0.5)))
	p.area /= float64(n)
	pieces := make([]plot, n)
	for i := range pieces {
		pieces[i] = p
	}
	return pieces
}

// openingPhase is what stands on a field when the feed year starts.
func (m *Model) openingPhase(field *farm.Field, soil stand.Soil) (phase, error) {
	ph := phase{mix: &field.Stands, use: field.Use, then: field.Use, manure: field.Manure.KilogramsPerHectare()}
	for i := range field.Stands.Parts {
		c := field.Stands.Parts[i].Crop
		ph.seedCost += float64(c.Sowing.Drilled) * float64(m.farm.SeedPrice(c)) * field.Stands.Parts[i].Share
	}
	if field.FirstCut != crop.Leave {
		ph.use = field.FirstCut
	}
	return ph, m.fit(&ph, soil)
}

// sowingPhase is one sowing of the plan.
func (m *Model) sowingPhase(index int, soil stand.Soil) (phase, error) {
	s := &m.plan.Sowings[index]
	ph := phase{mix: &s.Mix, sowing: s, index: index, use: s.Use, then: s.Then, dressing: s.Nitrogen.KilogramsPerHectare(), manure: s.Manure.KilogramsPerHectare()}
	if ph.then == crop.Leave {
		ph.then = s.Use
	}
	lead := s.Mix.Parts[0].Crop
	ph.soilTemp = float64(lead.Sowing.SoilTemperature)
	ph.holdDays, ph.delay = lead.Sowing.HoldDays, s.Delay
	for i := range s.Mix.Parts {
		part := &s.Mix.Parts[i]
		ph.seedCost += float64(part.Rate) * float64(m.farm.SeedPrice(part.Crop))
	}
	c := m.farm.Custom
	ph.sowCost = float64(c.Drilling)
	if s.NoTill {
		ph.sowCost += float64(c.NoTill)
	} else {
		ph.sowCost += float64(c.Tillage)
	}
	if s.Manure > 0 {
		ph.sowCost += float64(c.Spreading)
	}
	return ph, m.fit(&ph, soil)
}

// fit compiles a phase's stand on its soil and reads its rules.
func (m *Model) fit(ph *phase, soil stand.Soil) error {
	st, err := stand.Compile(*ph.mix, soil)
	if err != nil {
		return err
	}
	ph.stand = st
	ph.annual = len(ph.mix.Parts) > 0
	ph.bare = len(ph.mix.Parts) == 0
	ph.winter = !ph.bare && ph.mix.Parts[0].Crop.Life == crop.Winter
	var share float64
	for i := range ph.mix.Parts {
		part := &ph.mix.Parts[i]
		c := part.Crop
		if c.Life == crop.Perennial {
			ph.annual = false
		}
		// A mixture is never safer than its most dangerous part.
		ph.prussic = max(ph.prussic, c.Prussic)
		if c.Prussic != hazard.NoPrussic {
			ph.risky = append(ph.risky, i)
		}
		ph.nitrate = ph.nitrate || c.Nitrate
		if c.Legume {
			share += part.Share
		}
	}
	ph.legume = share
	for u := range ph.rules {
		ph.rules[u] = ruleOf(&ph.mix.Uses[u])
	}
	ph.climates = m.climates.of(ph.mix, st, m.years)
	return nil
}

func soilOf(field *farm.Field) (stand.Soil, error) {
	s := &field.Soil
	return stand.SoilOf(s.Texture, s.Drainage, s.PH, s.Organic, s.Depth.Metres())
}

// climates are what the weather of every year means to a mixture, made once and
// shared: equal mixtures live in one climate, whatever ground they stand on.
type climates struct {
	mu    sync.Mutex
	byMix map[string][]*stand.Climate // made at the first mixture
}

func (c *climates) of(mix *crop.Mix, st *stand.Stand, years []yearInput) []*stand.Climate {
	key := strconv.Itoa(len(mix.Parts))
	for i := range mix.Parts {
		key += "|" + mix.Parts[i].Crop.Name
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	shared, ok := c.byMix[key]
	if !ok {
		shared = make([]*stand.Climate, len(years))
		for i := range years {
			shared[i] = st.Climate(years[i].forcing)
		}
		if c.byMix == nil {
			c.byMix = map[string][]*stand.Climate{}
		}
		c.byMix[key] = shared
	}
	return shared
}

// resting tells whether a plot's stand has not had its days: since it was sown, or
// since its last use.
func (r *rule) resting(ps *PlotState) bool {
	if ps.Uses == 0 {
		return int(ps.Rest) < r.first
	}
	return int(ps.Rest) < r.minRest
}

func ruleOf(r *crop.UseRule) rule {
	return rule{
		allowed: r.Allowed, ready: r.Ready.Centimetres(), readyAt: r.ReadyAt,
		tooTall: r.TooTall.Centimetres(), residual: r.Residual.Centimetres(),
		first: int(r.First.Days() + 0.5), minRest: int(r.MinRest.Days() + 0.5), minYield: r.MinYield,
	}
}

// workers is how many years run at once.
func (m *Model) workers() int {
	if m.Workers > 0 {
		return m.Workers
	}
	return runtime.GOMAXPROCS(0)
}

// Years are the weather years of the model, in input order.
func (m *Model) Years() []weather.YearID {
	ids := make([]weather.YearID, len(m.years))
	for i := range m.years {
		ids[i] = m.years[i].id
	}
	return ids
}

// yearIndex finds a weather year; -1 if the model has none of that name.
func (m *Model) yearIndex(id weather.YearID) int {
	for i := range m.years {
		if m.years[i].id == id {
			return i
		}
	}
	return -1
}
