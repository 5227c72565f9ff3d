package account_test

import (
	"math"
	"strings"
	"testing"

	"rowen/account"
)

// Every acre mown is an acre's mowing and gathering, and rent is by the acre.
func TestLabourAndLand(t *testing.T) {
	doc := head + "[prices]\nland = \"80 USD/ac\"\n" + field("Meadow", `stand = "cool-grass"`, `use = "chop"`, "grazeable = false") + strings.Replace(suckler, "class =", "grazes = false\nclass =", 1) + stores
	f := parse(t, doc)
	y := live(t, f)[0]
	n := account.NutrientsOf(f, &y)
	acres := f.Fields[0].Area.Acres()
	cuts := float64(len(n.Cuts))
	if cuts == 0 {
		t.Fatal("nothing was cut")
	}
	l := account.LabourOf(f, &y)
	if want := cuts * acres * (0.20 + 0.15 + 0.40); math.Abs(l.Field-want) > 1e-6*want {
		t.Errorf("%.1f h of field work for %.0f cuts of %.1f ac, want %.1f", l.Field, cuts, acres, want)
	}
	if got := account.LandOf(f); math.Abs(got-80*acres) > 1e-6 {
		t.Errorf("rent %.0f of %.1f ac", got, acres)
	}
}
