package feed_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rowen/feed"
	"rowen/handbook/nutrition"
)

var (
	pasture = nutrition.Analysis{CP: 20, NDF: 48, NEL: 1.5, ME: 2.5}
	hay     = nutrition.Analysis{CP: 11, NDF: 60, NEL: 1.2, ME: 2.1}
	grain   = nutrition.Analysis{CP: 11, NDF: 14, NEL: 1.95, ME: 3.1}
	meal    = nutrition.Analysis{CP: 48, NDF: 10, NEL: 1.9, ME: 3.0}
)

// Home-grown feed is eaten before any is bought, and dry matter is met.
func TestComposeOrder(t *testing.T) {
	r := feed.Request{DM: 20, Energy: 20, CP: 2, MinNDF: 5, MaxNDF: 12, Grain: 2, MaxGrain: 6}
	offers := []feed.Offer{{feed.Pasture, 10, pasture, 0}, {feed.Hay, 4, hay, 0}, {feed.BoughtHay, math.Inf(1), hay, 0.25}, {feed.Grain, math.Inf(1), grain, 0.4}, {feed.Protein, math.Inf(1), meal, 0.6}}
	eaten := make([]float64, len(offers))
	out := feed.Compose(&r, offers, eaten)
	want := []float64{10, 4, 4, 2, 0}
	for i := range want {
		if math.Abs(eaten[i]-want[i]) > 1e-9 {
			t.Errorf("offer %d: %v, want %v", i, eaten[i], want[i])
		}
	}
	if math.Abs(out.DM-20) > 1e-9 {
		t.Errorf("dry matter %v", out.DM)
	}
}

// Never more than is offered, never more than is asked, never more grain or less
// fibre than allowed by the swap; energy and protein only rise by it.
func TestComposeBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, hi float64) float64 { return rapid.Float64Range(0, hi).Draw(t, name) }
		r := feed.Request{DM: f("dm", 30), Energy: f("e", 60), CP: f("cp", 6), MinNDF: f("min", 6), MaxNDF: 20, Grain: f("g", 5), MaxGrain: f("mg", 8)}
		offers := []feed.Offer{{feed.Pasture, f("p", 20), pasture, 0}, {feed.Hay, f("h", 20), hay, 0}, {feed.BoughtForage, f("b", 10), hay, 0.3}, {feed.Grain, f("go", 20), grain, 0.4}, {feed.Protein, math.Inf(1), meal, 0.6}}
		eaten := make([]float64, len(offers))
		out := feed.Compose(&r, offers, eaten)
		sum := 0.0
		for i, e := range eaten {
			if e < 0 || e > offers[i].DM+1e-9 {
				t.Fatalf("offer %d: %v of %v", i, e, offers[i].DM)
			}
			sum += e
		}
		if sum > r.DM+1e-9 || math.Abs(sum-out.DM) > 1e-9 {
			t.Fatalf("%v eaten of %v, outcome %v", sum, r.DM, out.DM)
		}
		if eaten[3] > max(r.Grain, r.MaxGrain)+1e-9 {
			t.Fatalf("%v grain", eaten[3])
		}
	})
}

func TestComposeAllocatesNothing(t *testing.T) {
	r := feed.Request{DM: 20, Energy: 40, CP: 4, Grain: 2, MaxGrain: 6}
	offers := []feed.Offer{{feed.Pasture, 10, pasture, 0}, {feed.BoughtHay, math.Inf(1), hay, 0.25}, {feed.Grain, math.Inf(1), grain, 0.4}, {feed.Protein, math.Inf(1), meal, 0.6}}
	eaten := make([]float64, len(offers))
	if n := testing.AllocsPerRun(100, func() { feed.Compose(&r, offers, eaten) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// Drier hay loses more; every kind of stored feed has a store made for it.
func TestStoresAndLosses(t *testing.T) {
	if feed.HarvestLoss(feed.Hay, 0.15) <= feed.HarvestLoss(feed.Hay, 0.40) {
		t.Error("dry hay loses no more leaf")
	}
	for _, k := range []feed.Kind{feed.Baleage, feed.Haylage, feed.Hay, feed.CropSilage} {
		found := false
		for s := feed.Bunker; s <= feed.Outside; s++ {
			found = found || s.Keeps(k)
			if back, err := feed.ParseStore(s.String()); err != nil || back != s {
				t.Errorf("%v reads back as %v, %v", s, back, err)
			}
		}
		if !found {
			t.Errorf("nothing keeps %v", k)
		}
		if back, err := feed.ParseKind(k.String()); err != nil || back != k {
			t.Errorf("%v reads back as %v, %v", k, back, err)
		}
	}
	if _, err := feed.ParseKind("pasture"); err == nil {
		t.Error("pasture was put in store")
	}
}
