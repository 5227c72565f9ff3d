package account

import (
	"time"

	"rowen/crop"
	"rowen/farm"
	"rowen/quantity"
)

// Scout is a date to walk a field.
type Scout struct {
	Field int
	On    quantity.Date
	Text  string
}

// ScoutsOf are the dates to look for pests, by what grows (thresholds: Minnesota,
// Nebraska and Missouri extension, read): of what stands until the day on which its
// successor may be sown, and of that from then on.
func ScoutsOf(f *farm.Farm) (out []Scout) {
	first := f.FirstDay()
	for i := range f.Fields {
		until := first + 366
		for s := range f.Plan.Sowings {
			if sow := &f.Plan.Sowings[s]; sow.Field == i && !partly(f, sow) {
				until = min(until, sownFrom(f, sow))
			}
		}
		for _, s := range scoutsFor(&f.Fields[i].Stands, first) {
			if s.On < until {
				s.Field = i
				out = append(out, s)
			}
		}
		for s := range f.Plan.Sowings {
			sow := &f.Plan.Sowings[s]
			if sow.Field != i {
				continue
			}
			for _, x := range scoutsFor(&sow.Mix, first) {
				if x.On >= sownFrom(f, sow) {
					x.Field = i
					out = append(out, x)
				}
			}
		}
	}
	return out
}

// sownFrom is the first day of a sowing's window.
func sownFrom(f *farm.Farm, s *farm.Sowing) quantity.Date {
	switch {
	case s.On != 0:
		return s.On
	case s.From != 0:
		return s.From
	}
	return s.Mix.Parts[0].Crop.Sowing.Earliest.OnOrAfter(f.FirstDay())
}

// scoutsFor are a stand's dates.
func scoutsFor(mix *crop.Mix, first quantity.Date) (out []Scout) {
	if len(mix.Parts) == 0 {
		return nil
	}
	look := func(m time.Month, d int, text string) {
		out = append(out, Scout{On: quantity.MonthDay{Month: m, Day: d}.OnOrAfter(first), Text: text})
	}
	if has(mix, isAlfalfa) {
		look(5, 15, "alfalfa weevil: tips fed on; cut early rather than late")
		look(6, 20, "potato leafhopper, 20 sweeps in 5 places: 0.2 a sweep at 3 in, 0.5 at 6, 1 at 8 to 10, 2 at 12 to 14 (Minnesota)")
		look(7, 20, "potato leafhopper again, new seedings first")
	}
	switch kindOf(mix) {
	case grassy, cerealLike:
		look(6, 10, "armyworm at dusk: 2 to 3 a square foot in grass, 3 to 4 in small grain; above 1¼ in long too late (Delaware, Wisconsin, Missouri)")
	case cornLike, sorghumLike:
		look(7, 1, "armyworm in the whorl: 25 % of plants with two or more (Missouri)")
		look(8, 1, "aphids on leaf and head; sugarcane aphid where it has come")
	case brassicaLike:
		look(7, 15, "flea beetle on seedlings, caterpillars later")
	}
	return out
}
