package quantity_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowen/quantity"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if math.Abs(got-want) > rel*max(1e-12, math.Abs(want)) {
		t.Errorf("%s = %.10g, want %.10g", what, got, want)
	}
}

// The factors are those of the international yard and pound agreement and of
// US farm practice (a ton is 2,000 lb).
func TestUnits(t *testing.T) {
	for _, c := range []struct {
		in   string
		get  func(string) (float64, error)
		want float64
	}{
		{"12.4 ac", num(quantity.ParseArea), 12.4 * 4046.8564224},
		{"6 in", num(quantity.ParseLength), 0.1524},
		{"45 lb/ac", num(quantity.ParseMassPerArea), 45 * 0.45359237 / 4046.8564224},
		{"2.1 t/ha", num(quantity.ParseMassPerArea), 0.21},
		{"2.1 Mg/ha", num(quantity.ParseMassPerArea), 0.21},
		{"1,250 lb", num(quantity.ParseMass), 1250 * 0.45359237},
		{"4.2 ton/ac", num(quantity.ParseMassPerArea), 4.2 * 907.18474 / 4046.8564224},
		{"1 ton", num(quantity.ParseMass), 907.18474},
		{"1 t", num(quantity.ParseMass), 1000},
		{"32 F", num(quantity.ParseTemperature), 0},
		{"-40 °F", num(quantity.ParseTemperature), -40},
		{"30 mm", num(quantity.ParseWaterDepth), 0.03},
		{"1 in water", num(quantity.ParseWaterDepth), 0.0254},
		{"55 lb/d", num(quantity.ParseMassPerTime), 55 * 0.45359237 / 86400},
		{"35 %", num(quantity.ParseFraction), 0.35},
		{"1 Mcal/lb", num(quantity.ParseEnergyPerMass), 4.184e6 / 0.45359237},
		{"5 mph", num(quantity.ParseSpeed), 2.2352},
		{"2 wk", num(quantity.ParseDuration), 14 * 86400},
	} {
		got, err := c.get(c.in)
		if err != nil {
			t.Errorf("%q: %v", c.in, err)
			continue
		}
		near(t, c.in, got, c.want, 1e-9)
	}
}

func num[T ~float64](f func(string) (T, error)) func(string) (float64, error) {
	return func(s string) (float64, error) { v, err := f(s); return float64(v), err }
}

func TestRefusals(t *testing.T) {
	for in, want := range map[string]string{
		"12.4":     `a unit is missing; write "12.4 ac" or "12.4 ha"`,
		"45 lb/ac": "this is a mass per area; an area is wanted",
		"5 acers":  `unit "acers" is unknown`,
		"ac":       "not a number with a unit",
		"12,4 ac":  "not a number with a unit",
		"":         "not a number with a unit",
		"1e999 ac": "not a number with a unit",
		"\xff ac":  "not valid UTF-8",
	} {
		_, err := quantity.ParseArea(in)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("ParseArea(%q) = %v, want %q", in, err, want)
		}
		var pe *quantity.ParseError
		if !errors.As(err, &pe) {
			t.Errorf("ParseArea(%q): %T is not a ParseError", in, err)
		}
	}
}

func TestMoney(t *testing.T) {
	perLb, err := quantity.ParseMoneyPerMass("$1.40/lb", "USD")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "$1.40/lb", float64(perLb), 1.40/0.45359237, 1e-12)
	for _, bad := range []string{"1.40 EUR/lb", "1.40", "1.40 USD", "1.40 USD/ac", "free"} {
		if _, err := quantity.ParseMoneyPerMass(bad, "USD"); err == nil {
			t.Errorf("ParseMoneyPerMass(%q) was read", bad)
		}
	}
	if _, err := quantity.ParseMoneyPerArea("28 USD/ac", "USD"); err != nil {
		t.Error(err)
	}
	if _, err := quantity.ParseMoneyEach("$13.80/bale", "USD"); err != nil {
		t.Error(err)
	}
	if _, err := quantity.ParseMoneyPerTime("24 USD/h", "USD"); err != nil {
		t.Error(err)
	}
}

// Whatever number is written, what is read is finite: the largest number that there is, in
// a unit that makes it larger still, is refused in every quantity.
func TestNothingIsInfinite(t *testing.T) {
	money := func(f func(string, string) (quantity.MoneyPerMass, error)) func(string) (float64, error) {
		return func(s string) (float64, error) { v, err := f(s, "USD"); return float64(v), err }
	}
	parsers := map[string]func(string) (float64, error){
		"mi": num(quantity.ParseLength), "ac": num(quantity.ParseArea), "t": num(quantity.ParseMass), "Mcal": num(quantity.ParseEnergy),
		"Mcal/kg": num(quantity.ParseEnergyPerMass), "lb/ft3": num(quantity.ParseMassPerVolume), "ha/h": num(quantity.ParseAreaPerTime),
		"/lb": num(quantity.ParseCountPerMass), "wk": num(quantity.ParseDuration), "USD/g": money(quantity.ParseMoneyPerMass),
		"USD/ft2": func(s string) (float64, error) {
			v, err := quantity.ParseMoneyPerArea(s, "USD")
			return float64(v), err
		},
	}
	for unit, parse := range parsers {
		for _, number := range []string{"1e400", "-1e400", "1.7e308", "-1.7e308", strings.Repeat("9", 308)} {
			if v, err := parse(number + " " + unit); err == nil {
				t.Errorf("%.20s %s is read as %g", number, unit, v)
			}
		}
		if _, err := parse("12 " + unit); err != nil {
			t.Errorf("12 %s: %v", unit, err)
		}
	}
	for _, c := range []struct {
		unit  string
		parse func(string) (float64, error)
	}{
		{"m3", num(quantity.ParseVolume)}, {"lb/ac", num(quantity.ParseMassPerArea)}, {"mm", num(quantity.ParseWaterDepth)}, {"F", num(quantity.ParseTemperature)},
		{"K", num(quantity.ParseTemperatureDifference)}, {"lb/d", num(quantity.ParseMassPerTime)}, {"mph", num(quantity.ParseSpeed)}, {"%", num(quantity.ParseFraction)},
		{"/ac", num(quantity.ParseCountPerArea)}, {"USD/h", func(s string) (float64, error) {
			v, err := quantity.ParseMoneyPerTime(s, "USD")
			return float64(v), err
		}},
		{"USD each", func(s string) (float64, error) { v, err := quantity.ParseMoneyEach(s, "USD"); return float64(v), err }},
	} {
		for _, number := range []string{"1e400", "1.79e308", "-1.79e308"} {
			if v, err := c.parse(number + " " + c.unit); err == nil && (math.IsInf(v, 0) || math.IsNaN(v)) {
				t.Errorf("%s %s is read as %g", number, c.unit, v)
			}
		}
		if _, err := c.parse("1e400 " + c.unit); err == nil {
			t.Errorf("1e400 %s is read", c.unit)
		}
	}
}

func TestDates(t *testing.T) {
	d, err := quantity.ParseDate("2016-02-29")
	if err != nil || d.String() != "2016-02-29" || d.YearDay() != 60 || d.HalfMonth() != 3 {
		t.Errorf("2016-02-29 read as %v day %d half-month %d, %v", d, d.YearDay(), d.HalfMonth(), err)
	}
	for _, bad := range []string{"2017-02-29", "5 June 2017", "2017-6-5", ""} {
		if _, err := quantity.ParseDate(bad); err == nil {
			t.Errorf("ParseDate(%q) was read", bad)
		}
	}
	for day, sane := range map[string]bool{"0001-01-01": false, "1899-12-31": false, "1900-01-01": true, "2200-12-31": true, "9999-12-31": false} {
		if d, err := quantity.ParseDate(day); err != nil || d.Sane() != sane {
			t.Errorf("%s is sane: %v, %v", day, d.Sane(), err)
		}
	}
	m, err := quantity.ParseMonthDay("1 November")
	if err != nil || m.String() != "1 Nov" {
		t.Errorf("1 November = %v, %v", m, err)
	}
	if turned, err := quantity.ParseMonthDay("November 1"); err != nil || turned != m {
		t.Errorf("November 1 = %v, %v", turned, err)
	}
	if got := m.OnOrAfter(d).String(); got != "2016-11-01" {
		t.Errorf("the first 1 Nov after %v is %s", d, got)
	}
	for _, bad := range []string{"31 June", "0 May", "May 32", "May June", "5 Ma"} {
		if _, err := quantity.ParseMonthDay(bad); err == nil {
			t.Errorf("ParseMonthDay(%q) was read", bad)
		}
	}
}

// What is printed is read back, to the digits printed, in both systems.
func TestPrintReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e7, 1e7).Draw(t, "v")
		for _, s := range []quantity.System{quantity.US, quantity.Metric} {
			back(t, quantity.Length(v).In(s), quantity.ParseLength, v)
			back(t, quantity.Area(v).In(s), quantity.ParseArea, v)
			back(t, quantity.Volume(v).In(s), quantity.ParseVolume, v)
			back(t, quantity.Mass(v).In(s), quantity.ParseMass, v)
			back(t, quantity.MassPerArea(v).In(s), quantity.ParseMassPerArea, v)
			back(t, quantity.MassPerArea(v).RateIn(s), quantity.ParseMassPerArea, v)
			back(t, quantity.WaterDepth(v).In(s), quantity.ParseWaterDepth, v)
			back(t, quantity.Energy(v).In(s), quantity.ParseEnergy, v)
			back(t, quantity.EnergyPerMass(v).In(s), quantity.ParseEnergyPerMass, v)
			back(t, quantity.MassPerTime(v).In(s), quantity.ParseMassPerTime, v)
			back(t, quantity.MassPerVolume(v).In(s), quantity.ParseMassPerVolume, v)
			back(t, quantity.Speed(v).In(s), quantity.ParseSpeed, v)
			back(t, quantity.AreaPerTime(v).In(s), quantity.ParseAreaPerTime, v)
			back(t, quantity.CountPerArea(v).In(s), quantity.ParseCountPerArea, v)
			back(t, quantity.CountPerMass(v).In(s), quantity.ParseCountPerMass, v)
			back(t, quantity.TemperatureDifference(v).In(s), quantity.ParseTemperatureDifference, v)
		}
		back(t, quantity.Fraction(v).String(), quantity.ParseFraction, v)
		back(t, quantity.Duration(v).String(), quantity.ParseDuration, v)
	})
}

func back[T ~float64](t *rapid.T, text string, parse func(string) (T, error), v float64) {
	got, err := parse(text)
	if err != nil {
		t.Fatalf("printed %q does not read back: %v", text, err)
	}
	if math.Abs(float64(got)-v) > 6e-4*math.Abs(v)+1e-300 {
		t.Fatalf("%v printed as %q reads back as %v", v, text, float64(got))
	}
}

func TestTemperatureReadsBack(t *testing.T) {
	for c := -40.0; c <= 45; c += 0.7 {
		for _, s := range []quantity.System{quantity.US, quantity.Metric} {
			got, err := quantity.ParseTemperature(quantity.Celsius(c).In(s))
			if err != nil || math.Abs(float64(got)-c) > 0.05 {
				t.Errorf("%v °C printed as %q reads back as %v, %v", c, quantity.Celsius(c).In(s), got, err)
			}
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"12.4 ac", "1,250 lb", "6 in", "45 lb/ac", "-0 F", "1e5 kg", "$1.40/lb", "35 %", "2017-06-05", "5 May", "\xff", "1.2.3 ac", ",1 ac", "1,000,00 lb", "\u00b0F", "1e308 ton", "1e400 lb", "1e-320 ac", "1.7e308 USD/g"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if a, err := quantity.ParseArea(s); err == nil {
			if _, err := quantity.ParseArea(a.String()); err != nil {
				t.Errorf("%q read as %v, which does not read back: %v", s, a, err)
			}
		}
		if m, err := quantity.ParseMass(s); err == nil {
			if _, err := quantity.ParseMass(m.In(quantity.Metric)); err != nil {
				t.Errorf("%q read as %v, which does not read back: %v", s, m, err)
			}
		}
		if d, err := quantity.ParseDate(s); err == nil {
			if back, err := quantity.ParseDate(d.String()); err != nil || back != d {
				t.Errorf("%q read as %v, read back as %v, %v", s, d, back, err)
			}
		}
		if m, err := quantity.ParseMonthDay(s); err == nil {
			if back, err := quantity.ParseMonthDay(m.String()); err != nil || back != m {
				t.Errorf("%q read as %v, read back as %v, %v", s, m, back, err)
			}
		}
		if m, err := quantity.ParseMoneyPerMass(s, "USD"); err == nil && math.IsInf(float64(m), 0) {
			t.Errorf("%q is read as %v", s, float64(m))
		}
		_, _ = quantity.ParseMoneyEach(s, "USD")
		_, _ = quantity.ParseTemperature(s)
	})
}

func Example() {
	area, _ := quantity.ParseArea("12.4 ac")
	rate, _ := quantity.ParseMassPerArea("2.1 t/ha")
	fmt.Println(area.In(quantity.Metric))
	fmt.Println(rate.RateIn(quantity.US))
	_, err := quantity.ParseArea("12.4")
	fmt.Println(err)
	// Output:
	// 5.018 ha
	// 1,874 lb/ac
	// "12.4": a unit is missing; write "12.4 ac" or "12.4 ha"
}
