package farm_test

import (
	"testing"

	"rowen/farm"
)

// Whatever a map holds is a field that a document can carry, or a problem that says why
// not.
func FuzzReadShapes(f *testing.F) {
	f.Add([]byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"A"},"geometry":{"type":"Polygon","coordinates":[[[0,0],[0.001,0],[0.001,0.001],[0,0]]]}}]}`))
	f.Add([]byte(`{"type":"MultiPolygon","coordinates":[[[[0,0],[1,0],[1,1],[0,0]]]]}`))
	f.Add([]byte(`{"type":"Polygon","coordinates":[[[0,89],[90,89],[180,89],[-90,89],[0,89]]]}`))
	f.Add([]byte(`{"type":"Polygon","coordinates":[[[-74.48,43.0],[-74.47,43.01],[-74.47,43.0],[-74.48,43.012],[-74.48,43.0]]]}`))
	f.Add([]byte(`{"type":"Feature","geometry":null}`))
	f.Add([]byte(`{"type":"FeatureCollection","features":[null]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		shapes, problems := farm.ReadShapes("map", data)
		if len(shapes) == 0 && len(problems) == 0 {
			t.Fatal("neither a field nor a problem")
		}
		for _, s := range shapes {
			ring, area, err := farm.Outline(s.Outline)
			if err != nil || area != s.Area || len(ring) < 4 || !(area.Hectares() <= 100000) {
				t.Fatalf("%q: %v, %v and %v", s.Outline, err, area, s.Area)
			}
		}
	})
}
