package report

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"rowen/farm"
)

// Ground is a farm's fields as a map, in metres east and south of a middle point.
type Ground struct {
	Latitude, Longitude float64 // of the middle
	Box                 [4]float64
	Fields              []GroundField
	Without             int // fields that have no outline yet
}

// GroundField is one field on it.
type GroundField struct {
	Name, Stand string
	Index       int // in the document
	Area        float64
	Drawn       float64      // area of its outline, m²; 0 where it has none
	Ring        [][2]float64 // longitude, latitude
	points      [][2]float64
}

// metresPerDegree are the lengths of a degree of latitude and of longitude on the
// ellipsoid of WGS 84, good to a few centimetres over a farm.
func metresPerDegree(latitude float64) (north, east float64) {
	p := latitude * math.Pi / 180
	north = 111132.92 - 559.82*math.Cos(2*p) + 1.175*math.Cos(4*p)
	east = 111412.84*math.Cos(p) - 93.5*math.Cos(3*p) + 0.118*math.Cos(5*p)
	return north, east
}

// BuildGround lays a farm's fields on a map.
func BuildGround(f *farm.Farm) *Ground {
	g := &Ground{Latitude: f.Latitude, Longitude: f.Longitude}
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for i := range f.Fields {
		for _, p := range f.Fields[i].Ring {
			for k := range p {
				low[k], high[k] = min(low[k], p[k]), max(high[k], p[k])
			}
		}
	}
	if high[0] >= low[0] {
		g.Longitude, g.Latitude = (low[0]+high[0])/2, (low[1]+high[1])/2
	}
	north, east := metresPerDegree(g.Latitude)
	box := [4]float64{-600, -400, 600, 400}
	if high[0] >= low[0] {
		x, y := (high[0]-low[0])/2*east+60, (high[1]-low[1])/2*north+60
		box = [4]float64{-x, -y, x, y}
	}
	g.Box = [4]float64{box[0], box[1], box[2] - box[0], box[3] - box[1]}
	for i := range f.Fields {
		x := &f.Fields[i]
		field := GroundField{Name: x.Name, Index: i, Area: float64(x.Area), Stand: stands(f, i), Ring: x.Ring}
		if len(x.Ring) == 0 {
			g.Without++
		}
		if text, err := farm.OutlineOf(x.Ring, ""); err == nil {
			if _, drawn, err := farm.Outline(text); err == nil {
				field.Drawn = float64(drawn)
			}
		}
		for _, p := range x.Ring {
			field.points = append(field.points, [2]float64{(p[0] - g.Longitude) * east, (g.Latitude - p[1]) * north})
		}
		g.Fields = append(g.Fields, field)
	}
	return g
}

// Differs tells whether a field's written area and its outline's are more than a
// twentieth apart.
func (f *GroundField) Differs() bool {
	return f.Drawn > 0 && math.Abs(f.Drawn-f.Area) > 0.05*f.Area
}

// Path is the field's outline as an SVG path, in metres.
func (f *GroundField) Path() string {
	var b strings.Builder
	for i, p := range f.points {
		if i == len(f.points)-1 && p == f.points[0] {
			break
		}
		fmt.Fprintf(&b, "%c%.1f %.1f", "ML"[min(i, 1)], p[0], p[1])
	}
	if b.Len() > 0 {
		b.WriteByte('Z')
	}
	return b.String()
}

// Middle is where a field's name stands.
func (f *GroundField) Middle() (m [2]float64) {
	// The middle of the area, by the shoelace formula.
	sum := 0.0
	for i := range f.points {
		a, b := f.points[i], f.points[(i+1)%len(f.points)]
		c := a[0]*b[1] - b[0]*a[1]
		sum += c
		m[0], m[1] = m[0]+(a[0]+b[0])*c, m[1]+(a[1]+b[1])*c
	}
	if sum == 0 {
		return m
	}
	return [2]float64{m[0] / (3 * sum), m[1] / (3 * sum)}
}

// Letters is how large a name is written, m: so that it can be read on the whole map.
func (g *Ground) Letters() float64 { return max(g.Box[2]/48, g.Box[3]/34) }

// View is the map's view box.
func (g *Ground) View() string {
	return fmt.Sprintf("%.0f %.0f %.0f %.0f", g.Box[0], g.Box[1], g.Box[2], g.Box[3])
}

// Scale is a bar of a round length, in metres, for the map's corner.
func (g *Ground) Scale() (length float64) {
	length = math.Pow(10, math.Floor(math.Log10(g.Box[2]/4)))
	for _, k := range []float64{5, 2} {
		if length*k <= g.Box[2]/4 {
			return length * k
		}
	}
	return length
}

// Draw draws the map; an outline is led by its field's number, so that a script can take
// it up.
func (g *Ground) Draw(words func(m2 float64) string) template.HTML {
	var b strings.Builder
	for i := range g.Fields {
		f := &g.Fields[i]
		if len(f.points) == 0 {
			continue
		}
		m := f.Middle()
		fmt.Fprintf(&b, `<path class="fieldshape" id="shape-%d" data-field="%d" data-ring="%s" d="%s"><title>%s</title></path>`, f.Index, f.Index, ringText(f.Ring), f.Path(), template.HTMLEscapeString(f.Name))
		fmt.Fprintf(&b, `<text class="fieldname" data-of="%d" x="%.0f" y="%.0f" font-size="%.0f">%s</text><text class="fieldarea" data-of="%d" x="%.0f" y="%.0f" font-size="%.0f">%s</text>`,
			f.Index, m[0], m[1], g.Letters(), template.HTMLEscapeString(f.Name), f.Index, m[0], m[1]+g.Letters()*1.25, g.Letters()*0.85, template.HTMLEscapeString(words(f.Area)))
	}
	return template.HTML(b.String()) //nolint:gosec // numbers and escaped names
}

func ringText(ring [][2]float64) string {
	var b strings.Builder
	for i, p := range ring {
		if i == len(ring)-1 && p == ring[0] {
			break
		}
		if i > 0 {
			b.WriteByte(' ')
		}
		fmt.Fprintf(&b, "%.6f,%.6f", p[0], p[1])
	}
	return b.String()
}
