package weather

import (
	"math"
	"time"

	"rowen/handbook/evapo"
	"rowen/handbook/growth"
	"rowen/handbook/stats"
	"rowen/quantity"
)

// Summary is a station's climate as an adviser reads it.
type Summary struct {
	First, Last quantity.Date
	Days        int
	Months      [12]MonthSummary
	Spring      []FreezeDates // by FreezeThresholds
	Autumn      []FreezeDates
	// Season is from 1 April to 31 October of every complete year.
	Warmth, Rain, Deficit Spread // °Cd above 10 °C; mm; mm of ET0 less rain
	TrendTemperature      Slope  // °C per decade, yearly mean
	TrendRain             Slope  // mm per decade, yearly sum
	Gaps                  []Notice
	Notices               []Notice
}

// MonthSummary is one calendar month over the years.
type MonthSummary struct {
	Years      int
	TMax, TMin float64 // mean, °C
	Rain       Spread  // mm
	WetDays    float64 // days of at least 1 mm
	Deficit    float64 // mean ET0 less rain, mm
	DegreeDays float64 // mean °Cd above 10 °C
	HottestDay float64 // mean of the yearly highest, °C
	ColdestDay float64
}

// Spread is a mean with the tenth, fiftieth and ninetieth percentile of years.
type Spread struct{ Mean, P10, P50, P90 float64 }

// Slope is a trend per decade with its standard error.
type Slope struct{ PerDecade, Error float64 }

func spread(x []float64) Spread {
	mean, _ := stats.MeanSD(x)
	return Spread{mean, stats.Percentile(x, 0.1), stats.Percentile(x, 0.5), stats.Percentile(x, 0.9)}
}

// month gathers one month of one year.
type monthSum struct {
	days                     int
	tmax, tmin, rain, et, dd float64
	wet                      int
	hot, cold                float64
}

// Summarise works a prepared record into a Summary. A month counts when at least
// 25 of its days are known.
func (s *Series) Summarise() Summary {
	out := Summary{First: s.First, Last: s.First + quantity.Date(len(s.Days)-1), Days: len(s.Days), Notices: s.Notices}
	for _, n := range s.Notices {
		if n.Kind == "gap" {
			out.Gaps = append(out.Gaps, n)
		}
	}
	for _, t := range FreezeThresholds {
		spring, autumn := s.Freezes(t)
		out.Spring, out.Autumn = append(out.Spring, spring), append(out.Autumn, autumn)
	}
	sums := map[int]*[12]monthSum{}
	for i := range s.Days {
		d := &s.Days[i]
		if math.IsNaN(d.TMin + d.TMax + d.Rain) {
			continue
		}
		date := s.First + quantity.Date(i)
		year, month, _ := date.Civil()
		if sums[year] == nil {
			sums[year] = &[12]monthSum{}
		}
		m := &sums[year][month-1]
		if m.days == 0 {
			m.hot, m.cold = math.Inf(-1), math.Inf(1)
		}
		m.days++
		m.tmax, m.tmin, m.rain = m.tmax+d.TMax, m.tmin+d.TMin, m.rain+d.Rain
		m.hot, m.cold = max(m.hot, d.TMax), min(m.cold, d.TMin)
		if d.Rain >= 1 {
			m.wet++
		}
		m.dd += growth.SineDegreeDays(d.TMin, d.TMax, 10)
		ra := evapo.ExtraterrestrialRadiation(s.Station.Latitude, date.YearDay())
		m.et += evapo.Daily(d.TMin, d.TMax, d.Solar, d.Vapour, d.Wind, s.Station.Elevation.Metres(), ra)
	}
	s.summariseMonths(&out, sums)
	s.summariseYears(&out, sums)
	return out
}

const enoughDays = 25

func (s *Series) summariseMonths(out *Summary, sums map[int]*[12]monthSum) {
	for k := range out.Months {
		m := &out.Months[k]
		var rain []float64
		for year := out.First.Year(); year <= out.Last.Year(); year++ {
			if sums[year] == nil || sums[year][k].days < enoughDays {
				continue
			}
			x := &sums[year][k]
			n := float64(x.days)
			full := float64(quantity.NewDate(year, time.Month(k+2), 1) - quantity.NewDate(year, time.Month(k+1), 1))
			m.Years++
			m.TMax, m.TMin = m.TMax+x.tmax/n, m.TMin+x.tmin/n
			m.WetDays += float64(x.wet) / n * full
			m.Deficit += (x.et - x.rain) / n * full
			m.DegreeDays += x.dd / n * full
			m.HottestDay, m.ColdestDay = m.HottestDay+x.hot, m.ColdestDay+x.cold
			rain = append(rain, x.rain/n*full)
		}
		n := float64(m.Years)
		for _, v := range []*float64{&m.TMax, &m.TMin, &m.WetDays, &m.Deficit, &m.DegreeDays, &m.HottestDay, &m.ColdestDay} {
			*v /= n
		}
		m.Rain = spread(rain)
	}
}

func (s *Series) summariseYears(out *Summary, sums map[int]*[12]monthSum) {
	var warmth, rain, deficit, temperature, total []float64
	for year := out.First.Year(); year <= out.Last.Year(); year++ {
		x := sums[year]
		if x == nil {
			continue
		}
		var w, r, d, t, all float64
		season, whole := true, true
		for k := range x {
			if x[k].days < enoughDays {
				whole = false
				season = season && (k < 3 || k > 9)
				continue
			}
			t += (x[k].tmax + x[k].tmin) / 2 / float64(x[k].days) / 12
			all += x[k].rain
			if k >= 3 && k <= 9 {
				w, r, d = w+x[k].dd, r+x[k].rain, d+x[k].et-x[k].rain
			}
		}
		if season {
			warmth, rain, deficit = append(warmth, w), append(rain, r), append(deficit, d)
		}
		if whole {
			temperature, total = append(temperature, t), append(total, all)
		}
	}
	out.Warmth, out.Rain, out.Deficit = spread(warmth), spread(rain), spread(deficit)
	slope, se := stats.Trend(temperature)
	out.TrendTemperature = Slope{10 * slope, 10 * se}
	slope, se = stats.Trend(total)
	out.TrendRain = Slope{10 * slope, 10 * se}
}
