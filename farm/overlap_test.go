package farm_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"rowen/farm"
)

// box is a field from a south-western corner, its sides in thousandths of a degree; what
// is inside may be taken out as a hole.
func box(t *testing.T, name string, x, y, wide, high float64, hole ...float64) farm.Shape {
	t.Helper()
	ring := func(x, y, wide, high float64) string {
		at := func(dx, dy float64) string { return fmt.Sprintf("[%.7f,%.7f]", -74.48+(x+dx)/1e3, 43+(y+dy)/1e3) }
		return "[" + strings.Join([]string{at(0, 0), at(wide, 0), at(wide, high), at(0, high), at(0, 0)}, ",") + "]"
	}
	rings := ring(x, y, wide, high)
	if len(hole) > 0 {
		rings += "," + ring(hole[0], hole[1], hole[2], hole[3])
	}
	s := farm.Shape{Name: name, Outline: `{"type":"Polygon","coordinates":[` + rings + `]}`}
	var err error
	if _, s.Area, err = farm.Outline(s.Outline); err != nil {
		t.Fatal(err)
	}
	return s
}

func TestOverlaps(t *testing.T) {
	all := func(int) bool { return true }
	whole := box(t, "whole", 0, 0, 1, 1)
	for name, c := range map[string]struct {
		a, b  farm.Shape
		share float64 // of whole
	}{
		"the same":               {whole, box(t, "b", 0, 0, 1, 1), 1},
		"half":                   {whole, box(t, "b", 0.5, 0, 1, 1), 0.5},
		"a corner":               {whole, box(t, "b", 0.75, 0.75, 1, 1), 1.0 / 16},
		"across":                 {whole, box(t, "b", -1, 0.4, 3, 0.2), 0.2},
		"within":                 {whole, box(t, "b", 0.4, 0.4, 0.1, 0.1), 0.01},
		"in its hole":            {box(t, "a", 0, 0, 1, 1, 0.3, 0.3, 0.4, 0.4), box(t, "b", 0.35, 0.35, 0.3, 0.3), 0},
		"over its hole":          {box(t, "a", 0, 0, 1, 1, 0.25, 0.25, 0.5, 0.5), box(t, "b", 0, 0, 1, 1), 0.75},
		"neighbours":             {whole, box(t, "b", 1, 0, 1, 1), 0},
		"neighbours drawn badly": {whole, box(t, "b", 0.995, 0, 1, 1), 0},
		"far":                    {whole, box(t, "b", 50, 50, 1, 1), 0},
	} {
		found, searched, err := farm.Overlaps(t.Context(), []farm.Shape{c.a, c.b}, all)
		if err != nil || !searched {
			t.Fatal(searched, err)
		}
		if c.share == 0 && len(found) > 0 {
			t.Errorf("%s: %+v", name, found)
		}
		if c.share > 0 && (len(found) != 1 || found[0].A != c.a.Name || found[0].B != c.b.Name || math.Abs(float64(found[0].Area/whole.Area)-c.share) > 0.02*c.share+0.001) {
			t.Errorf("%s: %+v, want %.3f of %v", name, found, c.share, whole.Area)
		}
	}
	three := []farm.Shape{whole, box(t, "corner", 0.75, 0.75, 1, 1), box(t, "half", 0.5, 0, 1, 1)}
	if found, _, _ := farm.Overlaps(t.Context(), three, func(i int) bool { return i == 2 }); len(found) != 2 || found[0].A != "whole" || found[1].A != "corner" {
		t.Errorf("of a new one among old: %+v", found)
	}
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	if _, _, err := farm.Overlaps(gone, three, all); !errors.Is(err, context.Canceled) {
		t.Errorf("nobody waits: %v", err)
	}
}

// A map of a county is refused in one sentence, and what is no field is left out of a
// map with its reason.
func TestReadShapes(t *testing.T) {
	feature := func(name, geometry string) string {
		quoted, err := json.Marshal(name)
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprintf(`{"type":"Feature","properties":{"name":%s},"geometry":%s}`, quoted, geometry)
	}
	read := func(features ...string) ([]farm.Shape, error) {
		shapes, problems := farm.ReadShapes("m.geojson", []byte(`{"type":"FeatureCollection","features":[`+strings.Join(features, ",")+`]}`))
		if len(problems) == 0 {
			return shapes, nil
		}
		return shapes, problems
	}
	good := box(t, "", 0, 0, 1, 1).Outline
	shapes, err := read(feature("A", good), feature("Well", `{"type":"Point","coordinates":[1,2]}`), feature("B", good), feature(strings.Repeat("n", 201), good), feature("C\u0000", good))
	if len(shapes) != 2 || shapes[0].Name != "A" || shapes[1].Name != "B" {
		t.Errorf("taken: %+v", shapes)
	}
	for _, want := range []string{`feature 2 "Well": "Point"`, "feature 4", "200 are the most", "feature 5", "control character"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("left out: %v, want %q", err, want)
		}
	}
	many := make([]string, farm.MaxShapes+1)
	for i := range many {
		many[i] = feature("", good)
	}
	if shapes, err := read(many...); len(shapes) > 0 || err == nil || !strings.Contains(err.Error(), `"2001 features"`) || strings.Count(err.Error(), "\n") > 0 {
		t.Errorf("a county: %d shapes, %v", len(shapes), err)
	}
	if shapes, err := read(many[1:]...); len(shapes) != farm.MaxShapes || err != nil {
		t.Errorf("the most: %d shapes, %v", len(shapes), err)
	}
}
