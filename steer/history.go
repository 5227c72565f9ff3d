package steer

import (
	"math"
	"slices"
	"strings"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook/fertility"
	"rowen/handbook/hazard"
	"rowen/journal"
	"rowen/quantity"
	"rowen/say"
	"rowen/stand"
)

// History is what the journal tells of one field in the feed year, beside the
// stand's own course.
type History struct {
	Course    Course
	Stands    bool          // something grows or lies in the ground as seed
	Sowing    *farm.Sowing  // of the plan, when it is the stand that grows
	Sown      quantity.Date // of what grows; 0 where it stood already
	Blocks    bool          // sown in parts on several days: no height speaks of all of it
	Uses      int           // cuts and grazings of it, of a sward this feed year
	Next      *farm.Sowing  // of the plan, not yet written down as sown
	Grazing   string        // the group on the field now
	GrazingIn quantity.Date // since
	Measured  quantity.Date // last height; 0 none
	Frost     quantity.Date // last frost that somebody saw there, at or below freezing or unknown; 0 none
	Killed    bool          // somebody looked after that frost: the leaf is dead
	Shoots    quantity.Date // green shoots seen since; 0 none
	Drought   bool          // seen, and not seen ended
	Relief    quantity.Date // a rain that ended a drought; 0 none
	Labels    []Label
	Labs      []journal.Entry // results for what stands there, since it was last used
	Questions []say.Line

	dressed bool          // somebody wrote down manure or fertiliser this feed year
	feed    quantity.Date // first day of the feed year
	first   quantity.Date // day 0 of the course
	today   quantity.Date
	written quantity.Date // the day that the farm document speaks of
	ended   quantity.Date // last tilling or end of a stand; 0 none
	Lowest  float64       // shortest spot of the last height, cm
	Watch   quantity.Date // last cold night somebody saw, above freezing; 0 none
	Unknown quantity.Date // last dressing of which nobody wrote how much nitrogen; 0 none
}

// Label is a wait that a product's label asks, as the user typed it.
type Label struct {
	Product         string
	From            quantity.Date
	Plant, Graze    quantity.Date // not before; 0 not told
	PlantOK, GrazOK bool          // told at all
}

// manureDays are the days of the calendar year on which a mown sward's usual manure
// is taken to be given where the journal says nothing: mid-April, and after the first
// cut in mid-June (common practice).
var manureDays = [2]quantity.MonthDay{{Month: 4, Day: 15}, {Month: 6, Day: 15}}

// harvested is the share of what was mown that comes off the field in bales or
// loads, so that a weighed cut speaks of the stand (common practice: 10 % is lost).
const harvested = 0.9

// yieldError is the error of a yield from weighed bales or loads, as a standard
// deviation of its logarithm: moisture is guessed and weights are of a few (common
// practice).
const yieldError = 0.15

// stageError is the error of a stage told in words.
const stageError = 0.12

// stages are the words for stages that mean the same for all stands here, where 1 is
// heading, or soft dough where grain makes the feed.
//
//say:words
var stages = map[string]float64{"boot": 0.9, "early boot": 0.85, "late boot": 0.95, "heading": 1, "headed": 1.05, "soft dough": 1, "bud": 0.85, "flower": 1.05, "bloom": 1.05}

// HistoryOf reads the journal's standing entries (in order of date) for a field, up
// to today. A sowing of the plan counts only when it is written down: the field beats
// the plan.
func HistoryOf(f *farm.Farm, c *crop.Catalogue, field int, entries []journal.Entry, first, today quantity.Date) History {
	x := &f.Fields[field]
	h := History{feed: feedYearOf(f, today), first: first, today: today, written: f.FirstDay()}
	h.Course.Field = int64(field)
	h.document(x, today)
	h.plan(f, field)
	acts := 0
	for i := range entries {
		e := &entries[i]
		if e.Date > today || e.Field != "" && !strings.EqualFold(e.Field, x.Name) {
			continue
		}
		if e.Field == "" {
			h.farmwide(e, first)
			continue
		}
		if e.Date < first {
			h.before(f, c, field, e, first)
			continue
		}
		if h.take(f, c, field, e, first) && e.Date >= h.feed {
			acts++
		}
	}
	h.overwinter(x, today)
	h.Course.Assumed = h.Course.Sow == stand.Standing && acts == 0 && h.Stands
	if h.Stands && h.Course.Sow == stand.Standing && !h.dressed {
		h.usualManure(x, h.feed, today)
	}
	slices.SortStableFunc(h.Course.Deeds, func(a, b Deed) int { return a.Day - b.Day })
	h.nextUse(x)
	return h
}

// winterDays is how many days of a feed year a sward is still followed from the year
// before, and after how many an annual of that year no longer stands, dead as it is: to
// the end of March.
const winterDays = 150

// document begins with what the farm document says stands there.
func (h *History) document(x *farm.Field, today quantity.Date) {
	h.Course = Course{Field: h.Course.Field, Mix: &x.Stands, Age: x.Age, Sow: stand.Standing, Use: x.Use}
	h.Stands = len(x.Stands.Parts) > 0
	if h.first < h.feed && today-h.feed >= winterDays {
		h.Course.From = int(h.feed - h.first)
	}
}

// overwinter lets go of an annual that was sown in the feed year before and that no
// winter leaves.
func (h *History) overwinter(x *farm.Field, today quantity.Date) {
	c := &h.Course
	if c.Sow == stand.Standing || !h.Stands || h.first+quantity.Date(c.Sow) >= h.feed || c.Mix.Parts[0].Crop.Life != crop.Annual || today-h.feed < winterDays {
		return
	}
	field := c.Field
	h.Sowing, h.Sown = nil, 0
	h.document(x, today)
	h.Course.Field = field
	if h.ended > h.feed-366 && !(h.written > h.ended && h.written <= today) {
		h.Stands = false
	}
}

// plan finds the first sowing of the plan on the field.
func (h *History) plan(f *farm.Farm, field int) {
	for s := range f.Plan.Sowings {
		p := &f.Plan.Sowings[s]
		if p.Field != field {
			continue
		}
		if h.Next == nil {
			h.Next = p
		}
		if b := &p.Before; b.Label != "" && (b.PlantBack != 0 || b.GrazeAfter != 0) {
			// The document's own days, in the present year.
			l, shift := Label{Product: b.Label, From: h.feed}, h.feed-h.written
			if b.PlantBack != 0 {
				l.Plant, l.PlantOK = b.PlantBack+shift, true
			}
			if b.GrazeAfter != 0 {
				l.Graze, l.GrazOK = b.GrazeAfter+shift, true
			}
			h.Labels = append(h.Labels, l)
		}
	}
}

// farmwide takes what was seen on the farm as a whole.
func (h *History) farmwide(e *journal.Entry, first quantity.Date) {
	switch k := e.Fact.(type) {
	case journal.Frost:
		h.frost(e.Date, k)
	case journal.Drought, journal.DroughtEnded:
		if e.Date >= first {
			h.dry(e)
		}
	}
}

// dry takes a drought seen, or seen ended.
func (h *History) dry(e *journal.Entry) {
	if _, h.Drought = e.Fact.(journal.Drought); !h.Drought {
		h.Relief = e.Date
	}
}

// before takes an entry of an earlier feed year: a winter annual sown in autumn
// still grows.
func (h *History) before(f *farm.Farm, c *crop.Catalogue, field int, e *journal.Entry, first quantity.Date) {
	switch k := e.Fact.(type) {
	case journal.Sown:
		if first-e.Date < 120 {
			h.sow(f, c, field, e, &k, first)
		}
	case journal.Label:
		h.label(e, &k) // a wait does not end with a year
	}
}

// take takes one entry and tells whether it says how the stand was used or stood.
func (h *History) take(f *farm.Farm, c *crop.Catalogue, field int, e *journal.Entry, first quantity.Date) bool {
	day := int(e.Date - first)
	switch k := e.Fact.(type) {
	case journal.Sown:
		h.sow(f, c, field, e, &k, first)
	case journal.Tilled, journal.Ended:
		h.ended = e.Date
		if h.written > e.Date && h.written <= h.today {
			return false // the document was written of a later day
		}
		h.Stands, h.Grazing = false, ""
		h.Course.Deeds, h.Course.Seen = nil, nil
	case journal.Emergence:
		if !k.Emerged {
			h.tell("on %s nothing was up: is it sown again, or given up (ended)? Until then it is thought to grow", e.Date)
		}
	case journal.Height:
		return h.height(e, &k, day)
	case journal.Stage:
		return h.stage(&k, day)
	case journal.GrazingIn:
		h.Grazing, h.GrazingIn = e.Group, e.Date
		return true
	case journal.GrazingOut:
		h.Grazing, h.GrazingIn = "", 0
		h.used(Deed{Day: day, Take: true, Grazed: true, Residual: orRule(k.Residual, h.Course.Mix, crop.Graze)})
		return true
	case journal.Cut:
		h.cut(f, field, &k, day)
		return true
	case journal.Fertiliser:
		h.dressed = h.dressed || e.Date >= h.feed
		if !k.Nitrogen.Known() {
			h.Unknown = e.Date
			h.tell("%s of %s gives how much nitrogen? Until that is known it counts as heavy", k.Product, e.Date)
		}
		h.Course.Deeds = append(h.Course.Deeds, Deed{Day: day, Nitrogen: k.Nitrogen.SI().KilogramsPerHectare()})
	case journal.Manure:
		h.dressed = h.dressed || e.Date >= h.feed
		h.Course.Deeds = append(h.Course.Deeds, Deed{Day: day, Nitrogen: k.Nitrogen.SI().KilogramsPerHectare(), Slow: true})
		if !k.Nitrogen.Known() {
			h.Unknown = e.Date
			h.tell("the manure of %s gives how much nitrogen? None is counted for growth, and for nitrate it counts as heavy", e.Date)
		}
	case journal.Frost:
		h.frost(e.Date, k)
	case journal.Shoots:
		h.Shoots = e.Date
	case journal.Drought, journal.DroughtEnded:
		h.dry(e)
	case journal.Label:
		h.label(e, &k)
	case journal.Lab:
		if e.Lot == "" && e.Store == "" { // of what was put up: it speaks of no growth
			h.Labs = append(h.Labs, *e)
		}
	}
	return false
}

func (h *History) tell(pattern string, args ...any) {
	h.Questions = append(h.Questions, say.That(pattern, args...))
}

// sow begins a stand.
func (h *History) sow(f *farm.Farm, c *crop.Catalogue, field int, e *journal.Entry, k *journal.Sown, first quantity.Date) {
	x := &f.Fields[field]
	old := h.Course.Mix
	var found *crop.Mix
	var sowing *farm.Sowing
	planned := e.Date >= h.feed // a sowing of the year before is none of this plan
	if planned {
		h.Next = nil
	}
	for s := range f.Plan.Sowings {
		p := &f.Plan.Sowings[s]
		if p.Field != field || !planned {
			continue
		}
		switch {
		case found == nil && (strings.EqualFold(p.Mix.Name, k.Crop) || strings.EqualFold(p.Mix.Title, k.Crop) || strings.EqualFold(p.Mix.Parts[0].Crop.Name, k.Crop)):
			found, sowing = &p.Mix, p
		case found != nil && h.Next == nil:
			h.Next = p
		}
	}
	if found == nil {
		if m, ok := c.Mix(strings.ToLower(k.Crop)); ok {
			found = &m
		}
	}
	if found == nil {
		h.tell("%q was sown on %s: no stand of that name is known; what is it called in rowen crops? Until then nothing is said of this field", k.Crop, e.Date)
		h.Stands = false
		return
	}
	course := Course{Field: int64(field), Mix: found, Sow: int(e.Date - first), Use: firstUse(found)}
	if sowing != nil {
		course.Use = sowing.Use
		course.Seedbed = stand.Seedbed{NoTill: sowing.NoTill, Broadcast: sowing.Broadcast, Weedy: x.Weedy}
		course.Deeds = append(course.Deeds, Deed{Day: course.Sow, Nitrogen: sowing.Nitrogen.KilogramsPerHectare()}, Deed{Day: course.Sow, Nitrogen: sowing.Manure.KilogramsPerHectare(), Slow: true})
	}
	if old != nil && len(old.Parts) > 0 && old.Parts[0].Crop.Life == crop.Perennial && h.Sowing == nil {
		legume := 0.0
		for _, p := range old.Parts {
			if p.Crop.Legume {
				legume += p.Share
			}
		}
		course.Deeds = append(course.Deeds, Deed{Day: course.Sow, Nitrogen: (quantity.MassPerArea(fertility.SodCredit(legume, 1)) * quantity.PoundPerAcre).KilogramsPerHectare(), Slow: true})
	}
	// What was dressed in the six weeks before still feeds it, and the gates ask for it.
	for _, d := range h.Course.Deeds {
		if d.Nitrogen > 0 && course.Sow-d.Day <= dressedBefore && d.Day <= course.Sow {
			d.Day = course.Sow
			d.Take = false
			course.Deeds = append(course.Deeds, d)
		}
	}
	if share, told := k.Share.Get(); told && share < 0.999 || staggered(f, field, sowing) {
		h.Blocks = true
	} else {
		h.Blocks = false
	}
	h.Course, h.Sowing, h.Stands, h.Sown = course, sowing, true, e.Date
	h.Measured, h.Shoots, h.Labs = 0, 0, nil
	h.Grazing = ""
}

// staggered tells whether the plan sows a field with the same stand more than once.
func staggered(f *farm.Farm, field int, sowing *farm.Sowing) bool {
	n := 0
	for s := range f.Plan.Sowings {
		if p := &f.Plan.Sowings[s]; sowing != nil && p.Field == field && p.Mix.Name == sowing.Mix.Name {
			n++
		}
	}
	return n > 1
}

// dressedBefore is for how many days a dressing counts, as the nitrate gate has it.
const dressedBefore = 42

// firstUse is the first use that a stand allows.
func firstUse(m *crop.Mix) crop.Use {
	for u := crop.Graze; u < crop.Uses; u++ {
		if m.Uses[u].Allowed {
			return u
		}
	}
	return crop.Leave
}

// height takes a measured height.
func (h *History) height(e *journal.Entry, k *journal.Height, day int) bool {
	if !h.Stands || len(k.Heights) == 0 {
		return false
	}
	h.Measured, h.Lowest = e.Date, math.Inf(1)
	for _, a := range k.Heights {
		h.Lowest = min(h.Lowest, a.SI().Centimetres())
	}
	h.Course.Seen = append(h.Course.Seen, Seen{Day: day, Trait: Height, Value: k.Mean().Centimetres(), SD: ErrorOf(len(k.Heights))})
	return true
}

// stage takes a stage told in words that all stands share; a number is on its
// user's own scale and says nothing here.
func (h *History) stage(k *journal.Stage, day int) bool {
	v, ok := stages[strings.ToLower(strings.TrimSpace(k.Words))]
	if ok && h.Stands {
		h.Course.Seen = append(h.Course.Seen, Seen{Day: day, Trait: Stage, Value: v, SD: stageError})
	}
	return ok
}

// cut takes a cut, and its weight where bales or loads were weighed.
func (h *History) cut(f *farm.Farm, field int, k *journal.Cut, day int) {
	use := map[journal.Use]crop.Use{journal.UseWrap: crop.Wrap, journal.UseChop: crop.Chop, journal.UseHay: crop.Hay, journal.UseSilage: crop.Silage, journal.UseGreen: crop.Chop}[k.Use]
	if use == crop.Leave {
		use = h.Course.Use
	}
	if fresh, ok := k.AsFed(); ok && k.Moisture.Known() && h.Stands {
		perArea := float64(fresh) * (1 - float64(k.Moisture.SI())) / float64(f.Fields[field].Area) / harvested
		h.Course.Seen = append(h.Course.Seen, Seen{Day: day, Trait: Yield, Value: 1000 * perArea, SD: yieldError})
	}
	h.used(Deed{Day: day, Take: true, Residual: orRule(k.Stubble, h.Course.Mix, use)})
}

// used notes a use: what was seen of the growth before it is over.
func (h *History) used(d Deed) {
	h.Course.Deeds = append(h.Course.Deeds, d)
	h.Measured, h.Shoots, h.Labs = 0, 0, nil
}

// orRule is a residual as it was measured, else the catalogue's, cm.
func orRule(a journal.Amount[quantity.Length], m *crop.Mix, u crop.Use) float64 {
	if l, ok := a.Get(); ok {
		return l.Centimetres()
	}
	return m.Uses[u].Residual.Centimetres()
}

// frost takes a frost that somebody saw. Unless its minimum was above freezing and no
// leaf died of it, it counts, and nothing is dead until somebody looked.
func (h *History) frost(on quantity.Date, k journal.Frost) {
	if t, ok := k.Minimum.Get(); ok && float64(t) > 0 && k.Leaf != journal.LeafKilled {
		if float64(t) <= hazard.FrostWatch {
			h.Watch = max(h.Watch, on)
		}
		return
	}
	if on >= h.Frost {
		h.Frost, h.Killed, h.Shoots = on, k.Leaf == journal.LeafKilled, 0
	}
}

// label takes a label's waits.
func (h *History) label(e *journal.Entry, k *journal.Label) {
	l := Label{Product: k.Product, From: e.Date}
	if d, ok := k.PlantBack.Get(); ok {
		l.Plant, l.PlantOK = e.Date+quantity.Date(math.Ceil(d.Days())), true
	}
	if d, ok := k.GrazingWait.Get(); ok {
		l.Graze, l.GrazOK = e.Date+quantity.Date(math.Ceil(d.Days())), true
	}
	h.Labels = append(h.Labels, l)
}

// usualManure gives a sward the manure of the farm document.
func (h *History) usualManure(x *farm.Field, first, today quantity.Date) {
	half := x.Manure.KilogramsPerHectare() / 2
	for _, md := range manureDays {
		if on := md.OnOrAfter(first); half > 0 && on <= today {
			h.Course.Deeds = append(h.Course.Deeds, Deed{Day: int(on - h.first), Nitrogen: half, Slow: true})
		}
	}
}

// nextUse is what the next growth is for.
func (h *History) nextUse(x *farm.Field) {
	since := h.Course.Sow
	if since == stand.Standing {
		since = int(h.feed - h.first)
	}
	for i := range h.Course.Deeds {
		if d := &h.Course.Deeds[i]; d.Take && d.Day >= since {
			h.Uses++
		}
	}
	switch {
	case h.Sowing != nil && h.Uses > 0 && h.Sowing.Then != crop.Leave:
		h.Course.Use = h.Sowing.Then
	case h.Sowing != nil:
		h.Course.Use = h.Sowing.Use
	case h.Course.Sow == stand.Standing && h.Uses == 0 && x.FirstCut != crop.Leave:
		h.Course.Use = x.FirstCut
	case h.Course.Sow == stand.Standing:
		h.Course.Use = x.Use
	}
}
