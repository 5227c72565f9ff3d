package steer

import (
	"fmt"
	"math"
	"slices"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/say"
	"rowen/stand"
)

// lateCrops are sown after a summer's loss, as the catalogue calls them: the first
// fills this autumn, the second next spring.
var lateCrops = [...]string{"oats-fall", "cereal-rye"}

// Late is a sowing that ground standing bare could still carry.
type Late struct {
	Mix     crop.Mix
	Use     crop.Use
	Sow     quantity.Date // the soonest
	Last    quantity.Date // latest useful, by the catalogue and the place's frost
	Spring  bool          // it is cut next spring
	Bare    quantity.Area // ground that no stand and no sowing of the plan claims
	Yield   Spread        // g DM/m² that reach the store, over the futures; Low is one year in five
	Refused say.Line      // why it is not sown; empty: it can be
}

// LateSowings are the late sowings that the farm's bare ground could carry, each
// grown alone over the futures with the usual manure. Where nothing is bare there are
// none.
func LateSowings(r *Request, d *Day, sky *Sky) ([]Late, error) {
	soils, bare, err := r.bareGround(d)
	if err != nil || bare == 0 {
		return nil, err
	}
	var out []Late
	for _, name := range lateCrops {
		mix, ok := r.Catalogue.Mix(name)
		if !ok {
			continue
		}
		l := Late{Mix: mix, Use: firstUse(&mix), Bare: bare}
		if mix.Uses[crop.Wrap].Allowed {
			l.Use = crop.Wrap
		}
		l.window(r, sky)
		if len(l.Refused) == 0 {
			if err := l.grow(r, sky, soils); err != nil {
				return nil, err
			}
		}
		out = append(out, l)
	}
	return out, nil
}

// bareSoil is a soil and the bare ground of it.
type bareSoil struct {
	soil stand.Soil
	area quantity.Area
}

// bareGround is the ground on which nothing stands, nothing is planned and no label
// forbids a sowing, by soil.
func (r *Request) bareGround(d *Day) (out []bareSoil, all quantity.Area, err error) {
	for i := range d.Fields {
		f := &d.Fields[i]
		held := slices.ContainsFunc(f.Gates, func(g handbook.Gate) bool { return g.Answer == handbook.Hold })
		if f.History.Stands || f.History.Next != nil || held {
			continue
		}
		x := &r.Farm.Fields[f.Index]
		soil, err := stand.SoilOf(x.Soil.Texture, x.Soil.Drainage, x.Soil.PH, x.Soil.Organic, x.Soil.Depth.Metres())
		if err != nil {
			return nil, 0, fmt.Errorf("field %q: %w", x.Name, err)
		}
		at := slices.IndexFunc(out, func(b bareSoil) bool { return b.soil == soil })
		if at < 0 {
			at, out = len(out), append(out, bareSoil{soil: soil})
		}
		out[at].area += x.Area
		all += x.Area
	}
	return out, all, nil
}

// window says from when and until when it can be sown here, and refuses it where that
// is past. What frost kills must have its days to the first use before the place's
// middle killing frost.
func (l *Late) window(r *Request, sky *Sky) {
	sowing := &l.Mix.Parts[0].Crop.Sowing
	l.Sow, l.Last = max(r.Today, sowing.Earliest.OnOrAfter(sky.First)), sowing.Latest.OnOrAfter(sky.First)
	winter := l.Mix.Parts[0].Crop.Life == crop.Winter
	// A spring that the feed year still holds is no next one.
	l.Spring = winter && int(l.Last-sky.First) > 150
	why := say.That("its latest useful sowing is %s", l.Last.MonthDay())
	if days := sky.killingFrost(); !winter && days < 365 {
		frost := sky.First + quantity.Date(sky.Today+days)
		least := max(l.Mix.Uses[l.Use].First.Days(), l.Mix.Uses[crop.Graze].First.Days())
		if last := frost - quantity.Date(least+0.5); last < l.Last {
			l.Last = last
			why = say.That("in the middle year it freezes to 28 °F here by %s, and it wants %.0f days: sow by %s", frost.MonthDay(), least, last.MonthDay())
		}
	}
	if r.Today > l.Last || l.Sow > l.Last {
		l.Refused = say.That("%s: too late; %s", l.Mix.Title, why)
	}
}

// grow grows it alone on each soil over the futures, and the spring after where it is
// cut then.
func (l *Late) grow(r *Request, sky *Sky, soils []bareSoil) error {
	var climates, before []*stand.Climate
	yields := make([]float64, len(sky.Years))
	var all quantity.Area
	for _, b := range soils {
		all += b.area
	}
	for _, b := range soils {
		st, err := stand.Compile(l.Mix, b.soil)
		if err != nil {
			return err
		}
		if climates == nil {
			climates, before = l.climates(st, r, sky)
		}
		for j := range climates {
			s := stand.Schedule{Sow: int(l.Sow - sky.First), Use: l.Use, Seedbed: stand.Seedbed{Misfortune: 0.5}}
			if l.Spring {
				s.Before = before[j]
				s.Sow -= before[j].Days()
			}
			for _, u := range st.Alone(climates[j], &l.Mix, s, nil) {
				yields[j] += u.Herbage.DM * harvested * float64(b.area/all)
			}
		}
	}
	slices.Sort(yields)
	l.Yield = Spread{stats.Percentile(yields, 0.2), stats.Percentile(yields, 0.5), stats.Percentile(yields, 0.8)}
	if !(l.Yield.Low > 0) {
		l.Refused = say.That("%s: sown on %s it gives nothing worth saving in one year of five", l.Mix.Title, l.Sow.MonthDay())
	}
	return nil
}

// climates are the futures as the crop feels them; for a cut next spring the years
// that follow, each with its future before it.
func (l *Late) climates(st *stand.Stand, r *Request, sky *Sky) (years, before []*stand.Climate) {
	c := sky.Feel(st)
	if !l.Spring {
		return c.Years, nil
	}
	for j := range c.Years {
		y := r.Years[1+(j+1)%(len(r.Years)-1)]
		years = append(years, st.Climate(stand.NewForcing(&y)))
	}
	return years, c.Years
}

// closer is the sowing as a way to close a gap, kg DM: as much ground as the yield of
// one year in five asks for, as far as there is any.
func (l *Late) closer(f *farm.Farm, gap float64) Closer {
	need := quantity.Area(1000 * gap / l.Yield.Low)
	area := min(whole(need, f.Units), l.Bare)
	when := say.That("this autumn")
	if l.Spring {
		when = say.That("next spring, so not in this feed year's winter")
	}
	what := say.That("sow %s of %s by %s: %s %s, %s in one year of five", area.In(f.Units), l.Mix.Title, l.Last.MonthDay(),
		tenth(l.Yield.Middle, f.Units).In(f.Units), when, tenth(l.Yield.Low, f.Units).In(f.Units))
	if need > l.Bare {
		what = say.That("%s; it would take %s, and no more stands bare", what, whole(need, f.Units).In(f.Units))
	}
	return Closer{what, float64(area) * l.cost(f)}
}

// whole is an area up to the next whole acre or half hectare.
func whole(a quantity.Area, u quantity.System) quantity.Area {
	piece := quantity.Hectare / 2
	if u == quantity.US {
		piece = quantity.Acre
	}
	return quantity.Area(math.Ceil(float64(a/piece)-1e-9)) * piece
}

// tenth is a yield, from g/m², to a tenth of the unit in which it is read.
func tenth(yield float64, u quantity.System) quantity.MassPerArea {
	unit := 1000 * quantity.KilogramPerHectare
	if u == quantity.US {
		unit = quantity.TonPerAcre
	}
	return quantity.MassPerArea(math.Round(yield/1000/float64(unit)*10)/10) * unit
}

// cost is seed and custom work, sown and put up, a square metre.
func (l *Late) cost(f *farm.Farm) float64 {
	c := &f.Custom
	cost := float64(c.Tillage + c.Drilling + c.Mowing + c.Raking)
	for i := range l.Mix.Parts {
		cost += float64(l.Mix.Parts[i].Rate) * float64(f.SeedPrice(l.Mix.Parts[i].Crop))
	}
	if c.BaleMass > 0 {
		cost += l.Yield.Middle / 1000 / float64(c.BaleMass) * float64(c.Baling+c.Wrapping)
	}
	return cost
}

// late adds the late sowings to the closers, and says which came too late.
func (s *Stock) late(r *Request, d *Day) error {
	sky := &Sky{First: r.Years[0].First, Today: r.Known, Forcing: stand.NewForcing(&r.Years[0]), Years: Futures(r.Years, 0, r.Known, r.Forecast)}
	sowings, err := LateSowings(r, d, sky)
	for i := range sowings {
		switch l := &sowings[i]; {
		case len(l.Refused) > 0:
			s.tell("%s", l.Refused)
		case l.Spring: // what is cut after the gap closes none of it, and is worth knowing
			s.tell("%s", l.closer(r.Farm, s.GapBad).What)
		default:
			s.Closers = append(s.Closers, l.closer(r.Farm, s.GapBad))
		}
	}
	return err
}
