package steer_test

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"rowen/crop"
	"rowen/journal"
	"rowen/quantity"
	"rowen/steer"
)

// review looks back from a day.
func (o *october) review(on string) *steer.Review {
	o.t.Helper()
	day := o.at(on)
	years, known, err := o.series.Present(o.farm.FeedYear, day)
	if err != nil {
		o.t.Fatal(err)
	}
	v, err := steer.ReviewOf(context.Background(), &steer.Request{Farm: o.farm, Catalogue: catalogue, Entries: journal.Standing(o.entries), Years: years, Known: known, Today: day, Seed: 1})
	if err != nil {
		o.t.Fatal(err)
	}
	return v
}

func said(reasons []string, words string) bool {
	return slices.ContainsFunc(reasons, func(r string) bool { return strings.Contains(r, words) })
}

// What was written down stands there as it was written; what grazing took is
// estimated, with a range.
func TestReviewHoldsPlanAgainstJournal(t *testing.T) {
	o := newOctober(t, "", nil)
	o.say("2025-07-15 height 40 in 41 in 39 in on High Piece", "2025-07-20 grazed High Piece in Cows", "2025-07-27 grazed High Piece out residual 8 in", "2025-08-02 hail High Piece",
		"2025-09-25 cut Low Piece wrap stubble 6 in")
	v := o.review("2025-10-31")
	if !v.Whole || v.First != o.at("2024-11-01") {
		t.Errorf("feed year from %s, whole %v", v.First, v.Whole)
	}
	low, high := &v.Sowings[0], &v.Sowings[1]
	if !low.Written || low.Sown != o.at("2025-06-05") || low.FirstUse != o.at("2025-08-20") {
		t.Errorf("Low Piece: %+v", low)
	}
	if high.FirstUse != o.at("2025-07-20") || high.Planned.Share == 0 || high.Opens >= high.Closes {
		t.Errorf("High Piece: %+v", high)
	}
	cut := &v.Fields[0]
	if want := 60 * 900 * 0.45 * 0.45359237; cut.Cuts != 2 || cut.Weighed != 1 || math.Abs(cut.WeighedDM-want) > 1 {
		t.Errorf("weighed %d of %d cuts: %g kg, want %g", cut.Weighed, cut.Cuts, cut.WeighedDM, want)
	}
	if e := cut.Estimated; !(e.Low > 0 && e.Low <= e.Middle && e.Middle < e.High) || !said(cut.Reasons, "without weight and moisture") {
		t.Errorf("the cut that was not weighed: %+v %q", e, cut.Reasons)
	}
	grazed := &v.Fields[1]
	if g := grazed.Grazed; grazed.Grazings != 1 || !(g.Low > 0 && g.Low <= g.Middle && g.Middle < g.High) {
		t.Errorf("grazed %+v", grazed)
	}
	if !said(grazed.Reasons, "hail on 2 Aug") || len(grazed.Heights) != 1 || math.Abs(grazed.Heights[0].Seen-40*2.54) > 0.1 {
		t.Errorf("%q %+v", grazed.Reasons, grazed.Heights)
	}
	// A taller stand than expected moves the estimate up.
	tall := newOctober(t, "", nil)
	tall.say("2025-07-15 height 60 in 61 in 59 in on High Piece", "2025-07-20 grazed High Piece in Cows", "2025-07-27 grazed High Piece out residual 8 in")
	more := tall.review("2025-10-31").Fields[1]
	if more.Grazed.Middle <= grazed.Grazed.Middle || more.Heights[0].Expected != grazed.Heights[0].Expected {
		t.Errorf("60 in gives %+v, 40 in %+v; expected %+v and %+v", more.Grazed, grazed.Grazed, more.Heights, grazed.Heights)
	}
	for _, s := range v.Stored {
		if s.Use == crop.Wrap && (s.Lots != 2 || s.Weighed != 1 || math.Abs(s.DM-cut.WeighedDM) > 1e-9) {
			t.Errorf("stored %+v", s)
		}
	}
}

// Nothing written down is unknown, whatever the plan says.
func TestReviewOfNothingIsUnknown(t *testing.T) {
	o := newOctober(t, "", nil)
	o.entries = nil
	v := o.review("2025-10-31")
	for _, s := range v.Sowings {
		if s.Written || s.Sown != 0 || s.FirstUse != 0 || !said(s.Reasons, "unknown") {
			t.Errorf("sowing %+v", s)
		}
	}
	for _, f := range v.Fields {
		if f.Written() || f.Taken() != (steer.Spread{}) || f.Growth != 0 || !said(f.Reasons, "unknown") {
			t.Errorf("field %+v", f)
		}
		if f.PlannedGrazed.Middle <= 0 {
			t.Errorf("field %d: nothing planned", f.Index)
		}
	}
	for _, s := range v.Stored {
		if s.Lots != 0 || s.DM != 0 {
			t.Errorf("stored %+v", s)
		}
	}
}

// Each difference of a sowing from its plan is named.
func TestReviewSowingReasons(t *testing.T) {
	for name, c := range map[string]struct {
		say  []string
		want string
	}{
		"late":                {[]string{"2025-08-09 sowed Low Piece sorghum-sudangrass 40 lb/ac"}, "past its latest useful day"},
		"early":               {[]string{"2025-05-02 sowed Low Piece sorghum-sudangrass 40 lb/ac"}, "before its window opened"},
		"cold":                {[]string{"2025-05-02 sowed Low Piece sorghum-sudangrass 40 lb/ac"}, "the soil held its warmth only on"},
		"no use":              {[]string{"2025-06-20 sowed Low Piece sorghum-sudangrass 40 lb/ac"}, "its first use is unknown"},
		"use":                 {[]string{"2025-06-05 sowed Low Piece sorghum-sudangrass 40 lb/ac", "2025-09-20 cut Low Piece wrap"}, "after the plan's usual day"},
		"other stand":         {[]string{"2025-06-05 sowed Low Piece teff 8 lb/ac"}, "whether and when is unknown"},
		"last year's":         {[]string{"2024-06-05 sowed Low Piece sorghum-sudangrass 40 lb/ac"}, "whether and when is unknown"},
		"ploughed before use": {[]string{"2025-06-05 sowed Low Piece sorghum-sudangrass 40 lb/ac", "2025-08-01 tilled Low Piece", "2025-09-20 cut Low Piece wrap"}, "its first use is unknown"},
	} {
		o := newOctober(t, "", nil)
		o.entries = nil
		o.say(c.say...)
		if s := o.review("2025-10-31").Sowings[0]; !said(s.Reasons, c.want) {
			t.Errorf("%s: no %q in %q", name, c.want, s.Reasons)
		}
	}
}

// Two stands on one field in a year: what the first gave is not forgotten.
func TestReviewKeepsBothStands(t *testing.T) {
	o := newOctober(t, "", nil)
	o.say("2025-09-02 tilled Low Piece", "2025-09-05 sowed Low Piece oats 90 lb/ac")
	f := o.review("2025-10-31").Fields[0]
	if len(f.Stands) != 2 || f.Cuts != 1 || f.Weighed != 1 {
		t.Errorf("stands %q, %d cuts", f.Stands, f.Cuts)
	}
	// A day of cut and sowing: the cut is the old stand's.
	o = newOctober(t, "", nil)
	o.entries = nil
	o.say("2025-06-05 sowed Low Piece sorghum-sudangrass 40 lb/ac", "2025-08-20 cut Low Piece wrap 10 bales 900 lb 55 %", "2025-08-20 sowed Low Piece oats 90 lb/ac", "2025-10-20 cut Low Piece wrap 5 bales 900 lb 55 %")
	f = o.review("2025-10-31").Fields[0]
	if want := 15 * 900 * 0.45 * 0.45359237; f.Cuts != 2 || math.Abs(f.WeighedDM-want) > 1 {
		t.Errorf("%d cuts, %g kg; want 2, %g", f.Cuts, f.WeighedDM, want)
	}
}

// The year's weather takes its place among the other years'.
func TestReviewRanksWeather(t *testing.T) {
	o := newOctober(t, "", map[string]float64{"2025-09-02": 30})
	for d := o.at("2025-04-01"); d <= o.at("2025-10-31"); d++ {
		o.series.Days[d-o.series.First].Rain = 0
	}
	v := o.review("2025-10-31")
	if x := v.Weather[steer.RainGrowth]; !x.Known || x.Rank != 1 || x.Value != 0 || x.Of != v.Years+1 || x.Usual < 100 {
		t.Errorf("no rain since April: %+v", x)
	}
	if x := v.Weather[steer.AutumnFrost]; !x.Known || x.On != o.at("2025-09-02") || x.Rank > 2 || x.Of < v.Years {
		t.Errorf("a frost on 2 September: %+v", x)
	}
	v = o.review("2025-05-10")
	if v.Whole || v.Weather[steer.AutumnFrost].Known || v.Weather[steer.SpringFrost].Known {
		t.Errorf("in May the frosts are told already: %+v", v.Weather)
	}
	grown := func(on string) float64 { return o.review(on).Fields[1].PlannedGrazed.Middle }
	if may, whole := grown("2025-05-10"), grown("2025-10-31"); may != 0 || whole <= 0 || quantity.Mass(whole) <= 0 {
		t.Errorf("planned by May %g, in the whole year %g", may, whole)
	}
}

// The same question has the same answer, whoever asks first.
func TestReviewIsDeterministic(t *testing.T) {
	o := newOctober(t, "", nil)
	o.say("2025-07-15 height 40 in on High Piece", "2025-07-27 grazed High Piece out residual 8 in")
	a, b := o.review("2025-09-30"), o.review("2025-09-30")
	for i := range a.Fields {
		if a.Fields[i].Grazed != b.Fields[i].Grazed || a.Fields[i].Estimated != b.Fields[i].Estimated || a.Fields[i].PlannedCut != b.Fields[i].PlannedCut {
			t.Errorf("%+v\n%+v", a.Fields[i], b.Fields[i])
		}
	}
}
