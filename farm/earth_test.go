package farm

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// A band of one degree from pole to pole: the ellipsoid's surface is 510,065,622 km².
func TestTheEarthsArea(t *testing.T) {
	band := ringArea(orb.Ring{{0, -90}, {1, -90}, {1, 90}, {0, 90}, {0, -90}})
	if got, want := float64(band)*360, 510065621.7e6; math.Abs(got-want) > 1e-6*want {
		t.Errorf("the earth measures %.0f km², want %.0f", got/1e6, want/1e6)
	}
}
