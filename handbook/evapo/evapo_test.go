package evapo_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rowen/handbook/evapo"
)

// FAO-56 Example 17, the whole chain: Bangkok 13°44' N, 2 m, April; 8.5 h of
// sunshine. Printed: Ra 38.06, N 12.31, Rs 22.65, Rn 14.33, ET0 5.72.
func TestBangkok(t *testing.T) {
	const lat, day = 13 + 44.0/60, 105
	ra, n := evapo.ExtraterrestrialRadiation(lat, day), evapo.Daylight(lat, day)
	rs := evapo.SolarFromSunshine(8.5, n, ra)
	rn := evapo.NetShortwave(rs) - evapo.NetLongwave(25.6, 34.8, 2.85, rs, evapo.ClearSky(2, ra))
	et0 := evapo.Reference(rn, evapo.SoilHeatMonthly(29.2, 30.2), 30.2, 2,
		evapo.MeanSaturationPressure(25.6, 34.8), 2.85, evapo.Psychrometric(evapo.Pressure(2)))
	for _, c := range []struct {
		what             string
		got, want, error float64
	}{{"Ra", ra, 38.06, 0.1}, {"N", n, 12.31, 0.05}, {"Rs", rs, 22.65, 0.05}, {"Rn", rn, 14.33, 0.05}, {"ET0", et0, 5.72, 0.02}} {
		if math.Abs(c.got-c.want) > c.error {
			t.Errorf("%s = %.3f, printed %.2f", c.what, c.got, c.want)
		}
	}
}

// FAO-56 Example 20 by equation 6: Lyon 45°43' N, 200 m, mid-July, wind taken
// as 2 m/s, humidity and radiation estimated. Printed: 4.56.
func TestLyon(t *testing.T) {
	ra := evapo.ExtraterrestrialRadiation(45+43.0/60, 196)
	rs := evapo.SolarFromTemperature(evapo.KRsInland, 14.8, 26.6, ra)
	got := evapo.Daily(14.8, 26.6, rs, evapo.VapourFromMinimum(14.8), 2, 200, ra)
	if math.Abs(got-4.56) > 0.02 {
		t.Errorf("ET0 = %.3f, printed 4.56", got)
	}
}

// Reference evapotranspiration rises with radiation and wind and falls as the
// air gets wetter; water coefficients stay within 0 and 1.
func TestMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tmin := rapid.Float64Range(0, 20).Draw(t, "tmin")
		tmax := tmin + rapid.Float64Range(1, 20).Draw(t, "range")
		ea := evapo.SaturationPressure(tmin) * rapid.Float64Range(0.3, 0.95).Draw(t, "humidity")
		rs := rapid.Float64Range(3, 30).Draw(t, "rs")
		base := evapo.Daily(tmin, tmax, rs, ea, 2, 100, 40)
		if evapo.Daily(tmin, tmax, rs, ea*0.9, 2, 100, 40) < base {
			t.Fatal("drier air evaporates less")
		}
		taw := rapid.Float64Range(20, 250).Draw(t, "taw")
		dr := rapid.Float64Range(0, 300).Draw(t, "dr")
		if ks := evapo.StressCoefficient(taw, 0.5, dr); ks < 0 || ks > 1 || ks < evapo.StressCoefficient(taw, 0.5, dr+1) {
			t.Fatalf("Ks %v at %v of %v", ks, dr, taw)
		}
		rain := rapid.Float64Range(0, 200).Draw(t, "rain")
		if q := evapo.Runoff(rain, 75); q < 0 || q > rain {
			t.Fatalf("%v mm runs off %v", q, rain)
		}
	})
}
