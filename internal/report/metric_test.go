package report

import (
	"regexp"
	"strings"
	"testing"

	"rowen/handbook/hazard"
	"rowen/quantity"
)

func TestRuled(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"sorghum below 24 in: keep stock off", "sorghum below 61 cm (24 in): keep stock off"},
		{"from 24 to 30 in: with care", "from 61 to 76 cm (24 to 30 in): with care"},
		{"tonight 36 °F or less", "tonight 2 °C (36 °F) or less"},
		{"150 to 160 °F: probe", "66 to 71 °C (150 to 160 °F): probe"},
		{"more than 60 lb N/ac in one dressing", "more than 67 kg N/ha (60 lb N/ac) in one dressing"},
		{"machines: wait until 5 mm below field capacity", "machines: wait until 5 mm below field capacity"},
		{"above 2.2 in equivalents, 8 weeks in store", "above 2.2 in equivalents, 8 weeks in store"},
	} {
		if got := Ruled(c.text, quantity.Metric).String(); got != c.want {
			t.Errorf("%q becomes %q, want %q", c.text, got, c.want)
		}
		if got := Ruled(c.text, quantity.US).String(); got != c.text && !strings.Contains(c.text, " mm ") {
			t.Errorf("%q becomes %q in US units", c.text, got)
		}
	}
}

func TestRuledInInches(t *testing.T) {
	for text, want := range map[string]string{
		"wait until 5 mm below field capacity": "wait until 0.2 in (5 mm) below field capacity",
		"10 mm of rain or more":                "0.4 in (10 mm) of rain or more",
	} {
		if got := Ruled(text, quantity.US).String(); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}

// No rule is left in US units alone on a metric page.
func TestEveryRuleIsRuled(t *testing.T) {
	us := regexp.MustCompile(`[^(\d](\d+)( to \d+)? (in[:,;.]|°F|lb N/ac)`)
	behind := regexp.MustCompile(`\([^()]*\)`)
	for _, r := range append(hazard.Book(), hazard.Standing()...) {
		if left := us.FindString(behind.ReplaceAllString(Ruled(r.Text, quantity.Metric).String(), "")); left != "" {
			t.Errorf("%q is left in %q", left, r.Text)
		}
	}
}
