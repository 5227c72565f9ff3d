package weather

import "rowen/quantity"

// ValleySeed makes the demo's weather; another seed is another valley.
const ValleySeed = 44

// ValleyNormals is the climate of the Winnock valley, which does not exist: cold
// snowy winters, a warm showery summer with a drier July and August, near 43°
// north.
var ValleyNormals = Normals{
	TMax:    [12]float64{-0.5, 1, 6, 13.5, 20.5, 25, 27.5, 26.5, 22, 15, 8, 2},
	TMin:    [12]float64{-10.5, -9.5, -5, 1, 6.5, 11.5, 14, 13, 9, 3, -1.5, -7},
	Rain:    [12]float64{66, 58, 74, 82, 92, 98, 94, 92, 90, 88, 84, 74},
	WetDays: [12]float64{12, 10.5, 12, 12, 12.5, 11.5, 10.5, 10, 9.5, 10.5, 12, 12.5},
	SDMax:   [12]float64{6.2, 6.0, 6.2, 5.9, 5.2, 4.2, 3.5, 3.6, 4.5, 5.2, 5.6, 5.8},
	SDMin:   [12]float64{7.6, 7.2, 5.9, 4.6, 4.6, 4.1, 3.5, 3.8, 4.8, 4.8, 5.2, 6.4},
}

// ValleyStation is where the valley lies.
var ValleyStation = Station{ID: "winnock", Name: "Winnock valley (invented)", Latitude: 43.0, Longitude: -74.5, Elevation: 260}

// Valley is the demo valley's weather: so many calendar years up to 31 December
// of the last.
func Valley(years, last int) *Series {
	g := FromNormals(ValleyStation, &ValleyNormals)
	return g.Generate(ValleySeed, quantity.NewDate(last-years+1, 1, 1), years)
}
