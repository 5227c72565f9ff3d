package journal

import (
	"fmt"
	"strconv"
	"strings"

	"rowen/quantity"
)

// Amount is an amount as it was said: "31 in". The words are kept, so that a
// record reads in the unit in which it was measured and comes back exactly; the
// value beside them is in SI. The zero Amount says that nothing is known, which
// is not the same as "0 in".
type Amount[T ~float64] struct {
	si   T
	said string
}

// VolumePerArea is an amount of liquid manure in cubic metres per square metre.
type VolumePerArea float64

// Say reads an amount of the wanted type with its unit; a plain float64 is a
// number without one (a pH, a stage). Amounts are never negative, but for
// temperatures, and a share never exceeds 100 %.
func Say[T ~float64](text string) (Amount[T], error) {
	said := strings.Join(strings.Fields(text), " ")
	v, err := parse[T](said)
	if err != nil {
		return Amount[T]{}, err
	}
	var zero T
	switch any(zero).(type) {
	case quantity.Temperature:
	case quantity.Fraction:
		if v < 0 || v > 1 {
			return Amount[T]{}, refuse(said, "a share lies between 0 %% and 100 %%; correct the number or the unit")
		}
	default:
		if v < 0 {
			return Amount[T]{}, refuse(said, "it cannot be less than nothing; correct the number")
		}
	}
	return Amount[T]{T(v), said}, nil
}

// MustSay is Say for amounts written in code; it panics on a wrong one.
func MustSay[T ~float64](text string) Amount[T] {
	a, err := Say[T](text)
	if err != nil {
		panic("journal: " + err.Error())
	}
	return a
}

// Known tells whether an amount was said.
func (a Amount[T]) Known() bool { return a.said != "" }

// SI is the amount in SI, 0 if it is not known: ask Known, or use Get.
func (a Amount[T]) SI() T { return a.si }

// Get is the amount in SI and whether it is known.
func (a Amount[T]) Get() (T, bool) { return a.si, a.Known() }

// String is the amount as it was said, empty if it is not known.
func (a Amount[T]) String() string { return a.said }

func (a *Amount[T]) text() string { return a.said }

func (a *Amount[T]) read(text string) error {
	v, err := Say[T](text)
	if err == nil {
		*a = v
	}
	return err
}

// refuse is an error in the manner of package quantity.
func refuse(value, format string, args ...any) error {
	if len(value) > 60 {
		value = value[:60] + "..."
	}
	return &quantity.ParseError{Value: strings.ToValidUTF8(value, "?"), Remedy: fmt.Sprintf(format, args...)}
}

// remedy is what an error of package quantity advises, without the value again.
func remedy(err error) string {
	if p, ok := err.(*quantity.ParseError); ok {
		return p.Remedy
	}
	return err.Error()
}

// loose forgets the type of a parsed amount.
func loose[T ~float64](v T, err error) (float64, error) { return float64(v), err }

// parse reads the number in SI by the parser of the wanted type.
func parse[T ~float64](s string) (float64, error) {
	var zero T
	switch any(zero).(type) {
	case quantity.Length:
		return loose(quantity.ParseLength(s))
	case quantity.Mass:
		return loose(quantity.ParseMass(s))
	case quantity.MassPerArea:
		return loose(quantity.ParseMassPerArea(s))
	case quantity.CountPerArea:
		return loose(quantity.ParseCountPerArea(s))
	case quantity.Fraction:
		return loose(quantity.ParseFraction(s))
	case quantity.Temperature:
		return loose(quantity.ParseTemperature(s))
	case quantity.WaterDepth:
		return loose(quantity.ParseWaterDepth(s))
	case quantity.Duration:
		return loose(quantity.ParseDuration(s))
	case VolumePerArea:
		return volumePerArea(s)
	case float64:
		return plain(s)
	}
	panic(fmt.Sprintf("journal: no amounts of type %T", zero))
}

// plain reads a number without a unit.
func plain(s string) (float64, error) {
	if strings.Trim(s, "+-.0123456789") == "" {
		if v, err := strconv.ParseFloat(s, 64); err == nil {
			return v, nil
		}
	}
	return 0, refuse(s, `a plain number is wanted, such as "4.2"`)
}

// volumePerArea reads "4,000 gal/ac": any volume over any area.
func volumePerArea(s string) (float64, error) {
	if i := strings.LastIndexByte(s, '/'); i > 0 {
		v, verr := quantity.ParseVolume(s[:i])
		a, aerr := quantity.ParseArea("1 " + strings.TrimSpace(s[i+1:]))
		if verr == nil && aerr == nil {
			return float64(v) / float64(a), nil
		}
	}
	return 0, refuse(s, `not a volume per area; write one, such as "4,000 gal/ac" or "38 m3/ha"`)
}
