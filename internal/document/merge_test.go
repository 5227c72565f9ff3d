package document_test

import (
	"strings"
	"testing"

	"rowen/internal/document"
)

const began = `name = "Home"
[prices]
hay = "200 USD/ton"

[[field]]
name = "North"
area = "22 ac" # measured
soil = { texture = "loam", pH = 6.5 }

[[field]]
name = "South"
area = "10 ac"

[[group]]
name = "Cows"
[[group.period]]
from = "1 Nov"
head = 70
weight = "1,200 lb"
[[group]]
name = "Heifers"
[[group.period]]
from = "1 Nov"
head = 20
weight = "800 lb"

[[sowing]]
field = "North"
crop = "oats"
use = "graze"
on = "2027-04-20"
`

func changed(old ...string) []byte { return []byte(strings.NewReplacer(old...).Replace(began)) }

// What one person changed is put into what another saved, whatever else it is that the
// other changed, and nothing that was only left standing goes with it.
func TestMerge(t *testing.T) {
	for _, c := range []struct {
		name          string
		yours, theirs []byte
		want          []byte // empty: refused
	}{
		{"two values of one table", changed("22 ac", "23 ac"), changed("6.5", "6.8"), changed("22 ac", "23 ac", "6.5", "6.8")},
		{"two values in one pair of braces", changed(`"loam"`, `"clay"`), changed("6.5", "6.8"), changed(`"loam"`, `"clay"`, "6.5", "6.8")},
		{"one value", changed("22 ac", "23 ac"), changed("22 ac", "24 ac"), changed("22 ac", "23 ac")},
		{"a table put in before", changed("10 ac", "11 ac"), changed("[[field]]\nname = \"North\"", "[[field]]\nname = \"West\"\narea = \"1 ac\"\n\n[[field]]\nname = \"North\""), changed("10 ac", "11 ac", "[[field]]\nname = \"North\"", "[[field]]\nname = \"West\"\narea = \"1 ac\"\n\n[[field]]\nname = \"North\"")},
		{"a table renamed", changed("22 ac", "23 ac"), changed(`name = "North"`, `name = "Nord"`), changed("22 ac", "23 ac", `name = "North"`, `name = "Nord"`)},
		{"a period of the second group", changed("head = 20", "head = 25"), changed("head = 70", "head = 75"), changed("head = 20", "head = 25", "head = 70", "head = 75")},
		{"a price under its own header", changed("200", "210"), changed("70", "75"), changed("200", "210", "70", "75")},
		{"a table taken out", changed("[[field]]\nname = \"South\"\narea = \"10 ac\"\n\n", ""), changed("22 ac", "24 ac"), changed("[[field]]\nname = \"South\"\narea = \"10 ac\"\n\n", "", "22 ac", "24 ac")},
		{"what theirs took out", changed("10 ac", "11 ac"), changed("[[field]]\nname = \"South\"\narea = \"10 ac\"\n\n", ""), nil},
		{"a sowing moved and another put in", changed("04-20", "04-27"), append([]byte(began), "[[sowing]]\nfield = \"South\"\ncrop = \"corn\"\n"...), append(changed("04-20", "04-27"), "[[sowing]]\nfield = \"South\"\ncrop = \"corn\"\n"...)},
	} {
		got, err := document.Merge([]byte(began), c.yours, c.theirs)
		if len(c.want) == 0 {
			if err == nil {
				t.Errorf("%s: it was merged:\n%s", c.name, got)
			}
			continue
		}
		left, cmpErr := document.Compare(c.want, got)
		if err != nil || cmpErr != nil || len(left) > 0 {
			t.Errorf("%s: %v, %v, differs by %+v:\n%s", c.name, err, cmpErr, left, got)
		}
	}
	// Tables put in by one person: a period to a group, a group with its period.
	yours, err := document.AppendIn([]byte(began), document.Place{List: "group", Index: 0}, "group.period", document.Pair{Key: "from", Value: `"1 May"`}, document.Pair{Key: "head", Value: "71"})
	if err == nil {
		yours, err = document.Append(yours, "group", document.Pair{Key: "name", Value: `"Calves"`})
	}
	if err == nil {
		yours, err = document.AppendIn(yours, document.Place{List: "group", Index: 2}, "group.period", document.Pair{Key: "from", Value: `"1 Feb"`})
	}
	if err != nil {
		t.Fatal(err)
	}
	theirs := changed("head = 20", "head = 25")
	got, err := document.Merge([]byte(began), yours, theirs)
	want := strings.Replace(string(yours), "head = 20", "head = 25", 1)
	if left, cmpErr := document.Compare([]byte(want), got); err != nil || cmpErr != nil || len(left) > 0 {
		t.Errorf("%v, %v, %+v:\n%s", err, cmpErr, left, got)
	}
}

func TestCompareAndClash(t *testing.T) {
	compare := func(now []byte) []document.Change {
		t.Helper()
		out, err := document.Compare([]byte(began), now)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	area, other, soil := compare(changed("22 ac", "23 ac")), compare(changed("22 ac", "24 ac")), compare(changed("6.5", "6.8"))
	if len(area) != 1 || area[0].Thing != "field North" || area[0].Key != "area" || area[0].Was != "22 ac" || area[0].Now != "23 ac" {
		t.Errorf("%+v", area)
	}
	if head := compare(changed("head = 20", "head = 25")); len(head) != 1 || head[0].Thing != "group Heifers, period 1" {
		t.Errorf("%+v", head)
	}
	if gone := compare(changed("[[group]]\nname = \"Heifers\"\n[[group.period]]\nfrom = \"1 Nov\"\nhead = 20\nweight = \"800 lb\"\n", "")); len(gone) != 1 || gone[0].Key != "" || !strings.Contains(gone[0].Was, "Heifers") {
		t.Errorf("a group taken out: %+v", gone)
	}
	if !document.Clash(area, other) || document.Clash(area, soil) || document.Clash(area, area) {
		t.Error("a clash is where both changed one value otherwise")
	}
}

func TestDiffering(t *testing.T) {
	got := ""
	for _, l := range document.Differing("a\nb\nc\nd\ne\nf\ng", "a\nb\nc\nd\nE\nf\ng\nh") {
		got += string(l.Mark) + l.Text + "\n"
	}
	if want := "…\n c\n d\n-e\n+E\n f\n g\n+h\n"; got != want {
		t.Errorf("%s", got)
	}
	long := strings.Repeat("x\n", 5000)
	if n := len(document.Differing(long, strings.Repeat("y\n", 5000))); n != 10001 {
		t.Errorf("%d lines", n)
	}
}
