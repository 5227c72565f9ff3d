package farm

import (
	"math"
	"testing"
)

// Slurry as it is pumped and analysed: 1,000 gal of water weigh 8,345 lb.
func TestSlurry(t *testing.T) {
	for text, kg := range map[string]float64{"600 ton": 544310.8, "1,000 gal": 3785.41, "600 m3": 600000} {
		if m, err := parseManure(text); err != nil || math.Abs(float64(m)-kg) > 1 {
			t.Errorf("%s: %.1f kg (%v), want %.1f", text, float64(m), err, kg)
		}
	}
	for text, share := range map[string]float64{"10 lb/ton": 0.005, "25 lb/1000 gal": 25 / 8345.4, "25 lb/1,000 gal": 25 / 8345.4, "3 kg/m3": 0.003, "0.5 %": 0.005} {
		if f, err := parseAnalysis(text); err != nil || math.Abs(float64(f)-share) > 1e-6 {
			t.Errorf("%s: %.6f (%v), want %.6f", text, float64(f), err, share)
		}
	}
	for _, bad := range []string{"", "12", "10 lb/ac", "5 in"} {
		if f, err := parseAnalysis(bad); err == nil {
			t.Errorf("%q is read as %v", bad, f)
		}
	}
}

// Two pounds an acre of the plough layer are one part per million.
func TestSoilTestUnits(t *testing.T) {
	for text, ppm := range map[string]float64{"41 ppm": 41, "82 lb/ac": 41} {
		if f, err := parseSoil(text); err != nil || math.Abs(float64(f)*1e6-ppm) > 1e-6 {
			t.Errorf("%s: %.3f ppm (%v)", text, float64(f)*1e6, err)
		}
	}
	if _, err := parseSoil("41"); err == nil {
		t.Error("a bare number is read")
	}
}
