package crop_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/crop"
)

// What the rules say of three summer annuals on two pieces of ground.
func TestSuits(t *testing.T) {
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	wet := crop.Land{PH: 5.6, Drainage: crop.PoorlyDrained}
	dry := crop.Land{PH: 6.5, Drainage: crop.SomewhatExcessivelyDrained, Water: 90}
	for _, k := range []struct {
		crop string
		land crop.Land
		want string // classes of pH, drainage and drought
		word string
	}{
		{"japanese-millet", wet, "suited marginal suited", "suffers to poorly drained: about 20 %"},
		{"pearl-millet", wet, "suited unsuited suited", "poorly drained ground is wetter than it stands, somewhat poorly drained at most"},
		{"sorghum-sudangrass", wet, "marginal unsuited suited", "pH 5.6 lies 0.2 below its range, 5.8 to 7.5: about 10 %"},
		{"japanese-millet", dry, "suited suited marginal", "it stands drought: moderate"},
		{"pearl-millet", dry, "suited suited suited", "it stands drought: highest"},
		{"sorghum-sudangrass", dry, "suited suited suited", "it stands drought: high"},
		{"alfalfa", crop.Land{PH: 5.4, Drainage: crop.WellDrained}, "unsuited suited suited", "pH 5.4 lies 1.1 below its range"},
		{"teff", crop.Land{PH: 8, Drainage: crop.WellDrained, Water: 140}, "marginal suited suited", "0.5 above its range"},
	} {
		var classes, words []string
		for _, r := range c.Find(k.crop).Suits(k.land) {
			classes, words = append(classes, r.Class.String()), append(words, r.Text)
			if r.Source.Title == "" || r.Rule == "" {
				t.Errorf("%s: %q has no rule or source", k.crop, r.Text)
			}
		}
		if got := strings.Join(classes, " "); got != k.want {
			t.Errorf("%s on %+v: %s, want %s", k.crop, k.land, got, k.want)
		}
		if got := strings.Join(words, "; "); !strings.Contains(got, k.word) {
			t.Errorf("%s: %q does not say %q", k.crop, got, k.word)
		}
	}
	if got := crop.Worst(c.Find("pearl-millet").Suits(wet)); got != crop.Unsuited {
		t.Errorf("the worst is %v", got)
	}
	if got := crop.Worst(nil); got != crop.Suited {
		t.Errorf("nothing said is %v", got)
	}
}

// Words and growth agree, and wetter or more acid ground is never better.
func TestFitAgrees(t *testing.T) {
	c, err := crop.Load()
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		k := c.Crops[rapid.IntRange(0, len(c.Crops)-1).Draw(t, "crop")]
		l := crop.Land{
			PH:       rapid.Float64Range(3, 10).Draw(t, "pH"),
			Drainage: crop.Drainage(rapid.IntRange(0, int(crop.VeryPoorlyDrained)).Draw(t, "drainage")),
			Water:    rapid.Float64Range(0, 250).Draw(t, "water"),
		}
		share, fails := k.Fit.Growth(l.PH, l.Drainage)
		if !(share >= 0.2-1e-12 && share <= 1) {
			t.Fatalf("%s keeps %g", k.Name, share)
		}
		reasons := k.Suits(l)
		if ground := crop.Worst(reasons[:2]); (ground == crop.Suited) != (share == 1 && !fails) {
			t.Fatalf("%s: the words say %v, growth is %g", k.Name, ground, share)
		}
		if fails != (reasons[1].Class == crop.Unsuited) {
			t.Fatalf("%s fails %v: %q", k.Name, fails, reasons[1].Text)
		}
		if l.Drainage < crop.VeryPoorlyDrained {
			if wetter, worse := k.Fit.Growth(l.PH, l.Drainage+1); wetter > share || fails && !worse {
				t.Fatalf("%s does better on wetter ground", k.Name)
			}
		}
		if acid, _ := k.Fit.Growth(l.PH-0.3, l.Drainage); l.PH < k.Fit.PHLow && acid > share {
			t.Fatalf("%s does better on more acid ground", k.Name)
		}
	})
}
