package account_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/account"
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
