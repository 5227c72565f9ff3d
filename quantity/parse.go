package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// ParseError tells what was written, what is wrong with it and what to write
// instead.
type ParseError struct {
	Value  string
	Remedy string
}

// Error quotes the value and gives the remedy.
func (e *ParseError) Error() string { return fmt.Sprintf("%q: %s", e.Value, e.Remedy) }

func refuse(value, format string, args ...any) error {
	if len(value) > 60 {
		value = value[:60] + "..."
	}
	return &ParseError{Value: strings.ToValidUTF8(value, "?"), Remedy: fmt.Sprintf(format, args...)}
}

// number splits "1,250 lb" into 1250 and "lb". A comma groups thousands and
// nothing else: "12,4" is refused, since it would be read two ways.
func number(s string) (value float64, rest string, ok bool) {
	i := 0
	for i < len(s) && (s[i] >= '0' && s[i] <= '9' || s[i] == '.' || s[i] == ',' || i == 0 && (s[i] == '-' || s[i] == '+')) {
		i++
	}
	// An exponent, as strconv prints one: "1e-05".
	if i > 0 && i+1 < len(s) && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if s[j] == '-' || s[j] == '+' {
			j++
		}
		k := j
		for k < len(s) && s[k] >= '0' && s[k] <= '9' {
			k++
		}
		if k > j {
			i = k
		}
	}
	digits := s[:i]
	if strings.Contains(digits, ",") && !grouped(digits) {
		return 0, "", false
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(digits, ",", ""), 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, "", false
	}
	return v, strings.TrimSpace(s[i:]), true
}

// grouped tells whether commas stand before groups of three digits only.
func grouped(digits string) bool {
	whole, _, _ := strings.Cut(strings.TrimLeft(digits, "+-"), ".")
	if strings.Contains(digits[len(digits)-len(strings.TrimLeft(digits, "+-"))+len(whole):], ",") {
		return false
	}
	groups := strings.Split(whole, ",")
	for i, g := range groups {
		if i > 0 && len(g) != 3 || i == 0 && (len(g) == 0 || len(g) > 3) {
			return false
		}
	}
	return true
}

// parse reads a number with a unit of the wanted dimension, in SI.
func parse(s string, want dimension) (float64, error) {
	kind, example := dimensions[want].name, dimensions[want].example
	if !utf8.ValidString(s) {
		return 0, refuse(s, "not valid UTF-8 text; write %s, such as %s", kind, example)
	}
	text := strings.TrimSpace(s)
	v, name, ok := number(text)
	if !ok {
		return 0, refuse(s, "not a number with a unit; write %s, such as %s", kind, example)
	}
	if name == "" {
		return 0, refuse(s, "a unit is missing; write %s", withNumber(text, want))
	}
	u := byName[strings.Join(strings.Fields(name), " ")]
	if u == nil {
		return 0, refuse(s, "unit %q is unknown; write %s, such as %s", name, kind, example)
	}
	if u.dim != want {
		return 0, refuse(s, "this is %s; %s is wanted, such as %s", dimensions[u.dim].name, kind, example)
	}
	return finite(s, v*u.factor+u.offset)
}

// finite refuses what became too large as its unit was converted.
func finite(s string, v float64) (float64, error) {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, refuse(s, "the number is too large to be meant; correct it or its unit")
	}
	return v, nil
}

// withNumber suggests the number written, with the two commonest units.
func withNumber(text string, d dimension) string {
	var names []string
	for i := range units {
		if units[i].dim == d && len(names) < 2 {
			names = append(names, fmt.Sprintf("%q", text+" "+units[i].names[0]))
		}
	}
	return strings.Join(names, " or ")
}

// ParseLength reads a length: "6 in", "15 cm".
func ParseLength(s string) (Length, error) { v, err := parse(s, length); return Length(v), err }

// ParseArea reads an area: "12.4 ac", "5 ha".
func ParseArea(s string) (Area, error) { v, err := parse(s, area); return Area(v), err }

// ParseVolume reads a volume: "40 ft3".
func ParseVolume(s string) (Volume, error) { v, err := parse(s, volume); return Volume(v), err }

// ParseMass reads a mass: "1,250 lb", "4 ton" (2,000 lb), "4 t" (1,000 kg).
func ParseMass(s string) (Mass, error) { v, err := parse(s, mass); return Mass(v), err }

// ParseMassPerArea reads a yield or a rate: "45 lb/ac", "2.1 t/ha".
func ParseMassPerArea(s string) (MassPerArea, error) {
	v, err := parse(s, massPerArea)
	return MassPerArea(v), err
}

// ParseWaterDepth reads a depth of water: "30 mm water". The word "water" may
// be left out here, since a depth of water is what is wanted.
func ParseWaterDepth(s string) (WaterDepth, error) {
	if t := strings.TrimSpace(s); !strings.HasSuffix(t, "water") && (strings.HasSuffix(t, "in") || strings.HasSuffix(t, "mm")) {
		s = t + " water"
	}
	v, err := parse(s, waterDepth)
	return WaterDepth(v), err
}

// ParseTemperature reads a temperature: "65 F", "18 °C".
func ParseTemperature(s string) (Temperature, error) {
	v, err := parse(s, temperature)
	return Temperature(v), err
}

// ParseTemperatureDifference reads a difference: "5 K", "9 R" (Fahrenheit
// degrees).
func ParseTemperatureDifference(s string) (TemperatureDifference, error) {
	v, err := parse(s, temperatureDifference)
	return TemperatureDifference(v), err
}

// ParseEnergy reads an energy: "35 Mcal".
func ParseEnergy(s string) (Energy, error) { v, err := parse(s, energy); return Energy(v), err }

// ParseEnergyPerMass reads an energy concentration: "0.68 Mcal/lb".
func ParseEnergyPerMass(s string) (EnergyPerMass, error) {
	v, err := parse(s, energyPerMass)
	return EnergyPerMass(v), err
}

// ParseMassPerTime reads a daily rate: "55 lb/d".
func ParseMassPerTime(s string) (MassPerTime, error) {
	v, err := parse(s, massPerTime)
	return MassPerTime(v), err
}

// ParseMassPerVolume reads a density: "15 lb/ft3".
func ParseMassPerVolume(s string) (MassPerVolume, error) {
	v, err := parse(s, massPerVolume)
	return MassPerVolume(v), err
}

// ParseSpeed reads a speed: "5 mph".
func ParseSpeed(s string) (Speed, error) { v, err := parse(s, speed); return Speed(v), err }

// ParseAreaPerTime reads a work rate: "6.8 ac/h".
func ParseAreaPerTime(s string) (AreaPerTime, error) {
	v, err := parse(s, areaPerTime)
	return AreaPerTime(v), err
}

// ParseFraction reads a share: "35 %".
func ParseFraction(s string) (Fraction, error) { v, err := parse(s, fraction); return Fraction(v), err }

// ParseCountPerArea reads a population: "32,000 /ac".
func ParseCountPerArea(s string) (CountPerArea, error) {
	v, err := parse(s, countPerArea)
	return CountPerArea(v), err
}

// ParseCountPerMass reads a seed count: "22,000 /lb".
func ParseCountPerMass(s string) (CountPerMass, error) {
	v, err := parse(s, countPerMass)
	return CountPerMass(v), err
}

// ParseDuration reads a span of time: "45 d".
func ParseDuration(s string) (Duration, error) { v, err := parse(s, duration); return Duration(v), err }

// dollars are the currencies whose sign is "$" on their own ground.
var dollars = map[string]bool{"USD": true, "CAD": true, "AUD": true, "NZD": true}

// priced splits "1.40 USD/lb" or "$1.40/lb" into its amount and unit.
func priced(s, currency, example string) (amount float64, per string, err error) {
	text := strings.TrimSpace(s)
	if !utf8.ValidString(text) {
		return 0, "", refuse(s, "not valid UTF-8 text; write a price, such as %q", example)
	}
	if after, ok := strings.CutPrefix(text, "$"); ok && dollars[currency] {
		v, rest, ok := number(after)
		if !ok {
			return 0, "", refuse(s, "not a price; write %q", example)
		}
		return v, rest, nil
	}
	v, rest, ok := number(text)
	if !ok {
		return 0, "", refuse(s, "not a price; write %q", example)
	}
	if rest == "" {
		return 0, "", refuse(s, "the currency and the unit are missing; write %q", example)
	}
	switch {
	case strings.HasPrefix(rest, currency):
		return v, strings.TrimSpace(rest[len(currency):]), nil
	case strings.HasPrefix(rest, "$") && dollars[currency]:
		return v, strings.TrimSpace(rest[1:]), nil
	}
	return 0, "", refuse(s, "the document's currency is %s; write %q", currency, example)
}

// perUnit reads the "/lb" of a price; the factor is SI units in one.
func perUnit(s, per, example string, want dimension) (float64, error) {
	name, ok := strings.CutPrefix(per, "/")
	if !ok {
		name, ok = strings.CutPrefix(per, "per ")
	}
	if !ok {
		return 0, refuse(s, "what the price is for is missing; write %q", example)
	}
	u := byName[strings.TrimSpace(name)]
	if u == nil || u.dim != want {
		return 0, refuse(s, "a price for %s is wanted; write %q", dimensions[want].name, example)
	}
	return u.factor, nil
}

// ParseMoneyPerMass reads a price: "1.40 USD/lb", "$210/ton".
func ParseMoneyPerMass(s, currency string) (MoneyPerMass, error) {
	example := "210 " + currency + "/ton"
	v, per, err := priced(s, currency, example)
	if err != nil {
		return 0, err
	}
	f, err := perUnit(s, per, example, mass)
	if err != nil {
		return 0, err
	}
	v, err = finite(s, v/f)
	return MoneyPerMass(v), err
}

// ParseMoneyPerArea reads a cost by area: "28 USD/ac".
func ParseMoneyPerArea(s, currency string) (MoneyPerArea, error) {
	example := "28 " + currency + "/ac"
	v, per, err := priced(s, currency, example)
	if err != nil {
		return 0, err
	}
	f, err := perUnit(s, per, example, area)
	if err != nil {
		return 0, err
	}
	v, err = finite(s, v/f)
	return MoneyPerArea(v), err
}

// ParseMoneyPerTime reads a wage: "24 USD/h".
func ParseMoneyPerTime(s, currency string) (MoneyPerTime, error) {
	example := "24 " + currency + "/h"
	v, per, err := priced(s, currency, example)
	if err != nil {
		return 0, err
	}
	f, err := perUnit(s, per, example, duration)
	if err != nil {
		return 0, err
	}
	v, err = finite(s, v/f)
	return MoneyPerTime(v), err
}

// ParseMoneyEach reads a price of one thing: "13.80 USD each", "$13.80/bale".
func ParseMoneyEach(s, currency string) (MoneyPerCount, error) {
	example := "13.80 " + currency + " each"
	v, per, err := priced(s, currency, example)
	if err != nil {
		return 0, err
	}
	switch per {
	case "each", "/bale", "per bale", "/each":
		return MoneyPerCount(v), nil
	}
	return 0, refuse(s, "a price of one is wanted; write %q", example)
}

// ParseDate reads a civil day as ISO 8601: "2017-06-05".
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, strings.TrimSpace(s))
	if err != nil {
		return 0, refuse(s, `not a date; write year-month-day, such as "2017-06-05"`)
	}
	if t.Year() < 1 {
		return 0, refuse(s, "the year is out of range; write 0001 to 9999")
	}
	return NewDate(t.Date()), nil
}

// ParseMonthDay reads a day of any year: "5 May", "1 November".
func ParseMonthDay(s string) (MonthDay, error) {
	f := strings.Fields(s)
	if len(f) == 2 {
		if _, err := strconv.Atoi(f[0]); err != nil {
			f[0], f[1] = f[1], f[0] // May 5
		}
		if day, err := strconv.Atoi(f[0]); err == nil && len(f[1]) >= 3 {
			for m := time.January; m <= time.December; m++ {
				if !strings.EqualFold(f[1], m.String()) && !strings.EqualFold(f[1], m.String()[:3]) {
					continue
				}
				// 2004 was a leap year: 29 Feb is a day of some year.
				if day < 1 || NewDate(2004, m, day) != NewDate(2004, m, 1)+Date(day-1) || NewDate(2004, m, day) >= NewDate(2004, m+1, 1) {
					return MonthDay{}, refuse(s, "%s has no day %d", m, day)
				}
				return MonthDay{m, day}, nil
			}
		}
	}
	return MonthDay{}, refuse(s, `not a day of the year; write day and month, such as "5 May"`)
}
