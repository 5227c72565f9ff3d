package steer

import (
	"strings"

	"rowen/farm"
	"rowen/feed"
	"rowen/journal"
	"rowen/quantity"
	"rowen/season"
)

// book is what is known of a store from counts and entries.
type book struct {
	from    quantity.Date // the count, or the feed year's first day
	dm      float64       // kg DM: then, and as the days are walked
	counted bool
	fed     bool // feeding since was written down
	moves   []move
	dry     float64 // dry matter of fresh where an entry does not tell it
	loss    float64 // share lost between store and mouth
	taken   float64 // kg DM taken off as fed though nobody wrote it down
}

// move is feed put in (+) or taken out (-), kg DM.
type move struct {
	on quantity.Date
	dm float64
}

// written tells whether anybody said anything of the store.
func (b *book) written() bool { return b.counted || len(b.moves) > 0 }

// count puts the stores as somebody counted them or wrote them down, with what moved
// since; those of which nothing is written stay as the plan has them. plain is the
// present year by the plan alone.
func (s *Stock) count(r *Request, d *Day, now *season.Snapshot, plain *season.YearResult) {
	books, simulated := s.books(r, now)
	s.walk(r, d, books, simulated, plain)
	for i := range books {
		b, store := &books[i], &r.Farm.Stores[i]
		n := StoreNow{Name: store.Name, DM: simulated[i]}
		switch {
		case b.counted:
			n.Counted, n.Known = b.from, true
		case b.written():
			n.Written = true
			s.tell("%s was never counted: it is taken to hold what the document has there on %s, with what was written down since; a cut that nobody wrote down is not in it", store.Name, b.from.MonthDay())
		default:
			s.tell("%s was never counted and nothing is written down of it: it holds what the plan puts there", store.Name)
		}
		if b.written() {
			n.DM, n.Fed = b.dm, b.taken
			s.put(now, i, store, simulated[i], b.dm)
		}
		if b.taken > 0 {
			s.tell("no feeding out of %s is written down since %s: %s are taken off, as the plan feeds, shared among stores by what they hold", store.Name, b.from.MonthDay(), roughly(b.taken, r.Farm.Units))
		}
		s.Stores = append(s.Stores, n)
	}
}

// books reads the entries, and what the plan has in each store.
func (s *Stock) books(r *Request, now *season.Snapshot) (books []book, simulated []float64) {
	first := r.Years[0].First
	books, simulated = make([]book, len(r.Farm.Stores)), make([]float64, len(r.Farm.Stores))
	fresh := make([]float64, len(books))
	for _, l := range now.Lots {
		if i := int(l.Store); i >= 0 && i < len(books) && l.DM > 0 {
			simulated[i] += l.DM
			fresh[i] += l.DM / l.DMShare
		}
	}
	for i := range books {
		b := &books[i]
		b.from = first
		for k := range r.Farm.Stock {
			if stock := &r.Farm.Stock[k]; strings.EqualFold(stock.Store, r.Farm.Stores[i].Name) {
				b.dm += float64(stock.Amount)
			}
		}
		if kind, err := feed.ParseStore(r.Farm.Stores[i].Kind); err == nil {
			usual := season.UsualLot(kind, i, 0)
			b.loss = feed.FeedingLoss(usual.Kind)
			b.dry = usual.DMShare
		}
		if fresh[i] > 0 {
			b.dry = simulated[i] / fresh[i]
		}
	}
	for i := range r.Entries {
		e := &r.Entries[i]
		if e.Date < r.Today-keptLongest || e.Date > r.Today {
			continue
		}
		if at := s.place(r, e); at >= 0 {
			s.enter(&books[at], &r.Farm.Stores[at], e, first)
		}
	}
	return books, simulated
}

// enter writes an entry into its store's book. What came before the feed year counts
// only after a count: the document's stock holds it.
func (s *Stock) enter(b *book, store *farm.Store, e *journal.Entry, first quantity.Date) {
	if k, ok := e.Fact.(journal.StoreMeasured); ok {
		if dm, known := s.weigh(b, store, e, k.Load, 0); known {
			*b = book{from: e.Date, dm: dm, counted: true, dry: b.dry, loss: b.loss}
		}
		return
	}
	if !b.counted && e.Date < first {
		return
	}
	sign, share, load := 1.0, 0.0, journal.Load{}
	switch k := e.Fact.(type) {
	case journal.Bought:
		load = k.Load
	case journal.Sold:
		sign, load = -1, k.Load
	case journal.Fed:
		sign, load = -1, k.Load
	case journal.Cut:
		load.Pieces = k.Pieces
		if m, told := k.Moisture.Get(); told {
			share = float64(1 - m)
		}
	default:
		return
	}
	dm, known := s.weigh(b, store, e, load, share)
	if !known {
		return
	}
	if _, ok := e.Fact.(journal.Fed); ok {
		b.fed = true
	}
	b.moves = append(b.moves, move{e.Date, sign * dm})
}

// weigh is a load's dry matter, kg; not known without a weight. share is dry matter of
// fresh where more than the load tells it, else 0.
func (s *Stock) weigh(b *book, store *farm.Store, e *journal.Entry, l journal.Load, share float64) (dm float64, known bool) {
	w, known := l.AsFed()
	if !known {
		s.tell("the amount of %s on %s is not known: it is not counted", store.Name, e.Date)
		return 0, false
	}
	if v, told := l.DryMatter.Get(); told {
		share = float64(v)
	}
	if share == 0 {
		share = b.dry
		s.tell("dry matter of feed in %s is not told: %.0f %% is taken", store.Name, 100*share)
	}
	return float64(w) * share, true
}

// place is the store that an entry speaks of, -1 none: the one it names, the one that
// its lot was cut into, or for a cut the only one that keeps such feed.
func (s *Stock) place(r *Request, e *journal.Entry) int {
	if e.Store != "" {
		for i := range r.Farm.Stores {
			if strings.EqualFold(r.Farm.Stores[i].Name, e.Store) {
				return i
			}
		}
		return -1
	}
	if k, ok := e.Fact.(journal.Cut); ok {
		return s.keeper(r.Farm, e, k.Use)
	}
	if e.Lot == "" {
		return -1
	}
	for i := range r.Entries {
		c := &r.Entries[i]
		if k, ok := c.Fact.(journal.Cut); ok && strings.EqualFold(lotName(c), e.Lot) {
			if c.Store != "" {
				return s.place(r, c)
			}
			return s.keeper(r.Farm, c, k.Use)
		}
	}
	return -1
}

// keeper is the only store that keeps what a cut was for, -1 where there is none or a
// choice.
func (s *Stock) keeper(f *farm.Farm, e *journal.Entry, use journal.Use) int {
	kind, ok := map[journal.Use]feed.Kind{journal.UseWrap: feed.Baleage, journal.UseHay: feed.Hay, journal.UseChop: feed.Haylage, journal.UseSilage: feed.CropSilage}[use]
	if !ok {
		return -1
	}
	at := -1
	for i := range f.Stores {
		store, err := feed.ParseStore(f.Stores[i].Kind)
		if err != nil || !store.Keeps(kind) {
			continue
		}
		if at >= 0 {
			s.tell("the cut of %s on %s names no store: it is counted in none", e.Field, e.Date)
			return -1
		}
		at = i
	}
	return at
}

// walk brings the books from their counts to today, day by day: what was written down,
// and where no feeding was, the plan's need of stored feed, shared by what the stores
// hold. A store gives no more than it has. After the last weather the outlook feeds.
func (s *Stock) walk(r *Request, d *Day, books []book, simulated []float64, plain *season.YearResult) {
	start := r.Today + 1
	for i := range books {
		if books[i].written() {
			start = min(start, books[i].from)
		}
	}
	over := make([]bool, len(books))
	for day := start; day <= max(r.Today, d.Known); day++ {
		total := 0.0
		for i := range books {
			b := &books[i]
			if !b.written() {
				total += simulated[i]
				continue
			}
			over[i] = b.move(day) || over[i]
			total += b.dm
		}
		if total <= 0 || day > d.Known {
			continue
		}
		need := storedNeed(plain, day)
		for i := range books {
			if b := &books[i]; b.written() && !b.fed && day >= b.from {
				take := min(b.dm, need*b.dm/total/(1-b.loss))
				b.dm -= take
				b.taken += take
			}
		}
	}
	for i := range over {
		if over[i] {
			s.tell("more was taken out of %s than was in it: count it again", r.Farm.Stores[i].Name)
		}
	}
}

// move does a day's moves; it is true where more was taken out than was there.
func (b *book) move(day quantity.Date) (over bool) {
	for _, v := range b.moves {
		if v.on == day {
			b.dm += v.dm
		}
	}
	if b.dm < 0 {
		b.dm, over = 0, true
	}
	return over
}

// storedNeed is the need of stored feed on a day, kg DM, as the plan has it in that
// half-month: what it feeds from store, and what it would buy since its own store was
// empty.
func storedNeed(y *season.YearResult, day quantity.Date) float64 {
	row := &y.Ledger[(day.HalfMonth()-y.First.HalfMonth()+season.HalfMonths)%season.HalfMonths]
	first := day
	for (first - 1).HalfMonth() == day.HalfMonth() {
		first--
	}
	need := storedFed(&row.Fed) + row.Short + row.Fed[feed.BoughtHay] + row.Fed[feed.BoughtForage]
	return need / float64(nextHalfMonth(first)-first)
}

// put scales a store's lots to what is known of it; a store that the simulation finds
// empty gets a lot of usual feed.
func (s *Stock) put(now *season.Snapshot, at int, store *farm.Store, simulated, known float64) {
	if simulated > 0 {
		for i := range now.Lots {
			if int(now.Lots[i].Store) == at {
				now.Lots[i].DM *= known / simulated
			}
		}
		return
	}
	if known > 0 {
		kind, err := feed.ParseStore(store.Kind)
		if err == nil {
			now.Lots = append(now.Lots, season.UsualLot(kind, at, known))
			s.tell("nothing is known of the quality of feed in %s: a usual one is taken", store.Name)
		}
	}
}
