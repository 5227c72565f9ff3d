package account_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/account"
	"rowen/farm"
	"rowen/feed"
	"rowen/handbook"
)

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

// No sorghum goes to horses, in a mixture neither; grass hay does. Silage wetter than
// 65 % is held from them.
func TestHorses(t *testing.T) {
	horses := "\n[[group]]\nname = \"Horses\"\nclass = \"horse\"\n[[group.period]]\nfrom = \"1 Nov\"\nhead = 12\nweight = \"1,100 lb\"\n"
	mix := "\n[[sowing]]\nfield = \"Mixed\"\nuse = \"wrap\"\nmix = [ { crop = \"pearl-millet\", rate = \"10 lb/ac\" }, { crop = \"sudangrass\", rate = \"10 lb/ac\" } ]\n"
	f := parse(t, head+pasture+field("Mixed")+field("Corn", "grazeable = false")+field("Meadow", `stand = "cool-grass"`, `use = "hay"`, "grazeable = false")+horses+suckler+stores+
		mix+sowing("Corn", "corn-silage", "silage"))
	sorghum, hay, wet := 0, 0.0, 0
	for _, y := range live(t, f) {
		for _, l := range account.LotsOf(f, &y) {
			if l.Field == 1 && l.Stored >= y.Sowings[0].Sown {
				sorghum++
			}
			if l.Kind == feed.CropSilage && l.Moisture > 0.65 {
				wet++
				if l.Strict.Answer != handbook.Hold {
					t.Errorf("%s, %.0f %% wet: %v for horses", l.Name, 100*l.Moisture, l.Strict.Answer)
				}
			}
			for _, s := range l.Shares {
				if s.Group == "Horses" && l.Field == 1 {
					t.Errorf("%s goes to horses", l.Name)
				}
				if s.Group == "Horses" && l.Kind == feed.Hay {
					hay += s.Tons
				}
			}
			if l.Field == 1 && l.For == "Horses" {
				t.Errorf("%s is for horses", l.Name)
			}
		}
	}
	if sorghum == 0 || hay == 0 || wet == 0 {
		t.Errorf("%d lots with sorghum, %.1f ton of hay to horses, %d wet silages", sorghum, hay, wet)
	}
}
