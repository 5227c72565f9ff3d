// Package suggest chooses a farm's plan: which programme each field carries so that
// the herd eats home-grown feed at the least cost and risk over the weather years. It
// grows every programme that the catalogue and the field allow, chooses among them by
// a two-stage stochastic program, lets the coupled season say what the animals make of
// the choice, and explains it. It may not know storage, nor how anything is shown.
package suggest

import (
	"context"
	"slices"

	"rowen/account"
	"rowen/crop"
	"rowen/farm"
	"rowen/internal/crew"
	"rowen/internal/document"
	"rowen/quantity"
	"rowen/season"
	"rowen/weather"
)

// search is a farm with everything that may be chosen on it, grown over its years.
type search struct {
	farm      *farm.Farm
	catalogue *crop.Catalogue
	years     []weather.Year
	model     *season.Model // of the farm with nothing sown
	opening   season.Opening
	horses    bool
	fields    [][]Candidate // by field; the first leaves it as it is
	refused   []Refusal
	present   []int // by field: the candidate that is the document's plan; -1 where it cannot be told by one
	grown     int   // field-years simulated
	cache     map[string][]season.Supply
}

// newSearch finds and grows every candidate.
func newSearch(ctx context.Context, r *Request) (*search, error) {
	s := &search{farm: r.Farm, catalogue: r.Catalogue, years: r.Years, horses: account.KeepsHorses(r.Farm), cache: map[string][]season.Supply{}}
	var problems []farm.Problem
	if s.model, problems = season.Compile(r.Farm, &farm.Plan{}, r.Years); len(problems) > 0 {
		return nil, document.Problems(problems)
	}
	var err error
	if s.opening, err = s.model.SpunUp(ctx); err != nil {
		return nil, err
	}
	n := len(r.Farm.Fields)
	s.present = make([]int, n)
	s.fields = make([][]Candidate, n)
	allowed := make([][]allowance, n)
	for i := range n {
		var refused []Refusal
		allowed[i], refused = s.allowed(i)
		s.refused = append(s.refused, refused...)
		s.fields[i] = append([]Candidate{{Field: i, Share: 1}}, singles(i, allowed[i])...)
	}
	r.tell("growing %d programmes of one crop over %d weather years", s.count(), len(s.years))
	if err := s.growAll(ctx); err != nil {
		return nil, err
	}
	for i := range n {
		s.fields[i] = append(s.fields[i], s.pairs(i, s.fields[i][1:], allowed[i])...)
	}
	s.ownPlan()
	r.tell("growing %d programmes in all", s.count())
	if err := s.growAll(ctx); err != nil {
		return nil, err
	}
	if err := s.renewals(ctx); err != nil {
		return nil, err
	}
	for i := range n {
		kept, refused := windows(i, s.fields[i])
		s.fields[i], s.refused = kept, append(s.refused, refused...)
		if r.Split {
			s.fields[i] = append(s.fields[i], halves(s.fields[i])...)
		}
	}
	if err := s.restrict(r); err != nil {
		return nil, err
	}
	return s, nil
}

func (s *search) count() (n int) {
	for i := range s.fields {
		n += len(s.fields[i])
	}
	return n
}

// firsts are the first days of the weather years.
func (s *search) firsts() []quantity.Date {
	out := make([]quantity.Date, len(s.years))
	for i := range s.years {
		out[i] = s.years[i].First
	}
	return out
}

// growAll grows every candidate that has not been grown. Fields of one ground share
// what a programme gives there.
func (s *search) growAll(ctx context.Context) error {
	type job struct {
		field   int
		sowings []farm.Sowing
		supply  []season.Supply
	}
	var jobs []*job
	byKey := map[string]*job{}
	for i := range s.fields {
		g := ground(&s.farm.Fields[i])
		for j := range s.fields[i] {
			c := &s.fields[i][j]
			if c.Supply != nil {
				continue
			}
			k := g + key(c.Sowings)
			if done, ok := s.cache[k]; ok {
				c.Supply = done
				continue
			}
			if byKey[k] == nil {
				byKey[k] = &job{field: i, sowings: c.Sowings, supply: make([]season.Supply, len(s.years))}
				jobs = append(jobs, byKey[k])
			}
		}
	}
	work, ctx := crew.Of(ctx, max(1, s.model.Workers, 2))
	for _, j := range jobs {
		work.Go(func() error {
			a, err := s.model.Alone(&s.opening, j.field, j.sowings)
			if err != nil {
				return err
			}
			for y, id := range s.model.Years() {
				if j.supply[y], err = a.Grow(ctx, id); err != nil {
					return err
				}
			}
			return nil
		})
	}
	if err := work.Wait(); err != nil {
		return err
	}
	s.grown += len(jobs) * len(s.years)
	for k, j := range byKey {
		s.cache[k] = j.supply
	}
	for i := range s.fields {
		g := ground(&s.farm.Fields[i])
		for j := range s.fields[i] {
			if c := &s.fields[i][j]; c.Supply == nil {
				c.Supply = s.cache[g+key(c.Sowings)]
			}
		}
	}
	return nil
}

// ownPlan puts the document's plan among the candidates, field by field.
func (s *search) ownPlan() {
	for i := range s.fields {
		var own []farm.Sowing
		parts := 0
		for _, w := range s.farm.Plan.Sowings {
			if w.Field == i {
				own = append(own, w)
				if w.Area > 0 && w.Area < s.farm.Fields[i].Area {
					parts++
				}
			}
		}
		switch {
		case len(own) == 0:
			s.fields[i][0].own = true
			continue
		case parts > 0:
			continue // several stands beside each other: the coupled run alone knows them
		}
		s.fields[i] = append(s.fields[i], Candidate{Field: i, Share: 1, Sowings: own, own: true})
	}
}

const (
	// renewalYears is how many years after its sowing a new sward is credited with
	// what it gives above the old one (common practice: three to five).
	renewalYears = 3
)

// renewals credits new swards with what they will give above the old in the years
// after this one: both are grown full for a year, the old one aged on.
func (s *search) renewals(ctx context.Context) error {
	old := map[string]float64{}
	fresh := map[string]float64{}
	few := s.years[max(0, len(s.years)-creditYears):]
	for i := range s.fields {
		f := &s.farm.Fields[i]
		if !slices.ContainsFunc(s.fields[i], func(c Candidate) bool { return c.Renews }) {
			continue
		}
		now, ok := old[ground(f)]
		if !ok {
			var err error
			if now, err = s.fullYear(ctx, i, f.Stands, f.Use, f.Age+2, few); err != nil {
				return err
			}
			old[ground(f)] = now
		}
		for j := range s.fields[i] {
			c := &s.fields[i][j]
			if !c.Renews {
				continue
			}
			w := &c.Sowings[0]
			k := ground(f) + "|" + w.Mix.Name + w.Use.String() + w.Then.String()
			then, ok := fresh[k]
			if !ok {
				var err error
				if then, err = s.fullYear(ctx, i, w.Mix, w.Then, 1, few); err != nil {
					return err
				}
				fresh[k] = then
			}
			c.Credit = max(0, then-now) * renewalYears * s.model.ClosingPrice()
			if share := s.took(c); share < 1 {
				c.Credit *= share
			}
		}
	}
	return nil
}

// took is the share of years in which a programme's last sowing took place.
func (s *search) took(c *Candidate) float64 {
	n := 0
	for y := range c.Supply {
		if c.Supply[y].Sown == len(c.Sowings) {
			n++
		}
	}
	return float64(n) / float64(max(1, len(c.Supply)))
}

// creditYears is how many weather years a full sward is grown over for its credit.
const creditYears = 10

// fullYear is the mean dry matter that an established sward gives, kg/ha.
func (s *search) fullYear(ctx context.Context, field int, mix crop.Mix, use crop.Use, age float64, years []weather.Year) (float64, error) {
	f := *s.farm
	f.Fields = slices.Clone(s.farm.Fields[field : field+1])
	f.Fields[0].Stands, f.Fields[0].Use, f.Fields[0].Age, f.Fields[0].FirstCut = shared(mix), use, age, crop.Leave
	f.Stock = nil
	m, problems := season.Compile(&f, &farm.Plan{}, years)
	if len(problems) > 0 {
		return 0, document.Problems(problems)
	}
	opening := m.Opening()
	a, err := m.Alone(&opening, 0, nil)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for _, id := range m.Years() {
		y, err := a.Grow(ctx, id)
		if err != nil {
			return 0, err
		}
		for _, t := range y.Takes {
			sum += t.DM
		}
	}
	s.grown += len(years)
	return sum / float64(len(years)), nil
}

// shared gives the parts of a sown mixture the shares of ground that its sward has.
func shared(mix crop.Mix) crop.Mix {
	parts := slices.Clone(mix.Parts)
	sum := 0.0
	for i := range parts {
		sum += parts[i].Share
	}
	for i := range parts {
		if sum <= 0 {
			parts[i].Share = 1 / float64(len(parts))
		} else {
			parts[i].Share /= sum
		}
	}
	mix.Parts = parts
	return mix
}
