package conserve

import "math"

// WettestWrapped is the most moisture, wet basis, at which bales are wrapped at all:
// wetter, they ferment badly and may poison.
//
// Source: 40 to 65 % (Ohio State University, read); risk of botulism above 70
// (University of Kentucky, read).
const WettestWrapped = 0.65

// BaleDensity is the low, middle and high of a round bale's density, lb DM/ft³, wet
// or dry.
//
// Source: dry hay 9 to 12, wrapped 10 to 12 (common practice).
func BaleDensity(p Product) (low, middle, high float64) {
	if p == WrappedBale {
		return 10, 11, 12
	}
	return 9, 10.5, 12
}

// BaleWeight is a round bale's dry matter and its weight as it leaves the baler, lb,
// from its diameter and width, ft, density, lb DM/ft³, and moisture, wet basis.
//
// Source: geometry.
func BaleWeight(diameter, width, density, moisture float64) (dry, asFed float64) {
	dry = CylinderVolume(diameter, width) * density
	return dry, dry / (1 - moisture)
}

// WrapLayers is how many layers of 1-mil film a wrapped bale gets.
//
// Source: at least 6 (University of Nebraska and University of Kentucky, read); 8
// where stems are coarse (a film trader's leaflet, read).
func WrapLayers(thick bool) float64 {
	if thick {
		return 8
	}
	return 6
}

// WrapTurns is how often a bale turns under film 30 in wide for so many layers.
//
// Source: 16 turns for 4 layers and 24 for 6 on a bale 4 ft long (a film maker's
// worked example, read); thicker bales by their diameter, ft (geometry).
func WrapTurns(layers, diameter float64) float64 { return 4 * layers * max(1, diameter/4) }

// FilmPerBale is the film that one bale takes off the roll, in the unit of the
// perimeter that it is wrapped around, at so many turns and a stretch of 0.55 to 0.7.
//
// Source: a film maker's worked example (read).
func FilmPerBale(perimeter, turns, stretch float64) float64 {
	return perimeter * turns / (1 + stretch)
}

// RoundPerimeter is what film is wound around on a round bale that lies on its side,
// in the unit of its diameter and width.
//
// Source: geometry.
func RoundPerimeter(diameter, width float64) float64 { return 2 * (diameter + width) }

// FilmRoll is the film on a roll, m.
//
// Source: 1,500 m (a film maker's worked example, read); 5,000 or 6,000 ft
// (University of Kentucky, read).
const FilmRoll = 1500.0

// FilmStretch is by how much film is stretched.
//
// Source: 50 to 70 % (University of Kentucky, read).
const FilmStretch = 0.6

// Containers is how many bales, rolls or loads an amount needs.
//
// Source: definition.
func Containers(amount, each float64) float64 {
	if each <= 0 || amount <= 0 {
		return 0
	}
	return math.Ceil(amount/each - 1e-9)
}

// ChoppedDensity is chopped haylage in a bunker, lb DM/ft³.
//
// Source: 14 to 16 at least, 18 the aim (Cornell University, read).
const ChoppedDensity = 15.0
