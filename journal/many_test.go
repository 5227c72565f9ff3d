package journal

import (
	"strings"
	"testing"

	"rowen/quantity"
)

// More heights than a person takes are refused in every way in: as a line, as a phrase,
// and from a program.
func TestManyHeights(t *testing.T) {
	known := Names{Fields: []string{"North"}, Today: quantity.NewDate(2026, 7, 1)}
	for n, want := range map[int]bool{MaxHeights: true, MaxHeights + 1: false, 100_000: false} {
		e, err := ParsePhrase("height 7 in on North", known)
		if err != nil {
			t.Fatal(err)
		}
		e.ID, e.Recorded = ID{Device: "barn", Sequence: 1}, e.Date.Time()
		h := Height{}
		for range n {
			h.Heights = append(h.Heights, MustSay[quantity.Length]("7 in"))
		}
		e.Fact = h
		if problems := e.Problems(); (len(problems) == 0) != want || !want && !strings.Contains(problems.Error(), "200 are the most") {
			t.Errorf("%d from a program: %.300v", n, problems)
		}
		log, err := ReadAll("x", strings.NewReader(string(encode(e))+"\n"))
		if err != nil || (len(log.Entries) == 1) != want || len(log.Problems) > 1 || len(log.Problems.Error()) > 500 {
			t.Errorf("%d in a line: %d entries, %.300v, %v", n, len(log.Entries), log.Problems, err)
		}
	}
	phrase := "height" + strings.Repeat(" 7 in", 300) + " on North"
	if e, err := ParsePhrase(phrase, known); err == nil {
		t.Errorf("in a phrase: %d", len(e.Fact.(Height).Heights))
	}
}
