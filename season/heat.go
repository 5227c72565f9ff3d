package season

import (
	"rowen/handbook/comfort"
	"rowen/handbook/evapo"
	"rowen/herd"
	"rowen/weather"
)

// heatIndex is the mean temperature-humidity index of a day: its mean air with the
// day's vapour.
func heatIndex(d *weather.Day) float64 {
	t := (d.TMin + d.TMax) / 2
	return comfort.HeatIndex(t, min(1, d.Vapour/evapo.SaturationPressure(t)))
}

// hot is the day's stress, by the air while cattle graze: the day's warm half.
func hot(d *weather.Day) comfort.Heat {
	t := (d.TMin + 3*d.TMax) / 4
	return comfort.Stress(comfort.HeatIndex(t, min(1, d.Vapour/evapo.SaturationPressure(t))))
}

// appetite is what heat leaves of a group's intake today: cows in milk feel it, the
// others' published losses are small.
func (r *runner) appetite(g int) float64 {
	if r.m.groups[g].class != herd.DairyLactating {
		return 1
	}
	return comfort.IntakeFactor(heatIndex(&r.y.weather[r.day]))
}

// mayUse tells whether a group can use a field at all: cows in milk go where a lane
// leads, and no group where there is no water.
func (r *runner) mayUse(g, i int) bool {
	f := &r.m.farm.Fields[r.m.plots[i].field]
	if !f.Water {
		return false
	}
	return f.Ground.Lane || r.m.groups[g].class != herd.DairyLactating
}
