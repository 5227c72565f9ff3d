package herd_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rowen/herd"
)

// NRC 2001's row: 680 kg, 35 kg of milk at 3.5 % fat, 3.0 % true protein, 90 days
// in milk: 23.6 kg DM and 34.8 Mcal printed.
func ExampleAnimal_Need() {
	n := herd.Animal{Class: herd.DairyLactating, Weight: 680, Milk: 35, Fat: 3.5, Protein: 3.0, DaysInMilk: 90}.Need()
	fmt.Printf("%.1f kg, %.1f Mcal\n", n.DM, n.Energy)
	// Output: 23.9 kg, 34.9 Mcal
}

func TestClasses(t *testing.T) {
	for c := herd.Class(0); c < herd.Classes; c++ {
		got, err := herd.ParseClass(c.String())
		if err != nil || got != c {
			t.Errorf("%v reads back as %v, %v", c, got, err)
		}
	}
	if _, err := herd.ParseClass("goat"); err == nil {
		t.Error("a goat was read")
	}
	if herd.Horse.PastureRule() || !herd.DairyDry.PastureRule() {
		t.Error("the pasture rule is about ruminants")
	}
}

// Published amounts: a 1,300-lb dry beef cow eats 2.2 % of her weight, nursing
// 2.5 % and her calf a little; a 150-lb ewe in milk 4.4 lb.
func TestPublishedIntakes(t *testing.T) {
	const lb = 0.45359237
	for _, c := range []struct {
		a         herd.Animal
		low, high float64 // lb/d
	}{
		{herd.Animal{Class: herd.BeefCow, Weight: 1300 * lb}, 28, 29},
		{herd.Animal{Class: herd.BeefCow, Weight: 1300 * lb, Young: 1}, 32, 37},
		{herd.Animal{Class: herd.BeefGrowing, Weight: 700 * lb, Gain: 0.9}, 20.9, 21.1},
		{herd.Animal{Class: herd.Ewe, Weight: 150 * lb, Young: 2}, 4.3, 4.5},
		{herd.Animal{Class: herd.DairyDry, Weight: 1400 * lb, Gestation: 240}, 25, 28},
		{herd.Animal{Class: herd.DairyHeifer, Weight: 400, Mature: 700, Gain: 0.8}, 19.8, 20},
	} {
		if got := c.a.Need().DM / lb; got < c.low || got > c.high {
			t.Errorf("%+v eats %.1f lb, published %.1f-%.1f", c.a, got, c.low, c.high)
		}
	}
}

// Needs are finite and positive, and more milk never needs less.
func TestNeedsAreSane(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := herd.Animal{
			Class:  herd.Class(rapid.IntRange(0, herd.Classes-1).Draw(t, "class")),
			Weight: rapid.Float64Range(30, 900).Draw(t, "weight"), Milk: rapid.Float64Range(0, 50).Draw(t, "milk"),
			Fat: 4, Protein: 3.2, Gain: rapid.Float64Range(0, 1.5).Draw(t, "gain"),
			Gestation: rapid.Float64Range(0, 290).Draw(t, "gestation"), Young: rapid.Float64Range(0, 2).Draw(t, "young"),
		}
		n := a.Need()
		for _, v := range []float64{n.DM, n.Energy, n.CP, n.MinNDF} {
			if !(v > 0) || math.IsInf(v, 0) {
				t.Fatalf("%+v needs %+v", a, n)
			}
		}
		if a.Class == herd.DairyLactating && a.Milk > 0 {
			b := a
			b.Milk++
			if m := b.Need(); m.DM < n.DM || m.Energy < n.Energy || m.CP < n.CP {
				t.Fatal("more milk needs less")
			}
		}
	})
}
