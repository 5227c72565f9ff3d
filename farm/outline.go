package farm

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"

	"rowen/internal/document"
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
	area := quantity.Area(0)
	for i, ring := range p {
		if err := checkRing(ring); err != nil {
			return nil, 0, err
		}
		if i == 0 {
			area = ringArea(ring)
		} else {
			area -= ringArea(ring)
		}
	}
	switch {
	case area <= 0:
		return nil, 0, errors.New("it encloses no area")
	case !ofGround.holds(float64(area)):
		return nil, 0, errors.New("it encloses " + area.String() + ", and " + ofGround.said)
	}
	var ring [][2]float64
	for _, pt := range p[0] {
		ring = append(ring, pt)
	}
	return ring, area, nil
}

// OutlineOf writes a ring as a document's outline, closed, to a tenth of a metre. Holes of
// the outline before it stay.
func OutlineOf(ring [][2]float64, before string) (string, error) {
	var outer orb.Ring
	for _, p := range ring {
		outer = append(outer, orb.Point{math.Round(p[0]*1e6) / 1e6, math.Round(p[1]*1e6) / 1e6})
	}
	if len(outer) > 0 && outer[0] != outer[len(outer)-1] {
		outer = append(outer, outer[0])
	}
	shape := orb.Polygon{outer}
	if g, err := geojson.UnmarshalGeometry([]byte(before)); err == nil {
		if old, ok := g.Geometry().(orb.Polygon); ok && len(old) > 1 {
			shape = append(shape, old[1:]...)
		}
	}
	text, err := json.Marshal(geojson.NewGeometry(shape))
	if err != nil {
		return "", err
	}
	_, _, err = Outline(string(text))
	return string(text), err
}

// Shape is a field's outline with its name, as maps carry them.
type Shape struct {
	Name    string
	Outline string // a GeoJSON Polygon
	Area    quantity.Area
}

// MaxShapes is how many features a map may have: many times the fields of a farm.
const MaxShapes = 2000

// nameKeys are the properties under which maps keep a field's name.
var nameKeys = []string{"name", "Name", "NAME", "field", "Field", "title", "id"}

// ReadShapes reads the polygons of a GeoJSON file (RFC 7946): a feature collection, one
// feature, or a bare geometry. What is no field is left out, and reported with its
// reason. A map of more than MaxShapes features is refused whole.
func ReadShapes(file string, data []byte) ([]Shape, document.Problems) {
	var features []*geojson.Feature
	if c, err := geojson.UnmarshalFeatureCollection(data); err == nil {
		features = c.Features
	} else if f, err := geojson.UnmarshalFeature(data); err == nil && f.Geometry != nil {
		features = []*geojson.Feature{f}
	} else if g, err := geojson.UnmarshalGeometry(data); err == nil {
		features = []*geojson.Feature{geojson.NewFeature(g.Geometry())}
	} else {
		return nil, document.Problems{{File: file, Thing: "map", Remedy: "it is not GeoJSON; export the fields as GeoJSON, longitude and latitude in degrees"}}
	}
	if len(features) > MaxShapes {
		return nil, document.Problems{{File: file, Thing: "map", Value: fmt.Sprintf("%d features", len(features)), Remedy: fmt.Sprintf("%d are the most; export the farm's own fields alone, or bring them in in parts", MaxShapes)}}
	}
	var out []Shape
	var problems document.Problems
	for i, f := range features {
		s := Shape{}
		if f == nil {
			problems = append(problems, document.Problem{File: file, Thing: fmt.Sprintf("feature %d", i+1), Remedy: "it is empty; take it out of the file"})
			continue
		}
		for _, k := range nameKeys {
			if text, ok := f.Properties[k].(string); ok && strings.TrimSpace(text) != "" {
				s.Name = strings.TrimSpace(text)
				break
			}
		}
		thing := fmt.Sprintf("feature %d", i+1)
		if s.Name != "" {
			thing += fmt.Sprintf(" %q", short(s.Name))
		}
		if wrong := document.WrongName(s.Name); wrong != "" {
			problems = append(problems, document.Problem{File: file, Thing: thing, Remedy: wrong})
			continue
		}
		p, ok := f.Geometry.(orb.Polygon)
		if m, many := f.Geometry.(orb.MultiPolygon); many && len(m) == 1 {
			p, ok = m[0], true
		}
		if !ok {
			kind := "nothing"
			if f.Geometry != nil {
				kind = f.Geometry.GeoJSONType()
			}
			problems = append(problems, document.Problem{File: file, Thing: thing, Value: kind, Remedy: "a field is one Polygon; take the others out of the file, or split them into fields of their own"})
			continue
		}
		text, err := json.Marshal(geojson.NewGeometry(p))
		if err == nil {
			s.Outline = string(text)
			_, s.Area, err = Outline(s.Outline)
		}
		if err != nil {
			problems = append(problems, document.Problem{File: file, Thing: thing, Remedy: err.Error()})
			continue
		}
		out = append(out, s)
	}
	if len(out) == 0 && len(problems) == 0 {
		problems = append(problems, document.Problem{File: file, Thing: "map", Remedy: "it holds no field"})
	}
	return out, problems
}

// WriteShapes writes the outlines of a farm's fields as a GeoJSON feature collection.
func WriteShapes(f *Farm) ([]byte, error) {
	c := geojson.NewFeatureCollection()
	for i := range f.Fields {
		x := &f.Fields[i]
		if len(x.Ring) == 0 {
			continue
		}
		var ring orb.Ring
		for _, p := range x.Ring {
			ring = append(ring, orb.Point(p))
		}
		feature := geojson.NewFeature(orb.Polygon{ring})
		feature.Properties = geojson.Properties{"name": x.Name, "area_ha": x.Area.Hectares()}
		c.Append(feature)
	}
	return json.MarshalIndent(c, "", " ")
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
