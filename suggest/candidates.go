package suggest

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
)

// Candidate is one programme that a field may carry through the feed year.
type Candidate struct {
	Field   int
	Sowings []farm.Sowing // in order; none: the field is left as it is
	Share   float64       // of the field that is sown: 1, or a part with the rest left as it is
	Renews  bool          // a new sward is sown
	// Supply is what a hectare of the field gives, by weather year: parts and what
	// is left beside them added.
	Supply []season.Supply
	// Credit is what a renewed sward is worth beyond this year, money/ha.
	Credit float64

	own         bool       // the document's own programme
	whole, rest *Candidate // of a part: what is sown, and what is left beside it
}

// Leaves tells whether the field is left as it is.
func (c *Candidate) Leaves() bool { return len(c.Sowings) == 0 }

// Name is the programme in words: "oats (wrap), then teff (hay)".
func (c *Candidate) Name() string {
	if c.Leaves() {
		return "as it is"
	}
	var parts []string
	for i := range c.Sowings {
		s := &c.Sowings[i]
		use := s.Use.String()
		if s.Then != crop.Leave && s.Then != s.Use {
			use += ", later " + s.Then.String()
		}
		parts = append(parts, fmt.Sprintf("%s (%s)", s.Mix.Name, use))
	}
	name := strings.Join(parts, ", then ")
	if c.Share < 1 {
		name += fmt.Sprintf(" on %.0f %% of it", 100*c.Share)
	}
	return name
}

// has tells whether a stand is sown in the programme.
func (c *Candidate) has(stand string) bool {
	return slices.ContainsFunc(c.Sowings, func(s farm.Sowing) bool { return s.Mix.Name == stand })
}

// key tells programmes apart, whatever field they lie on.
func key(sowings []farm.Sowing) string {
	var b strings.Builder
	for i := range sowings {
		s := &sowings[i]
		_, _ = fmt.Fprintf(&b, "|%s %d %d %d %d %g %t", s.Mix.Name, s.Use, s.Then, s.From, s.By, float64(s.Manure), s.NoTill)
	}
	return b.String()
}

// ground tells fields apart by all that makes a programme grow differently there.
func ground(f *farm.Field) string {
	return fmt.Sprintf("%+v %v %v %v %v %v %v %v %v", f.Soil, f.Stands.Name, f.Use, f.FirstCut, f.Age, f.Weedy, f.Swath, f.Grazeable, f.Manure)
}

// allowance is a stand with the uses that a field allows it.
type allowance struct {
	mix  crop.Mix
	uses []crop.Use
}

// singles are the programmes of one sowing.
func singles(field int, allowed []allowance) (out []Candidate) {
	for _, a := range allowed {
		for _, use := range a.uses {
			for _, then := range later(use, a.uses) {
				out = append(out, Candidate{
					Field: field, Share: 1, Renews: a.mix.Parts[0].Crop.Life == crop.Perennial,
					Sowings: []farm.Sowing{{Field: field, Mix: a.mix, Use: use, Then: then, Manure: farm.UsualManure}},
				})
			}
		}
	}
	return out
}

// later are the uses that later growths of a stand may have: the same; or, for what
// is cut first, grazed after; or, for what is grazed, saved as bales when growth runs
// ahead (the season does that by itself).
func later(use crop.Use, allowed []crop.Use) []crop.Use {
	out := []crop.Use{use}
	switch use {
	case crop.Wrap, crop.Chop, crop.Hay:
		if slices.Contains(allowed, crop.Graze) {
			out = append(out, crop.Graze)
		}
	case crop.Graze:
		if slices.Contains(allowed, crop.Wrap) {
			out = append(out, crop.Wrap)
		}
	}
	return out
}

// firstCut is when a single's first use lies, days of the feed year by weather year;
// years in which there was none are left out.
func (c *Candidate) firstCut(first []quantity.Date) (days []int) {
	for y := range c.Supply {
		for _, e := range c.Supply[y].Work {
			if e.Kind == season.Cut {
				days = append(days, int(e.Date-first[y]))
				break
			}
		}
	}
	slices.Sort(days)
	return days
}

const (
	// inTime is the share of years in which an early crop must be off before its
	// follower may be drilled: four in five (common practice: a bad year is one in
	// five).
	inTime = 0.8
	// seedbedDays is how long it takes from a cut to the next crop's drill (common
	// practice).
	seedbedDays = 5
	// worthFollowing is how long before its latest useful date a follower must be
	// able to go in, days (common practice).
	worthFollowing = 5
	// earlySpring is the last month in which the first of two crops is sown.
	earlySpring = time.May
)

// pairs are the programmes of two annuals in one year: a spring crop cut once, then
// a summer or autumn crop. The first is the best that its stand can be; when it is
// off decides when the second goes in.
func (s *search) pairs(field int, single []Candidate, allowed []allowance) (out []Candidate) {
	first := s.firsts()
	for _, early := range bestEarly(single) {
		days := early.firstCut(first)
		if len(days) < int(inTime*float64(len(first))+0.5) {
			continue
		}
		off := days[int(inTime*float64(len(days)-1)+0.5)] + seedbedDays
		on := s.farm.FirstDay() + quantity.Date(off)
		for _, a := range allowed {
			lead := a.mix.Parts[0].Crop
			if lead.Life != crop.Annual || a.mix.Name == early.Sowings[0].Mix.Name {
				continue
			}
			latest := lead.Sowing.Latest.OnOrAfter(s.farm.FirstDay())
			earliest := lead.Sowing.Earliest.OnOrAfter(s.farm.FirstDay())
			from := max(on, earliest)
			if latest < from+worthFollowing || earliest > latest {
				continue
			}
			for _, use := range a.uses {
				if use == crop.Chop && slices.Contains(a.uses, crop.Wrap) && !s.keeps(crop.Chop) {
					continue
				}
				head := early.Sowings[0]
				head.Then = crop.Leave
				tail := farm.Sowing{Field: field, Mix: a.mix, Use: use, From: from, By: latest, Manure: farm.UsualManure}
				out = append(out, Candidate{Field: field, Share: 1, Sowings: []farm.Sowing{head, tail}})
			}
		}
	}
	return out
}

// bestEarly are the spring-sown annuals that are cut, each in the use that stores
// most.
func bestEarly(single []Candidate) []*Candidate {
	best := map[string]*Candidate{}
	var names []string
	for i := range single {
		c := &single[i]
		s := &c.Sowings[0]
		lead := s.Mix.Parts[0].Crop
		if lead.Life != crop.Annual || s.Use == crop.Graze || s.Use == crop.Leave || s.Then != s.Use || lead.Sowing.Earliest.Month >= earlySpring || lead.Sowing.Earliest.Month < time.March {
			continue
		}
		if b := best[s.Mix.Name]; b == nil {
			best[s.Mix.Name] = c
			names = append(names, s.Mix.Name)
		} else if firstYield(c) > firstYield(b) {
			best[s.Mix.Name] = c
		}
	}
	var out []*Candidate
	for _, n := range names {
		out = append(out, best[n])
	}
	return out
}

// firstYield is the mean dry matter of a programme's first take, kg/ha.
func firstYield(c *Candidate) float64 {
	sum := 0.0
	for y := range c.Supply {
		if t := c.Supply[y].Takes; len(t) > 0 {
			sum += t[0].DM
		}
	}
	return sum / float64(max(1, len(c.Supply)))
}

// part is a candidate on a share of its field, with the rest left as it is.
func (c *Candidate) part(share float64, left *Candidate) Candidate {
	p := *c
	p.Share, p.whole, p.rest = share, c, left
	p.Credit *= share
	p.Sowings = slices.Clone(c.Sowings)
	p.Supply = make([]season.Supply, len(c.Supply))
	for y := range p.Supply {
		p.Supply[y] = blend(&c.Supply[y], share, &left.Supply[y], 1-share)
	}
	return p
}

// blend adds what two pieces of a hectare give.
func blend(a *season.Supply, x float64, b *season.Supply, y float64) season.Supply {
	out := season.Supply{Cost: x*a.Cost + y*b.Cost, Sown: a.Sown, Reached: a.Reached, Held: a.Held}
	for _, s := range []struct {
		of    *season.Supply
		share float64
	}{{a, x}, {b, y}} {
		for _, t := range s.of.Takes {
			t.DM *= s.share
			out.Takes = append(out.Takes, t)
		}
	}
	return out
}
