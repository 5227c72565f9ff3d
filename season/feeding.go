package season

import (
	"math"

	"rowen/feed"
	"rowen/handbook/nutrition"
)

// offer tells where a feed.Offer comes from.
type offer struct {
	from  origin
	index int // of the plot, or of the lot
}

type origin uint8

const (
	fromPlot origin = iota
	fromLot
	fromMarket
)

// ration scratch sizes: three plots, four home-grown kinds twice and once
// more from their next lots, four bought feeds.
const maxOffers = maxPlots + 3*homeKinds + 4

// homeKinds is how many kinds of home-grown feed come out of store.
const homeKinds = 4

// stored are the kinds that come out of store.
var stored = [homeKinds]feed.Kind{feed.Haylage, feed.Baleage, feed.CropSilage, feed.Hay}

// feed gives every group its day's ration: pasture first, then home-grown feed
// from store, then what is bought.
func (r *runner) feed() {
	r.home()
	for g := range r.m.groups {
		group := &r.m.groups[g]
		need := group.need(r.day, r.y.days)
		if need.head == 0 {
			r.leave(g)
			continue
		}
		request := group.request(need, r.m.maxGrain)
		if left := r.appetite(g); left < 1 {
			request.DM *= left // energy and protein wanted stay: the gap is the heat's
			request.Grain = min(request.Grain, request.DM)
		}
		r.offers, r.feeds = r.offers[:0], r.feeds[:0]
		r.pastures(g, request.DM-request.Grain)
		r.offerStores(g, request.DM-request.Grain)
		r.offerMarket()
		if cap(r.eaten) < len(r.feeds) {
			r.eaten = make([]float64, len(r.feeds), 2*maxOffers)
		}
		r.eaten = r.eaten[:len(r.feeds)]
		outcome := feed.Compose(&request, r.feeds, r.eaten)
		r.serve(g, &request, &outcome)
	}
}

// best tells whether a group is given the better lots first: animals in milk
// or growing are, dry and mature ones clear up the rest.
func (g *group) best() bool { return g.class.Producing() }

// offerStores offers the stores' lots. Each kind is offered in proportion to
// what is left of it, so that silage and hay last together; then what remains,
// for the day on which a lot runs out.
func (r *runner) offerStores(g int, wanted float64) {
	var total float64
	var have [homeKinds]float64
	var lots [homeKinds][2]int // the kind's first choice and the next, -1 none
	for k := range lots {
		lots[k] = [2]int{-1, -1}
	}
	best := r.m.groups[g].best()
	for l := range r.now.Lots {
		lot := &r.now.Lots[l]
		k := storedIndex(lot.Kind)
		if k < 0 || lot.DM <= 0 || lot.Ready > r.date {
			continue
		}
		have[k] += lot.DM
		total += lot.DM
		switch {
		case lots[k][0] < 0 || r.before(l, lots[k][0], best):
			lots[k][1] = lots[k][0]
			lots[k][0] = l
		case lots[k][1] < 0 || r.before(l, lots[k][1], best):
			lots[k][1] = l
		}
	}
	if total <= 0 {
		return
	}
	var offered [homeKinds]float64
	for k, pair := range lots {
		if l := pair[0]; l >= 0 {
			offered[k] = min(wanted*have[k]/total, r.fedFrom(l))
			r.offerLot(l, offered[k])
		}
	}
	for k, pair := range lots {
		if l := pair[0]; l >= 0 {
			r.offerLot(l, r.fedFrom(l)-offered[k])
		}
		if l := pair[1]; l >= 0 {
			r.offerLot(l, r.fedFrom(l))
		}
	}
}

// before tells whether lot a is fed before lot b: by energy, better or poorer
// first; of equals the older, then the earlier in store.
func (r *runner) before(a, b int, best bool) bool {
	x, y := &r.now.Lots[a], &r.now.Lots[b]
	if x.Analysis.NEL != y.Analysis.NEL {
		return (x.Analysis.NEL > y.Analysis.NEL) == best
	}
	if x.Stored != y.Stored {
		return x.Stored < y.Stored
	}
	return a < b
}

// fedFrom is what reaches the animals' mouths from a lot, kg DM: feeding loss
// is taken off.
func (r *runner) fedFrom(l int) float64 {
	lot := &r.now.Lots[l]
	return lot.DM * (1 - feed.FeedingLoss(lot.Kind))
}

func (r *runner) offerLot(l int, amount float64) {
	if amount <= 0 {
		return
	}
	lot := &r.now.Lots[l]
	r.offers = append(r.offers, offer{from: fromLot, index: l})
	r.feeds = append(r.feeds, feed.Offer{Kind: lot.Kind, DM: amount, Analysis: lot.Analysis})
}

// offerMarket offers what can be bought.
func (r *runner) offerMarket() {
	for i := range r.m.market {
		b := &r.m.market[i]
		r.offers = append(r.offers, offer{from: fromMarket, index: i})
		r.feeds = append(r.feeds, feed.Offer{Kind: b.kind, DM: math.Inf(1), Analysis: b.analysis, Price: b.price})
	}
}

// bought is a feed on the market.
type bought struct {
	kind     feed.Kind
	analysis nutrition.Analysis
	price    float64 // per kg DM
}

// storedIndex is a kind's place among the stored kinds, -1 if it is not one.
func storedIndex(k feed.Kind) int {
	for i, s := range stored {
		if s == k {
			return i
		}
	}
	return -1
}

// serve takes what was eaten from where it came and books it.
func (r *runner) serve(g int, request *feed.Request, outcome *feed.Outcome) {
	row := &r.out.Ledger[r.row]
	gy := &r.out.Groups[g]
	line := &gy.Ledger[r.row]
	row.Demand += request.DM
	line.Demand += request.DM
	var pasture, total, concentrate, purchased float64
	for k := range r.feeds {
		eaten := r.eaten[k]
		if eaten <= 0 {
			continue
		}
		kind := r.feeds[k].Kind
		pool := &r.out.Pools[kind]
		switch o := r.offers[k]; o.from {
		case fromPlot:
			r.graze(o.index, g, eaten)
			pasture += eaten
			pool.In += eaten
		case fromLot:
			lot := &r.now.Lots[o.index]
			taken := min(eaten/(1-feed.FeedingLoss(lot.Kind)), lot.DM)
			lot.DM -= taken
			pool.Lost += taken - eaten
			row.Lost += taken - eaten
		case fromMarket:
			pool.Bought += eaten
			r.pay(kind, eaten*r.m.market[o.index].price)
			if kind.Forage() {
				purchased += eaten
			} else {
				concentrate += eaten
			}
		}
		pool.Eaten += eaten
		row.Fed[kind] += eaten
		line.Fed[kind] += eaten
		total += eaten
	}
	short := max(request.DM-total, 0)
	if short < 1e-9*request.DM {
		short = 0
	}
	row.Short += short
	line.Short += short
	beyond := concentrate - request.Grain
	if beyond < 1e-9*request.DM {
		beyond = 0
	}
	row.Beyond += beyond
	row.Gap += short + purchased + beyond
	r.closing.planned += min(concentrate, request.Grain)
	r.closing.ration(g, r.row, request, outcome)
	if r.grazing() {
		r.closing.grazed[g].pasture[r.row] += pasture
		r.closing.grazed[g].demand[r.row] += request.DM
		if pasture > 0 {
			gy.GrazingDays++
		}
	}
}

// pay books bought feed.
func (r *runner) pay(kind feed.Kind, money float64) {
	switch {
	case kind.Forage():
		r.out.Money.BoughtForage += money
	case kind == feed.Protein:
		r.out.Money.Protein += money
	default:
		r.out.Money.Grain += money
	}
}
