package stand

import (
	"rowen/crop"
	"rowen/quantity"
	"rowen/weather"
)

// Schedule is how one stand is grown alone: sown on a day of the year's forcing
// (or standing already), then used on stated days or whenever its use's rule
// says that it is ready.
type Schedule struct {
	Sow      int   // day of the feed year, or with Before below 0 counted from its end; Standing: it stands when the year begins
	Cuts     []int // days of the feed year; empty: by the rule
	Use      crop.Use
	Residual float64   // cm; 0 takes the rule's
	Nitrogen []float64 // kg/ha, the first at sowing or in mid-April, the others after each use; empty takes the usual manure
	Seedbed  Seedbed
	Before   *Climate // the year before, for what is sown in it
	Age      float64  // years since a sward was sown; 0 full-grown
}

// Used is one use of a stand grown alone.
type Used struct {
	Day     int // of the feed year
	Height  float64
	Stage   float64
	Rest    int // days since sowing or the last use
	Herbage Herbage
}

// Standing is the Sow of a stand that grows already when the year begins.
const Standing = -10000

// UsualManure is the nitrogen that a dairy's usual manure makes available to an
// annual, kg/ha, and MeadowManure what a mown sward has of it, half in April and
// half after the first cut (common practice, about 100 and 80 lb/ac).
const (
	UsualManure  = 112
	MeadowManure = 90
)

// usual fills in the usual manure where a schedule says nothing of nitrogen.
func (s *Stand) usual(sched *Schedule) []float64 {
	switch {
	case sched.Nitrogen != nil:
		return sched.Nitrogen
	case s.live == 0:
		return []float64{UsualManure}
	case sched.Use == crop.Graze:
		return nil // dung does it
	}
	return []float64{MeadowManure / 2, MeadowManure / 2}
}

// Alone grows one stand through a year by its schedule; each sees every day
// after its step and before any use. It is what rowen grow shows and what
// published trials are held against.
func (s *Stand) Alone(c *Climate, mix *crop.Mix, sched Schedule, each func(day int, st *State, d *Day)) []Used {
	doses := s.usual(&sched)
	dress := func(st *State) {
		if len(doses) > 0 {
			s.Dress(st, doses[0])
			doses = doses[1:]
		}
	}
	var today Day
	st := s.start(c, &sched, dress, &today)
	rule := &mix.Uses[sched.Use]
	residual := sched.Residual
	if residual == 0 {
		residual = rule.Residual.Centimetres()
	}
	var uses []Used
	last, next := max(sched.Sow, -150), 0
	if sched.Sow == Standing {
		last = 0
	}
	bare := &Stand{soil: s.soil, curve: 75}
	for day := range c.forcing.days {
		switch {
		case day == sched.Sow:
			s.Sow(&st, sched.Seedbed)
			dress(&st)
		case sched.Sow < 0 && c.forcing.days[day].YearDay == greenUp:
			dress(&st)
		}
		if day < sched.Sow {
			bare.Step(&st, c, day, &today)
		} else {
			s.Step(&st, c, day, &today)
		}
		if each != nil {
			each(day, &st, &today)
		}
		if day <= sched.Sow || st.Mass() == 0 {
			continue
		}
		due := false
		if len(sched.Cuts) > 0 {
			if due = next < len(sched.Cuts) && day == sched.Cuts[next]; due {
				next++
			}
		} else {
			due = s.ready(&st, rule, day-last, residual, sched.Use == crop.Graze) || c.forcing.days[day].YearDay == lastChance && s.worthSaving(&st, rule, residual)
		}
		if !due {
			continue
		}
		height, stage := s.Height(&st), s.Stage(&st)
		h := s.Remove(&st, Removal{Residual: residual, Share: 1, Grazed: sched.Use == crop.Graze})
		s.Used(&st, sched.Use == crop.Graze)
		dress(&st)
		uses = append(uses, Used{Day: day, Height: height, Stage: stage, Rest: day - last, Herbage: h})
		last = day
	}
	return uses
}

// lastChance is the day on which what stands of an annual is taken, ripe or not: it
// grows no more, mid-October (common practice).
const lastChance = 288

// worthSaving tells whether an unripe annual is worth the last cut.
func (s *Stand) worthSaving(st *State, rule *crop.UseRule, residual float64) bool {
	return rule.Allowed && s.annual() && s.Mown(st, residual) >= max(leastSaved(true), rule.MinYield)
}

func (s *Stand) annual() bool {
	for i := range s.parts {
		if s.parts[i].life != crop.Annual {
			return false
		}
	}
	return len(s.parts) > 0
}

// greenUp is the day on which standing crops get their first nitrogen, mid-April
// (common practice).
const greenUp = 105

// start is the ground and the stand as the year begins: bare, standing, or sown in
// the year before and grown to its end.
func (s *Stand) start(c *Climate, sched *Schedule, dress func(*State), today *Day) State {
	bare := &Stand{soil: s.soil, curve: 75}
	switch {
	case sched.Sow == Standing || sched.Sow < 0 && (sched.Before == nil || -sched.Sow > len(sched.Before.forcing.days)):
		return s.Opening(sched.Age)
	case sched.Sow >= 0:
		return bare.Opening(0)
	}
	st := bare.Opening(0)
	sown := len(sched.Before.forcing.days) + sched.Sow
	for day := max(0, sown-60); day < len(sched.Before.forcing.days); day++ {
		if day == sown {
			s.Sow(&st, sched.Seedbed)
		}
		if day < sown {
			bare.Step(&st, sched.Before, day, today)
		} else {
			s.Step(&st, sched.Before, day, today)
		}
	}
	return st
}

// ready tells whether a use's rule is met: height or stage, rest, and enough to
// be worth it. What frost has killed is saved where it is worth it.
func (s *Stand) ready(st *State, rule *crop.UseRule, rest int, residual float64, grazed bool) bool {
	if !rule.Allowed || st.Uses > 0 && rest < int(rule.MinRest.Days()) || st.Uses == 0 && rest < int(rule.First.Days()) {
		return false
	}
	height := s.Height(st)
	if !grazed {
		height = s.LeadHeight(st)
	}
	tall := rule.Ready > 0 && height >= rule.Ready.Centimetres()
	ripe := rule.ReadyAt > 0 && s.Stage(st) >= rule.ReadyAt
	if !tall && !ripe && !s.Dead(st) {
		return false
	}
	return s.Mown(st, residual) >= max(rule.MinYield, leastSaved(s.Dead(st)))
}

// leastSaved is the least dry matter above the residual for which a killed stand
// is used, g/m² (common practice).
func leastSaved(dead bool) float64 {
	if dead {
		return 150
	}
	return 0
}

// Unsown is the Sow of a stand whose window the soil never opened.
const Unsown = -20000

// SowingDay is the day of a feed year on which a stand is sown, and the climate of
// the year before where it was sown in that: on a date, or by the soil's
// temperature. A sward stands already (Standing); so does a winter annual where the
// year before is not known. It gives Unsown where the soil never held the warmth.
func (s *Stand) SowingDay(mix *crop.Mix, f *Forcing, y, before *weather.Year, on *quantity.MonthDay) (int, *Climate) {
	lead := mix.Parts[0].Crop
	switch {
	case lead.Life == crop.Winter && before == nil:
		return Standing, nil
	case lead.Life == crop.Winter:
		last := NewForcing(before)
		day := SoilSowing(last, before.First, &lead.Sowing)
		if on != nil {
			day = int(on.OnOrAfter(before.First) - before.First)
		}
		if day < 0 {
			return Unsown, nil
		}
		return day - len(before.Days), s.Climate(last)
	case on != nil:
		return int(on.OnOrAfter(y.First) - y.First), nil
	case lead.Life == crop.Perennial:
		return Standing, nil
	}
	if day := SoilSowing(f, y.First, &lead.Sowing); day >= 0 {
		return day, nil
	}
	return Unsown, nil
}

// SoilSowing is the first day of a feed year, counted from its first date, on which
// the soil has held a crop's sowing temperature as long as it must; -1 if it never
// does between the crop's earliest and latest date.
func SoilSowing(f *Forcing, first quantity.Date, s *crop.Sowing) int {
	held := 0
	from, to := int(s.Earliest.OnOrAfter(first)-first), int(s.Latest.OnOrAfter(first)-first)
	for d := from; d <= to && d < f.Days(); d++ {
		if f.Day(d).SoilTemp < float64(s.SoilTemperature) {
			held = 0
		} else if held++; held >= s.HoldDays {
			return d
		}
	}
	return -1
}
