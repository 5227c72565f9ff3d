package farm

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Bounds of a ring that can be a field's.
const (
	mostPoints  = 5000
	mostSpan    = 1.0  // degrees of longitude or latitude; some 110 km
	mostPolar   = 85.0 // degrees of latitude: beyond it nothing grows, and maps tear
	leastPoints = 4    // a triangle, closed
)

// checkRing tells why a ring cannot be a field's or a hole's: an area is worked out of any
// ring, and that of one which crosses itself or goes round a pole means nothing.
func checkRing(ring orb.Ring) error {
	for _, pt := range ring {
		if !(math.Abs(pt[0]) <= 180 && math.Abs(pt[1]) <= 90) {
			return fmt.Errorf("point %v, %v is no longitude and latitude", pt[0], pt[1])
		}
	}
	switch {
	case len(ring) < leastPoints:
		return errors.New("a ring has at least four points, the last equal to the first")
	case len(ring) > mostPoints:
		return fmt.Errorf("a ring of %d points; draw the field with %d at most", len(ring), mostPoints)
	}
	ring = unwrapped(ring)
	b := ring.Bound()
	if b.Min[1] < -mostPolar || b.Max[1] > mostPolar {
		return fmt.Errorf("it lies beyond %g degrees of latitude; give longitude first, latitude second", mostPolar)
	}
	if b.Max[0]-b.Min[0] > mostSpan || b.Max[1]-b.Min[1] > mostSpan {
		return fmt.Errorf("it spans more than %g degree; draw the field itself, in degrees of longitude and latitude", mostSpan)
	}
	if at, crosses := crossing(ring); crosses {
		return fmt.Errorf("its line crosses itself near %.6f, %.6f; draw it once round the field", at[0], at[1])
	}
	return nil
}

// unwrapped is a ring whose longitudes do not jump where the map's edge cuts it.
func unwrapped(ring orb.Ring) orb.Ring {
	out := slices.Clone(ring)
	for i := range out {
		switch turn := out[i][0] - out[0][0]; {
		case turn > 180:
			out[i][0] -= 360
		case turn < -180:
			out[i][0] += 360
		}
	}
	return out
}

// side is one side of a ring.
type side struct{ a, b orb.Point }

func (s side) west() float64 { return min(s.a[0], s.b[0]) }
func (s side) east() float64 { return max(s.a[0], s.b[0]) }

// crossing is where two sides of a ring cross. Sides that only touch do not: maps are full
// of fields that do.
func crossing(ring orb.Ring) (orb.Point, bool) {
	sides := make([]side, len(ring))
	for i := range ring {
		sides[i] = side{ring[i], ring[(i+1)%len(ring)]}
	}
	// From west to east each side is held against those that begin before it ends.
	slices.SortFunc(sides, func(s, t side) int { return cmp.Compare(s.west(), t.west()) })
	for i, s := range sides {
		for _, t := range sides[i+1:] {
			if t.west() > s.east() {
				break
			}
			if apart(s, t.a, t.b) && apart(t, s.a, s.b) {
				return t.a, true
			}
		}
	}
	return orb.Point{}, false
}

// apart tells whether two points lie on different sides of a side's line, and neither on it.
func apart(s side, p, q orb.Point) bool {
	turn := func(p orb.Point) float64 {
		return (s.b[0]-s.a[0])*(p[1]-s.a[1]) - (s.b[1]-s.a[1])*(p[0]-s.a[0])
	}
	u, v := turn(p), turn(q)
	return u > 0 && v < 0 || u < 0 && v > 0
}
