package suggest

import (
	"cmp"
	"math"
	"slices"

	"rowen/feed"
	"rowen/handbook/nutrition"
	"rowen/season"
)

// class is feed of one kind and grade. Its content is fixed: years move tonnes among
// classes, so that the mean of years is a year that could be.
type class struct {
	kind     feed.Kind
	grade    int // 0 the better
	analysis nutrition.Analysis
	name     string
}

// classes are the feeds that a farm's programmes can give.
type classes struct {
	list   []class
	border [feed.Kinds]float64 // net energy at and above which feed is of grade 0; 0 where there is one grade
	at     [feed.Kinds][2]int  // index into list; -1 none
}

// worthGrading is the difference in net energy between the means of two grades, as a
// share, from which they are told apart.
const worthGrading = 0.08

// sample is an amount of feed with its quality.
type sample struct {
	dm       float64
	analysis nutrition.Analysis
}

// classify finds the classes of everything that could be taken, opening stock among it.
func classify(fields [][]Candidate, stock []feed.Lot) *classes {
	var by [feed.Kinds][]sample
	for i := range fields {
		for j := range fields[i] {
			for y := range fields[i][j].Supply {
				for _, t := range fields[i][j].Supply[y].Takes {
					by[t.Kind] = append(by[t.Kind], sample{t.DM, t.Analysis})
				}
			}
		}
	}
	for _, l := range stock {
		by[l.Kind] = append(by[l.Kind], sample{max(l.DM, 1), l.Analysis})
	}
	c := &classes{}
	for k := range c.at {
		c.at[k] = [2]int{-1, -1}
		if len(by[k]) > 0 {
			c.grade(feed.Kind(k), by[k])
		}
	}
	return c
}

// grade splits a kind at its middle by mass, where its halves differ enough.
func (c *classes) grade(k feed.Kind, all []sample) {
	slices.SortStableFunc(all, func(a, b sample) int { return cmp.Compare(b.analysis.NEL, a.analysis.NEL) })
	total := 0.0
	for i := range all {
		total += all[i].dm
	}
	half, sum := 0, 0.0
	for half < len(all) && sum < total/2 {
		sum += all[half].dm
		half++
	}
	good, poor := average(all[:half]), average(all[half:])
	add := func(grade int, a nutrition.Analysis, name string) {
		c.at[k][grade] = len(c.list)
		c.list = append(c.list, class{k, grade, a, name})
	}
	if half == len(all) || good.NEL-poor.NEL < worthGrading*good.NEL {
		add(0, average(all), k.String())
		return
	}
	c.border[k] = all[half-1].analysis.NEL
	add(0, good, "better "+k.String())
	add(1, poor, "plainer "+k.String())
}

func average(all []sample) (a nutrition.Analysis) {
	sum := 0.0
	for i := range all {
		sum += all[i].dm
	}
	if sum <= 0 {
		return a
	}
	for i := range all {
		a.AddScaled(&all[i].analysis, all[i].dm/sum)
	}
	return a
}

// of is the class of feed of a kind and net energy.
func (c *classes) of(k feed.Kind, nel float64) int {
	if c.at[k][1] >= 0 && nel < c.border[k] {
		return c.at[k][1]
	}
	return c.at[k][0]
}

// taken is what a hectare gives, kg by half-month and class.
func (c *classes) taken(s *season.Supply) (out [season.HalfMonths][]float64) {
	for _, t := range s.Takes {
		if out[t.Row] == nil {
			out[t.Row] = make([]float64, len(c.list))
		}
		out[t.Row][c.of(t.Kind, t.Analysis.NEL)] += t.DM
	}
	return out
}

// keeping is the share of a store's feed that is still there after a half-month.
func keeping(daily float64) float64 { return math.Pow(1-daily, 365.0/season.HalfMonths) }
