package suggest

import (
	"fmt"
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/internal/document"
	"rowen/internal/solver"
	"rowen/quantity"
	"rowen/say"
	"rowen/weather"
)

// Request asks for plans.
type Request struct {
	Farm      *farm.Farm
	Catalogue *crop.Catalogue
	Years     []weather.Year
	Risk      float64 // weight on the bad years, 0 to 1
	Tail      float64 // share of years that count as bad; 0 takes one in five
	Plans     int     // how many to return at most; 0 takes one
	Hold      []Hold
	Avoid     []string // stands of the catalogue
	Split     bool     // halves of fields may be sown
	Limits    Limits
	Sale      float64       // what forage out of store sells for, money/kg DM; 0: none is sold
	Gap       float64       // to be proven over all years; 0 takes one per cent
	Limit     time.Duration // for choosing the first plan; 0 no limit
	Progress  func(Progress)
}

// Hold fixes what a field carries: a stand, or "as it is".
type Hold struct{ Field, Stand string }

// AsItIs holds a field as it stands.
const AsItIs = "as it is"

// Limits are what a plan must not exceed; 0 is no limit.
type Limits struct {
	Crop    float64       // share of the land under any one stand sown, 0 to 1
	Seeding quantity.Area // sown in the year
	Cash    float64       // seed and seedbeds, money
	Labour  float64       // field work, hours in a half-month
}

// Progress is what a long search says on the way.
type Progress struct {
	Text say.Line
	// Solve is set while a choice is being proven.
	Solve *solver.Progress
}

func (r *Request) tell(pattern string, args ...any) {
	if r.Progress != nil {
		r.Progress(Progress{Text: say.That(pattern, args...)})
	}
}

// usualTail is the share of years that count as bad: one in five.
const usualTail = 0.2

func tailOf(t float64) float64 {
	if t <= 0 {
		return usualTail
	}
	return min(t, 1)
}

// usualGap is the gap to be proven over all years.
const usualGap = 0.01

// Check looks at a request by itself: every problem at once.
func (r *Request) Check() error {
	var problems document.Problems
	add := func(thing, value, remedy string) {
		problems = append(problems, document.Problem{File: r.Farm.Document.Path, Thing: thing, Value: value, Remedy: remedy})
	}
	if !(r.Risk >= 0 && r.Risk <= 1) {
		add("risk", fmt.Sprint(r.Risk), "write a weight from 0, average cost alone, to 1, the bad years alone")
	}
	if r.Plans < 0 {
		add("plans", fmt.Sprint(r.Plans), "write how many plans to show, 1 or more")
	}
	fields := map[string]bool{}
	for i := range r.Farm.Fields {
		fields[r.Farm.Fields[i].Name] = true
	}
	avoided := map[string]bool{}
	for _, a := range r.Avoid {
		avoided[a] = true
		if _, ok := r.Catalogue.Mix(a); !ok {
			add("avoid", a, "no such stand in the catalogue; rowen crops lists them")
		}
	}
	for _, h := range r.Hold {
		if !fields[h.Field] {
			add("hold", h.Field, "no field has this name")
		}
		if _, ok := r.Catalogue.Mix(h.Stand); !ok && h.Stand != AsItIs {
			add("hold "+h.Field, h.Stand, `no such stand in the catalogue; rowen crops lists them, or write "as it is"`)
		}
		if avoided[h.Stand] {
			add("hold "+h.Field, h.Stand, "it is also to be avoided; leave one of the two out")
		}
		for _, other := range r.Hold {
			if h.Field == other.Field && h.Stand == AsItIs && other.Stand != AsItIs {
				add("hold "+h.Field, other.Stand, "the field is also held as it is; leave one of the two out")
			}
		}
	}
	if len(problems) == 0 {
		return nil
	}
	return problems
}
