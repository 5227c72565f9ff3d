package journal

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rowen/quantity"
)

var someEntries = rapid.SliceOfN(anyEntry, 0, 12)

// The union does not depend on order, grouping or repetition, loses nothing, and
// names every conflict.
func TestMergeIsUnion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := someEntries.Draw(t, "a"), someEntries.Draw(t, "b"), someEntries.Draw(t, "c")
		b = append(b, a[:len(a)/2]...) // some in common
		ab, abConflicts := Merge(a, b)
		ba, baConflicts := Merge(b, a)
		if !reflect.DeepEqual(ab, ba) || !reflect.DeepEqual(abConflicts, baConflicts) {
			t.Fatal("not commutative")
		}
		bc, _ := Merge(b, c)
		left, lc := Merge(ab, c)
		right, rc := Merge(a, bc)
		if all, ac := Merge(a, b, c); !reflect.DeepEqual(left, right) || !reflect.DeepEqual(left, all) || !reflect.DeepEqual(lc, rc) || !reflect.DeepEqual(lc, ac) {
			t.Fatal("not associative")
		}
		if again, _ := Merge(ab, ab); !reflect.DeepEqual(again, ab) {
			t.Fatal("not idempotent")
		}
		for _, e := range append(slices.Clone(a), b...) {
			if n := len(slices.DeleteFunc(slices.Clone(ab), func(o Entry) bool { return !o.Equal(e) })); n != 1 {
				t.Fatalf("%s is there %d times", e, n)
			}
		}
		shared := map[ID]int{}
		for _, e := range ab {
			shared[e.ID]++
		}
		for _, c := range abConflicts {
			if len(c.Entries) != shared[c.ID] || len(c.Entries) < 2 {
				t.Fatalf("%s: %d entries in conflict, %d there", c.ID, len(c.Entries), shared[c.ID])
			}
			delete(shared, c.ID)
		}
		for id, n := range shared {
			if n > 1 {
				t.Fatalf("%d entries are called %s, and nothing is said", n, id)
			}
		}
	})
}

func TestConflictShowsBoth(t *testing.T) {
	a, b := sample()[7], sample()[7]
	b.Fact = Height{[]Amount[quantity.Length]{MustSay[quantity.Length]("13 in")}}
	_, conflicts := Merge([]Entry{a}, []Entry{b, a})
	if len(conflicts) != 1 {
		t.Fatalf("%d conflicts", len(conflicts))
	}
	for _, want := range []string{"barn:8", "31 in", "13 in", "withdraw"} {
		if !strings.Contains(conflicts[0].Error(), want) {
			t.Errorf("%q is not in %v", want, conflicts[0])
		}
	}
}

// Standing depends on no order and is what it was of itself.
func TestStandingIsDeterministic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := someEntries.Draw(t, "entries")
		got := Standing(all)
		mixed := slices.Clone(all)
		rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0)).Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		if !reflect.DeepEqual(Standing(append(mixed, all...)), got) {
			t.Fatal("it depends on the order, or on repetition")
		}
		if !slices.IsSortedFunc(got, func(a, b Entry) int { return int(a.Date) - int(b.Date) }) {
			t.Fatal("not in order of date")
		}
		named := map[ID]bool{}
		for _, e := range all {
			named[e.Corrects] = true
		}
		for _, e := range all { // what nobody corrects, and corrects nothing, stands
			if !named[e.ID] && e.Corrects.None() && !slices.ContainsFunc(got, e.Equal) {
				t.Fatalf("%s is lost", e)
			}
		}
	})
}

func TestStanding(t *testing.T) {
	at := func(device string, n uint64, minute int, corrects ID, f Fact) Entry {
		return Entry{ID: ID{device, n}, Date: 20000, Recorded: time.Date(2026, 1, 1, 0, minute, 0, 0, time.UTC), Field: "A", Fact: f, Corrects: corrects}
	}
	high := func(s string) Fact { return Height{[]Amount[quantity.Length]{MustSay[quantity.Length](s)}} }
	a1, a2, b1 := ID{"a", 1}, ID{"a", 2}, ID{"b", 1}
	for name, c := range map[string]struct {
		entries []Entry
		want    []string // identities, in order
	}{
		"alone":                    {[]Entry{at("a", 1, 1, ID{}, high("3 in"))}, []string{"a:1"}},
		"corrected":                {[]Entry{at("a", 1, 1, ID{}, high("3 in")), at("b", 1, 2, a1, high("4 in"))}, []string{"b:1"}},
		"withdrawn":                {[]Entry{at("a", 1, 1, ID{}, high("3 in")), at("b", 1, 2, a1, Withdrawn{})}, nil},
		"corrected twice in a row": {[]Entry{at("a", 1, 1, ID{}, high("3 in")), at("a", 2, 2, a1, high("4 in")), at("b", 1, 3, a2, high("5 in"))}, []string{"b:1"}},
		"two corrections":          {[]Entry{at("a", 1, 1, ID{}, high("3 in")), at("b", 1, 3, a1, high("5 in")), at("a", 2, 2, a1, high("4 in"))}, []string{"b:1"}},
		"later withdrawn":          {[]Entry{at("a", 1, 1, ID{}, high("3 in")), at("a", 2, 2, a1, high("4 in")), at("b", 1, 3, a1, Withdrawn{})}, nil},
		"withdrawal withdrawn by a fact": {[]Entry{at("a", 1, 1, ID{}, high("3 in")), at("a", 2, 2, a1, Withdrawn{}), at("b", 1, 3, a2, high("3 in"))},
			[]string{"b:1"}},
		"clock behind":         {[]Entry{at("a", 1, 9, ID{}, high("3 in")), at("b", 1, 1, a1, high("4 in"))}, []string{"b:1"}},
		"original not here":    {[]Entry{at("b", 1, 2, a1, high("4 in"))}, []string{"b:1"}},
		"ring":                 {[]Entry{at("a", 1, 1, b1, high("3 in")), at("b", 1, 2, a1, high("4 in"))}, []string{"b:1"}},
		"one name, two facts":  {[]Entry{at("a", 1, 1, ID{}, high("3 in")), at("a", 1, 2, ID{}, Frost{})}, []string{"a:1", "a:1"}},
		"its own kind alone":   {[]Entry{at("a", 1, 1, ID{}, high("3 in")), at("a", 1, 2, ID{}, Frost{}), at("b", 1, 3, a1, high("4 in"))}, []string{"a:1", "b:1"}},
		"both kinds corrected": {[]Entry{at("a", 1, 1, ID{}, high("3 in")), at("a", 1, 2, ID{}, Frost{}), at("b", 1, 3, a1, high("4 in")), at("b", 2, 4, a1, Frost{Leaf: LeafKilled})}, []string{"b:1", "b:2"}},
	} {
		var got []string
		for _, e := range Standing(c.entries) {
			got = append(got, e.ID.String())
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v in force, want %v", name, got, c.want)
		}
	}
}
