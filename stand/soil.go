package stand

import (
	"fmt"
	"sort"
	"strconv"
	"strings"

	"rowen/crop"
	"rowen/handbook/evapo"
)

// Soil is a field's soil in the loop's units.
type Soil struct {
	water    float64 // available water, mm per m of depth
	tew, rew float64 // total and readily evaporable water of the surface, mm
	depth    float64 // m to what stops roots
	drains   float64 // share of water above field capacity that drains in a day
	pH       float64
	organic  float64 // organic matter, %
	crusts   float64 // how readily its bare surface crusts, 0..1
	drainage crop.Drainage
}

// texture is what a USDA texture class holds: available water, field capacity and
// wilting point, m³/m³, readily evaporable water, mm, and how readily it crusts.
type texture struct{ available, capacity, wilting, evaporable, crusts float64 }

// textures are the middles of the published ranges; the range of available water
// is printed for itself and is not the difference of the other two.
//
// Source: FAO-56, Table 19 (from memory); sandy clay loam and clay loam are not
// in it and are taken from their neighbours, and crusting, 0 to 1, by the share of
// silt (common practice).
var textures = map[string]texture{
	"sand": {0.08, 0.12, 0.045, 4.5, 0}, "loamy sand": {0.09, 0.15, 0.065, 6, 0}, "sandy loam": {0.13, 0.23, 0.11, 8, 0.2},
	"loam": {0.155, 0.25, 0.12, 9, 0.5}, "silt loam": {0.16, 0.29, 0.15, 9.5, 0.9}, "silt": {0.18, 0.32, 0.17, 9.5, 1},
	"sandy clay loam": {0.14, 0.26, 0.14, 9, 0.5}, "clay loam": {0.155, 0.32, 0.19, 9.5, 0.6},
	"silty clay loam": {0.155, 0.335, 0.205, 9.5, 0.8}, "silty clay": {0.16, 0.36, 0.23, 10, 0.6}, "clay": {0.16, 0.36, 0.22, 10, 0.5},
}

// surfaceLayer is Ze, the depth from which bare ground dries, m (FAO-56: 0.10 to
// 0.15).
const surfaceLayer = 0.10

// usualOrganic is the organic matter of a soil that was not tested, % (common
// practice).
const usualOrganic = 3.5

// draining is the share of water above field capacity that leaves in a day, and
// the depth to which roots go, by drainage class (common practice).
var draining = [...]struct{ share, roots float64 }{
	crop.ExcessivelyDrained: {1, 3}, crop.SomewhatExcessivelyDrained: {1, 3}, crop.WellDrained: {0.9, 3},
	crop.ModeratelyWellDrained: {0.6, 1.3}, crop.SomewhatPoorlyDrained: {0.35, 0.9}, crop.PoorlyDrained: {0.15, 0.6}, crop.VeryPoorlyDrained: {0.06, 0.4},
}

// SoilOf makes a soil from its texture class, drainage class, pH (3 to 10),
// organic matter in per cent (0 takes the usual) and the depth in metres to what stops
// roots (0 unknown). It returns an error for an unknown texture.
func SoilOf(class string, drainage crop.Drainage, pH, organic, depth float64) (Soil, error) {
	t, ok := textures[strings.ToLower(class)]
	if !ok {
		names := make([]string, 0, len(textures))
		for n := range textures {
			names = append(names, n)
		}
		sort.Strings(names)
		return Soil{}, fmt.Errorf("texture %q is unknown; write one of %s", class, strings.Join(names, ", "))
	}
	if int(drainage) >= len(draining) {
		return Soil{}, fmt.Errorf("drainage class %d is unknown", drainage)
	}
	if !(pH >= 3 && pH <= 10) {
		return Soil{}, fmt.Errorf("pH %g is no soil's; write one between 3 and 10", pH)
	}
	if organic == 0 {
		organic = usualOrganic
	}
	d := draining[drainage]
	roots := d.roots
	if depth > 0 {
		roots = min(roots, depth)
	}
	return Soil{
		water: evapo.TotalAvailable(t.available, 0, 1), tew: evapo.TotalEvaporable(t.capacity, t.wilting, surfaceLayer), rew: t.evaporable, depth: roots, drains: d.share,
		pH: pH, organic: organic, drainage: drainage, crusts: t.crusts,
	}, nil
}

// Land is what a crop's rules of fit ask of the soil.
func (s Soil) Land() crop.Land {
	return crop.Land{PH: s.pH, Drainage: s.drainage, Water: s.water * min(1, s.depth)}
}

// ParseSoil reads a soil as a person writes it: "silt loam, well drained, pH 6.2, 3 % organic matter";
// empty is silt loam, well drained, pH 6.4.
func ParseSoil(text string) (Soil, error) {
	texture, drainage, pH, organic := "silt loam", crop.WellDrained, 6.4, 0.0
	for _, part := range strings.Split(text, ",") {
		part = strings.ToLower(strings.TrimSpace(part))
		if part == "" {
			continue
		}
		if after, ok := strings.CutPrefix(part, "ph"); ok {
			v, err := strconv.ParseFloat(strings.TrimSpace(after), 64)
			if err != nil {
				return Soil{}, fmt.Errorf("pH %q is not a number", strings.TrimSpace(after))
			}
			pH = v
			continue
		}
		if before, ok := strings.CutSuffix(part, "organic matter"); ok {
			v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(before), "%")), 64)
			if err != nil || v < 0 || v > 90 {
				return Soil{}, fmt.Errorf("organic matter %q: write 3.5 %% organic matter", strings.TrimSpace(before))
			}
			organic = v
			continue
		}
		if d, ok := crop.DrainageClasses[part]; ok {
			drainage = d
			continue
		}
		texture = part
	}
	return SoilOf(texture, drainage, pH, organic, 0)
}
