package farm

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"

	"rowen/quantity"
)

// Outline reads a field's outline, a GeoJSON Polygon (RFC 7946, longitude first),
// and gives its outer ring and its area without holes.
func Outline(text string) ([][2]float64, quantity.Area, error) {
	g, err := geojson.UnmarshalGeometry([]byte(text))
	if err != nil {
		return nil, 0, fmt.Errorf("not GeoJSON: %w", err)
	}
	p, ok := g.Geometry().(orb.Polygon)
	if !ok || len(p) == 0 {
		return nil, 0, errors.New("a GeoJSON Polygon is wanted, one outer ring first")
	}
	var ring [][2]float64
	for _, pt := range p[0] {
		if !(math.Abs(pt[0]) <= 180 && math.Abs(pt[1]) <= 90) {
			return nil, 0, fmt.Errorf("point %v, %v is no longitude and latitude", pt[0], pt[1])
		}
		ring = append(ring, [2]float64{pt[0], pt[1]})
	}
	if len(ring) < 4 {
		return nil, 0, errors.New("a ring has at least four points, the last equal to the first")
	}
	area := ringArea(p[0])
	for _, hole := range p[1:] {
		area -= ringArea(hole)
	}
	if area <= 0 {
		return nil, 0, errors.New("it encloses no area")
	}
	return ring, area, nil
}

// World Geodetic System 1984 and its sphere of equal area.
const (
	wgsE        = 0.0818191908426215 // first eccentricity
	authalicR   = 6371007.180918475  // m
	authalicTop = 1.9955310875028367 // q at the pole
)

// ringArea is a ring's area on the ellipsoid, by the sphere of equal area:
// latitudes become authalic, longitudes stay.
//
// Source: Snyder 1987, Map Projections: A Working Manual, USGS Professional Paper
// 1395, eqs 3-11, 3-12 (from memory).
func ringArea(ring orb.Ring) quantity.Area {
	sum := 0.0
	for i := range ring {
		a, b := ring[i], ring[(i+1)%len(ring)]
		turn := b[0] - a[0]
		if turn > 180 {
			turn -= 360
		} else if turn < -180 {
			turn += 360
		}
		sum += turn * math.Pi / 180 * (2 + authalicSine(a[1]) + authalicSine(b[1]))
	}
	return quantity.Area(math.Abs(sum * authalicR * authalicR / 2))
}

// authalicSine is the sine of the authalic latitude of a latitude in degrees.
func authalicSine(latitude float64) float64 {
	s := math.Sin(latitude * math.Pi / 180)
	q := (1 - wgsE*wgsE) * (s/(1-wgsE*wgsE*s*s) - math.Log((1-wgsE*s)/(1+wgsE*s))/(2*wgsE))
	return q / authalicTop
}
