package desk

import (
	"fmt"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/report"
	"rowen/quantity"
	"rowen/stand"
	"rowen/weather"
)

// CompareRequest is stands side by side.
type CompareRequest struct {
	Crops     []string // names, each may carry its use: "teff:hay"
	At        Station
	Soil      string
	Years     string
	Catalogue []string
}

// swardLife is how many years a sward's seeding is spread over (common practice).
const swardLife = 6

// trial is what both comparisons and field sheets stand on.
type trial struct {
	catalogue *crop.Catalogue
	soil      stand.Soil
	words     string
	place     string
	years     []weather.Year
}

func (r *CompareRequest) trial() (*trial, error) {
	c, err := Catalogue(r.Catalogue)
	if err != nil {
		return nil, err
	}
	soil, err := stand.ParseSoil(r.Soil)
	if err != nil {
		return nil, fmt.Errorf("--soil: %w", err)
	}
	r.At.Years = r.Years
	s, err := Series(r.At)
	if err != nil {
		return nil, err
	}
	years, _, err := choose(s, quantity.MonthDay{Month: 11, Day: 1}, r.Years)
	if err != nil {
		return nil, err
	}
	words := r.Soil
	if words == "" {
		words = "silt loam, well drained, pH 6.4"
	}
	return &trial{catalogue: c, soil: soil, words: words, place: s.Station.Name, years: years}, nil
}

func (t *trial) span() (first, last int) {
	return int(t.years[0].ID), int(t.years[len(t.years)-1].ID)
}

// Compare grows each stand alone over the years of a place.
func Compare(r CompareRequest) (*report.Comparison, error) {
	t, err := r.trial()
	if err != nil {
		return nil, err
	}
	out := &report.Comparison{Place: t.place, Soil: t.words, Currency: "USD"}
	out.First, out.Last = t.span()
	for _, name := range r.Crops {
		name, use, _ := strings.Cut(name, ":")
		k, err := candidate(t.catalogue, t.soil, t.years, name, use)
		if err != nil {
			return nil, err
		}
		out.Candidates = append(out.Candidates, *k)
	}
	return out, nil
}

// FieldSheet is the page of one stand: what the catalogue says of it, and what it
// gives in each of its uses over the years of a place.
func FieldSheet(r CompareRequest) (*report.FieldSheet, error) {
	t, err := r.trial()
	if err != nil {
		return nil, err
	}
	mix, ok := t.catalogue.Mix(r.Crops[0])
	if !ok {
		return nil, fmt.Errorf("no such crop %q; rowen crops lists them", r.Crops[0])
	}
	sheet := &report.FieldSheet{Mix: &mix, Place: t.place, Soil: t.words}
	sheet.First, sheet.Last = t.span()
	for use := crop.Graze; use < crop.Uses; use++ {
		if !mix.Uses[use].Allowed {
			continue
		}
		k, err := candidate(t.catalogue, t.soil, t.years, mix.Name, use.String())
		if err != nil {
			return nil, err
		}
		sheet.Grown = append(sheet.Grown, *k)
	}
	for _, o := range t.catalogue.Overrides {
		for i := range mix.Parts {
			if mix.Parts[i].Crop.Name == o.Crop {
				sheet.Overrides = append(sheet.Overrides, o)
			}
		}
	}
	return sheet, nil
}

// candidate grows one stand over the years.
func candidate(c *crop.Catalogue, soil stand.Soil, years []weather.Year, name, use string) (*report.Candidate, error) {
	mix, ok := c.Mix(name)
	if !ok {
		return nil, fmt.Errorf("no such crop %q; write one of: %s", name, strings.Join(c.Names(), ", "))
	}
	st, err := stand.Compile(mix, soil)
	if err != nil {
		return nil, err
	}
	k := &report.Candidate{Mix: &mix}
	if k.Use, err = useOf(use, &mix); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	for i := range years {
		k.Years = append(k.Years, compareYear(st, &mix, k.Use, &years[i], before(years, i)))
	}
	return k, nil
}

// compareYear is one stand's year as a comparison needs it.
func compareYear(st *stand.Stand, mix *crop.Mix, use crop.Use, y, before *weather.Year) report.GrownYear {
	f := stand.NewForcing(y)
	sched := stand.Schedule{Use: use, Seedbed: stand.Seedbed{Misfortune: 0.5}}
	sched.Sow, sched.Before = st.SowingDay(mix, f, y, before, nil)
	g := report.GrownYear{Year: int(y.ID), Sown: sched.Sow != stand.Unsown}
	if !g.Sown {
		return g
	}
	rates := &farm.UsualRates
	g.Cost = seeding(mix, rates) + float64(rates.Spreading)
	killed := false
	used := st.Alone(st.Climate(f), mix, sched, func(_ int, _ *stand.State, d *stand.Day) {
		killed = killed || d.Flags&stand.FrostKill != 0
	})
	total := 0.0
	for i := range used {
		u := &used[i]
		mass, a := u.Herbage.DM/1000, &u.Herbage.Analysis
		date := y.First + quantity.Date(u.Day)
		if i == 0 {
			g.First = date.YearDay()
			g.Unripe = mix.Uses[use].ReadyAt > 0 && u.Stage < mix.Uses[use].ReadyAt
			g.Reached = reached(&mix.Uses[use], u)
		}
		g.Yield[date.HalfMonth()] += mass
		if use == crop.Graze {
			g.Cost += float64(rates.Fencing)
		} else {
			g.Cost += float64(rates.Mowing) + rates.Gather(use, mass, 1)
		}
		total += mass
		g.Moisture += mass * (1 - u.Herbage.DMShare)
		g.CP += mass * a.CP
		g.NDF += mass * a.NDF
		g.NDFD += mass * a.NDFD
		g.NEL += mass * a.NEL
		g.Nitrate += mass * u.Herbage.Nitrate
	}
	if total > 0 {
		for _, v := range []*float64{&g.Moisture, &g.CP, &g.NDF, &g.NDFD, &g.NEL, &g.Nitrate} {
			*v /= total
		}
	} else {
		g.Unripe = killed
	}
	return g
}

// reached tells whether a use came at its rule's height or stage, not as what frost
// or the season's end left.
func reached(rule *crop.UseRule, u *stand.Used) bool {
	return rule.Ready > 0 && u.Height >= rule.Ready.Centimetres() || rule.ReadyAt > 0 && u.Stage >= rule.ReadyAt
}

// seeding is what a stand's seed and seedbed cost a year, money/m².
func seeding(mix *crop.Mix, rates *farm.Rates) float64 {
	cost := float64(rates.Tillage + rates.Drilling)
	for i := range mix.Parts {
		cost += float64(mix.Parts[i].Rate) * float64(mix.Parts[i].Crop.Seed)
	}
	if mix.Parts[0].Crop.Life == crop.Perennial {
		cost /= swardLife
	}
	return cost
}
