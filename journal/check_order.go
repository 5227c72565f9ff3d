package journal

import (
	"rowen/quantity"
)

// contradiction is the ratio of two heights a day apart at which one of them must
// be wrong: no stand grows or falls threefold in a day unless it is cut or grazed.
const contradiction = 3

// differs is the ratio at which two mean heights of one day and field are asked about:
// spots of a sward differ by half, means of three spots do not (common practice).
const differs = 1.6

// beforeSowing is how long before a sowing a cut is asked about, days, where
// nobody told what grew there: many a field is cut once more before it is sown.
const beforeSowing = 60

// field is what has happened on one field so far.
type field struct {
	heights  []Entry // since the stand was last cut or grazed
	looked   []Entry // heights since it was last cut or a group came out: what animals found
	cuts     []Entry // since anything was last sown, tilled or ended
	sown     bool
	grazing  []Entry // groups that went in and have not come out
	emerging bool
}

// fields asks about facts of one field that do not follow each other.
func (c *checker) fields(standing []Entry) {
	byName := map[string]*field{}
	for _, e := range standing {
		if e.Field == "" {
			continue
		}
		f := byName[e.Field]
		if f == nil {
			f = &field{}
			byName[e.Field] = f
		}
		c.onField(f, e)
	}
}

func (c *checker) onField(f *field, e Entry) {
	switch fact := e.Fact.(type) {
	case Height:
		c.heights(f, e, fact)
	case Cut:
		f.heights, f.looked, f.cuts = nil, nil, append(f.cuts, e)
	case Sown:
		c.sowing(f, e)
	case Tilled, Ended:
		f.heights, f.looked, f.cuts, f.sown = nil, nil, nil, false
	case Emergence:
		if f.emerging && !fact.Emerged {
			c.ask(e, Asked, "an earlier entry says that it came up; which is right?")
		}
		f.emerging = fact.Emerged
	case GrazingIn:
		c.grazingIn(f, e)
	case GrazingOut:
		c.residual(f, e, fact)
		c.grazingOut(f, e)
	}
}

// heights compares a height with those of the day before and the same day.
func (c *checker) heights(f *field, e Entry, h Height) {
	for _, old := range f.heights {
		was := old.Fact.(Height).Mean()
		is := h.Mean()
		ratio := quantity.Length(contradiction)
		if e.Date == old.Date {
			ratio = differs
		}
		if e.Date-old.Date > 1 || min(was, is) <= 0 || max(was, is) < ratio*min(was, is) {
			continue
		}
		c.ask(e, Asked, "the mean height is %s, and %s on %s (%s), with no cut or grazing between; which is right?", is, was, old.Date, old.ID)
	}
	f.heights, f.looked = append(f.heights, e), append(f.looked, e)
}

// sowing asks about cuts before the first sowing on record.
func (c *checker) sowing(f *field, e Entry) {
	if c.Stand == nil && !f.sown {
		for _, cut := range f.cuts {
			if e.Date-cut.Date <= beforeSowing {
				c.ask(cut, Asked, "cut before the sowing of %s: was another stand there, or is a date wrong?", e.Date)
			}
		}
	}
	*f = field{sown: true, grazing: f.grazing}
}

func (c *checker) grazingIn(f *field, e Entry) {
	for _, in := range f.grazing {
		if in.Group == e.Group {
			c.ask(e, Asked, "%s went in on %s already (%s) and did not come out; is one of them the way out?", e.Group, in.Date, in.ID)
			return
		}
	}
	f.grazing = append(f.grazing, e)
	f.heights = nil
}

func (c *checker) grazingOut(f *field, e Entry) {
	f.heights = nil
	for i, in := range f.grazing {
		if e.Group == "" || in.Group == e.Group {
			f.grazing = append(f.grazing[:i:i], f.grazing[i+1:]...)
			return
		}
	}
	who := e.Group
	if who == "" {
		who = "a group"
	}
	c.ask(e, Asked, "%s came out, but no entry says that it went in: when was that?", who)
}

// shelf is a lot, or a store where no lot is named.
type shelf struct{ store, lot string }

// stock is what should be on a shelf; a part is not known until something says
// what there was.
type stock struct {
	mass       quantity.Mass
	bales      int
	knownMass  bool
	knownBales bool
}

// rounding is the part of a stock by which more may be fed than was there without
// a question: bales and loads are weighed by a few.
const rounding = 0.02

// stores asks about feed taken out that was not there.
func (c *checker) stores(standing []Entry) {
	shelves := map[shelf]*stock{}
	for _, e := range standing {
		at := shelf{e.Store, e.Lot}
		if e.Lot != "" {
			at.store = "" // a lot is one wherever it lies
		}
		if at == (shelf{}) {
			continue
		}
		s := shelves[at]
		if s == nil {
			s = &stock{}
			if c.Stock != nil {
				if m, ok := c.Stock(e.Store, e.Lot); ok {
					s.mass, s.knownMass = m, true
				}
			}
			shelves[at] = s
		}
		c.onShelf(s, e)
	}
}

func (c *checker) onShelf(s *stock, e Entry) {
	switch f := e.Fact.(type) {
	case Cut:
		m, ok := f.AsFed()
		s.in(m, ok, f.Bales, e.Lot != "")
	case Bought:
		m, ok := f.AsFed()
		s.in(m, ok, f.Bales, e.Lot != "")
	case StoreMeasured:
		s.mass, s.knownMass = f.AsFed()
		s.bales, s.knownBales = f.Bales, f.Bales > 0
	case Fed:
		c.out(s, e, f.Load)
	case Sold:
		c.out(s, e, f.Load)
	}
}

// in adds feed. A lot begins with what is first put into it; what was in a store
// before is not known.
func (s *stock) in(m quantity.Mass, weighed bool, bales int, lot bool) {
	fresh := lot && s.mass == 0 && s.bales == 0
	s.knownMass = weighed && (s.knownMass || fresh)
	s.knownBales = bales > 0 && (s.knownBales || fresh)
	s.mass += m
	s.bales += bales
}

// out takes feed and asks if there was less.
func (c *checker) out(s *stock, e Entry, l Load) {
	m, weighed := l.AsFed()
	switch {
	case s.knownBales && l.Bales > s.bales:
		c.ask(e, Asked, "%d bales taken, and only %d should be left: was some of it another lot, or is an entry missing?", l.Bales, max(0, s.bales))
	case s.knownMass && weighed && m > s.mass+rounding*max(s.mass, m):
		c.ask(e, Asked, "%s taken, and only %s should be left: was some of it another lot, or is an entry missing?", m, max(0, s.mass))
	}
	// What goes uncounted leaves the rest unknown.
	s.knownMass = s.knownMass && weighed
	s.knownBales = s.knownBales && l.Bales > 0
	s.mass = max(0, s.mass-m)
	s.bales = max(0, s.bales-l.Bales)
}
