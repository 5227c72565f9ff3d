package validation_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"rowen/crop"
	"rowen/internal/validation"
)

func data(t testing.TB) string {
	t.Helper()
	root := filepath.Join("..", "..", "..", "shared", "data")
	if _, err := os.Stat(root); err != nil {
		t.Skip("real weather is not here: the published trials were not run")
	}
	return root
}

func catalogue(t testing.TB) *crop.Catalogue {
	t.Helper()
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Estimates against what a station near Ithaca measured by the hour.
func TestHourly(t *testing.T) {
	got, err := validation.Hourly(filepath.Join(data(t), "weather-hourly-ithaca-uscrn"), catalogue(t))
	if err != nil {
		t.Fatal(err)
	}
	for i, bound := range []struct{ rmse, bias, r float64 }{{4.2, 0.3, 0.8}, {0.25, 0.08, 0.9}, {1.3, 0.6, 0.95}, {40, 0.1, 0.7}} {
		m := got[i]
		t.Logf("%s: %d days, mean %.2f measured %.2f %s, RMSE %.2f, r %.2f", m.What, m.Days, m.Estimated, m.Actual, m.Unit, m.RMSE, m.R)
		if m.Days < 1000 || m.RMSE > bound.rmse || math.Abs(m.Bias) > bound.bias || m.R < bound.r {
			t.Errorf("%s is off: RMSE %.2f %s, bias %.2f, r %.2f", m.What, m.RMSE, m.Unit, m.Bias, m.R)
		}
	}
}
