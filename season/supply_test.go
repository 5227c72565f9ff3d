package season_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"rowen/feed"
	"rowen/season"
)

// A field alone gives something each year, its pastures in the grazing season
// only, and at most what it grew.
func TestAlone(t *testing.T) {
	ctx := context.Background()
	f := load(t, "dairy")
	m, r := run(t, f, 8, 0)
	open, err := m.SpunUp(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for i := range f.Fields {
		a, err := m.Alone(&open, i, nil)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for k, id := range m.Years() {
			s, err := a.Grow(ctx, id)
			if err != nil {
				t.Fatal(err)
			}
			year := 0.0
			for _, x := range s.Takes {
				if x.Kind == feed.Pasture && x.Row < 12 { // before 1 May
					t.Errorf("%s is grazed in half-month %d", f.Fields[i].Name, x.Row)
				}
				if x.DM <= 0 || x.Analysis.CP <= 0 || x.Analysis.NEL <= 0 {
					t.Errorf("%s: a take without mass or analysis: %+v", f.Fields[i].Name, x)
				}
				year += x.DM
			}
			// Alone a field is cut back at its best, so it may outgrow the coupled
			// run, never by half. A field with sowings grows something else there.
			sown := false
			for j := range f.Plan.Sowings {
				sown = sown || f.Plan.Sowings[j].Field == i
			}
			grown := r.Years[k].Fields[i].Grown / (float64(f.Fields[i].Area) / 1e4)
			if !sown && year > 1.5*grown+1 {
				t.Errorf("%s %d gives %.0f kg/ha alone, the coupled run grew %.0f", f.Fields[i].Name, id, year, grown)
			}
			sum += year
		}
		if sum == 0 && len(f.Fields[i].Stands.Parts) > 0 {
			t.Errorf("%s never gives anything", f.Fields[i].Name)
		}
	}
	a, err := m.Alone(&open, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := a.Grow(ctx, 1); !errors.Is(err, season.ErrYear) {
		t.Errorf("an unknown year: %v", err)
	}
	if _, err := m.Alone(&open, 99, nil); err == nil {
		t.Error("an unknown field was grown")
	}
}

// A sowing grown alone does what it does in the plan: it is sown and used, and its
// money is that of the ledger for the same area, but for the bales.
func TestAloneSowing(t *testing.T) {
	ctx := context.Background()
	f := load(t, "dairy")
	m, r := run(t, f, 8, 0)
	open, err := m.SpunUp(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for j := range f.Plan.Sowings {
		s := &f.Plan.Sowings[j]
		if s.Area > 0 {
			continue
		}
		a, err := m.Alone(&open, s.Field, f.Plan.Sowings[j:j+1])
		if err != nil {
			t.Fatal(err)
		}
		sown, ran := 0, 0
		for k, id := range m.Years() {
			got, err := a.Grow(ctx, id)
			if err != nil {
				t.Fatal(err)
			}
			sown += got.Sown
			if r.Years[k].Sowings[j].Sown != 0 {
				ran++
			}
			if got.Sown > 0 && (got.Cost <= 0 || len(got.Work) == 0) {
				t.Errorf("%s %d: sown for %g with %d works", s.Mix.Name, id, got.Cost, len(got.Work))
			}
		}
		if d := sown - ran; d < -1 || d > 1 {
			t.Errorf("%s is sown in %d years alone, in %d on the farm", s.Mix.Name, sown, ran)
		}
	}
}

// What the groups need by half-month is what the ledger's rows demand.
func TestEaters(t *testing.T) {
	f := load(t, "dairy")
	m, r := run(t, f, 1, 0)
	for g, e := range m.Eaters() {
		for h := range season.HalfMonths {
			want := r.Years[0].Groups[g].Ledger[h].Demand
			// Heat takes appetite away on some days.
			if got := e.Demand[h].DM; got < want-1e-6 || got > want*1.1+1e-6 {
				t.Errorf("%s in half-month %d needs %.1f, the ledger says %.1f", e.Name, h, got, want)
			}
		}
		if e.Share > 0 && math.Abs(e.Share-0.30) > 1e-12 {
			t.Errorf("%s: the rule's share is %g", e.Name, e.Share)
		}
	}
	if len(m.Market()) != 4 || len(m.Barns()) != 3 {
		t.Errorf("%d feeds, %d stores", len(m.Market()), len(m.Barns()))
	}
}
