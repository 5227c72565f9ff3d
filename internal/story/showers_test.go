package story_test

import (
	"math"
	"strings"
	"testing"

	"rowen/account"
	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/handbook/conserve"
	"rowen/handbook/hazard"
	"rowen/quantity"
	"rowen/season"
	"rowen/stand"
)

// Sorghum-sudangrass at a yard, 85 % water, and one dry day: no dry hay of it.
func TestNoSorghumHay(t *testing.T) {
	refused(t, document(t, "showers", "crop = \"sorghum-sudangrass\"\nuse = \"wrap\"", "crop = \"sorghum-sudangrass\"\nuse = \"hay\""),
		"its thick stems dry too slowly in this climate", "it can be: graze, wrap, chop")
	// Teff may be hay.
	f := read(t, document(t, "showers", "crop = \"teff\"\nuse = \"wrap\"", "crop = \"teff\"\nuse = \"hay\""))
	if f.Plan.Sowings[1].Use != crop.Hay {
		t.Error("teff is not sown for hay")
	}
}

// grown is sorghum-sudangrass grown alone for bales on the story's ground in twenty
// years: by its rule, or cut at a stubble, cm, on two fixed dates.
func grown(t *testing.T, residual float64, cuts ...quantity.MonthDay) (uses [][]stand.Used) {
	t.Helper()
	mix, ok := catalogue(t).Mix("sorghum-sudangrass")
	if !ok {
		t.Fatal("no sorghum-sudangrass")
	}
	soil, err := stand.ParseSoil("loam, well drained, pH 6.4")
	if err != nil {
		t.Fatal(err)
	}
	s, err := stand.Compile(mix, soil)
	if err != nil {
		t.Fatal(err)
	}
	years := valley(t, 20, 0)
	for i := range years {
		f := stand.NewForcing(&years[i])
		sched := stand.Schedule{Use: crop.Wrap, Residual: residual, Nitrogen: []float64{80, 60}, Seedbed: stand.Seedbed{Misfortune: 0.5}}
		for _, day := range cuts {
			sched.Cuts = append(sched.Cuts, int(day.OnOrAfter(years[i].First)-years[i].First))
		}
		if sched.Sow, sched.Before = s.SowingDay(&mix, f, &years[i], nil, nil); sched.Sow != stand.Unsown {
			uses = append(uses, s.Alone(s.Climate(f), &mix, sched, nil))
		}
	}
	return uses
}

// Wilting from 85 to 55 % takes 4.4 lb of water off each lb of dry matter, and no
// single dry day of a showery July does it under two tons to the acre.
func TestWiltingTakesMoreThanADay(t *testing.T) {
	moisture, n := 0.0, 0.0
	for _, u := range grown(t, 0) {
		if len(u) > 0 {
			moisture, n = moisture+1-u[0].Herbage.DMShare, n+1
		}
	}
	if m := moisture / n; m < 0.83 || m > 0.87 {
		t.Errorf("at its height for bales it holds %.0f %% water, known 85", 100*m)
	}
	if water := conserve.DryBasis(0.85) - conserve.DryBasis(0.55); math.Abs(water-4.44) > 0.01 {
		t.Errorf("%.2f lb of water for each lb of dry matter, want 4.44", water)
	}
	density := 1000 * float64(2*quantity.TonPerAcre) // g/m²
	driest, days := 1.0, 0
	years := valley(t, 30, 0)
	for i := range years {
		f := stand.NewForcing(&years[i])
		for d := 1; d+1 < f.Days(); d++ {
			day := f.Day(d)
			// July, a dry day between two wet ones.
			if day.YearDay < 182 || day.YearDay > 212 || day.Rain > 1 || f.Day(d-1).Rain <= 1 || f.Day(d+1).Rain <= 1 {
				continue
			}
			days++
			sun := 1.2 * day.Solar * 1e6 / (day.Daylight * 3600) // as the season has it: the hours in which a swath dries
			k := conserve.DryingRate(sun, day.VPD, 15, density, 1)
			driest = min(driest, conserve.WetBasis(conserve.MoistureAfter(conserve.DryBasis(0.85), k, 9)))
		}
	}
	t.Logf("%d single dry days in 30 Julys: the best leaves %.0f %%", days, 100*driest)
	if days < 20 {
		t.Errorf("only %d single dry days: July is not showery", days)
	}
	if driest <= 0.55 {
		t.Errorf("one day dries it to %.0f %%", 100*driest)
	}
}

// The plan waits rather than bales at 70 %: nothing is wrapped above 65 %, most at
// 60 or below, and a swath that showers catch lies longer.
func TestThePlanWaits(t *testing.T) {
	f := read(t, document(t, "showers"))
	r := lived(t, f, valley(t, 30, 0))
	lots, waited, late := 0, 0, 0
	for i := range r.Years {
		mown := map[int16]quantity.Date{}
		for _, e := range r.Years[i].Events {
			if f.Fields[max(0, e.Field)].Name != "Church Piece" && f.Fields[max(0, e.Field)].Name != "Lane Piece" {
				continue
			}
			switch {
			case e.Kind == season.Cut:
				mown[e.Field] = e.Date
			case e.Kind == season.Stored && e.Use == crop.Wrap:
				lots++
				if m := 1 - e.DMShare; m > 0.65+1e-9 {
					t.Errorf("%v: wrapped at %.0f %%", e.Date, 100*m)
				} else if m > 0.60+1e-9 {
					late++
				}
				if e.Date-mown[e.Field] >= 2 {
					waited++
				}
			case e.Kind == season.Stored && e.Use == crop.Hay:
				t.Errorf("%v: dry hay", e.Date)
			}
		}
	}
	t.Logf("%d lots, %d of swaths that lay two days or more, %d wrapped above 60 %%", lots, waited, late)
	if lots < 30 || waited < lots/4 || late > lots/10 {
		t.Errorf("%d lots, %d waited, %d above 60 %%", lots, waited, late)
	}
}

// Stubble: 5 to 7 in under sorghum, 3 to 4 under teff; cut at 2 in, the second crop
// is smaller.
func TestStubble(t *testing.T) {
	c := catalogue(t)
	for _, k := range []struct {
		name      string
		low, high float64
	}{{"sorghum-sudangrass", 5, 7}, {"teff", 3, 4}} {
		for _, use := range []crop.Use{crop.Wrap, crop.Chop} {
			if got := c.Find(k.name).Uses[use].Residual.Inches(); got < k.low-1e-9 || got > k.high+1e-9 {
				t.Errorf("%s for %v: a stubble of %.1f in, want %g to %g", k.name, use, got, k.low, k.high)
			}
		}
	}
	second := func(residual float64) (sum float64) {
		for _, u := range grown(t, residual, quantity.MonthDay{Month: 7, Day: 28}, quantity.MonthDay{Month: 9, Day: 12}) {
			if len(u) > 1 {
				sum += u[1].Herbage.DM
			}
		}
		return sum
	}
	usual, low := second(0), second(2*2.54)
	t.Logf("second crops at 2 in: %.0f %% of those at the rule's stubble", 100*low/usual)
	if low >= 0.85*usual {
		t.Errorf("cut at 2 in costs no regrowth: %.2f", low/usual)
	}
}

// A wrapped lot at pH 5.6 is not for ewes.
func TestSourLotIsHeldForEwes(t *testing.T) {
	facts := hazard.LotFacts{PH: 5.6, Moisture: 0.55, Strict: true, Known: hazard.KnowLotPH | hazard.KnowLotMoisture}
	g := hazard.Words("wrapped lot", hazard.Wrapped(facts))
	if g.Answer != handbook.Hold || len(g.Reasons) == 0 || !strings.Contains(g.Reasons[0].Text, "horses or sheep") {
		t.Errorf("%+v", g)
	}
}

// November: what lies in the row feeds until a day of late winter, in the bad case
// no later than in the middle one.
func TestNovemberRunOut(t *testing.T) {
	years := valley(t, 30, 0)
	until := func(tons string) (middle, bad quantity.Date, both bool) {
		f := read(t, document(t, "showers", `amount = "70 ton"`, `amount = "`+tons+`"`))
		r := lived(t, f, years)
		m, ok := r.Years[r.Middle].RunOut(r.Years[r.Middle].First)
		b, ok2 := r.Years[r.Bad].RunOut(r.Years[r.Bad].First)
		// As days of the feed year, so that years compare.
		return m - r.Years[r.Middle].First, b - r.Years[r.Bad].First, ok && ok2
	}
	middle, bad, ok := until("70 ton")
	t.Logf("70 ton last %d days in the middle year, %d in the bad", middle, bad)
	if !ok || middle < 60 || middle > 200 || bad > middle {
		t.Errorf("70 ton last %d days, in the bad year %d (%v)", middle, bad, ok)
	}
	if less, _, ok := until("50 ton"); !ok || less >= middle {
		t.Errorf("50 ton last %d days, 70 ton %d", less, middle)
	}
}

// The best lot goes to the ewes that are near lambing.
func TestBestLotToLateEwes(t *testing.T) {
	f := read(t, document(t, "showers"))
	r := lived(t, f, valley(t, 12, 0))
	lots := account.LotsOf(f, &r.Years[r.Middle])
	if len(lots) < 2 {
		t.Fatalf("%d lots", len(lots))
	}
	for i := range lots {
		t.Logf("%s %v NEL %.2f, %.1f tons: %s, %s", lots[i].Name, lots[i].Stored, lots[i].NEL, lots[i].Tons, lots[i].For, lots[i].Why)
		if lots[i].NEL > lots[0].NEL {
			t.Error("the first lot is not the best")
		}
	}
	if lots[0].For != "Ewes" {
		t.Errorf("the best lot, %s, goes to %s", lots[0].Name, lots[0].For)
	}
}

// Oats sown too late for the place are not sown, and the plan tells the latest useful
// date; sown in time they are.
func TestOatsTooLate(t *testing.T) {
	oats := func(on string) (*farm.Farm, season.Result) {
		f := read(t, document(t, "showers", "crop = \"teff\"\nuse = \"wrap\"\n", "crop = \"oats-fall\"\nuse = \"wrap\"\n"+on))
		return f, lived(t, f, valley(t, 12, 0))
	}
	for _, on := range []string{"on = \"2027-09-15\"\n", "from = \"2027-09-10\"\n"} {
		f, r := oats(on)
		for i := range r.Years {
			if r.Years[i].Sowings[1].Sown != 0 {
				t.Errorf("%d: sown %v with %s", r.Years[i].ID, r.Years[i].Sowings[1].Sown, on)
			}
		}
		if text := screen(t, f, &r); !strings.Contains(text, "not sown in 12 of 12 years: the ground was not ready by 25 Aug, its latest useful date") {
			t.Errorf("the plan does not tell the latest useful date:\n%s", text)
		}
	}
	f, r := oats("on = \"2027-08-03\"\n")
	sown := 0
	for i := range r.Years {
		if r.Years[i].Sowings[1].Sown != 0 {
			sown++
		}
	}
	if sown < 10 {
		t.Errorf("in time, they are sown in %d of 12 years", sown)
	}
	if text := screen(t, f, &r); strings.Contains(text, "not sown in 12") {
		t.Error("the plan says that they are not")
	}
}
