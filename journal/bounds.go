package journal

import (
	"fmt"

	"rowen/internal/document"
	"rowen/quantity"
)

// MaxSequence is the highest number that a device gives an entry: what every program
// that reads lines can count to without rounding. Nobody writes so much; a number beyond
// it is a slip or a trick, and would leave the device none to go on with.
const MaxSequence = 1 << 53

// bound is what an amount can be on any farm, in SI: far beyond what is believed without
// a question, and near enough that whatever is reckoned from it stays a number.
type bound struct {
	least, most float64
	said        string // the bounds, as a person reads them
}

// bounded is a value that knows its bounds; the error says them.
type bounded interface{ beyond() error }

// boundOf is the bound of amounts of a type. Shares have theirs as they are read.
func boundOf[T ~float64]() bound {
	var zero T
	switch any(zero).(type) {
	case quantity.Length: // of plants
		return bound{0, 20, "66 ft or 20 m at most"}
	case quantity.Mass: // of feed
		return bound{0, 1e9, "1,100,000 ton or 1,000,000 t at most"}
	case quantity.MassPerArea: // of manure
		return bound{0, 100, "450 ton/ac or 1,000 t/ha at most"}
	case quantity.CountPerArea:
		return bound{0, 1e5, "400,000,000 /ac or 1,000,000,000 /ha at most"}
	case quantity.Temperature:
		return bound{-90, 70, "between -130 F and 158 F, or -90 C and 70 C"}
	case quantity.WaterDepth:
		return bound{0, 2, "78 in or 2,000 mm at most"}
	case quantity.Duration:
		return bound{0, float64(20 * 365 * quantity.Day), "7,300 d at most"}
	case VolumePerArea:
		return bound{0, 1, "1,000,000 gal/ac or 10,000 m3/ha at most"}
	case quantity.Fraction:
		return bound{0, 1, "between 0 % and 100 %"}
	}
	return bound{0, 1000, "1,000 at most"} // a stage of any scale, a pH
}

func (a *Amount[T]) beyond() error {
	b := boundOf[T]()
	if v := float64(a.si); !a.Known() || v >= b.least && v <= b.most {
		return nil
	}
	return refuse(a.said, "no farm has so much or so little (%s); correct the number or the unit", b.said)
}

func (l lengths) beyond() error {
	for i := range *l.at {
		if err := (*l.at)[i].beyond(); err != nil {
			return err
		}
	}
	return nil
}

// beyond is why a value cannot be on any farm; nil where it can.
func beyond(v value) error {
	if b, ok := v.(bounded); ok {
		return b.beyond()
	}
	return nil
}

// bounds checks that a fact's day and values can be on any farm at all.
func (v *validator) bounds() {
	if d := v.entry.Date; !d.Sane() {
		v.report("date", d.String(), fmt.Sprintf("write a day from %d to %d", quantity.FirstYear, quantity.LastYear))
	}
	for _, s := range slotsOf(v.entry.Fact) {
		if err := beyond(s.value); err != nil {
			v.report(s.name, s.value.text(), remedy(err))
		}
	}
}

// impossible are the values of an entry that no farm can have. New entries with such are
// not kept; one that lies in a journal already counts for the rest of what it says.
func (e Entry) impossible() document.Problems {
	v := validator{entry: &e}
	v.bounds()
	return v.problems
}

// believed is an entry without its impossible values, as if they had not been said: a
// frost of no believable minimum stays a frost. It is false where the fact means nothing
// without them.
func (e Entry) believed() (Entry, bool) {
	s := schemaByKind[e.Kind()]
	if s == nil || len(e.impossible()) == 0 { // of a later program's kind the values are not known
		return e, true
	}
	said := slotsOf(e.Fact)
	whole := true
	e.Fact, _ = s.fill(func(slots []slot) error {
		for i, one := range slots {
			text := said[i].value.text()
			if text == "" || beyond(said[i].value) != nil {
				whole = whole && !one.need
				continue
			}
			_ = one.value.read(text) // it was read before
		}
		whole = whole && (s.whole == nil || s.whole(slots) == "")
		return nil
	})
	return e, whole
}
