package journal

import (
	"fmt"
	"strings"
	"time"

	"pgregory.net/rapid"

	"rowen/quantity"
)

// texts are names and words as people write them, with what files and sheets
// stumble over.
var texts = rapid.Custom(func(t *rapid.T) string {
	s := rapid.OneOf(
		rapid.SampledFrom([]string{"North Six", "=1+1", "+3", "-x", "@a", "'quoted", "''", "'=x", `a "b", c`, "Wühlmaus", "a;b", "\u2028", "x\\y", "{", "ſ", "İ", "null", "sum"}),
		rapid.StringN(1, 12, 40),
	).Draw(t, "text")
	if isLine(s) != nil || s == "" {
		return "Mill Flat"
	}
	return s
})

var notes = rapid.Custom(func(t *rapid.T) string {
	if rapid.Bool().Draw(t, "odd") {
		return rapid.SampledFrom([]string{"", "two\nlines", "\ttab", "\n", " spaced ", "= sum", "'", "\",\"sum\":\"00000000\"}", "end\n\n"}).Draw(t, "note")
	}
	e := Entry{Note: rapid.String().Draw(t, "note"), Fact: Drought{}}
	if len(e.unstamped()) > 0 {
		return "plain"
	}
	return e.Note
})

// amounts are texts that each type of amount may be.
func amountText(t *rapid.T, v value) string {
	units := map[string][]string{
		fmt.Sprintf("%T", &Amount[quantity.Length]{}):       {"in", "cm", "ft", "m"},
		fmt.Sprintf("%T", &Amount[quantity.Mass]{}):         {"lb", "kg", "ton", "t"},
		fmt.Sprintf("%T", &Amount[quantity.MassPerArea]{}):  {"lb/ac", "kg/ha", "t/ha"},
		fmt.Sprintf("%T", &Amount[quantity.CountPerArea]{}): {"/ac", "/m2", "plants/ac"},
		fmt.Sprintf("%T", &Amount[quantity.Fraction]{}):     {"%", "ppm"},
		fmt.Sprintf("%T", &Amount[quantity.Temperature]{}):  {"F", "°C"},
		fmt.Sprintf("%T", &Amount[quantity.WaterDepth]{}):   {"in", "mm water"},
		fmt.Sprintf("%T", &Amount[quantity.Duration]{}):     {"d", "h", "weeks"},
		fmt.Sprintf("%T", &Amount[VolumePerArea]{}):         {"gal/ac", "m3/ha"},
		fmt.Sprintf("%T", &Amount[float64]{}):               {""},
	}[fmt.Sprintf("%T", v)]
	number := rapid.SampledFrom([]string{"0", "1", "31", "2.5", "+4", "0.068", "99", "1e-3", "007"}).Draw(t, "number")
	if units[0] == "" {
		return strings.ReplaceAll(number, "1e-3", ".5")
	}
	if rapid.Bool().Draw(t, "cold") && strings.HasPrefix(units[0], "F") {
		number = "-12.5"
	}
	return number + " " + rapid.SampledFrom(units).Draw(t, "unit")
}

// drawValue is a text for a value of any sort, empty for none.
func drawValue(t *rapid.T, s slot) string {
	if !s.need && rapid.Bool().Draw(t, "left out") {
		return ""
	}
	switch v := s.value.(type) {
	case word:
		return texts.Draw(t, s.name)
	case count:
		return fmt.Sprint(rapid.IntRange(1, maxCount).Draw(t, s.name))
	case truth:
		return rapid.SampledFrom([]string{"yes", "no"}).Draw(t, s.name)
	case day:
		return days.Draw(t, s.name).String()
	case lengths:
		one := func() string { return amountText(t, &Amount[quantity.Length]{}) }
		out := one()
		for range rapid.IntRange(0, 3).Draw(t, "spots") {
			out += "; " + one()
		}
		return out
	case choice[Use]:
		return string(rapid.SampledFrom(v.words).Draw(t, s.name))
	case choice[Leaf]:
		return string(rapid.SampledFrom(v.words).Draw(t, s.name))
	case choice[Basis]:
		return string(rapid.SampledFrom(v.words).Draw(t, s.name))
	case choice[NitrateForm]:
		return string(rapid.SampledFrom(v.words).Draw(t, s.name))
	}
	return amountText(t, s.value)
}

var days = rapid.Custom(func(t *rapid.T) quantity.Date {
	return quantity.Date(rapid.Int32Range(int32(quantity.NewDate(quantity.FirstYear, time.January, 1)), int32(quantity.NewDate(quantity.LastYear, time.December, 31))).Draw(t, "day"))
})

// ids are few, so that they meet.
var ids = rapid.Custom(func(t *rapid.T) ID {
	return ID{rapid.SampledFrom([]string{"barn", "phone", "x.1_-"}).Draw(t, "device"), rapid.Uint64Range(1, 6).Draw(t, "sequence")}
})

// anyEntry is an entry of any kind that may be kept.
var anyEntry = rapid.Custom(func(t *rapid.T) Entry {
	e := Entry{ID: ids.Draw(t, "id"), Date: days.Draw(t, "date"), Note: notes.Draw(t, "note")}
	e.Recorded = time.Unix(rapid.Int64Range(-1e9, 4e9).Draw(t, "second"), rapid.SampledFrom([]int64{0, 5, 120e6}).Draw(t, "nanosecond")).UTC()
	s := &schemas[rapid.IntRange(0, len(schemas)-1).Draw(t, "kind")]
	for _, p := range s.takes {
		if needs := s.needs; len(needs) > 0 || rapid.Bool().Draw(t, "named") {
			*p.named(&e) = texts.Draw(t, placeNames[p])
		}
	}
	var err error
	e.Fact, err = s.fill(func(slots []slot) error {
		for _, one := range slots {
			if text := drawValue(t, one); text != "" {
				if err := one.value.read(text); err != nil {
					return err
				}
				if beyond(one.value) != nil { // nothing grows 99 ft high
					last := strings.TrimSpace(text[strings.LastIndexByte(text, ';')+1:])
					_, unit, _ := strings.Cut(last, " ")
					if err := one.value.read("1 " + unit); err != nil {
						return err
					}
				}
			}
		}
		if s.whole != nil && s.whole(slots) != "" {
			for _, one := range slots {
				if _, ok := one.value.(count); ok || one.name == "stage" || one.name == "ph" {
					return one.value.read("7")
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if s.kind == KindWithdrawn || rapid.Bool().Draw(t, "corrects") {
		if e.Corrects = ids.Draw(t, "corrects"); e.Corrects == e.ID {
			e.Corrects.Sequence += 10
		}
	}
	if rapid.IntRange(0, 5).Draw(t, "later") == 0 {
		later(t, &e)
	}
	return e
})

// later makes the entry one of a later version.
func later(t *rapid.T, e *Entry) {
	e.Version = rapid.IntRange(2, 9).Draw(t, "version")
	e.Later = rapid.SampledFrom([]string{"", `{"zeal":1}`, `{"a b":{"c":[1,2,"=x"]},"zeal":"\u00e9"}`, `{"unit":"chain","zap":null}`}).Draw(t, "kept")
	if rapid.Bool().Draw(t, "unknown kind") {
		e.Fact = Other{Kind(rapid.SampledFrom([]string{"milk", "soil test", "-"}).Draw(t, "its kind"))}
	}
}

// must is a value that cannot fail in a test.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
