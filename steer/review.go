package steer

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/journal"
	"rowen/quantity"
	"rowen/season"
	"rowen/stand"
)

// Review is a feed year's plan held against what was written down of it, up to a
// day. What nobody wrote down is unknown, and never taken from the plan.
type Review struct {
	First, Until quantity.Date // the feed year's first day and the last day looked at
	Whole        bool          // the feed year is over
	Years        int           // other years that the plan was run over
	Entries      int           // facts written down in it
	Sowings      []SowingReview
	Fields       []FieldReview
	Stored       []StoredReview
	Weather      []YearRank
}

// Pair is what a plan gives in its middle and its bad year, both real weather years.
type Pair struct{ Middle, Bad float64 }

// SowingReview is one sowing of the plan.
type SowingReview struct {
	Sowing        int           // index into the plan
	Opens, Closes quantity.Date // its window in this feed year
	Planned       When          // sown, over the other years
	PlannedUse    When          // first used, over the other years
	SoilReady     quantity.Date // in this year's weather the soil had held its warmth; 0 never or by date
	Written       bool          // somebody wrote the sowing down
	Sown          quantity.Date
	FirstUse      quantity.Date // 0 none written down
	Reasons       []string
}

// ReviewOf holds the plan against the journal up to the request's day. The plan is
// run over the other years as it is when it is made; the plan's figures of a feed
// year that is not over are those up to the same day of the year.
func ReviewOf(ctx context.Context, r *Request) (*Review, error) {
	if len(r.Years) < 2 {
		return nil, errors.New("steer: it takes the present year and at least one other")
	}
	v := &Review{First: r.Years[0].First, Until: r.Today, Years: len(r.Years) - 1}
	v.Whole = r.Today+1 >= r.Farm.FeedYear.OnOrAfter(v.First+1)
	for i := range r.Entries {
		if e := &r.Entries[i]; e.Date >= v.First && e.Date <= r.Today {
			v.Entries++
		}
	}
	planned, err := r.planned(ctx)
	if err != nil {
		return nil, err
	}
	sky := &Sky{First: v.First, Today: r.Known, Forcing: stand.NewForcing(&r.Years[0])}
	v.weather(r)
	v.sowings(r, planned, sky)
	for i := range r.Farm.Fields {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		f, err := v.field(r, planned, sky, i)
		if err != nil {
			return nil, fmt.Errorf("field %q: %w", r.Farm.Fields[i].Name, err)
		}
		v.Fields = append(v.Fields, f)
	}
	v.stored(r, planned)
	return v, nil
}

// planned runs the plan over the other years.
func (r *Request) planned(ctx context.Context) (*season.Result, error) {
	m, problems := season.Compile(r.Farm, &r.Farm.Plan, r.Years[1:])
	if len(problems) > 0 {
		return nil, problems[0]
	}
	m.Workers = r.Workers
	opening, err := m.SpunUp(ctx)
	if err != nil {
		return nil, err
	}
	result, err := m.Run(ctx, opening, m.Years())
	return &result, err
}

// sowings holds each sowing of the plan against what was written down.
func (v *Review) sowings(r *Request, planned *season.Result, sky *Sky) {
	taken := map[int]bool{}
	for s := range r.Farm.Plan.Sowings {
		doc := &r.Farm.Plan.Sowings[s]
		x := SowingReview{Sowing: s}
		x.Opens, x.Closes = window(doc, v.First)
		x.Planned, x.PlannedUse = v.over(planned, func(y *season.YearResult) quantity.Date { return y.Sowings[s].Sown }),
			v.over(planned, func(y *season.YearResult) quantity.Date { return y.Sowings[s].FirstUse })
		if doc.On == 0 {
			x.SoilReady = soilReady(doc, sky, x.Opens, x.Closes)
		}
		if at := r.sownEntry(doc, v.First, taken); at >= 0 {
			taken[at] = true
			x.Written, x.Sown = true, r.Entries[at].Date
			x.FirstUse = r.firstUseAfter(at)
		}
		x.reasons()
		v.Sowings = append(v.Sowings, x)
	}
}

// window is a sowing's window in the feed year that begins on a day: by the plan's
// own dates, moved there by day and month, else the catalogue's.
func window(s *farm.Sowing, first quantity.Date) (opens, closes quantity.Date) {
	lead := &s.Mix.Parts[0].Crop.Sowing
	here := func(d quantity.Date) quantity.Date {
		return d.MonthDay().OnOrAfter(first)
	}
	if s.On != 0 {
		return here(s.On), here(s.On)
	}
	opens, closes = lead.Earliest.OnOrAfter(first), lead.Latest.OnOrAfter(first)
	if s.From != 0 {
		opens = here(s.From)
	}
	if s.By != 0 {
		closes = here(s.By)
	}
	return opens, closes
}

// over is a date over the plan's years, in this feed year.
func (v *Review) over(planned *season.Result, of func(*season.YearResult) quantity.Date) When {
	var days []float64
	for i := range planned.Years {
		y := &planned.Years[i]
		if d := of(y); d != 0 {
			days = append(days, float64(d-y.First))
		}
	}
	if len(days) == 0 {
		return When{}
	}
	s := spreadOf(days)
	at := func(x float64) quantity.Date { return v.First + quantity.Date(math.Round(x)) }
	return When{at(s.Low), at(s.Middle), at(s.High), float64(len(days)) / float64(len(planned.Years))}
}

// soilReady is the first day of the window on which the soil had held the sowing's
// warmth this year.
func soilReady(s *farm.Sowing, sky *Sky, opens, closes quantity.Date) quantity.Date {
	lead := &s.Mix.Parts[0].Crop.Sowing
	held := 0
	for d := max(0, int(opens-sky.First)); d <= min(sky.Today, int(closes-sky.First)); d++ {
		if sky.Forcing.Day(d).SoilTemp < float64(lead.SoilTemperature) {
			held = 0
		} else if held++; held >= lead.HoldDays {
			return sky.First + quantity.Date(d)
		}
	}
	return 0
}

// sownEntry is the first entry, not yet taken, that writes this sowing down.
func (r *Request) sownEntry(s *farm.Sowing, first quantity.Date, taken map[int]bool) int {
	for i := range r.Entries {
		e := &r.Entries[i]
		k, ok := e.Fact.(journal.Sown)
		if ok && !taken[i] && e.Date <= r.Today && first-e.Date < 120 && strings.EqualFold(e.Field, r.Farm.Fields[s.Field].Name) && calledSo(&s.Mix, k.Crop) {
			return i
		}
	}
	return -1
}

func calledSo(m *crop.Mix, name string) bool {
	return strings.EqualFold(m.Name, name) || strings.EqualFold(m.Title, name) || strings.EqualFold(m.Parts[0].Crop.Name, name)
}

// firstUseAfter is the first grazing or cut that was written down between a sowing's
// entry and the stand's end.
func (r *Request) firstUseAfter(at int) quantity.Date {
	field := r.Entries[at].Field
	for i := at + 1; i < len(r.Entries); i++ {
		e := &r.Entries[i]
		if !strings.EqualFold(e.Field, field) || e.Date > r.Today {
			continue
		}
		switch e.Fact.(type) {
		case journal.GrazingIn, journal.GrazingOut, journal.Cut:
			return e.Date
		case journal.Sown, journal.Tilled, journal.Ended:
			return 0
		}
	}
	return 0
}

// reasons says how the sowing differs from its plan, and what of it is known.
func (x *SowingReview) reasons() {
	say := func(format string, args ...any) { x.Reasons = append(x.Reasons, fmt.Sprintf(format, args...)) }
	if !x.Written {
		say("nobody wrote down that it was sown: whether and when is unknown")
		return
	}
	if days := int(x.Sown - x.Planned.Middle); x.Planned.Share > 0 && days != 0 {
		say("sown %s the plan's usual day", apart(days))
	}
	switch {
	case x.Sown > x.Closes:
		say("sown %d days past its latest useful day", x.Sown-x.Closes)
	case x.Sown < x.Opens:
		say("sown %d days before its window opened", x.Opens-x.Sown)
	}
	if x.SoilReady != 0 {
		switch days := int(x.Sown - x.SoilReady); {
		case days > 0:
			say("the soil had held its warmth on %s, %d days before", x.SoilReady.MonthDay(), days)
		case days < 0:
			say("the soil held its warmth only on %s, %d days after", x.SoilReady.MonthDay(), -days)
		}
	}
	if x.FirstUse == 0 {
		say("no use is written down: its first use is unknown")
	} else if days := int(x.FirstUse - x.PlannedUse.Middle); x.PlannedUse.Share > 0 && days != 0 {
		say("first used %s the plan's usual day", apart(days))
	}
}

func apart(days int) string {
	word, n := "after", days
	if days < 0 {
		word, n = "before", -days
	}
	if n == 1 {
		return "1 day " + word
	}
	return fmt.Sprintf("%d days %s", n, word)
}
