package desk

import (
	"fmt"
	"strconv"
	"strings"

	"rowen/crop"
	"rowen/quantity"
	"rowen/stand"
	"rowen/weather"
)

// GrowRequest is one stand grown alone.
type GrowRequest struct {
	Crop      string
	At        Station
	Sow       string   // a date, or empty: by the soil's temperature
	Cuts      []string // dates; empty: by the use's rule
	Use       string
	Soil      string   // "silt loam, well drained, pH 6.2"
	Nitrogen  []string // one for each dressing; none: the usual manure
	Residual  string
	NoTill    bool
	Age       float64
	Years     string
	Catalogue []string
}

// Grown is one year of one stand.
type Grown struct {
	Year   int        `json:"year"`
	Sown   string     `json:"sown,omitempty"`
	Uses   []GrownAt  `json:"uses"`
	Yield  float64    `json:"yield_kg_per_ha"`
	Days   []GrownDay `json:"days,omitempty"`
	Stress float64    `json:"water_supply"`
}

// GrownAt is one use of it.
type GrownAt struct {
	Date     string  `json:"date"`
	Rest     int     `json:"days_since_sowing_or_use"`
	Height   float64 `json:"height_cm"`
	DM       float64 `json:"dm_kg_per_ha"`
	Moisture float64 `json:"moisture_percent"`
	CP       float64 `json:"cp_percent"`
	NDF      float64 `json:"ndf_percent"`
	NDFD     float64 `json:"ndfd48_percent"`
	NEL      float64 `json:"nel_mcal_per_kg"`
	Stage    float64 `json:"stage"`
	Nitrate  float64 `json:"nitrate_n_ppm_estimate"`
}

// GrownDay is a day's state.
type GrownDay struct {
	Date     string  `json:"date"`
	Height   float64 `json:"height_cm"`
	Mass     float64 `json:"standing_kg_per_ha"`
	LeafArea float64 `json:"leaf_area_index"`
	Stage    float64 `json:"stage"`
	Growth   float64 `json:"growth_kg_per_ha"`
	Supply   float64 `json:"water_supply"`
	Depleted float64 `json:"root_zone_depletion_mm"`
	Nitrogen float64 `json:"mineral_nitrogen_kg_per_ha"`
	Reserve  float64 `json:"reserves_kg_per_ha"`
	Plants   float64 `json:"plants"`
	Weeds    float64 `json:"weeds_leaf_area_index"`
}

// Grow grows one stand over the years asked.
func Grow(r GrowRequest) ([]Grown, string, error) {
	c, err := Catalogue(r.Catalogue)
	if err != nil {
		return nil, "", err
	}
	mix, ok := c.Mix(r.Crop)
	if !ok {
		return nil, "", fmt.Errorf("no such crop %q; write one of: %s", r.Crop, strings.Join(c.Names(), ", "))
	}
	soil, err := stand.ParseSoil(r.Soil)
	if err != nil {
		return nil, "", fmt.Errorf("--soil: %w", err)
	}
	st, err := stand.Compile(mix, soil)
	if err != nil {
		return nil, "", err
	}
	s, err := Series(r.At)
	if err != nil {
		return nil, "", err
	}
	sched, sow, cuts, err := schedule(r, &mix)
	if err != nil {
		return nil, "", err
	}
	span := r.Years
	if span == "" && sow != 0 {
		span = strconv.Itoa(sow.Year())
	}
	years, _, err := choose(s, quantity.MonthDay{Month: 11, Day: 1}, span)
	if err != nil {
		return nil, "", err
	}
	var out []Grown
	for i := range years {
		out = append(out, growYear(st, &mix, &years[i], before(years, i), sched, sow, cuts))
	}
	return out, s.Station.Name, nil
}

// schedule reads dates, use and nitrogen; the days come when the year is known.
func schedule(r GrowRequest, mix *crop.Mix) (sched stand.Schedule, sow quantity.Date, cuts []quantity.Date, err error) {
	if r.Sow != "" {
		if sow, err = quantity.ParseDate(r.Sow); err != nil {
			return sched, 0, nil, fmt.Errorf("--sow %w", err)
		}
	}
	for _, t := range r.Cuts {
		d, err := quantity.ParseDate(t)
		if err != nil {
			return sched, 0, nil, fmt.Errorf("--cut %w", err)
		}
		cuts = append(cuts, d)
	}
	if sched.Use, err = useOf(r.Use, mix); err != nil {
		return sched, 0, nil, err
	}
	for _, text := range r.Nitrogen {
		n, err := quantity.ParseMassPerArea(text)
		if err != nil {
			return sched, 0, nil, fmt.Errorf("--nitrogen %w", err)
		}
		sched.Nitrogen = append(sched.Nitrogen, n.KilogramsPerHectare())
	}
	if r.Residual != "" {
		l, err := quantity.ParseLength(r.Residual)
		if err != nil {
			return sched, 0, nil, fmt.Errorf("--residual %w", err)
		}
		sched.Residual = l.Centimetres()
	}
	sched.Seedbed = stand.Seedbed{Misfortune: 0.5, NoTill: r.NoTill}
	sched.Age = r.Age
	return sched, sow, cuts, nil
}

// useOf reads a use, or takes the first that a mix allows.
func useOf(text string, mix *crop.Mix) (crop.Use, error) {
	if text == "" {
		for u := crop.Graze; u < crop.Uses; u++ {
			if mix.Uses[u].Allowed {
				return u, nil
			}
		}
	}
	u, err := crop.ParseUse(text)
	if err != nil {
		return u, fmt.Errorf("--use %q: %w", text, err)
	}
	if u == crop.Leave || !mix.Uses[u].Allowed {
		why := "this crop is not used so"
		if w := mix.Uses[u].Why; w != "" {
			why = w
		}
		return u, fmt.Errorf("--use %s: %s", text, why)
	}
	return u, nil
}

func growYear(st *stand.Stand, mix *crop.Mix, y, before *weather.Year, sched stand.Schedule, sow quantity.Date, cuts []quantity.Date) Grown {
	f := stand.NewForcing(y)
	in := func(d quantity.Date) int { // the same day of this feed year
		_, m, day := d.Civil()
		return int(quantity.MonthDay{Month: m, Day: day}.OnOrAfter(y.First) - y.First)
	}
	g := Grown{Year: int(y.ID)}
	var on *quantity.MonthDay
	if sow != 0 {
		_, m, day := sow.Civil()
		on = &quantity.MonthDay{Month: m, Day: day}
	}
	sched.Sow, sched.Before = st.SowingDay(mix, f, y, before, on)
	if sched.Sow == stand.Unsown {
		return g
	}
	sched.Cuts = nil
	for _, d := range cuts {
		sched.Cuts = append(sched.Cuts, in(d))
	}
	if sched.Sow != stand.Standing {
		g.Sown = (y.First + quantity.Date(sched.Sow)).String()
	}
	supply, days := 0.0, 0.0
	used := st.Alone(st.Climate(f), mix, sched, func(day int, s *stand.State, d *stand.Day) {
		if d.Ready {
			supply, days = supply+d.Stress, days+1
		}
		if day < sched.Sow {
			return
		}
		line := GrownDay{
			Date: (y.First + quantity.Date(day)).String(), Height: st.Height(s), Mass: 10 * s.Mass(), Stage: st.Stage(s),
			Growth: 10 * d.Growth, Supply: d.Stress, Depleted: s.Root, Nitrogen: 10 * s.Nitrogen, Weeds: s.Weeds,
		}
		for _, p := range s.Parts {
			line.LeafArea += p.Area
			line.Reserve += 10 * p.Reserve
			line.Plants += p.Plants
		}
		g.Days = append(g.Days, line)
	})
	if days > 0 {
		g.Stress = supply / days
	}
	for _, u := range used {
		a := u.Herbage.Analysis
		g.Uses = append(g.Uses, GrownAt{
			Date: (y.First + quantity.Date(u.Day)).String(), Rest: u.Rest, Height: u.Height, Stage: u.Stage, DM: 10 * u.Herbage.DM,
			Moisture: 100 * (1 - u.Herbage.DMShare), CP: a.CP, NDF: a.NDF, NDFD: a.NDFD, NEL: a.NEL, Nitrate: u.Herbage.Nitrate,
		})
		g.Yield += 10 * u.Herbage.DM
	}
	return g
}

// before is the year that leads up to years[i], nil where it is not there.
func before(years []weather.Year, i int) *weather.Year {
	if i > 0 && years[i-1].First+quantity.Date(len(years[i-1].Days)) == years[i].First {
		return &years[i-1]
	}
	return nil
}
