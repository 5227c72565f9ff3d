package account

import (
	"sort"
	"time"

	"rowen/farm"
	"rowen/handbook/fertility"
	"rowen/quantity"
	"rowen/season"
)

// bed is one stand's want of nitrogen in a year, lb, and what meets it.
type bed struct {
	spell
	field   int
	want    float64
	credit  float64 // from sod and past manure; may be more than the want
	manure  float64 // this year's
	tons    float64 // of manure
	dressed float64 // mineral nitrogen that the plan gives it
	counted float64 // what the season's growth was given as manure
}

// bedsOf are a field's stands with what they want and what the ground gives them.
func bedsOf(f *farm.Farm, y *season.YearResult, field int) (out []bed) {
	past := pastManure(f, field)
	for _, s := range programme(f, y, field) {
		b := bed{spell: s, field: field}
		share := s.share(y, field)
		b.want = kindOf(s.mix).wants() * s.acres * share
		if s.sowing >= 0 {
			if !f.Organic && f.Fields[field].Ground.Status == farm.Conventional {
				b.dressed = f.Plan.Sowings[s.sowing].Nitrogen.PoundsPerAcre() * s.acres
			}
			b.counted = f.Plan.Sowings[s.sowing].Manure.PoundsPerAcre() * s.acres
		} else {
			b.counted = f.Fields[field].Manure.PoundsPerAcre() * s.acres * share
		}
		if s.onSod(f, y, field) {
			b.credit += fertility.SodCredit(legumeShare(&f.Fields[field].Stands), 1) * s.acres
		}
		if !fedBefore(out, &b) {
			b.credit += past * s.acres
		}
		if b.want == 0 {
			b.credit = 0 // a legume takes it in the place of its own
		}
		out = append(out, b)
	}
	return out
}

// fedBefore tells whether an earlier stand on the ground of a bed has had what past
// manure gives this year.
func fedBefore(beds []bed, b *bed) bool {
	for i := range beds {
		if beds[i].to == b.from && beds[i].want > 0 {
			return true
		}
	}
	return false
}

// onSod tells whether a stand was sown on a sward that ended for it.
func (s *spell) onSod(f *farm.Farm, y *season.YearResult, field int) bool {
	if s.sowing < 0 || !perennial(&f.Fields[field].Stands) {
		return false
	}
	for _, other := range programme(f, y, field) {
		if other.sowing < 0 && other.to == s.from {
			return true
		}
	}
	return false
}

// lateSowing is how many days before a feed year's end a stand that winters takes its
// first whole dressing in the next year only.
const lateSowing = 100

// share is how much of a year's nitrogen a stand wants in the days it stood: all,
// except a sward that is cut once and then ended, which has had its first half; one
// that was ended unused; and what is sown late to winter, which is fed next spring.
func (s *spell) share(y *season.YearResult, field int) float64 {
	switch ended := s.to < yearsEnd(y); {
	case s.sowing >= 0:
		if winters(s.mix) && int(y.First)+365-int(s.from) < lateSowing {
			return 0
		}
		return 1
	case !ended:
		return 1
	case !usedBefore(y, field, s.to):
		return 0
	case perennial(s.mix):
		return 0.5
	}
	return 1
}

// pastManure is the nitrogen that a field's manure of the last two years gives now,
// lb/ac.
func pastManure(f *farm.Farm, field int) float64 {
	var past [2]float64 // organic nitrogen of last year's manure and the year's before
	for _, p := range f.Fields[field].Ground.Past {
		if ago := f.Target - p.Year; ago == 1 || ago == 2 {
			past[ago-1] += p.Manure.PoundsPerAcre() * usualOrganicN
		}
	}
	return fertility.OrganicRelease(0, past[0], past[1])
}

// usualOrganicN is organic nitrogen in cow manure, lb in a lb (5 lb in a ton).
const usualOrganicN = 5.0 / 2000

// spread gives manure before anything is bought: first to the stands that gain most by
// it, hungry annuals before grass, on ground whose phosphorus is not high; then back to
// swards that are low in what they lost; then to high ground, no more than its crop takes
// off in phosphate; then to the other swards whose potash was cut.
func (n *Nutrients) spread(f *farm.Farm, y *season.YearResult, beds []bed, heaps []heap, taken []NPK) {
	order := make([]int, len(beds))
	for i := range order {
		order[i] = i
	}
	rank := func(i int) float64 {
		b := &beds[i]
		r := b.want / b.acres
		if b.sowing >= 0 {
			r += 100 // worked in, it gives most
		}
		return r - f.Fields[b.field].Distance.Metres()/1e4
	}
	sort.SliceStable(order, func(a, b int) bool { return rank(order[a]) > rank(order[b]) })
	feed := func(high bool) {
		for _, i := range order {
			if (n.Fields[beds[i].field].Phosphorus == fertility.High) != high {
				continue
			}
			for h := range heaps {
				n.load(f, y, &beds[i], &heaps[h], taken)
			}
		}
	}
	feed(false)
	n.replace(f, y, beds, heaps, taken, true)
	feed(true)
	n.replace(f, y, beds, heaps, taken, false)
}

// replace gives what no stand wants for its nitrogen to the swards that lose most
// potash, as far as the cuts took it, never where phosphorus or potassium is high; with
// hungry only where one of them is low.
func (n *Nutrients) replace(f *farm.Farm, y *season.YearResult, beds []bed, heaps []heap, taken []NPK, hungry bool) {
	order := make([]int, 0, len(beds))
	for i := range beds {
		x := &n.Fields[beds[i].field]
		if hungry && x.Phosphorus != fertility.Low && x.Potassium != fertility.Low {
			continue
		}
		if perennial(beds[i].mix) && x.Phosphorus != fertility.High && x.Potassium != fertility.High {
			order = append(order, i)
		}
	}
	lost := func(i int) float64 { return taken[beds[i].field].K / n.Fields[beds[i].field].Acres }
	sort.SliceStable(order, func(a, b int) bool { return lost(order[a]) > lost(order[b]) })
	for _, i := range order {
		b := &beds[i]
		for h := range heaps {
			owed := taken[b.field].K * b.acres / n.Fields[b.field].Acres
			for l := range n.Loads {
				if n.Loads[l].Field == b.field {
					owed -= n.Loads[l].Applied.K
				}
			}
			if heaps[h].potash > 0 && owed > 0 {
				n.put(f, y, b, &heaps[h], min(heaps[h].tons, owed/heaps[h].potash, n.room(b)))
			}
		}
	}
}

// mostTons is the most manure put on an acre in one year (common practice; local
// rules go before it).
const mostTons = 30

// room is the manure that a stand's ground may still be given this year, ton.
func (n *Nutrients) room(b *bed) float64 {
	room := mostTons * n.Fields[b.field].Acres
	for i := range n.Loads {
		if n.Loads[i].Field == b.field {
			room -= n.Loads[i].Tons
		}
	}
	return max(0, min(room, mostTons*b.acres-b.tons))
}

// gives is the nitrogen that a ton of a heap makes available to a stand this year, lb,
// and whether it is worked in.
func (b *bed) gives(f *farm.Farm, h *heap) (worked bool, pounds float64) {
	worked = b.sowing >= 0 && !f.Plan.Sowings[b.sowing].NoTill
	days := 9 // left on top: the ammonium is gone
	if worked {
		days = 1
	}
	return worked, fertility.ManureNitrogen(h.ammonium, h.n-h.ammonium, days)
}

// load puts what a stand still needs, or what there is, from a heap.
func (n *Nutrients) load(f *farm.Farm, y *season.YearResult, b *bed, h *heap, taken []NPK) {
	need := b.want - b.credit - b.manure - b.dressed
	_, gives := b.gives(f, h)
	if need <= 0 || gives <= 0 {
		return
	}
	tons := min(h.tons, need/gives, n.room(b))
	if n.Fields[b.field].Phosphorus == fertility.High && h.phosphate > 0 {
		owed := taken[b.field].P
		for l := range n.Loads {
			if n.Loads[l].Field == b.field {
				owed -= n.Loads[l].Applied.P
			}
		}
		tons = min(tons, max(0, owed)/h.phosphate)
	}
	n.put(f, y, b, h, tons)
}

// put takes so many tons of a heap to a stand.
func (n *Nutrients) put(f *farm.Farm, y *season.YearResult, b *bed, h *heap, tons float64) {
	if tons <= 0 {
		return
	}
	worked, gives := b.gives(f, h)
	on, why := b.spreads(f, y, worked)
	h.tons -= tons
	b.tons += tons
	b.manure += tons * gives
	n.Loads = append(n.Loads, Load{Field: b.field, Source: h.name, On: on, Tons: tons, Applied: NPK{tons * h.n, tons * h.phosphate, tons * h.potash}, Gives: tons * gives, Worked: worked, Why: why})
}

// spreads is the day of the planned year on which a stand gets its manure, and how.
func (b *bed) spreads(f *farm.Farm, y *season.YearResult, worked bool) (quantity.Date, string) {
	if b.sowing < 0 {
		on := quantity.MonthDay{Month: time.April, Day: 15}.OnOrAfter(f.FirstDay())
		if b.to < yearsEnd(y) {
			on = min(on, f.FirstDay()+(b.to-y.First)-1)
		}
		return on, "on what stands in April, not worked in: its ammonium goes to the air"
	}
	on := max(f.FirstDay(), f.FirstDay()+(b.from-y.First)-2)
	if worked {
		return on, "before the seedbed, worked in within a day"
	}
	return on, "before the drill, on top: its ammonium goes to the air"
}
