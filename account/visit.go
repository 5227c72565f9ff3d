package account

import (
	"fmt"
	"strings"

	"rowen/farm"
	"rowen/quantity"
	"rowen/season"
)

// LastFacts tells how fresh a document is: its newest dated facts.
func LastFacts(f *farm.Farm) string {
	var test quantity.Date
	at, past := "", 0
	for i := range f.Fields {
		g := &f.Fields[i].Ground
		if g.Test.Date > test {
			test, at = g.Test.Date, f.Fields[i].Name
		}
		for _, p := range g.Past {
			past = max(past, p.Year)
		}
	}
	var words []string
	if test != 0 {
		words = append(words, fmt.Sprintf("newest soil test %v (%s)", test, at))
	}
	if past != 0 {
		words = append(words, fmt.Sprintf("past crops written to %d", past))
	}
	if len(words) == 0 {
		words = append(words, "no dated fact in the document")
	}
	return strings.Join(words, "; ") + fmt.Sprintf("; planned: feed year %d from %s", f.Target, f.FeedYear)
}

// InStore is the dry matter that a weather year has in store at a date, kg, by the
// end of the date's half-month.
func InStore(f *farm.Farm, y *season.YearResult, on quantity.Date) float64 {
	first := y.First.HalfMonth()
	return y.Ledger[(on.HalfMonth()-first+season.HalfMonths)%season.HalfMonths].Store
}

// Questions are the three things to ask on a visit: what is in store, what the
// season's next step is, and the fact whose want hurts most.
func Questions(f *farm.Farm, r *season.Result, w *Weeks, on quantity.Date) [3]string {
	c := calls{f: f, r: r, w: w, on: on}
	store := fmt.Sprintf("How much is in store, by feed? In the middle year it is %s of dry matter by now, in the bad year %s.",
		c.mass(InStore(f, &r.Years[r.Middle], on)), c.mass(InStore(f, &r.Years[r.Bad], on)))
	return [3]string{store, c.stepQuestion(), c.factQuestion()}
}

// stepQuestion asks about the step of the season that is nearest.
func (c *calls) stepQuestion() string {
	for s := range c.f.Plan.Sowings {
		if x := WindowOf(c.f, c.w, s, c.on); x.Open {
			sow := &c.f.Plan.Sowings[s]
			return fmt.Sprintf("Is %s on %s sown: which day, which seed, is it up? The window closes %s.", sow.Mix.Title, c.f.Fields[sow.Field].Name, day(x.Closes))
		}
	}
	for _, d := range DueOf(c.f, c.r, c.on, VisitDays) {
		name := c.f.Fields[d.Field].Name
		switch {
		case d.UsuallyOver:
			return fmt.Sprintf("%s: was this done, and when: %s?", name, d.What)
		case d.Kind == DueSowing:
			return fmt.Sprintf("Is the seed for %s there, and the ground ready? Usual about %s: %s.", name, day(d.On), d.What)
		case d.Kind == DueGrazing:
			return fmt.Sprintf("How high does %s stand now? It is usually grazed next about %s.", name, day(d.On))
		case d.Kind == DueFirstUse || d.Kind == DueCut:
			return fmt.Sprintf("How high does %s stand now? Usual about %s: %s.", name, day(d.On), d.What)
		}
	}
	return "What was done on the fields since the last visit, and what came off them?"
}

// factQuestion asks for the missing fact that hurts most.
func (c *calls) factQuestion() string {
	missing, old := 0, 0
	for i := range c.f.Fields {
		no, past := TestAge(&c.f.Fields[i], c.on)
		if no {
			missing++
		}
		if past {
			old++
		}
	}
	var record []string
	if organicGround(c.f) {
		record = RecordOf(c.f, &c.r.Years[c.r.Middle]).Missing
	}
	from, _, short := RunsOut(c.f, &c.r.Years[c.r.Bad])
	switch {
	case short:
		return fmt.Sprintf("What would you do if feed ran out about %s, as in the bad year: buy, rent ground, or sell stock?", day(from))
	case missing > 0:
		return fmt.Sprintf("May we take soil samples? %d of %d fields have no test.", missing, len(c.f.Fields))
	case len(record) > 0:
		return fmt.Sprintf("Where are the papers for the organic record? It lacks: %s.", record[0])
	case old > 0:
		return fmt.Sprintf("May we sample again? %d of %d fields have a test older than three years.", old, len(c.f.Fields))
	}
	return "What has changed in the herd since the plan: heads, milk, what is fed?"
}
