package quantity

import (
	"math"
	"strconv"
	"strings"
)

// System is the system of units that figures are shown in.
type System uint8

// The two systems.
const (
	US System = iota
	Metric
)

// ParseSystem reads "us" or "metric".
func ParseSystem(s string) (System, error) {
	switch s {
	case "us", "US":
		return US, nil
	case "metric":
		return Metric, nil
	}
	return 0, refuse(s, `not a system of units; write "us" or "metric"`)
}

// String is the word that ParseSystem reads.
func (s System) String() string {
	if s == Metric {
		return "metric"
	}
	return "us"
}

// Digits writes a number to n significant digits, thousands grouped, without
// needless zeros: 12.4, 1,250, 0.068.
func Digits(v float64, n int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v+0, 'f', -1, 64)
	}
	places := n - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	if places > 12 {
		return strconv.FormatFloat(v, 'g', n, 64)
	}
	if places < 0 {
		p := math.Pow(10, float64(-places))
		if r := math.Round(v/p) * p; !math.IsInf(r, 0) && !math.IsNaN(r) {
			v = r
		}
		places = 0
	}
	text := strconv.FormatFloat(v, 'f', places, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return group(text)
}

// Grouped writes a number with a fixed count of decimals, thousands grouped.
func Grouped(v float64, places int) string {
	text := group(strconv.FormatFloat(v, 'f', places, 64))
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-") // no minus nothing
	}
	return text
}

// group puts commas between thousands.
func group(text string) string {
	sign := ""
	if strings.HasPrefix(text, "-") {
		sign, text = "-", text[1:]
	}
	whole, frac, dot := strings.Cut(text, ".")
	var b strings.Builder
	for i, c := range whole {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteRune(c)
	}
	if dot {
		b.WriteString("." + frac)
	}
	return sign + b.String()
}

// show writes an SI value in the unit of that name to four significant digits.
func show(v float64, name string) string {
	u := byName[name]

	return Digits((v-u.offset)/u.factor, 4) + " " + u.names[0]
}

// pick takes the US or the metric unit.
func pick(s System, us, metric string) string {
	if s == Metric {
		return metric
	}
	return us
}

// Metres is the length in m.
func (l Length) Metres() float64 { return float64(l) }

// Centimetres is the length in cm.
func (l Length) Centimetres() float64 { return float64(l) * 100 }

// Inches is the length in inches.
func (l Length) Inches() float64 { return float64(l / Inch) }

// Feet is the length in feet.
func (l Length) Feet() float64 { return float64(l / Foot) }

// In writes the length: heights in inches or centimetres, short ways in feet or
// metres, long ones in miles or kilometres.
func (l Length) In(s System) string {
	switch a := math.Abs(float64(l)); {
	case a < 3:
		return show(float64(l), pick(s, "in", "cm"))
	case a < 1000:
		return show(float64(l), pick(s, "ft", "m"))
	}
	return show(float64(l), pick(s, "mi", "km"))
}

// String writes the length in US units.
func (l Length) String() string { return l.In(US) }

// Acres is the area in acres.
func (a Area) Acres() float64 { return float64(a / Acre) }

// Hectares is the area in ha.
func (a Area) Hectares() float64 { return float64(a / Hectare) }

// In writes the area in acres or hectares.
func (a Area) In(s System) string { return show(float64(a), pick(s, "ac", "ha")) }

// String writes the area in US units.
func (a Area) String() string { return a.In(US) }

// In writes the volume in cubic feet or metres.
func (v Volume) In(s System) string { return show(float64(v), pick(s, "ft3", "m3")) }

// String writes the volume in US units.
func (v Volume) String() string { return v.In(US) }

// Pounds is the mass in lb.
func (m Mass) Pounds() float64 { return float64(m / Pound) }

// Tons is the mass in short tons of 2,000 lb.
func (m Mass) Tons() float64 { return float64(m / Ton) }

// Tonnes is the mass in metric tons.
func (m Mass) Tonnes() float64 { return float64(m / Tonne) }

// In writes the mass: pounds or kilograms below two tons, tons or tonnes above.
func (m Mass) In(s System) string {
	if math.Abs(float64(m)) < 2000 {
		return show(float64(m), pick(s, "lb", "kg"))
	}
	return show(float64(m), pick(s, "ton", "t"))
}

// String writes the mass in US units.
func (m Mass) String() string { return m.In(US) }

// PoundsPerAcre is the rate in lb/ac.
func (m MassPerArea) PoundsPerAcre() float64 { return float64(m / PoundPerAcre) }

// KilogramsPerHectare is the rate in kg/ha.
func (m MassPerArea) KilogramsPerHectare() float64 { return float64(m / KilogramPerHectare) }

// TonsPerAcre is the yield in short tons per acre.
func (m MassPerArea) TonsPerAcre() float64 { return float64(m / TonPerAcre) }

// In writes the amount: yields above about half a ton an acre in tons.
func (m MassPerArea) In(s System) string {
	if math.Abs(float64(m)) >= 0.1 {
		return show(float64(m), pick(s, "ton/ac", "t/ha"))
	}
	return m.RateIn(s)
}

// RateIn writes the amount as a rate: pounds per acre, kilograms per hectare.
func (m MassPerArea) RateIn(s System) string { return show(float64(m), pick(s, "lb/ac", "kg/ha")) }

// String writes the amount in US units.
func (m MassPerArea) String() string { return m.In(US) }

// Millimetres is the depth in mm.
func (w WaterDepth) Millimetres() float64 { return float64(w) * 1000 }

// In writes the depth in inches or millimetres of water.
func (w WaterDepth) In(s System) string {
	return show(float64(w), pick(s, "in water", "mm water"))
}

// String writes the depth in US units.
func (w WaterDepth) String() string { return w.In(US) }

// Celsius makes a temperature.
func Celsius(c float64) Temperature { return Temperature(c) }

// Fahrenheit makes a temperature from degrees Fahrenheit; exact but for
// rounding, 32 °F being 0 °C.
func Fahrenheit(f float64) Temperature { return Temperature((f - 32) * 5 / 9) }

// Fahrenheit is the temperature in °F.
func (t Temperature) Fahrenheit() float64 { return float64(t)*9/5 + 32 }

// In writes the temperature.
func (t Temperature) In(s System) string { return show(float64(t), pick(s, "°F", "°C")) }

// String writes the temperature in US units.
func (t Temperature) String() string { return t.In(US) }

// In writes the difference in Fahrenheit degrees (R) or kelvins.
func (t TemperatureDifference) In(s System) string { return show(float64(t), pick(s, "R", "K")) }

// String writes the difference in US units.
func (t TemperatureDifference) String() string { return t.In(US) }

// Megacalories is the energy in Mcal.
func (e Energy) Megacalories() float64 { return float64(e / Megacalorie) }

// In writes the energy in Mcal or MJ.
func (e Energy) In(s System) string { return show(float64(e), pick(s, "Mcal", "MJ")) }

// String writes the energy in US units.
func (e Energy) String() string { return e.In(US) }

// In writes the concentration in Mcal/lb or MJ/kg.
func (e EnergyPerMass) In(s System) string { return show(float64(e), pick(s, "Mcal/lb", "MJ/kg")) }

// String writes the concentration in US units.
func (e EnergyPerMass) String() string { return e.In(US) }

// KilogramsPerDay is the rate in kg/d.
func (m MassPerTime) KilogramsPerDay() float64 { return float64(m / KilogramPerDay) }

// In writes the rate by day.
func (m MassPerTime) In(s System) string { return show(float64(m), pick(s, "lb/d", "kg/d")) }

// String writes the rate in US units.
func (m MassPerTime) String() string { return m.In(US) }

// In writes the density.
func (m MassPerVolume) In(s System) string { return show(float64(m), pick(s, "lb/ft3", "kg/m3")) }

// String writes the density in US units.
func (m MassPerVolume) String() string { return m.In(US) }

// In writes the speed.
func (v Speed) In(s System) string { return show(float64(v), pick(s, "mph", "km/h")) }

// String writes the speed in US units.
func (v Speed) String() string { return v.In(US) }

// In writes the work rate.
func (a AreaPerTime) In(s System) string { return show(float64(a), pick(s, "ac/h", "ha/h")) }

// String writes the work rate in US units.
func (a AreaPerTime) String() string { return a.In(US) }

// String writes the share in per cent.
func (f Fraction) String() string { return show(float64(f), "%") }

// In writes the number per acre or hectare.
func (c CountPerArea) In(s System) string { return show(float64(c), pick(s, "/ac", "/ha")) }

// String writes the number in US units.
func (c CountPerArea) String() string { return c.In(US) }

// In writes the number per pound or kilogram.
func (c CountPerMass) In(s System) string { return show(float64(c), pick(s, "/lb", "/kg")) }

// String writes the number in US units.
func (c CountPerMass) String() string { return c.In(US) }

// Days is the span in days.
func (d Duration) Days() float64 { return float64(d / Day) }

// String writes the span in days, or hours below one day.
func (d Duration) String() string {
	if math.Abs(float64(d)) < float64(Day) {
		return show(float64(d), "h")
	}
	return show(float64(d), "d")
}
