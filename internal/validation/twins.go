package validation

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"strings"

	"rowen/crop"
	"rowen/internal/crew"
	"rowen/quantity"
	"rowen/stand"
	"rowen/steer"
	"rowen/weather"
)

// Place is weather in which hidden truths are grown.
type Place struct {
	Name  string
	Years []weather.Year
}

// twinCrops are the stands of the twins.
var twinCrops = []string{"sorghum-sudangrass", "pearl-millet", "orchardgrass", "grass-clover"}

// twinSoils are their soils.
var twinSoils = []string{"silt loam", "sandy loam, pH 6.2", "clay loam, somewhat poorly drained"}

const (
	twinFields = 3   // truths for each stand, soil and year
	twinSown   = 33  // days after sowing on which a first use is forecast
	twinSward  = 175 // and, for what stands already, day of a feed year from 1 November: 25 April
	twinAfter  = 12  // days after the first use on which the second is forecast
	twinSeed   = 25
)

// TwinRow is how the forecasts of one stand's next use did at one place.
type TwinRow struct {
	Place, Crop            string
	Second                 bool // use
	With, Weighed, Without TwinScore
}

// TwinScore is how forecasts did against hidden truths.
type TwinScore struct {
	Twins             int
	DayError, DayBias float64 // days; root mean square, and mean: positive is too late
	DayHeld           float64 // share of truths inside the 80 % range
	YieldError        float64 // of the mean true yield; root mean square
	YieldBias         float64
	YieldHeld         float64
}

// Twins hides truths at each place and forecasts their first and second use. Rows
// come in the order of places, stands and uses, and are the same however many
// processors there are.
func Twins(ctx context.Context, c *crop.Catalogue, places []Place) ([]TwinRow, error) {
	var rows []TwinRow
	for p := range places {
		for _, name := range twinCrops {
			first, second, err := twinsOf(ctx, c, &places[p], name)
			if err != nil {
				return nil, err
			}
			for s, twins := range [][]steer.Twin{first, second} {
				row := TwinRow{Place: places[p].Name, Crop: name, Second: s == 1}
				row.With = score(twins, func(t *steer.Twin) *steer.Now { return &t.With })
				row.Without = score(twins, func(t *steer.Twin) *steer.Now { return &t.Without })
				if row.Second {
					row.Weighed = score(twins, func(t *steer.Twin) *steer.Now { return &t.Weighed })
				}
				rows = append(rows, row)
			}
		}
	}
	return rows, nil
}

// twinsOf are the twins of one stand at one place, year by year.
func twinsOf(ctx context.Context, c *crop.Catalogue, place *Place, name string) (first, second []steer.Twin, err error) {
	mix, ok := c.Mix(name)
	if !ok {
		return nil, nil, fmt.Errorf("no crop %s", name)
	}
	firsts, seconds := make([][]steer.Twin, len(place.Years)), make([][]steer.Twin, len(place.Years))
	g, ctx := crew.Of(ctx, runtime.GOMAXPROCS(0))
	for y := range place.Years {
		g.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			w := twinYear{place: place, year: y, mix: &mix, forcing: stand.NewForcing(&place.Years[y])}
			for s, text := range twinSoils {
				if err := w.soil(s, text); err != nil {
					return err
				}
			}
			firsts[y], seconds[y] = w.first, w.second
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return nil, nil, err
	}
	for y := range firsts {
		first, second = append(first, firsts[y]...), append(second, seconds[y]...)
	}
	return first, second, nil
}

// twinYear is one stand in one year.
type twinYear struct {
	place         *Place
	year          int
	mix           *crop.Mix
	forcing       *stand.Forcing
	first, second []steer.Twin
}

// soil adds the twins of one soil.
func (w *twinYear) soil(index int, text string) error {
	soil, err := stand.ParseSoil(text)
	if err != nil {
		return err
	}
	base, err := stand.Compile(*w.mix, soil)
	if err != nil {
		return err
	}
	bare, err := stand.Compile(crop.Mix{}, soil)
	if err != nil {
		return err
	}
	year := &w.place.Years[w.year]
	sow, _ := base.SowingDay(w.mix, w.forcing, year, nil, nil)
	if sow == stand.Unsown {
		return nil
	}
	past := &steer.Climates{Past: base.Climate(w.forcing)}
	today := twinSward
	if sow >= 0 {
		today = sow + twinSown
	}
	sky, climates := w.sky(base, today)
	for f := range twinFields {
		course := steer.Course{Field: int64(index*twinFields + f), Mix: w.mix, Sow: sow, Use: crop.Graze}
		if sow >= 0 {
			course.Deeds = []steer.Deed{{Day: sow, Nitrogen: stand.UsualManure}}
		}
		seed := uint64(twinSeed + w.year)
		if t, ok := steer.TwinOf(course, base, bare, sky, climates, seed); ok {
			w.first = append(w.first, t)
		}
		day, ok := steer.FirstUse(course, base, bare, past, seed)
		if !ok || day+twinAfter >= w.forcing.Days() {
			continue
		}
		later, after := w.sky(base, day+twinAfter)
		if t, ok := steer.SecondTwinOf(course, base, bare, later, after, seed); ok {
			w.second = append(w.second, t)
		}
	}
	return nil
}

// sky is the year up to a day, with all others of the place to come.
func (w *twinYear) sky(base *stand.Stand, today int) (*steer.Sky, *steer.Climates) {
	s := &steer.Sky{First: w.place.Years[w.year].First, Today: today, Forcing: w.forcing, Years: steer.Futures(w.place.Years, w.year, today, nil)}
	return s, s.Feel(base)
}

// score sums the forecasts up. One that sees no use before the feed year ends tells no
// day: it counts among those whose range does not hold the truth.
func score(twins []steer.Twin, of func(*steer.Twin) *steer.Now) (s TwinScore) {
	var days, dayHeld, yields, yieldHeld, truth, told float64
	for i := range twins {
		t := &twins[i]
		s.Twins++
		n := of(t)
		if n.Ready.Share == 0 {
			continue
		}
		told++
		d := float64(n.Ready.Middle - t.First - quantity.Date(t.True))
		days, s.DayBias = days+d*d, s.DayBias+d
		if on := t.First + quantity.Date(t.True); on >= n.Ready.Early && on <= n.Ready.Late {
			dayHeld++
		}
		e := n.AtReady.Middle - t.Yield
		yields, s.YieldBias, truth = yields+e*e, s.YieldBias+e, truth+t.Yield
		if t.Yield >= n.AtReady.Low && t.Yield <= n.AtReady.High {
			yieldHeld++
		}
	}
	all := float64(s.Twins)
	s.DayError, s.DayBias, s.DayHeld = math.Sqrt(days/told), s.DayBias/told, dayHeld/all
	s.YieldError, s.YieldBias, s.YieldHeld = math.Sqrt(yields/told)/(truth/told), s.YieldBias/truth, yieldHeld/all
	return s
}

// twinHead is what stands before the tables of twins.
const twinHead = `
## A season read as it stands

Can a hundred stands, moved by a measuring stick, tell when a field is ready? A truth is drawn as the members are drawn, but from another seed, and hidden. Its height is measured every ten days (three spots with a stick, error 9 %%), and its next use is forecast from a day on which nobody knows the weather to come: the place's other years stand in for it. %d stands, %d soils, %d truths for each in every year; truths used before the day of the forecast, or never, or not yet tall enough to be measured once, are left out.

**Truth and members come from one model (an identical twin). This shows that the method learns what a stick can tell, and that its ranges are as wide as they say; it does not show that the model is right.** What a real field does beyond the model is not in these numbers: take them as the least error that can be hoped for.

First use is forecast %d days after sowing, or on 25 April for swards. Second use is forecast %d days after the first, which was cut and weighed (error 15 %%): once told heights and weight, once the weight alone, once only the day of the cut. Errors are root mean squares; bias is forecast less truth; "held" is the share of truths inside the 80 %% range; yields are of the mean true yield. The day of a second use is mostly ruled by the days of rest that every stand must have, and a yield by the height at which it is used, so there is less to learn there.
`

// writeTwins writes the section on hidden truths.
func writeTwins(b *strings.Builder, rows []TwinRow) {
	if len(rows) == 0 {
		return
	}
	fmt.Fprintf(b, twinHead, len(twinCrops), len(twinSoils), twinFields, twinSown, twinAfter)
	fmt.Fprint(b, "\n| place, stand, use | told | truths | day: error, d | bias, d | held | yield: error | bias | held |\n|---|---|---|---|---|---|---|---|---|\n")
	for i := range rows {
		r := &rows[i]
		use := "first"
		if r.Second {
			use = "second"
		}
		what := fmt.Sprintf("%s, %s, %s", r.Place, r.Crop, use)
		writeTwin(b, what, "heights and weight", r.Second, &r.With)
		writeTwin(b, what, "heights", !r.Second, &r.With)
		writeTwin(b, what, "weight", r.Second, &r.Weighed)
		writeTwin(b, what, "nothing", true, &r.Without)
	}
	fmt.Fprint(b, "\nAll places and stands together:\n\n| use | truths | day: error measured | not measured | day held, measured | yield: error measured | not measured | yield held, measured |\n|---|---|---|---|---|---|---|---|\n")
	for _, second := range []bool{false, true} {
		for _, sward := range []bool{false, true} {
			writePooled(b, rows, second, sward)
		}
	}
}

// writePooled sums up the rows of one use of annuals, or of swards.
func writePooled(b *strings.Builder, rows []TwinRow, second, sward bool) {
	var with, without TwinScore
	for i := range rows {
		r := &rows[i]
		if r.Second == second && twinSwards[r.Crop] == sward && r.With.Twins > 0 {
			with.add(&r.With)
			without.add(&r.Without)
		}
	}
	what := "first use, annuals"
	if sward {
		what = "first use, swards"
	}
	if second {
		what = strings.Replace(what, "first", "second", 1)
	}
	n := float64(with.Twins)
	fmt.Fprintf(b, "| %s | %d | %.1f d | %.1f d | %.0f %% | %.0f %% | %.0f %% | %.0f %% |\n", what, with.Twins, math.Sqrt(with.DayError/n), math.Sqrt(without.DayError/n), 100*with.DayHeld/n, 100*math.Sqrt(with.YieldError/n), 100*math.Sqrt(without.YieldError/n), 100*with.YieldHeld/n)
}

// twinSwards are the stands of the twins that stand already.
var twinSwards = map[string]bool{"orchardgrass": true, "grass-clover": true}

// add adds a row's sums: squares and shares times truths.
func (s *TwinScore) add(r *TwinScore) {
	n := float64(r.Twins)
	s.Twins += r.Twins
	s.DayError, s.DayHeld = s.DayError+n*r.DayError*r.DayError, s.DayHeld+n*r.DayHeld
	s.YieldError, s.YieldHeld = s.YieldError+n*r.YieldError*r.YieldError, s.YieldHeld+n*r.YieldHeld
}

func writeTwin(b *strings.Builder, what, told string, asked bool, s *TwinScore) {
	if !asked || s.Twins == 0 {
		return
	}
	fmt.Fprintf(b, "| %s | %s | %d | %.1f | %+.1f | %.0f %% | %.0f %% | %+.0f %% | %.0f %% |\n", what, told, s.Twins, s.DayError, unsigned(s.DayBias, 0.05), 100*s.DayHeld, 100*s.YieldError, unsigned(100*s.YieldBias, 0.5), 100*s.YieldHeld)
}

// unsigned is a number without the sign of one that rounds to nothing.
func unsigned(v, least float64) float64 {
	if math.Abs(v) <= least {
		return 0
	}
	return v
}
