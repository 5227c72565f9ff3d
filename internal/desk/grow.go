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
	Soil      string // "silt loam, well drained, pH 6.2"
	Nitrogen  string
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
	soil, err := ParseSoil(r.Soil)
	if err != nil {
		return nil, "", err
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
		out = append(out, growYear(st, &mix, &years[i], sched, sow, cuts))
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
	use := r.Use
	if use == "" {
		for u := crop.Graze; u < crop.Uses; u++ {
			if mix.Uses[u].Allowed {
				use = u.String()
				break
			}
		}
	}
	if sched.Use, err = crop.ParseUse(use); err != nil {
		return sched, 0, nil, fmt.Errorf("--use %q: %w", use, err)
	}
	if sched.Use == crop.Leave || !mix.Uses[sched.Use].Allowed {
		return sched, 0, nil, fmt.Errorf("--use %s: this crop is not used so", use)
	}
	if r.Nitrogen != "" {
		n, err := quantity.ParseMassPerArea(r.Nitrogen)
		if err != nil {
			return sched, 0, nil, fmt.Errorf("--nitrogen %w", err)
		}
		sched.Nitrogen = n.KilogramsPerHectare()
	}
	return sched, sow, cuts, nil
}

func growYear(st *stand.Stand, mix *crop.Mix, y *weather.Year, sched stand.Schedule, sow quantity.Date, cuts []quantity.Date) Grown {
	f := stand.NewForcing(y)
	c := mix.Parts[0].Crop
	in := func(d quantity.Date) int { // the same day of this feed year
		_, m, day := d.Civil()
		return int(quantity.MonthDay{Month: m, Day: day}.OnOrAfter(y.First) - y.First)
	}
	g := Grown{Year: int(y.ID)}
	sched.Sow = -1
	switch {
	case sow != 0:
		sched.Sow = in(sow)
	case c.Life == crop.Annual:
		sched.Sow = stand.SoilSowing(f, y.First, &c.Sowing)
		if sched.Sow < 0 {
			return g
		}
	}
	sched.Cuts = nil
	for _, d := range cuts {
		sched.Cuts = append(sched.Cuts, in(d))
	}
	if sched.Sow >= 0 {
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
			Growth: 10 * d.Growth, Supply: d.Stress, Depleted: s.Root, Nitrogen: 10 * s.Nitrogen,
		}
		for _, p := range s.Parts {
			line.LeafArea += p.Area
			line.Reserve += 10 * p.Reserve
		}
		g.Days = append(g.Days, line)
	})
	if days > 0 {
		g.Stress = supply / days
	}
	for _, u := range used {
		a := u.Herbage.Analysis
		g.Uses = append(g.Uses, GrownAt{
			Date: (y.First + quantity.Date(u.Day)).String(), Rest: u.Rest, Height: u.Height, DM: 10 * u.Herbage.DM,
			Moisture: 100 * (1 - u.Herbage.DMShare), CP: a.CP, NDF: a.NDF, NDFD: a.NDFD, NEL: a.NEL,
		})
		g.Yield += 10 * u.Herbage.DM
	}
	return g
}

// ParseSoil reads a soil as a person writes it: "silt loam, well drained, pH 6.2";
// empty is silt loam, well drained, pH 6.4.
func ParseSoil(text string) (stand.Soil, error) {
	texture, drainage, pH := "silt loam", crop.WellDrained, 6.4
	for _, part := range strings.Split(text, ",") {
		part = strings.ToLower(strings.TrimSpace(part))
		if part == "" {
			continue
		}
		if after, ok := strings.CutPrefix(part, "ph"); ok {
			v, err := strconv.ParseFloat(strings.TrimSpace(after), 64)
			if err != nil {
				return stand.Soil{}, fmt.Errorf("--soil: pH %q is not a number", strings.TrimSpace(after))
			}
			pH = v
			continue
		}
		if d, ok := crop.DrainageClasses[part]; ok {
			drainage = d
			continue
		}
		texture = part
	}
	s, err := stand.SoilOf(texture, drainage, pH, 0, 0)
	if err != nil {
		return s, fmt.Errorf("--soil: %w", err)
	}
	return s, nil
}
