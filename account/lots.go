package account

import (
	"fmt"
	"sort"

	"rowen/crop"
	"rowen/farm"
	"rowen/feed"
	"rowen/handbook"
	"rowen/handbook/fertility"
	"rowen/handbook/hazard"
	"rowen/herd"
	"rowen/quantity"
	"rowen/season"
)

// Lot is one cut in store: what an adviser would write on the stack.
type Lot struct {
	Name           string
	Kind           feed.Kind
	Field          int // -1 was there when the year began
	Stored         quantity.Date
	Tons           float64 // DM
	Moisture       float64 // at storing, wet basis
	CP, NDF, NEL   float64
	Fibre          float64 // physically effective, % of dry matter
	Ca, P, Mg, K   float64 // % of dry matter, estimated: a laboratory's go before them
	For            string  // the class it goes to
	Why            string
	Cattle, Strict handbook.Gate // of cattle; of horses and sheep
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

// LotsOf lists a year's lots, best first, and says which class each goes to.
func LotsOf(f *farm.Farm, y *season.YearResult) []Lot {
	var out []Lot
	number := map[int]int{}
	for i := range y.Events {
		e := &y.Events[i]
		if e.Kind != season.Stored || e.DM <= 0 || e.Field < 0 {
			continue
		}
		number[int(e.Field)]++
		out = append(out, lotOf(f, e, number[int(e.Field)]))
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].NEL > out[b].NEL })
	assign(f, out)
	return out
}

func lotOf(f *farm.Farm, e *season.Event, n int) Lot {
	mix, _ := stands(f, int(e.Field))
	kind := kindOf(mix)
	_, potash := kind.minerals()
	if _, band := tested(&f.Fields[e.Field]); band == fertility.High {
		potash *= luxuryPotash
	}
	m := mineralsOf[kind]
	l := Lot{
		Name: fmt.Sprintf("%s, cut %d", f.Fields[e.Field].Name, n), Kind: feedOf(e.Use), Field: int(e.Field), Stored: e.Date,
		Tons: e.DM / 907.18474, Moisture: 1 - e.DMShare, CP: e.CP, NDF: e.NDF, NEL: e.NEL,
		Ca: m[0], P: m[1], Mg: m[2], K: fertility.PotassiumOfPotash(potash),
	}
	l.Fibre = l.NDF * effective(l.Kind)
	facts := hazard.LotFacts{Moisture: l.Moisture, Known: hazard.KnowLotMoisture}
	if !l.Kind.Ferments() {
		facts.Moisture = 0
	}
	l.Cattle = hazard.Words("botulism and listeria", hazard.Wrapped(facts))
	facts.Strict = true
	l.Strict = hazard.Words("botulism and listeria, horses and sheep", hazard.Wrapped(facts))
	return l
}

func feedOf(u crop.Use) feed.Kind {
	switch u {
	case crop.Wrap:
		return feed.Baleage
	case crop.Hay:
		return feed.Hay
	case crop.Silage:
		return feed.CropSilage
	}
	return feed.Haylage
}

// wish is a class that has a first or a last claim on lots.
type wish struct {
	who   string
	head  float64
	needs float64 // tons DM of stored feed a winter
	best  bool
	lowK  bool
	sheep bool
}

// wishes are the farm's classes in the order of their claim: fresh and milking
// cows and late-gestation ewes first, growing stock next, close-up cows by
// potassium, dry and mature stock what is left.
func wishes(f *farm.Farm) (out []wish) {
	for pass := range 4 {
		for i := range f.Groups {
			g := &f.Groups[i]
			class, err := herd.ParseClass(g.Class)
			if err != nil || len(g.Periods) == 0 {
				continue
			}
			w := wish{who: g.Name, head: g.Periods[0].Head}
			w.needs = w.head * g.Periods[0].Weight.Tons() * 0.022 * 200
			w.sheep = class == herd.Ewe || class == herd.LambGrowing || class == herd.Ram || class == herd.Horse
			rank := 3
			switch {
			case g.CloseUp:
				rank, w.lowK = 2, true
			case class == herd.DairyLactating || class == herd.Ewe && g.Periods[0].Gestation > 90:
				rank, w.best = 0, true
			case class.Producing() || class == herd.Ewe:
				rank, w.best = 1, true
			}
			if rank == pass {
				out = append(out, w)
			}
		}
	}
	return out
}

// assign gives lots, best first, to classes by claim until each is fed.
func assign(f *farm.Farm, lots []Lot) {
	order := wishes(f)
	for k := range order {
		w := &order[k]
		for i := range lots {
			l := &lots[i]
			if l.For != "" || w.needs <= 0 {
				continue
			}
			if !w.best && !w.lowK {
				continue // what is left comes below
			}
			if w.lowK && l.K > fertility.CloseUpPotassium || w.sheep && l.Strict.Answer == handbook.Hold {
				continue
			}
			l.For, l.Why = w.who, "the best that is left"
			if w.lowK {
				l.Why = fmt.Sprintf("potassium %.1f %%, below %.1f", l.K, fertility.CloseUpPotassium)
			}
			w.needs -= l.Tons
		}
	}
	last := "whoever is left"
	for k := range order {
		if !order[k].best && !order[k].lowK {
			last = order[k].who
		}
	}
	for i := range lots {
		if lots[i].For == "" {
			lots[i].For, lots[i].Why = last, "the others are fed"
		}
	}
}

// Changeover is how many days a change from one lot to the next is spread over
// (common practice: a week or more, longer for grain silage).
const Changeover = 10
