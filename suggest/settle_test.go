package suggest

import (
	"context"
	"testing"
)

// The coupled season names the plans: the program's own order is not that of the table.
func TestSettleNamesByTheTable(t *testing.T) {
	run := func(expected, bad, objective float64) *Run {
		return &Run{Expected: expected, Bad: bad, Objective: objective}
	}
	s := &Suggestion{Present: Plan{Run: run(95, 120, 100)}, Plans: []Plan{
		{Name: suggestedName, Also: []string{averageName, badName}, Run: run(91, 101, 95)},
		{Name: "x", Run: run(93, 100, 97)},
		{Name: "y", Run: run(88, 104, 96)},
	}}
	if err := s.settle(context.Background()); err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{suggestedName, badName, averageName} {
		if x := &s.Plans[i]; x.Name != want || len(x.Also) != 0 {
			t.Errorf("plan %d is called %q %q, want %q alone", i, x.Name, x.Also, want)
		}
	}
	if s.Unbeaten {
		t.Error("a present plan that costs more is said to stand unbeaten")
	}
}
