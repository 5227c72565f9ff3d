package account_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/account"
	"rowen/farm"
	"rowen/feed"
	"rowen/handbook"
	"rowen/handbook/hazard"
	"rowen/season"
)

// Whatever the farm: every kilogram stored and on hand is in one lot, no lot is given
// out beyond itself, shares go to groups of the farm, and no lot's moisture, protein or
// fibre lies outside what went into it.
func TestLotsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFarm(t)
		for _, y := range live(t, f) {
			want, got, parts := 0.0, 0.0, 0
			protein := 0.0
			for _, e := range y.Events {
				if e.Kind == season.Stored && e.DM > 0 {
					want += e.DM / 907.18474
					protein += e.DM / 907.18474 * e.CP
					parts++
				}
			}
			for _, l := range account.LotsOf(f, &y) {
				got += l.Tons
				protein -= l.Tons * l.CP
				parts -= l.Parts
				given := 0.0
				for _, s := range l.Shares {
					given += s.Tons
				}
				if given > l.Tons*(1+1e-9) {
					t.Fatalf("%s: %g given of %g ton", l.Name, given, l.Tons)
				}
				if l.For == "" || l.Why == "" || l.Last < l.Stored || l.Last > l.Stored+5 {
					t.Fatalf("%+v", l)
				}
				if !(l.Moisture > 0 && l.Moisture < 0.9 && l.CP > 2 && l.CP < 35 && l.NDF > 20 && l.NDF < 80 && l.NEL > 0.3 && l.NEL < 2) {
					t.Fatalf("%s: moisture %g, CP %g, NDF %g, NEL %g", l.Name, l.Moisture, l.CP, l.NDF, l.NEL)
				}
			}
			if math.Abs(got-want) > 1e-6*max(1, want) || parts != 0 || math.Abs(protein) > 1e-6*max(1, want) {
				t.Fatalf("%g ton in lots, %g stored, %d parts and %g of protein left over", got, want, parts, protein)
			}
		}
	})
}

// Six paddocks of corn chopped on one day are one lot, its analysis theirs.
func TestPaddocksAreOneLot(t *testing.T) {
	f := parse(t, head+pasture+field("Corn")+cows+stores+sowing("Corn", "corn-silage", "silage"))
	y := yearWith(t, f, func(y *season.YearResult) bool { return y.Fields[1].Stored > 0 })
	events, cp, dm := 0, 0.0, 0.0
	for _, e := range y.Events {
		if e.Kind == season.Stored && e.Field == 1 {
			events++
			dm += e.DM
			cp += e.DM * e.CP
		}
	}
	if events < 2 {
		t.Fatalf("%d paddocks: nothing to join", events)
	}
	var lots []account.Lot
	for _, l := range account.LotsOf(f, &y) {
		if l.Field == 1 {
			lots = append(lots, l)
		}
	}
	if len(lots) != 1 || lots[0].Parts != events || lots[0].Name != "Corn, cut 1" || lots[0].Kind != feed.CropSilage {
		t.Fatalf("%d lots of %d paddocks: %+v", len(lots), events, lots)
	}
	if math.Abs(lots[0].CP-cp/dm) > 1e-9 || math.Abs(lots[0].Tons-dm/907.18474) > 1e-6 {
		t.Errorf("protein %.3f, weighted %.3f; %.2f ton of %.2f", lots[0].CP, cp/dm, lots[0].Tons, dm/907.18474)
	}
}

// Cuts of one meadow weeks apart stay apart, numbered in the order of their days.
func TestCutsStayApart(t *testing.T) {
	f := parse(t, head+pasture+field("Meadow", `stand = "cool-grass"`, `use = "wrap"`, "grazeable = false")+suckler+stores)
	y := live(t, f)[1]
	var days []int
	for _, l := range account.LotsOf(f, &y) {
		if l.Field == 1 {
			days = append(days, int(l.Stored))
			if !strings.HasPrefix(l.Name, "Meadow, cut ") {
				t.Errorf("name %q", l.Name)
			}
		}
	}
	if len(days) < 2 {
		t.Fatalf("%d lots", len(days))
	}
	for i := range days {
		for j := range i {
			if d := days[i] - days[j]; d > -20 && d < 20 {
				t.Errorf("lots %d days apart", d)
			}
		}
	}
}

// Feed on hand is a lot of its store, with the document's analysis, and says what of
// it is a usual figure.
func TestStockIsLots(t *testing.T) {
	f := parse(t, head+pasture+suckler+stores+`
[[stock]]
store = "Row"
feed = "baleage"
amount = "40 ton"
crude_protein = "17 %"
ndf = "47 %"
[[stock]]
store = "Barn"
feed = "hay"
amount = "25 ton"
`)
	y := live(t, f)[0]
	found := map[string]account.Lot{}
	for _, l := range account.LotsOf(f, &y) {
		if l.Field == -1 {
			found[l.Name] = l
		}
	}
	row, barn := found["Row, baleage"], found["Barn, hay"]
	if len(found) != 2 || math.Abs(row.Tons-40) > 0.01 || math.Abs(barn.Tons-25) > 0.01 {
		t.Fatalf("lots on hand: %+v", found)
	}
	if math.Abs(row.CP-17) > 1e-9 || math.Abs(row.NDF-47) > 1e-9 || strings.Contains(row.Assumed, "protein") {
		t.Errorf("CP %g, NDF %g, assumed %q", row.CP, row.NDF, row.Assumed)
	}
	if !strings.Contains(barn.Assumed, "protein") {
		t.Errorf("nothing was given of the hay, assumed %q", barn.Assumed)
	}
	// Nobody has said how wet the bales are: a Hold for sheep, a caution for cattle.
	if row.Strict.Answer != handbook.Hold || row.Cattle.Answer != handbook.Caution || len(row.Strict.Missing) == 0 {
		t.Errorf("gates %v and %v, missing %q", row.Cattle.Answer, row.Strict.Answer, row.Strict.Missing)
	}
	if barn.Strict.Answer != handbook.Clear {
		t.Errorf("dry hay: %v", barn.Strict)
	}
}

// What was cut is shared out against a whole year's claims, whatever lay there when the
// year began.
func TestStockLeavesTheNextWinter(t *testing.T) {
	meadow := head + pasture + field("Meadow", `stand = "cool-grass"`, `use = "wrap"`) + suckler + stores
	stock := "[[stock]]\nstore = \"Barn\"\nfeed = \"hay\"\namount = \"300 ton\"\n"
	given := func(text string) float64 {
		f := parse(t, text)
		y := live(t, f)[1]
		return account.ClaimsOf(f, &y, account.LotsOf(f, &y))[0].Given
	}
	if with, without := given(meadow+stock), given(meadow); with == 0 || without == 0 {
		t.Errorf("%.1f ton given with stock, %.1f without", with, without)
	}
}

// closeUp is a group of dry cows that calve within three weeks.
const closeUp = `
[[group]]
name = "Close-up"
class = "dairy cow dry"
close_up = true
[[group.period]]
from = "1 Nov"
head = 6
weight = "1,350 lb"
gestation = 260
`

// Alfalfa on ground rich in potassium never goes to close-up cows; corn silage, low in
// it, does, and what they lack is told where there is none.
func TestCloseUpByPotassium(t *testing.T) {
	rich := field("Alfalfa", `stand = "alfalfa"`, `use = "wrap"`, richTest)
	with := parse(t, head+pasture+rich+field("Corn")+cows+closeUp+stores+sowing("Corn", "corn-silage", "silage"))
	given := 0.0
	for _, y := range live(t, with) {
		for _, l := range account.LotsOf(with, &y) {
			for _, s := range l.Shares {
				if s.Group != "Close-up" {
					continue
				}
				given += s.Tons
				if l.K > 2.0 {
					t.Errorf("%s with %.1f %% potassium goes to close-up cows", l.Name, l.K)
				}
			}
			if l.Field == 1 && (l.K < 2.9 || l.For == "Close-up") {
				t.Errorf("alfalfa from rich ground: %.1f %% potassium, for %s", l.K, l.For)
			}
		}
	}
	if given == 0 {
		t.Error("close-up cows got nothing of the corn silage")
	}
	without := parse(t, head+pasture+rich+cows+closeUp+stores)
	y := live(t, without)[0]
	for _, c := range account.ClaimsOf(without, &y, account.LotsOf(without, &y)) {
		if c.Group == "Close-up" && (c.Given != 0 || !strings.Contains(c.Missing, "2.0 % potassium")) {
			t.Errorf("%+v", c)
		}
	}
}

// In every farm: a lot above the limit never goes to close-up cows.
func TestNoHighPotassiumForCloseUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFarm(t)
		f.Groups = append(f.Groups, farm.Group{Name: "Close-up", Class: "dairy cow dry", CloseUp: true, Periods: []farm.Period{{From: f.FeedYear, Head: 5, Weight: f.Groups[0].Periods[0].Weight, Gestation: 260}}})
		for _, y := range live(t, f) {
			for _, l := range account.LotsOf(f, &y) {
				for _, s := range l.Shares {
					if s.Group == "Close-up" && l.K > 2 {
						t.Fatalf("%s: %.2f %% potassium", l.Name, l.K)
					}
				}
				if l.For == "Close-up" && l.K > 2 {
					t.Fatalf("%s is for close-up cows", l.Name)
				}
			}
		}
	})
}

// Cows in milk get the lots of most energy, fresh ones before the others, and dry stock
// gets none that is better than any of theirs.
func TestBestLotsToMilk(t *testing.T) {
	fresh := strings.NewReplacer(`"Milkers"`, `"Fresh"`, "head = 30", "head = 8\ndays_in_milk = 1").Replace(cows)
	late := strings.Replace(cows, "head = 30", "head = 30\ndays_in_milk = 150", 1)
	f := parse(t, head+pasture+field("Good", `stand = "alfalfa"`, `use = "wrap"`)+field("Rough", `stand = "cool-grass"`, `use = "hay"`)+suckler+late+fresh+stores)
	y := live(t, f)[1]
	worst := map[string]float64{"Fresh": 9, "Milkers": 9}
	best := map[string]float64{}
	for _, l := range account.LotsOf(f, &y) {
		for _, s := range l.Shares {
			if w, ok := worst[s.Group]; ok {
				worst[s.Group] = min(w, l.NEL)
			}
			best[s.Group] = max(best[s.Group], l.NEL)
		}
	}
	if best["Fresh"] == 0 || best["Milkers"] == 0 {
		t.Fatalf("shares: best %v", best)
	}
	if best["Sucklers"] > worst["Milkers"] {
		t.Errorf("sucklers get %.3f, cows in milk %.3f", best["Sucklers"], worst["Milkers"])
	}
	if best["Milkers"] > best["Fresh"] {
		t.Errorf("fresh cows get %.3f, the others %.3f", best["Fresh"], best["Milkers"])
	}
}

// Ewes in their last weeks come before rams and dry stock, whatever period of the
// document tells it; and bales too wet are held from sheep.
func TestEwesNearLambing(t *testing.T) {
	sheep := `
[[group]]
name = "Rams"
class = "ram"
[[group.period]]
from = "1 Nov"
head = 40
weight = "200 lb"
[[group]]
name = "Ewes"
class = "ewe"
[[group.period]]
from = "1 Nov"
head = 150
weight = "150 lb"
[[group.period]]
from = "10 Jan"
head = 150
weight = "150 lb"
gestation = 95
`
	f := parse(t, head+pasture+field("Meadow", `stand = "timothy-red-clover"`, `use = "hay"`)+field("Rough", `stand = "cool-grass"`, `use = "hay"`)+sheep+stores)
	told := false
	for _, y := range live(t, f) {
		lots := account.LotsOf(f, &y)
		firstEwe, firstRam := -1, -1
		for i, l := range lots {
			for _, s := range l.Shares {
				if s.Group == "Ewes" && s.Why == "the best that is left" && firstEwe < 0 {
					firstEwe = i
				}
				if s.Group == "Rams" && firstRam < 0 {
					firstRam = i
				}
				if l.Strict.Answer == handbook.Hold {
					t.Errorf("%s is held and goes to %s", l.Name, s.Group)
				}
			}
			if l.Strict.Answer == handbook.Hold && l.For != "nobody yet" {
				t.Errorf("%s is held and is for %s", l.Name, l.For)
			}
		}
		if firstEwe >= 0 && firstRam >= 0 {
			told = true
			if firstRam < firstEwe {
				t.Error("rams are served before ewes near lambing")
			}
		}
	}
	if !told {
		t.Error("no year served both")
	}
}

// Bales of which nobody knows how wet they are go to no sheep, and nobody is named.
func TestUnknownBalesAndSheep(t *testing.T) {
	flock := "\n[[group]]\nname = \"Ewes\"\nclass = \"ewe\"\n[[group.period]]\nfrom = \"1 Nov\"\nhead = 80\nweight = \"150 lb\"\n"
	f := parse(t, head+pasture+flock+stores+"[[stock]]\nstore = \"Row\"\nfeed = \"baleage\"\namount = \"40 ton\"\n")
	y := live(t, f)[0]
	found := false
	for _, l := range account.LotsOf(f, &y) {
		if l.Field < 0 {
			found = true
			if l.For != "nobody yet" || len(l.Shares) != 0 || !strings.Contains(l.Why, "pH") {
				t.Errorf("for %q, why %q, shares %+v", l.For, l.Why, l.Shares)
			}
		}
	}
	if !found {
		t.Error("the bales are no lot")
	}
}

// A strip that reads pH 5.6 holds a wrapped lot from sheep, however dry; from cattle
// where it is wet too.
func TestLotGate(t *testing.T) {
	if v := hazard.Wrapped(hazard.LotFacts{PH: 5.6, Moisture: 0.5, Strict: true, Known: hazard.KnowLotPH | hazard.KnowLotMoisture}); v.Answer != handbook.Hold {
		t.Errorf("the gate says %v", v.Answer)
	}
	f := parse(t, head+pasture+field("Meadow", `stand = "cool-grass"`, `use = "wrap"`)+suckler+stores)
	y := live(t, f)[1]
	for _, l := range account.LotsOf(f, &y) {
		if l.Kind != feed.Baleage {
			continue
		}
		l.Judge(5.6)
		if l.Strict.Answer != handbook.Hold || l.Cattle.Answer < handbook.Caution {
			t.Errorf("%s at pH 5.6: %v for cattle, %v for sheep", l.Name, l.Cattle.Answer, l.Strict.Answer)
		}
		l.Judge(4.2)
		if l.Strict.Answer != handbook.Clear {
			t.Errorf("%s at pH 4.2: %v for sheep", l.Name, l.Strict.Answer)
		}
	}
}
