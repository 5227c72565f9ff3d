package account_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/account"
	"rowen/farm"
	"rowen/handbook/fertility"
	"rowen/quantity"
	"rowen/season"
)

// Whatever the farm: no ton of manure is lost or made, none is piled on an acre beyond
// the most, no field is both short and over, balances are what was put on less what was
// taken off, and certified ground is sold no mineral nitrogen.
func TestNutrientsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFarm(t)
		for _, y := range live(t, f) {
			n := account.NutrientsOf(f, &y)
			spread := 0.0
			tons := make([]float64, len(f.Fields))
			applied := make([]account.NPK, len(f.Fields))
			taken := make([]float64, len(f.Fields))
			for _, l := range n.Loads {
				if l.Tons <= 0 || l.Gives <= 0 {
					t.Fatalf("an empty load: %+v", l)
				}
				spread += l.Tons
				tons[l.Field] += l.Tons
				applied[l.Field].N += l.Applied.N
				applied[l.Field].P += l.Applied.P
			}
			for _, c := range n.Cuts {
				taken[c.Field] += c.Taken.P
			}
			if math.Abs(spread+n.Left-n.Collected) > 1e-6*max(1, n.Collected) || n.Left < 0 {
				t.Fatalf("spread %g and left %g of %g ton", spread, n.Left, n.Collected)
			}
			for i, x := range n.Fields {
				if tons[i] > 30*x.Acres*(1+1e-9) {
					t.Fatalf("%g ton on %g acres", tons[i], x.Acres)
				}
				if x.Short > 0 && x.Excess > 0 || x.Short < 0 || x.Excess < 0 || x.Credit > x.Wants {
					t.Fatalf("short %g, over %g, credit %g of %g", x.Short, x.Excess, x.Credit, x.Wants)
				}
				if left := x.Wants - x.Credit - x.Manure - x.Bought; x.Excess == 0 && math.Abs(x.Short-left) > 1e-6*max(1, x.Wants) {
					t.Fatalf("short %g, left to want %g", x.Short, left)
				}
				if f.Fields[i].Ground.Status != farm.Conventional && x.Bought != 0 {
					t.Fatalf("%g lb of nitrogen bought for certified ground", x.Bought)
				}
				if y.Fields[i].Grazed == 0 && math.Abs(x.Balance.P-(applied[i].P-taken[i])) > 1e-6*max(1, taken[i]) {
					t.Fatalf("balance %g, applied %g, taken %g", x.Balance.P, applied[i].P, taken[i])
				}
			}
		}
	})
}

// Mineral nitrogen that reached a plan past the reader is not bought on certified
// ground; on conventional ground it is, and what the run dressed is what is bought.
func TestMineralNitrogen(t *testing.T) {
	f := parse(t, head+pasture+field("Home")+cows+stores+sowing("Home", "sudangrass", "wrap", `nitrogen = "50 lb/ac"`))
	y := live(t, f)[0]
	if got := account.NutrientsOf(f, &y).Fields[1].Bought; math.Abs(got-50*20) > 1 {
		t.Errorf("%.1f lb bought, want 1,000", got)
	}
	f.Fields[1].Ground.Status = farm.Certified
	y = live(t, f)[0]
	if got := account.NutrientsOf(f, &y).Fields[1].Bought; got != 0 {
		t.Errorf("%.1f lb bought for certified ground", got)
	}
}

// Tables of removal: five tons of alfalfa take 70 lb of phosphate and 275 of potash
// (University of Kentucky, read); corn silage at 65 % moisture 3.5 and 9.0 a ton as
// fed, 10 and 26 of dry matter (Iowa State PM 1688, read). What a run brought in is
// counted by them, and nitrogen by the feed's own protein.
func TestRemovalIsPublished(t *testing.T) {
	f := parse(t, head+pasture+field("Alfalfa", `stand = "alfalfa"`, `use = "wrap"`)+field("Corn")+cows+stores+sowing("Corn", "corn-silage", "silage"))
	y := yearWith(t, f, func(y *season.YearResult) bool { return y.Fields[2].Stored > 0 })
	n := account.NutrientsOf(f, &y)
	want := map[int][2]float64{1: {70.0 / 5, 275.0 / 5}, 2: {10, 26}}
	seen := map[int]float64{}
	for _, c := range n.Cuts {
		w, ok := want[c.Field]
		if !ok {
			continue
		}
		seen[c.Field] += c.Tons
		if math.Abs(c.Taken.P/c.Tons-w[0]) > 1e-9 || math.Abs(c.Taken.K/c.Tons-w[1]) > 1e-9 {
			t.Errorf("field %d: %.2f and %.2f lb a ton, want %v", c.Field, c.Taken.P/c.Tons, c.Taken.K/c.Tons, w)
		}
	}
	for i := 1; i <= 2; i++ {
		acres := f.Fields[i].Area.Acres()
		if perAcre := seen[i] / acres; perAcre < 1.5 || perAcre > 10 {
			t.Errorf("%s: %.1f ton DM/ac brought in: not a ton of 2,000 lb", f.Fields[i].Name, perAcre)
		}
		if got, stored := seen[i], y.Fields[i].Stored/float64(quantity.Ton); math.Abs(got-stored) > 0.01*stored {
			t.Errorf("%s: %.1f ton counted, %.1f stored", f.Fields[i].Name, got, stored)
		}
	}
	for _, e := range y.Events {
		if (e.Kind == season.Cut || e.Kind == season.Stored) && e.DM > 0 && (e.CP < 3 || e.CP > 35) {
			t.Errorf("%v on field %d: protein %.1f %%", e.Kind, e.Field, e.CP)
		}
	}
	// 20 % protein is 64 lb of nitrogen a ton.
	for _, c := range n.Cuts {
		if c.Field == 1 && (c.Taken.N/c.Tons < 30 || c.Taken.N/c.Tons > 90) {
			t.Errorf("alfalfa takes %.0f lb of nitrogen a ton", c.Taken.N/c.Tons)
		}
	}
}

// Rich ground gives up three tenths more potash; grazing dairy animals keep 35 % of the
// nitrogen, 30 of the phosphate and 20 of the potash they eat, beef 25, 20 and 15
// (University of Kentucky, read).
func TestTakenOff(t *testing.T) {
	meadow := func(extra string) float64 {
		f := parse(t, head+field("Meadow", `stand = "cool-grass"`, `use = "wrap"`, "grazeable = false", extra)+strings.Replace(suckler, "class =", "grazes = false\nclass =", 1)+stores)
		y := live(t, f)[0]
		c := account.NutrientsOf(f, &y).Cuts[0]
		return c.Taken.K / c.Tons
	}
	if plain, rich := meadow(""), meadow(richTest); math.Abs(plain-50) > 1e-9 || math.Abs(rich-65) > 1e-9 {
		t.Errorf("%.1f lb of potash a ton, %.1f from rich ground; want 50 and 65", plain, rich)
	}
	grazed := func(groups string) (p, k float64) {
		f := parse(t, head+pasture+groups+stores)
		y := live(t, f)[0]
		n := account.NutrientsOf(f, &y)
		taken := n.Fields[0].Balance
		for _, c := range n.Cuts {
			taken.P += c.Taken.P
			taken.K += c.Taken.K
		}
		for _, l := range n.Loads { // manure that went back
			taken.P -= l.Applied.P
			taken.K -= l.Applied.K
		}
		tons := y.Fields[0].Grazed / 907.18474
		return -taken.P / tons / 15, -taken.K / tons / 50 // Penn State: 15 and 50 lb a ton
	}
	if p, k := grazed(cows); math.Abs(p-0.30) > 1e-9 || math.Abs(k-0.20) > 1e-9 {
		t.Errorf("dairy animals keep %.2f and %.2f", p, k)
	}
	if p, k := grazed(suckler); math.Abs(p-0.20) > 1e-9 || math.Abs(k-0.15) > 1e-9 {
		t.Errorf("beef keep %.2f and %.2f", p, k)
	}
}

// Rye cut before sorghum is counted as rye, and wants its nitrogen as well.
func TestEarlierStandIsCountedAsItself(t *testing.T) {
	f := parse(t, head+pasture+field("Home", `stand = "cereal-rye"`, `use = "wrap"`)+cows+stores+sowing("Home", "sudangrass", "wrap"))
	both := 0
	for _, y := range live(t, f) {
		sown := y.Sowings[0].Sown
		if sown == 0 {
			continue
		}
		rye, grass := 0, 0
		for _, c := range account.NutrientsOf(f, &y).Cuts {
			if c.Field != 1 {
				continue
			}
			want := fertility.SorghumRemoval
			if c.Date < sown {
				want = fertility.CerealMinerals
				rye++
			} else {
				grass++
			}
			if math.Abs(c.Taken.K/c.Tons-want.K2O) > 1e-9 {
				t.Errorf("%v (sown %v): %.1f lb of potash a ton, want %.1f", c.Date, sown, c.Taken.K/c.Tons, want.K2O)
			}
		}
		if rye > 0 && grass > 0 {
			both++
		}
		if n := account.NutrientsOf(f, &y).Fields[1]; math.Abs(n.Wants-(70+110)*20) > 1 && rye > 0 {
			t.Errorf("wants %.0f lb, both crops 3,600", n.Wants)
		}
	}
	if both == 0 {
		t.Error("no year took both crops")
	}
}

// A killed clover sod feeds the sorghum after it, and what is over is told.
func TestSodCredit(t *testing.T) {
	f := parse(t, head+pasture+field("Home", `stand = "red-clover"`, `use = "wrap"`)+suckler+stores+sowing("Home", "sudangrass", "wrap"))
	y := live(t, f)[0]
	if y.Sowings[0].Sown == 0 {
		t.Fatal("not sown")
	}
	n := account.NutrientsOf(f, &y).Fields[1]
	// Half legumes or more: 300 lb/ac in the sod, 55 % in its first year (Cornell).
	if got := n.Excess / n.Acres; math.Abs(got-(165-110)) > 0.5 {
		t.Errorf("%.1f lb/ac over, want 55: 165 from the sod, 110 wanted", got)
	}
	if !strings.Contains(strings.Join(n.Notes, "; "), "nitrate and prussic acid") {
		t.Errorf("no word of what that risks: %q", n.Notes)
	}
}

// A sward ploughed before it was used wants nothing; one sown with enough clover is a
// legume's, by the seed.
func TestWants(t *testing.T) {
	wants := func(field, plan string) float64 {
		f := parse(t, head+pasture+field+suckler+stores+plan)
		y := yearWith(t, f, func(y *season.YearResult) bool { return y.Sowings[0].Sown != 0 })
		return account.NutrientsOf(f, &y).Fields[1].Wants / 20
	}
	if got := wants(field("Home", `stand = "cool-grass"`, `use = "wrap"`), sowing("Home", "oats", "wrap", `on = "2027-04-18"`)); math.Abs(got-70) > 0.1 {
		t.Errorf("oats on a sward ploughed in April want %.0f lb/ac, 70", got)
	}
	for clover, want := range map[string]float64{"8 lb/ac": 0, "0.5 lb/ac": 150} {
		plan := "\n[[sowing]]\nfield = \"Home\"\nuse = \"hay\"\nmix = [ { crop = \"orchardgrass\", rate = \"8 lb/ac\" }, { crop = \"red-clover\", rate = \"" + clover + "\" } ]\non = \"2027-04-25\"\n"
		if got := wants(field("Home"), plan); math.Abs(got-want) > 0.1 {
			t.Errorf("with %s of clover %.0f lb/ac, want %.0f", clover, got, want)
		}
	}
}

// Rich ground warns, is spread last, and untested ground is never read as enough.
func TestRichGround(t *testing.T) {
	f := parse(t, head+pasture+field("Poor", `stand = "cool-grass"`, `use = "wrap"`)+field("Rich", `stand = "cool-grass"`, `use = "wrap"`, richTest)+cows+stores+
		"[[manure]]\nname = \"Pit\"\namount = \"300 ton\"\nnitrogen = \"10 lb/ton\"\nammonium = \"4 lb/ton\"\nphosphate = \"5 lb/ton\"\npotash = \"9 lb/ton\"\n")
	y := live(t, f)[0]
	n := account.NutrientsOf(f, &y)
	if n.Fields[2].Manure != 0 || n.Fields[1].Manure == 0 {
		t.Errorf("the rich field got %.0f lb, the poor one %.0f", n.Fields[2].Manure, n.Fields[1].Manure)
	}
	if !strings.Contains(strings.Join(n.Fields[2].Notes, "; "), "keep its forage from dry cows") {
		t.Errorf("no close-up warning: %q", n.Fields[2].Notes)
	}
	if n.Fields[1].Potassium != fertility.Unknown || !strings.Contains(strings.Join(n.Fields[1].Notes, "; "), "no soil test") {
		t.Errorf("untested ground reads %v", n.Fields[1].Potassium)
	}
}

// Two animals for half a year each are one for the whole: manure goes by days.
func TestManureGoesByDays(t *testing.T) {
	group := func(periods string) string {
		return "\n[[group]]\nname = \"Bulls\"\nclass = \"beef cow\"\ngrazes = false\n" + periods
	}
	period := func(from string, n string) string {
		return "[[group.period]]\nfrom = \"" + from + "\"\nhead = " + n + "\nweight = \"1,000 lb\"\n"
	}
	collected := func(g string) float64 {
		f := parse(t, head+pasture+g+stores)
		y := live(t, f)[0]
		return account.NutrientsOf(f, &y).Collected
	}
	whole := collected(group(period("1 Nov", "10")))
	// NRCS: 11.5 ton a year from 1,000 lb.
	if math.Abs(whole-115) > 0.1 {
		t.Errorf("%.1f ton from ten thousand lb, want 115", whole)
	}
	// 73 of 365 days.
	fifth := collected(group(period("1 Nov", "10") + period("13 Jan", "0")))
	if math.Abs(fifth-whole/5) > 0.1 {
		t.Errorf("%.1f ton in a fifth of the year, want %.1f", fifth, whole/5)
	}
}

// Lime goes by the most sensitive crop that the field is to bear.
func TestLimeForTheSownCrop(t *testing.T) {
	acid := []string{`soil = { texture = "loam", pH = 6.4 }`, `soil_test = { method = "Mehlich 3", buffer_pH = 6.3 }`}
	plain := parse(t, head+pasture+field("Home", acid...)+suckler+stores)
	sown := parse(t, head+pasture+field("Home", acid...)+suckler+stores+sowing("Home", "alfalfa", "hay"))
	of := func(f *farm.Farm) account.FieldNutrients {
		y := live(t, f)[0]
		return account.NutrientsOf(f, &y).Fields[1]
	}
	if x := of(plain); x.Lime != 0 || x.LimeUnknown != "" {
		t.Errorf("lime without need: %+v", x)
	}
	c, _ := catalogue()
	target := c.Find("alfalfa").Fit.PHLow
	want, err := fertility.LimeNeed(6.4, 6.3, target)
	if err != nil || want <= 0 {
		t.Fatal(want, err)
	}
	if x := of(sown); math.Abs(x.Lime-want) > 1e-9 {
		t.Errorf("%.2f ton/ac of lime for alfalfa, want %.2f", x.Lime, want)
	}
}

// What no annual wants goes back to the swards that were cut, as far as their potash,
// and nitrogen that clover fixed is counted.
func TestLeftManureGoesBack(t *testing.T) {
	doc := head + field("Meadow", `stand = "grass-clover"`, `use = "wrap"`, "grazeable = false") + strings.Replace(suckler, "class =", "grazes = false\nclass =", 1) + stores +
		"[[manure]]\nname = \"Heap\"\namount = \"400 ton\"\nnitrogen = \"8 lb/ton\"\nammonium = \"3 lb/ton\"\nphosphate = \"4 lb/ton\"\npotash = \"9 lb/ton\"\n"
	f := parse(t, doc)
	y := live(t, f)[0]
	n := account.NutrientsOf(f, &y)
	if len(n.Loads) == 0 {
		t.Fatal("nothing went back to the meadow")
	}
	var taken, applied float64
	for _, c := range n.Cuts {
		taken += c.Taken.K
	}
	for _, l := range n.Loads {
		applied += l.Applied.K
	}
	if applied > taken*(1+1e-9) || applied < 0.5*taken && n.Left > 1 {
		t.Errorf("%.0f lb of potash went back, %.0f lb were taken, %.0f ton are left", applied, taken, n.Left)
	}
	if x := n.Fields[0]; !(x.Fixed > 0) {
		t.Errorf("clover fixed %.0f lb", x.Fixed)
	}
}
