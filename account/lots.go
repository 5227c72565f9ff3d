package account

import (
	"cmp"
	"fmt"
	"slices"
	"sort"

	"rowen/crop"
	"rowen/farm"
	"rowen/feed"
	"rowen/handbook"
	"rowen/handbook/fertility"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/season"
)

// Lot is one cut in store: what an adviser would write on the stack.
type Lot struct {
	Name           string
	Kind           feed.Kind
	Field          int // -1 was there when the year began
	Stored         quantity.Date
	Last           quantity.Date // the day on which the last of it was stored
	Parts          int           // paddocks or parts of the field brought in
	Tons           float64       // DM
	Moisture       float64       // at storing, wet basis
	CP, NDF, NEL   float64
	Fibre          float64 // physically effective, % of dry matter
	Ca, P, Mg, K   float64 // % of dry matter, estimated: a laboratory's go before them
	Assumed        string  // what of it is a usual figure; empty where all was given or worked out
	For            string  // the class it goes to; of several the one that takes most
	Why            string
	Shares         []LotShare    // all classes that it goes to, in the order of their claim
	Cattle, Strict handbook.Gate // of cattle; of horses and sheep
	kind           forageKind    // of the stand it was cut from
	sorghum        bool          // some of it is, or may be, of a sorghum: never for horses
	wettest        float64       // moisture of its wettest part
	known          hazard.Known  // of the gate's facts
	free           float64       // tons no class has yet
}

// LotShare is what one class is given of a lot.
type LotShare struct {
	Group string
	Tons  float64 // DM
	Why   string
}

// minerals of forages, % of dry matter: calcium, phosphorus, magnesium (NRC tables,
// from memory).
var mineralsOf = [...][3]float64{
	grassy: {0.50, 0.28, 0.20}, legumeRich: {0.90, 0.28, 0.25}, alfalfaLike: {1.40, 0.27, 0.27},
	sorghumLike: {0.50, 0.25, 0.30}, cornLike: {0.25, 0.24, 0.17}, cerealLike: {0.40, 0.32, 0.17}, brassicaLike: {1.40, 0.36, 0.22},
}

// effective is the share of fibre that makes animals chew, by kind of feed (common
// practice: long 0.95 to 1, chopped 0.8, corn silage 0.75).
func effective(k feed.Kind) float64 {
	switch k {
	case feed.Hay:
		return 0.98
	case feed.Baleage:
		return 0.92
	case feed.Haylage:
		return 0.80
	case feed.CropSilage:
		return 0.75
	}
	return 0.4
}

// oneCut is how many days apart paddocks of a field may be brought in and still be
// one lot. Ground that was cut needs longer to be cut again, so within it the same
// use of the same stand can only be its other paddocks: one growth, one age. Samplers
// ask for two days where they can be had (common practice); the lot says its span.
const oneCut = 5

// LotsOf lists a year's lots, what lay there when it began among them, best first,
// and says which class each goes to.
func LotsOf(f *farm.Farm, y *season.YearResult) []Lot {
	out := onHand(f, y)
	there := len(out)
	type run struct {
		use    crop.Use
		sowing int
		lot    int
	}
	last := map[int][]run{} // by field
	for i := range y.Events {
		e := &y.Events[i]
		if e.Kind != season.Stored || e.DM <= 0 || e.Field < 0 {
			continue
		}
		field, sowing, kind, sorghum := int(e.Field), -1, grassy, true
		if s := standOn(f, y, e); s != nil {
			sowing, kind, sorghum = s.sowing, kindOf(s.mix), hasPrussic(s.mix)
		}
		joined := false
		for _, r := range last[field] {
			if r.use == e.Use && r.sowing == sowing && e.Date-out[r.lot].Stored <= oneCut {
				out[r.lot].join(e)
				joined = true
				break
			}
		}
		if joined {
			continue
		}
		last[field] = append(last[field], run{e.Use, sowing, len(out)})
		l := lotOf(f, e, kind, len(last[field]))
		l.sorghum = sorghum
		out = append(out, l)
	}
	for i := range out {
		out[i].finish(f)
	}
	better := func(lots []Lot) func(a, b int) bool {
		return func(a, b int) bool { return lots[a].NEL > lots[b].NEL }
	}
	// What lay there feeds this year's winter and what was cut the next one: each is
	// shared out against a whole year's claims.
	for _, winter := range [...][]Lot{out[:there], out[there:]} {
		sort.SliceStable(winter, better(winter))
		assign(claimsOf(f, y), winter)
	}
	sort.SliceStable(out, better(out))
	return out
}

func lotOf(f *farm.Farm, e *season.Event, kind forageKind, n int) Lot {
	l := Lot{
		Name: fmt.Sprintf("%s, cut %d", f.Fields[e.Field].Name, n), Kind: season.Makes(e.Use), Field: int(e.Field),
		Stored: e.Date, kind: kind, known: hazard.KnowLotMoisture,
	}
	l.join(e)
	return l
}

// join adds what was stored to a lot: its analysis is weighted by dry matter, its
// moisture by what the bales weigh, and the gate keeps the wettest.
func (l *Lot) join(e *season.Event) {
	tons := e.DM / kgPerTon
	all := l.Tons + tons
	weigh := func(a, b float64) float64 { return (a*l.Tons + b*tons) / all }
	l.CP, l.NDF, l.NEL = weigh(l.CP, e.CP), weigh(l.NDF, e.NDF), weigh(l.NEL, e.NEL)
	wet := l.Tons/(1-l.Moisture) + tons/e.DMShare // as it lies
	l.Moisture = 1 - all/wet
	l.wettest = max(l.wettest, 1-e.DMShare)
	l.Tons, l.Last = all, e.Date
	l.Parts++
}

// finish fills in what is estimated and judges the lot.
func (l *Lot) finish(f *farm.Farm) {
	_, potash := l.kind.minerals()
	if l.Field >= 0 {
		if _, band := tested(&f.Fields[l.Field]); band == fertility.High {
			potash *= luxuryPotash
		}
	}
	m := mineralsOf[l.kind]
	l.Ca, l.P, l.Mg, l.K = m[0], m[1], m[2], fertility.PotassiumOfPotash(potash)
	l.Fibre = l.NDF * effective(l.Kind)
	l.Judge(0)
	l.free = l.Tons
}

// Judge puts a lot to the gate of wrapped and ensiled feed, with its pH where a
// laboratory or a strip has read it and 0 where none has. Dry hay passes it.
func (l *Lot) Judge(pH float64) {
	facts := hazard.LotFacts{Moisture: l.wettest, Known: l.known, Strict: true}
	dry := !l.Kind.Ferments()
	if dry {
		facts.Moisture, facts.Known = 0, hazard.KnowLotMoisture
	}
	if pH > 0 {
		facts.PH = pH
		facts.Known |= hazard.KnowLotPH
	}
	l.Strict = hazard.Words("botulism and listeria, horses and sheep", hazard.Wrapped(facts))
	facts.Strict = false
	if !dry && l.Kind != feed.Baleage {
		// Bunkers and bags are packed wetter on purpose: for cattle their moisture is
		// no doubt, their pH is.
		facts.Moisture = 0
		facts.Known |= hazard.KnowLotMoisture
	}
	l.Cattle = hazard.Words("botulism and listeria", hazard.Wrapped(facts))
}

// onHand are the lots that lay in store when the year began, with the document's
// analysis where it gives one.
func onHand(f *farm.Farm, y *season.YearResult) (out []Lot) {
	named := map[string]int{}
	for i := range y.Opening {
		x := &y.Opening[i]
		if x.DM <= 0 || int(x.Store) >= len(f.Stores) {
			continue
		}
		l := Lot{
			Name: fmt.Sprintf("%s, %v", f.Stores[x.Store].Name, x.Kind), Kind: x.Kind, Field: -1,
			Stored: y.First, Last: y.First, Parts: 1, Tons: x.DM / kgPerTon, Moisture: 1 - x.DMShare, wettest: 1 - x.DMShare,
			CP: x.Analysis.CP, NDF: x.Analysis.NDF, NEL: x.Analysis.NEL, kind: stockKind(x.Kind), sorghum: x.Kind == feed.CropSilage,
		}
		if named[l.Name]++; named[l.Name] > 1 {
			l.Name = fmt.Sprintf("%s, %d", l.Name, named[l.Name])
		}
		l.Assumed = "moisture and minerals"
		if s := stockOf(f, x); s == nil || s.CP == 0 || s.NDF == 0 {
			l.Assumed = "protein or fibre, moisture and minerals: have it analysed"
		}
		out = append(out, l)
	}
	return out
}

// stockOf is the document's line of a lot on hand.
func stockOf(f *farm.Farm, x *feed.Lot) *farm.Stock {
	for i := range f.Stock {
		s := &f.Stock[i]
		kind, err := feed.ParseKind(s.Feed)
		if err != nil || kind != x.Kind || s.Store != f.Stores[x.Store].Name {
			continue
		}
		if s.CP == 0 || x.Analysis.CP == float64(s.CP)*100 {
			return s
		}
	}
	return nil
}

// stockKind is what feed on hand is taken to be: crop silage may be of sorghum, all
// else of grass, whose potassium is too much for close-up cows.
func stockKind(k feed.Kind) forageKind {
	if k == feed.CropSilage {
		return sorghumLike
	}
	return grassy
}

// main sets the class that takes most of a lot.
func (l *Lot) main() {
	if len(l.Shares) == 0 {
		return
	}
	most := slices.MaxFunc(l.Shares, func(a, b LotShare) int { return cmp.Compare(a.Tons, b.Tons) })
	l.For, l.Why = most.Group, most.Why
}

// Changeover is how many days a change from one lot to the next is spread over
// (common practice: a week or more, longer for grain silage).
const Changeover = 10
