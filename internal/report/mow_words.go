package report

import (
	"fmt"

	"rowen/crop"
	"rowen/feed"
	"rowen/handbook/conserve"
	"rowen/handbook/hazard"
)

// evenChance is the least probability at which a day to mow is named.
const evenChance = 0.5

// mowAdvice names the day to mow, or says to wait.
func mowAdvice(x *MowFacts, best int) string {
	rule := &x.Field.History.Course.Mix.Uses[x.Swath.Use]
	switch {
	case x.Swath.Yield.Middle < rule.MinYield:
		return fmt.Sprintf("wait: %s stands there, less than the %s worth the work", yield(x.Swath.Yield.Middle/1000, x.Units), yield(rule.MinYield/1000, x.Units))
	case best < 0:
		return "no day of the coming week brings it in before rain: wait"
	}
	b := &x.Windows[best]
	chance := fmt.Sprintf("in before the next rain in %.0f of 100", 100*b.Dry)
	if b.Dry < evenChance {
		return fmt.Sprintf("no day of the coming week gives an even chance; the best is %s, %s: wait, and ask again with a forecast", shortDate(b.Mow), chance)
	}
	return fmt.Sprintf("mow on %s: %s, in by %s", shortDate(b.Mow), chance, b.In)
}

// mowCautions are what a person must heed beside the days.
func mowCautions(x *MowFacts) (out []string) {
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	s := x.Swath
	if x.Field.History.Measured == 0 {
		say("nobody measured this growth: its yield and all that follows are a wide guess; measure its height and write it down")
	}
	say("leave %s of stubble: lower, it comes back slower and soil comes into the feed", stick(s.Residual, x.Units))
	switch s.Use {
	case crop.Wrap:
		say("wait rather than bale at 70 %%: bales wetter than %.0f %% ferment badly and may carry botulism", 100*conserve.WettestWrapped)
		say("wrap within two hours of baling; do not feed for %d days", feedingWait(x))
	case crop.Chop:
		say("wait rather than chop wetter than 65 %%: it runs juice and ferments badly")
		say("do not feed for %d days; stay away from the silo for three weeks: silo gas kills", feedingWait(x))
	case crop.Hay:
		_, small := conserve.Moisture(conserve.SmallBaleHay)
		_, large := conserve.Moisture(conserve.LargeBaleHay)
		say("measure moisture in several windrows: large bales up to %.0f %%, small up to %.0f; wetter hay heats and can burn", 100*large, 100*small)
		say("take its temperature daily for six weeks")
		for _, fahrenheit := range [...]float64{120, 140, 150, 160} {
			say("from %.0f °F (%.0f °C) inside: %s", fahrenheit, (fahrenheit-32)/1.8, conserve.HeatAction(fahrenheit))
		}
	}
	if s.Thick {
		say("thick stems: the drying equation was fitted to alfalfa and is stretched here; half of its rate to all of it is reckoned, and it may be worse")
		say("crush the stems with rollers, tines do little (Cornell University); lay it wide")
	}
	return out
}

// feedingWait is how many days what was ensiled waits before it is fed.
func feedingWait(x *MowFacts) int {
	risk := hazard.NoPrussic
	for _, p := range x.Field.History.Course.Mix.Parts {
		risk = max(risk, p.Crop.Prussic)
	}
	answer, _ := x.Field.Safety()
	return max(feed.FermentDays, hazard.StoreWait(risk, hazard.Ensiling, answer))
}

// mowAssumed are what the figures rest on.
func mowAssumed(x *MowFacts) (out []string) {
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	say("today's yield and moisture: what grows until the day of mowing is not counted")
	say("mown when the dew is off, nine drying hours a day; dew that falls on it is not counted (common practice)")
	say("ground under the swath from 15 %% moisture where it lies 2 in below field capacity to 25 %% at it (common practice)")
	if x.Swath.Use != x.Field.History.Course.Use {
		say("the gates were asked for %s, the field's next use", useWords(x.Field.History.Course.Use))
	}
	if x.Swath.Use == crop.Chop {
		say("%s a load as fed (common practice), %.0f lb DM/ft³ in the bunker", smallMass(float64(x.Load), x.Units), conserve.ChoppedDensity)
	} else {
		say("bale density and size (common practice): weigh three")
	}
	return out
}
