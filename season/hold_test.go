package season

import (
	"context"
	"path/filepath"
	"testing"

	"rowen/crop"
	"rowen/farm"
	"rowen/handbook"
	"rowen/stand"
	"rowen/weather"
)

// matter is tops and reserves: leaving a paddock moves stubble into reserves, which
// no animal ate.
func matter(st *stand.State) float64 {
	m := st.Mass()
	for i := range st.Parts {
		m += st.Parts[i].Reserve
	}
	return m
}

// On every day of every year, the ground that lost herbage to a group's mouths was
// not under a Hold for that group. The check looks at masses and verdicts of the
// day, not at what the run wrote down about them.
func TestNoMouthfulUnderHold(t *testing.T) {
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	holds, mouthfuls := 0, 0
	for _, name := range []string{"dairy", "beef", "sheep"} {
		f, err := farm.Read(filepath.Join("..", "examples", name+".toml"), c)
		if err != nil {
			t.Fatal(err)
		}
		s := weather.Valley(16, 2020)
		s.Prepare()
		years, _ := s.FeedYears(f.FeedYear, 15)
		m, problems := Compile(f, &f.Plan, years)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		opening, err := m.SpunUp(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		for index := range m.years {
			var out YearResult
			r := newRunner(m, index, &opening, &out)
			for r.now.Day < r.y.days {
				r.morning()
				r.cut()
				before := make([]float64, len(r.now.Plots))
				for i := range before {
					before[i] = matter(&r.now.Plots[i].Stand)
				}
				r.feed()
				for i := range before {
					held := max(r.today[i].prussic.Answer, r.today[i].nitrate.Answer) == handbook.Hold
					if held {
						holds++
					}
					if matter(&r.now.Plots[i].Stand) >= before[i]-1e-9 {
						continue
					}
					mouthfuls++
					if held {
						t.Errorf("%s %d: %v: plot %d was grazed under a Hold", name, m.years[index].id, r.date, i)
					}
				}
				r.age()
				r.book()
				r.now.Day++
			}
		}
	}
	if holds == 0 || mouthfuls == 0 {
		t.Errorf("%d Holds and %d grazings seen: the test looks in the wrong place", holds, mouthfuls)
	}
	t.Logf("%d plot-days under a Hold, %d grazed", holds, mouthfuls)
}

// A tall millet makes no short sorghum safe: the gate reads the lowest part that
// carries prussic acid.
func TestMixtureIsJudgedByItsShortSorghum(t *testing.T) {
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	millet, sorghum := c.Find("pearl-millet"), c.Find("sorghum-sudangrass")
	mix, err := crop.Join([]crop.Part{{Crop: millet, Rate: millet.Sowing.Drilled}, {Crop: sorghum, Rate: sorghum.Sowing.Drilled / 2}})
	if err != nil {
		t.Fatal(err)
	}
	soil, err := stand.SoilOf("loam", crop.WellDrained, 6.5, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	m := &Model{climates: new(climates)}
	ph := phase{mix: &mix}
	if err := m.fit(&ph, soil); err != nil {
		t.Fatal(err)
	}
	st := stand.State{}
	st.Parts[0] = stand.Part{Up: true, Leaf: 200, Stem: 200, Bulk: 520}
	st.Parts[1] = stand.Part{Up: true, Leaf: 20, Stem: 5, Bulk: 25}
	if ph.stand.Height(&st) < 90 {
		t.Fatalf("the stand is %.0f cm high", ph.stand.Height(&st))
	}
	if h := ph.riskyHeight(&st); h > 20 {
		t.Errorf("judged at %.0f cm", h)
	}
	st.Parts[1] = stand.Part{} // seed that can still come up
	if h := ph.riskyHeight(&st); h != 0 {
		t.Errorf("seed in the ground is judged at %.0f cm", h)
	}
	st.Parts[1] = stand.Part{Gone: true} // it never established
	if h := ph.riskyHeight(&st); h < 90 {
		t.Errorf("without sorghum the stand is judged at %.0f cm", h)
	}
}
