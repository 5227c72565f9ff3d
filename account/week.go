package account

import (
	"math"

	"rowen/handbook/evapo"
	"rowen/handbook/stats"
	"rowen/quantity"
	"rowen/weather"
)

// Weeks is a station's prepared record, made ready to be asked about any week.
// It is not changed by asking, so farms of one station share it.
type Weeks struct {
	series *weather.Series
	soil   []float64 // at 10 cm, °C, by day of the record; NaN while it settles
}

// settling is how many days after a gap the soil's temperature is not told: its
// memory of seven days has then forgotten where it began.
const settling = 40

// WeeksOf makes a prepared record ready: the soil's temperature of every day is
// worked out from the air as the season does, without lying snow.
func WeeksOf(s *weather.Series) *Weeks {
	w := &Weeks{series: s, soil: make([]float64, len(s.Days))}
	soil, known := 0.0, 0
	for i := range s.Days {
		mean := (s.Days[i].TMin + s.Days[i].TMax) / 2
		switch {
		case math.IsNaN(mean):
			known = 0
		case known == 0:
			soil, known = mean, 1
		default:
			soil = evapo.SoilTemperature(soil, mean)
			known++
		}
		w.soil[i] = soil
		if known <= settling {
			w.soil[i] = math.NaN()
		}
	}
	return w
}

// Share counts years that had something among the years that can tell.
type Share struct{ With, Years int }

// Of is the share, 0 to 1; NaN where no year can tell.
func (s Share) Of() float64 {
	if s.Years == 0 {
		return math.NaN()
	}
	return float64(s.With) / float64(s.Years)
}

func (s *Share) add(with bool) {
	s.Years++
	if with {
		s.With++
	}
}

// Week is what a station's record says of one date: what was measured up to it,
// and what the record's other years had after it. The date's own year never
// speaks of the days to come, so that a date of the past is told as it would
// have been on that day. None of it is a forecast.
type Week struct {
	On          quantity.Date
	Station     string
	Invented    bool // a weather generator made the record
	First, Last quantity.Date
	Soil        SoilWeek
	Freeze      [3]FreezeRisk // at or below 36, 32 and 28 °F
	Nights      int           // of the last seven, those that the record knows
	Lowest      float64       // of them, °C; NaN without
	Cutting     Cutting
}

// SoilWeek is the soil at 10 cm, °C. Without a measured day Now is the median of
// the years and Change the median of their changes.
type SoilWeek struct {
	Measured  bool
	Now       float64 // NaN where the record knows nothing
	Change    float64 // over the seven days up to the date; NaN where not known
	Low, High float64 // 10 and 90 % of the other years on this date
	Usual     float64 // their median
	Years     int
}

// FreezeRisk is how often the nights get as cold as a threshold.
type FreezeRisk struct {
	Threshold       float64 // °C
	Seven, Fourteen Share   // years with such a night in the coming 7 and 14 days
	Past            int     // such nights measured in the last 7
}

// weekDays is how far back and ahead a week looks.
const weekDays = 7

// Week asks the record about a date.
func (w *Weeks) Week(on quantity.Date) Week {
	s := w.series
	out := Week{On: on, Station: s.Station.Name, First: s.First, Last: s.First + quantity.Date(len(s.Days)-1), Lowest: math.NaN()}
	out.Invented = len(s.Days) > 0 && s.Days[0].Marks&weather.Generated != 0
	out.Soil = w.soilWeek(on)
	for k := range out.Freeze {
		out.Freeze[k] = w.freeze(on, weather.FreezeThresholds[k])
	}
	for d := on - weekDays + 1; d <= on; d++ {
		if day := w.day(d); day != nil && !math.IsNaN(day.TMin) {
			out.Nights++
			if !(out.Lowest <= day.TMin) {
				out.Lowest = day.TMin
			}
		}
	}
	out.Cutting = w.cutting(on)
	return out
}

// day is a day of the record; nil outside it.
func (w *Weeks) day(d quantity.Date) *weather.Day {
	if i := int(d - w.series.First); i >= 0 && i < len(w.series.Days) {
		return &w.series.Days[i]
	}
	return nil
}

// soilAt is the soil on a date; NaN outside the record or where it is not known.
func (w *Weeks) soilAt(d quantity.Date) float64 {
	if i := int(d - w.series.First); i >= 0 && i < len(w.soil) {
		return w.soil[i]
	}
	return math.NaN()
}

// others gives the date's day of the year in every year of the record but its own.
func (w *Weeks) others(on quantity.Date, each func(quantity.Date)) {
	_, month, day := on.Civil()
	last := (w.series.First + quantity.Date(len(w.series.Days))).Year()
	for year := w.series.First.Year(); year <= last; year++ {
		if year != on.Year() {
			each(quantity.MonthDay{Month: month, Day: day}.In(year))
		}
	}
}

func (w *Weeks) soilWeek(on quantity.Date) SoilWeek {
	var now, change []float64
	w.others(on, func(d quantity.Date) {
		if t := w.soilAt(d); !math.IsNaN(t) {
			now = append(now, t)
			if before := w.soilAt(d - weekDays); !math.IsNaN(before) {
				change = append(change, t-before)
			}
		}
	})
	out := SoilWeek{Low: stats.Percentile(now, 0.1), Usual: stats.Percentile(now, 0.5), High: stats.Percentile(now, 0.9), Years: len(now)}
	out.Now, out.Change = out.Usual, stats.Percentile(change, 0.5)
	if t := w.soilAt(on); !math.IsNaN(t) {
		out.Measured, out.Now, out.Change = true, t, t-w.soilAt(on-weekDays)
	}
	return out
}

// coming gives the days after a date; nil where the record does not hold them all
// with every value that the caller asks for.
func (w *Weeks) coming(on quantity.Date, days int, known func(*weather.Day) bool) []weather.Day {
	i := int(on-w.series.First) + 1
	if i < 0 || i+days > len(w.series.Days) {
		return nil
	}
	out := w.series.Days[i : i+days]
	for k := range out {
		if !known(&out[k]) {
			return nil
		}
	}
	return out
}

func (w *Weeks) freeze(on quantity.Date, threshold float64) FreezeRisk {
	out := FreezeRisk{Threshold: threshold}
	known := func(d *weather.Day) bool { return !math.IsNaN(d.TMin) }
	w.others(on, func(d quantity.Date) {
		for _, x := range []struct {
			days int
			to   *Share
		}{{weekDays, &out.Seven}, {2 * weekDays, &out.Fourteen}} {
			days := w.coming(d, x.days, known)
			if days == nil {
				continue
			}
			found := false
			for k := range days {
				found = found || days[k].TMin <= threshold
			}
			x.to.add(found)
		}
	})
	for d := on - weekDays + 1; d <= on; d++ {
		if day := w.day(d); day != nil && day.TMin <= threshold {
			out.Past++
		}
	}
	return out
}

// Held is how long the soil has held a sowing's temperature.
type Held struct {
	Measured bool
	Days     int   // in a row up to the date, where measured
	Met      bool  // held the days asked at some time since the window opened, where measured
	Usual    Share // the other years in which it had been held by this date
}

// Held asks whether the soil at 10 cm has held a temperature, °C, for so many days
// in a row between the opening of a sowing's window and a date.
func (w *Weeks) Held(opens, on quantity.Date, celsius float64, days int) Held {
	var out Held
	since := int(on - opens)
	if met, run, known := w.held(on, since, celsius, days); known {
		out = Held{Measured: true, Days: run, Met: met}
	}
	w.others(on, func(d quantity.Date) {
		if met, _, ok := w.held(d, since, celsius, days); ok {
			out.Usual.add(met)
		}
	})
	return out
}

// held looks back from a date: whether the days asked were held in a row, how many
// are held now, and whether the record knows.
func (w *Weeks) held(on quantity.Date, since int, celsius float64, days int) (met bool, run int, known bool) {
	for d := on - quantity.Date(since); d <= on; d++ {
		t := w.soilAt(d)
		if math.IsNaN(t) {
			return false, 0, false
		}
		if run++; t < celsius {
			run = 0
		}
		met = met || run >= days
	}
	return met, run, since >= 0
}
