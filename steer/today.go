package steer

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sort"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/internal/crew"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
	"rowen/stand"
	"rowen/weather"
)

// Request is what a day is read from.
type Request struct {
	Farm      *farm.Farm
	Catalogue *crop.Catalogue
	Entries   []journal.Entry // standing, in order of date
	Years     []weather.Year  // the present year first, see weather.Series.Present
	Known     int             // day of the feed year of the last weather
	Today     quantity.Date
	Forecast  []weather.Day // from the day after Known on; may be empty
	Seed      uint64
	Workers   int     // 0 takes one for each processor
	Memory    *Memory // of fields read before; nil keeps nothing
}

// Field is one field today.
type Field struct {
	Index   int
	History History
	Now     Now
	Before  Now  // without what was seen on the last day that anything was
	Moved   bool // Before says something else
	Ground  Ground
	Gates   []handbook.Gate
	State   stand.State // of the middle member
	Need    Need
	Say     say.Line // what to decide there
}

// Ground is what a sowing that is still to come waits for.
type Ground struct {
	SoilTemperature float64 // °C, at 10 cm
	Held            int     // days running at the sowing's temperature
	Opens, Closes   quantity.Date
	Likely          When // over the futures
}

// Day is a farm today.
type Day struct {
	Today, Known quantity.Date
	Fields       []Field // in document order
	Tonight      quantity.Temperature
	Forecast     bool // Tonight is a forecast's; else the coldest that other years had
	Alarms       []say.Line
	Lots         []Lot // cuts that were written down and lie in store
}

// Read reads a farm today, field by field: readiness is each field's own, coupled to
// no other.
func Read(ctx context.Context, r *Request) (*Day, error) {
	if len(r.Years) < 2 {
		return nil, errors.New("steer: it takes the present year and at least one other")
	}
	d := &Day{Today: r.Today, Known: r.Years[0].First + quantity.Date(r.Known), Fields: make([]Field, len(r.Farm.Fields))}
	sky := r.sky()
	climates := map[string]*Climates{}
	work := make([]fieldWork, len(r.Farm.Fields))
	for i := range r.Farm.Fields {
		w, err := r.prepare(i, sky, climates)
		if err != nil {
			return nil, fmt.Errorf("field %q: %w", r.Farm.Fields[i].Name, err)
		}
		work[i] = w
	}
	gates := newGated(r, sky)
	d.Tonight, d.Forecast = gates.tonight, gates.night
	g, ctx := crew.Of(ctx, r.workers())
	for i := range work {
		g.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			d.Fields[i] = work[i].read(sky, r)
			d.Fields[i].Gates = gates.gates(&d.Fields[i])
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	for i := range d.Fields {
		d.Fields[i].decide(r, d)
	}
	d.Lots = r.lots(sky, work)
	d.alarm(r)
	return d, nil
}

// sky is the weather from the feed year before on, so that what stands over its turn is
// one growth, and the other years' weather after today.
func (r *Request) sky() *Sky {
	now := r.Years[0]
	behind := now.Before
	long := weather.Year{ID: now.ID, Station: now.Station, First: now.First - quantity.Date(len(behind))}
	past := append(append([]weather.Day(nil), behind...), now.Days[:r.Known+1]...)
	with := func(rest []weather.Day) *stand.Forcing {
		y := long
		y.Days = append(append([]weather.Day(nil), past...), rest...)
		return stand.NewForcing(&y)
	}
	after := func(days []weather.Day, from int) []weather.Day { return days[min(from, len(days)):] }
	s := &Sky{First: long.First, Today: len(past) - 1, Forcing: with(after(now.Days, r.Known+1))}
	for j := 1; j < len(r.Years); j++ {
		rest := append(append([]weather.Day(nil), r.Forecast...), after(r.Years[j].Days, r.Known+1+len(r.Forecast))...)
		s.Years = append(s.Years, with(rest))
	}
	return s
}

func (r *Request) workers() int {
	if r.Workers > 0 {
		return r.Workers
	}
	return runtime.GOMAXPROCS(0)
}

// fieldWork is a field made ready to be read.
type fieldWork struct {
	index      int
	history    History
	soil       stand.Soil
	base, bare *stand.Stand
	climates   *Climates
}

// prepare finds a field's history and compiles its stand.
func (r *Request) prepare(i int, sky *Sky, climates map[string]*Climates) (fieldWork, error) {
	return r.compile(i, HistoryOf(r.Farm, r.Catalogue, i, r.Entries, sky.First, r.Today), sky, climates)
}

// compile compiles a history's stand; equal mixtures share what the weather is to
// them.
func (r *Request) compile(i int, h History, sky *Sky, climates map[string]*Climates) (w fieldWork, err error) {
	x := &r.Farm.Fields[i]
	w = fieldWork{index: i, history: h}
	soil, err := stand.SoilOf(x.Soil.Texture, x.Soil.Drainage, x.Soil.PH, x.Soil.Organic, x.Soil.Depth.Metres())
	if err != nil {
		return w, err
	}
	w.soil = soil
	if w.bare, err = stand.Compile(crop.Mix{}, soil); err != nil {
		return w, err
	}
	if !w.history.Stands {
		return w, nil
	}
	w.history.Course.Soil = soil
	mix := w.history.Course.Mix
	if w.base, err = stand.Compile(*mix, soil); err != nil {
		return w, err
	}
	key := ""
	for _, p := range mix.Parts {
		key += p.Crop.Name + "|"
	}
	if climates[key] == nil {
		climates[key] = sky.Feel(w.base)
	}
	w.climates = climates[key]
	return w, nil
}

// read reads one field.
func (w *fieldWork) read(sky *Sky, r *Request) Field {
	f := Field{Index: w.index, History: w.history}
	if w.history.Next != nil {
		f.Ground = ground(r.Farm, w.history.Next, sky, r.Years[0].First)
	}
	if !w.history.Stands {
		return f
	}
	c := w.history.Course
	if c.Sow > sky.Today {
		f.History.Stands = false // sown after the last weather: nothing to grow it by
		return f
	}
	x := r.Memory.read(w.index, &c, func() reading { return c.read(w.base, w.bare, sky, w.climates, r.Seed) })
	f.Now, f.Before, f.State = x.now, x.before, x.middle
	f.Moved = len(c.Seen) > 0
	f.forgotten(sky)
	if f.History.Blocks && risky(c.Mix) {
		f.History.tell("it was sown in parts: a height of one part says nothing of the youngest; write the parts as fields of their own, each with its heights")
	}
	return f
}

// longUnused is after how many days without a use written down a growth that has gone
// over is asked about.
const longUnused = 60

// forgotten asks about a growth that should have been used long ago.
func (f *Field) forgotten(sky *Sky) {
	h := &f.History
	tall := h.Course.rule().TooTall.Centimetres()
	if h.Course.Assumed || h.Grazing != "" || tall <= 0 || f.Now.Rest < longUnused || f.Now.Height.Middle < tall {
		return
	}
	last := sky.First + quantity.Date(sky.Today-f.Now.Rest)
	h.tell("nothing is written down of its use since %s: was it grazed or cut? Until then it is thought to have grown on", last)
}

// ground reads what a sowing waits for, now and over the futures.
func ground(f *farm.Farm, s *farm.Sowing, sky *Sky, feed quantity.Date) Ground {
	lead := &s.Mix.Parts[0].Crop.Sowing
	day := sky.Forcing.Day(sky.Today)
	g := Ground{SoilTemperature: day.SoilTemp, Opens: lead.Earliest.OnOrAfter(feed), Closes: lead.Latest.OnOrAfter(feed)}
	// The document's own days, in the present year.
	if shift := feed - f.FirstDay(); s.On == 0 {
		if s.From != 0 {
			g.Opens = s.From + shift
		}
		if s.By != 0 {
			g.Closes = s.By + shift
		}
	}
	wanted := float64(lead.SoilTemperature)
	for d := sky.Today; d >= 0 && sky.Forcing.Day(d).SoilTemp >= wanted; d-- {
		g.Held++
	}
	var days []float64
	for _, y := range sky.Years {
		held := 0
		from, to := int(g.Opens-sky.First), min(int(g.Closes-sky.First), y.Days()-1)
		for d := max(0, from); d <= to; d++ {
			if y.Day(d).SoilTemp < wanted {
				held = 0
				continue
			}
			if held++; held >= lead.HoldDays && d >= sky.Today {
				days = append(days, float64(d))
				break
			}
		}
	}
	if len(days) > 0 {
		sort.Float64s(days)
		x := spreadOf(days)
		at := func(v float64) quantity.Date { return sky.First + quantity.Date(v+0.5) }
		g.Likely = When{at(x.Low), at(x.Middle), at(x.High), float64(len(days)) / float64(len(sky.Years))}
	}
	return g
}
