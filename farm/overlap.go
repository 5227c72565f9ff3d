package farm

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"

	"rowen/quantity"
)

// Overlap is ground that two outlines both claim.
type Overlap struct {
	A, B string // their names
	Area quantity.Area
}

const (
	// slightOverlap is the part of the smaller field that two outlines may share unsaid:
	// neighbours drawn by hand or walked with a receiver meet no better.
	slightOverlap = 0.01
	// overlapStrips are the strips into which shared ground is cut: its area comes out to
	// a hundredth or two.
	overlapStrips = 64
	// overlapWork bounds the search, in sides of outlines looked at: far more than the map
	// of any farm needs.
	overlapWork = 200_000_000
)

// Overlaps finds outlines that lie over one another by more than a slight part of the
// smaller, where one of the two is new, the largest first. Where the search was cut off
// by its bound, whole is false: then more may be there.
func Overlaps(ctx context.Context, shapes []Shape, fresh func(i int) bool) (found []Overlap, whole bool, err error) {
	outlines := make([]orb.Polygon, len(shapes))
	bounds := make([]orb.Bound, len(shapes))
	for i := range shapes {
		if g, err := geojson.UnmarshalGeometry([]byte(shapes[i].Outline)); err == nil {
			outlines[i], _ = g.Geometry().(orb.Polygon)
		}
		bounds[i] = outlines[i].Bound()
	}
	work := 0
	for i := range shapes {
		if err := ctx.Err(); err != nil {
			return nil, false, err
		}
		for j := range i {
			if !fresh(i) && !fresh(j) || len(outlines[i]) == 0 || len(outlines[j]) == 0 || !bounds[i].Intersects(bounds[j]) {
				continue
			}
			if work += overlapStrips * (sides(outlines[i]) + sides(outlines[j])); work > overlapWork {
				return largest(found), false, nil
			}
			if area := common(outlines[i], outlines[j], bounds[i], bounds[j]); area > slightOverlap*min(shapes[i].Area, shapes[j].Area) {
				found = append(found, Overlap{shapes[j].Name, shapes[i].Name, area})
			}
		}
	}
	return largest(found), true, nil
}

func largest(found []Overlap) []Overlap {
	slices.SortStableFunc(found, func(a, b Overlap) int { return cmp.Compare(b.Area, a.Area) })
	return found
}

func sides(p orb.Polygon) (n int) {
	for _, ring := range p {
		n += len(ring)
	}
	return n
}

// common is the ground of two polygons, by strips from east to west: in the middle of
// each it is exact.
func common(a, b orb.Polygon, in, and orb.Bound) quantity.Area {
	bottom, top := max(in.Min[1], and.Min[1]), min(in.Max[1], and.Max[1])
	sum, step := 0.0, (top-bottom)/overlapStrips
	for k := range overlapStrips {
		y := bottom + step*(float64(k)+0.5)
		if wide := shared(crossings(a, y), crossings(b, y)); wide > 0 {
			sum += wide * math.Pi / 180 * (authalicSine(y+step/2) - authalicSine(y-step/2))
		}
	}
	return quantity.Area(sum * authalicR * authalicR)
}

// crossings are the longitudes at which a line of latitude enters and leaves a polygon,
// in turn, holes and all.
func crossings(p orb.Polygon, y float64) (out []float64) {
	for _, ring := range p {
		for i := range ring {
			a, b := ring[i], ring[(i+1)%len(ring)]
			if (a[1] <= y) != (b[1] <= y) {
				out = append(out, a[0]+(b[0]-a[0])*(y-a[1])/(b[1]-a[1]))
			}
		}
	}
	slices.Sort(out)
	return out
}

// shared is the length that lies within both of two rows of stretches.
func shared(a, b []float64) (sum float64) {
	for len(a) > 1 && len(b) > 1 {
		sum += max(0, min(a[1], b[1])-max(a[0], b[0]))
		if a[1] < b[1] {
			a = a[2:]
		} else {
			b = b[2:]
		}
	}
	return sum
}
