package stand

import (
	"rowen/crop"
	"rowen/quantity"
)

// Schedule is how one stand is grown alone: sown on a day of the year's forcing
// (or standing already), then used on stated days or whenever its use's rule
// says that it is ready.
type Schedule struct {
	Sow      int   // day of the feed year; below 0: it stands when the year begins
	Cuts     []int // days of the feed year; empty: by the rule
	Use      crop.Use
	Residual float64 // cm; 0 takes the rule's
	Nitrogen float64 // kg/ha at sowing, or in spring
}

// Used is one use of a stand grown alone.
type Used struct {
	Day     int // of the feed year
	Height  float64
	Rest    int // days since sowing or the last use
	Herbage Herbage
}

// UsualManure is the nitrogen that a dairy's usual manure makes available to an
// annual, kg/ha (common practice, about 100 lb/ac).
const UsualManure = 112

// Alone grows one stand through a year by its schedule; each sees every day
// after its step and before any use. It is what rowen grow shows and what
// published trials are held against.
func (s *Stand) Alone(c *Climate, mix *crop.Mix, sched Schedule, each func(day int, st *State, d *Day)) []Used {
	st := s.Opening()
	if sched.Sow >= 0 {
		st = (&Stand{soil: s.soil}).Opening()
	}
	rule := &mix.Uses[sched.Use]
	residual := sched.Residual
	if residual == 0 {
		residual = rule.Residual.Centimetres()
	}
	var uses []Used
	var today Day
	last, next := max(0, sched.Sow), 0
	bare := &Stand{soil: s.soil, curve: 75}
	for day := range c.forcing.days {
		switch {
		case day == sched.Sow:
			s.Sow(&st)
			st.Nitrogen += UsualManure / 10
			fallthrough
		case sched.Sow < 0 && c.forcing.days[day].YearDay == 105:
			if sched.Nitrogen > 0 {
				s.Dress(&st, sched.Nitrogen)
			}
		}
		if day < sched.Sow {
			bare.Step(&st, c, day, &today)
		} else {
			s.Step(&st, c, day, &today)
		}
		if each != nil {
			each(day, &st, &today)
		}
		if day <= sched.Sow {
			continue
		}
		due := false
		if len(sched.Cuts) > 0 {
			if due = next < len(sched.Cuts) && day == sched.Cuts[next]; due {
				next++
			}
		} else {
			due = s.ready(&st, rule, day-last, residual)
		}
		if !due {
			continue
		}
		height := s.Height(&st)
		h := s.Remove(&st, Removal{Residual: residual, Share: 1, Grazed: sched.Use == crop.Graze})
		s.Used(&st, sched.Use == crop.Graze)
		uses = append(uses, Used{Day: day, Height: height, Rest: day - last, Herbage: h})
		last = day
	}
	return uses
}

// ready tells whether a use's rule is met: height or stage, rest, and enough to
// be worth it. What frost has killed is saved where it is worth it.
func (s *Stand) ready(st *State, rule *crop.UseRule, rest int, residual float64) bool {
	if !rule.Allowed || st.Uses > 0 && rest < int(rule.MinRest.Days()) {
		return false
	}
	tall := rule.Ready > 0 && s.Height(st) >= rule.Ready.Centimetres()
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
