package steer

import (
	"math"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/conserve"
	"rowen/quantity"
	"rowen/stand"
)

// Swath is what a field would lay down today.
type Swath struct {
	Use         crop.Use
	Yield       Spread  // g DM/m² above the height to leave
	Moisture    Spread  // as mown, wet basis
	Residual    float64 // height to leave, cm
	Width       float64 // share of the cut width that the swath covers, above 0 to 1
	Conditioned bool
	Thick       bool    // thick stems: the drying equation is stretched
	Legume      bool    // leads the stand or is a third of it
	Water       float64 // of the ground, mm above (+) or below (-) field capacity
}

// Window is what mowing on a day would come to, over the years that could follow.
// Spreads are over those in which the day is dry enough to mow.
type Window struct {
	Mow         quantity.Date
	Forecast    int     // days of forecast from the mowing day on that it rests on
	Mown        float64 // share of the years in which the day has at most a millimetre of rain
	Dry         float64 // share of all years in which it is mown and in before the next rain
	Rescue      float64 // further share: rain comes first, and by then it could be wrapped, or chopped
	In          When
	Hours       Spread // in the swath, drying hours
	Clock       Spread // from mowing, hours, nights included
	Rain        Spread // mm on it
	Stored      Spread // g DM/m² of field that comes off
	KeptDry     Spread // share kept where no rain came; nothing where it always came
	KeptRained  Spread // share kept where rain came and it was still brought in
	RainedShare float64
	Breathed    float64 // median share lost by breathing where no rain came,
	BreathedWet float64 // where rain came and it was still brought in,
	Leached     float64 // and what that rain took with it
	Gathered    float64 // median share left by raking, baling or chopping
}

// wiltGround is the deficit at which the ground under a swath counts as dry, mm below
// field capacity, and wiltUse the share of reference evapotranspiration that mown
// ground still loses (common practice).
const (
	wiltGround = 50.0
	wiltUse    = 0.6
)

// thickStemmed tells whether a stand has stems that the drying equation was not made
// for.
func thickStemmed(m *crop.Mix) bool {
	for i := range m.Parts {
		for _, word := range [...]string{"sorghum", "sudangrass", "pearl-millet", "japanese-millet", "corn"} {
			if strings.Contains(m.Parts[i].Crop.Name, word) {
				return true
			}
		}
	}
	return false
}

// leguminous tells whether what is lost of a stand is a legume's leaf.
func leguminous(m *crop.Mix) bool {
	share := 0.0
	for i := range m.Parts {
		if m.Parts[i].Crop.Legume {
			if i == 0 {
				return true
			}
			share += m.Parts[i].Share
		}
	}
	return share >= 1.0/3
}

// SwathOf is what a field that stands would lay down for a use, from its reading today.
func SwathOf(f *farm.Farm, x *Field, use crop.Use, width float64, conditioned bool) (Swath, error) {
	mix, now := x.History.Course.Mix, &x.Now
	s := Swath{Use: use, Yield: now.Offered, Residual: mix.Uses[use].Residual.Centimetres(), Width: width, Conditioned: conditioned, Thick: thickStemmed(mix), Legume: leguminous(mix), Water: now.Water.Middle}
	s.Moisture = Spread{1 - now.DryMatter.High, 1 - now.DryMatter.Middle, 1 - now.DryMatter.Low}
	if was := mix.Uses[x.History.Course.Use].Residual.Centimetres(); was != s.Residual {
		// Read for another height to leave: the middle member says how much more or less.
		soil := &f.Fields[x.Index].Soil
		ground, err := stand.SoilOf(soil.Texture, soil.Drainage, soil.PH, soil.Organic, soil.Depth.Metres())
		if err != nil {
			return s, err
		}
		st, err := stand.Compile(*mix, ground)
		if err != nil {
			return s, err
		}
		if offered := st.Mown(&x.State, was); offered > 0 {
			ratio := st.Mown(&x.State, s.Residual) / offered
			s.Yield = Spread{ratio * s.Yield.Low, ratio * s.Yield.Middle, ratio * s.Yield.High}
		}
	}
	return s, nil
}

// makings are the swaths that a spread one may be: low, middle and high in drying rate
// (with the moisture that goes with it), yield and rain damage.
func (s *Swath) makings() (out []Making) {
	low, middle, high := conserve.RateSpan(s.Thick)
	rates := [3]float64{low, middle, high}
	moistures := [3]float64{s.Moisture.High, s.Moisture.Middle, s.Moisture.Low}
	yields := [3]float64{s.Yield.Low, s.Yield.Middle, s.Yield.High}
	for r := range rates {
		for y := range yields {
			out = append(out, Making{Yield: yields[y], Width: s.Width, Moisture: moistures[r], Use: s.Use, Rate: rates[r], Conditioned: s.Conditioned, Legume: s.Legume, Damage: float64((r+y)%3) / 2})
		}
	}
	return out
}

// cureDays are the days of a year from a day on as a swath feels them; water is the
// ground's on the day before.
func cureDays(f *stand.Forcing, from int, water float64) (out []CureDay) {
	water = max(-wiltGround, min(0, water))
	for i := from; i < f.Days(); i++ {
		d := f.Day(i)
		water = max(-wiltGround, min(0, water+d.Liquid-wiltUse*d.ET0))
		out = append(out, CureDay{Rain: d.Rain, Sun: curingSun * d.Solar * 1e6 / (d.Daylight * 3600), Deficit: d.VPD, Soil: curingWet + (curingWet-curingSoil)*water/wiltGround})
	}
	return out
}

// Cure tells what mowing on each of the coming days would come to. first is the feed
// year's first day, from the index of the first day to mow on, forecast the index
// after the last forecast day.
func Cure(s *Swath, years []*stand.Forcing, first quantity.Date, from, forecast, days int) []Window {
	makings := s.makings()
	out := make([]Window, 0, days)
	futures := make([][]CureDay, len(years))
	for i, y := range years {
		futures[i] = cureDays(y, from, s.Water)
	}
	for k := range days {
		t := tally{all: float64(len(futures) * len(makings))}
		for _, f := range futures {
			if k >= len(f) || !f[k].known() || f[k].Rain > curingRain {
				continue
			}
			for i := range makings {
				t.add(&makings[i], Lay(&makings[i], f[k:]))
			}
		}
		w := t.window(first + quantity.Date(from+k))
		w.Forecast = max(0, forecast-from-k)
		out = append(out, w)
	}
	return out
}

// tally gathers what became of a day's swaths.
type tally struct {
	all, mown, dry, rescue           float64
	days, hours, clock, rain, stored []float64
	keptDry, keptRained, washed      []float64
	breathed, breathedWet, gathered  []float64
	rained                           float64
}

func (t *tally) add(m *Making, l Laid) {
	t.mown++
	_, wettest := TargetMoisture(m.Use)
	if m.Use == crop.Hay {
		_, wettest = conserve.Moisture(conserve.WrappedBale)
	}
	switch {
	case l.Dry:
		t.dry++
		t.keptDry, t.breathed = append(t.keptDry, l.Kept), append(t.breathed, l.Respired)
	case l.Eve <= wettest:
		t.rescue++
	}
	if !l.Dry {
		t.rained++
		if l.In {
			t.keptRained, t.breathedWet, t.washed = append(t.keptRained, l.Kept), append(t.breathedWet, l.Respired), append(t.washed, l.Leached)
		}
	}
	t.rain = append(t.rain, l.Rain)
	t.stored = append(t.stored, m.Yield*l.Kept)
	if l.In {
		t.days, t.hours, t.clock = append(t.days, float64(l.Days)), append(t.hours, l.Hours), append(t.clock, l.Clock)
		t.gathered = append(t.gathered, l.Gathered)
	}
}

func (t *tally) window(mow quantity.Date) Window {
	w := Window{Mow: mow}
	if t.mown == 0 {
		return w
	}
	w.Mown, w.Dry, w.Rescue, w.RainedShare = t.mown/t.all, t.dry/t.all, t.rescue/t.all, t.rained/t.mown
	w.Hours, w.Clock, w.Rain, w.Stored = spreadOf(t.hours), spreadOf(t.clock), spreadOf(t.rain), spreadOf(t.stored)
	w.KeptDry, w.KeptRained = spreadOf(t.keptDry), spreadOf(t.keptRained)
	w.Breathed, w.BreathedWet = spreadOf(t.breathed).Middle, spreadOf(t.breathedWet).Middle
	w.Leached, w.Gathered = spreadOf(t.washed).Middle, spreadOf(t.gathered).Middle
	if len(t.days) > 0 {
		d := spreadOf(t.days)
		at := func(x float64) quantity.Date { return mow + quantity.Date(math.Round(x)) }
		w.In = When{at(d.Low), at(d.Middle), at(d.High), float64(len(t.days)) / t.mown}
	}
	return w
}

// asGood is by how much a later day must be likelier to be worth the wait.
const asGood = 0.05

// BestWindow is the day to mow: the likeliest to be in dry, and of days about as good
// the first; -1 where no day has a chance.
func BestWindow(w []Window) int {
	best := -1
	for i := range w {
		if w[i].Dry > 0 && (best < 0 || w[i].Dry > w[best].Dry+asGood) {
			best = i
		}
	}
	return best
}
