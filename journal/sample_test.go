package journal

import (
	"time"

	"rowen/quantity"
)

// sample is an invented season with every kind of fact.
func sample() []Entry {
	var at time.Time
	var out []Entry
	add := func(month time.Month, dayOfMonth int, field string, f Fact, more ...func(*Entry)) {
		date := quantity.NewDate(2026, month, dayOfMonth)
		// In the evening of the day, or at once behind the entry before.
		if evening := date.Time().Add(21 * time.Hour); evening.After(at) {
			at = evening
		} else {
			at = at.Add(90 * time.Second)
		}
		e := Entry{ID: ID{"barn", uint64(len(out) + 1)}, Date: date, Recorded: at, Field: field, Fact: f}
		for _, m := range more {
			m(&e)
		}
		out = append(out, e)
	}
	group := func(name string) func(*Entry) { return func(e *Entry) { e.Group = name } }
	store := func(name, lot string) func(*Entry) { return func(e *Entry) { e.Store, e.Lot = name, lot } }
	length := MustSay[quantity.Length]
	share := MustSay[quantity.Fraction]
	weight := MustSay[quantity.Mass]
	rate := MustSay[quantity.MassPerArea]

	add(time.May, 28, "North Six", Tilled{How: "disc"})
	add(time.May, 30, "North Six", Sown{Crop: "sorghum-sudangrass", Rate: rate("42 lb/ac"), Share: share("100 %")}, func(e *Entry) { e.Note = "drill set \"5\",\nstarter left out" })
	add(time.June, 7, "North Six", Emergence{Emerged: true, Plants: MustSay[quantity.CountPerArea]("520,000 /ac")})
	add(time.June, 10, "North Six", Fertiliser{Product: "urea", Rate: rate("130 lb/ac"), Nitrogen: rate("60 lb/ac")})
	add(time.June, 12, "Mill Flat", Manure{Product: "pit", Volume: MustSay[VolumePerArea]("5,000 gal/ac"), Nitrogen: rate("45 lb/ac")})
	add(time.June, 14, "", Rain{Depth: MustSay[quantity.WaterDepth]("0.6 in")})
	add(time.July, 2, "North Six", Stage{Words: "boot", Number: MustSay[float64]("0.6")})
	add(time.July, 12, "North Six", Height{Heights: []Amount[quantity.Length]{length("31 in"), length("28 in"), length("33 in")}})
	add(time.July, 13, "North Six", GrazingIn{Head: 62}, group("Milkers"))
	add(time.July, 17, "North Six", GrazingOut{Residual: length("7 in")}, group("Milkers"))
	add(time.July, 18, "Mill Flat", Cut{Use: UseWrap, Stubble: length("4 in"), Swath: share("80 %"), Moisture: share("52 %"), Pieces: Pieces{Bales: 36, Each: weight("980 lb")}}, store("Bale row", "W1"))
	add(time.July, 20, "Mill Flat", Drought{})
	add(time.August, 2, "Mill Flat", DroughtEnded{Rain: MustSay[quantity.WaterDepth]("1.2 in")})
	add(time.August, 5, "Mill Flat", Hail{Damage: share("30 %")})
	add(time.August, 9, "Mill Flat", Label{Product: "Weedaway", PlantBack: MustSay[quantity.Duration]("120 d"), GrazingWait: MustSay[quantity.Duration]("14 d")})
	add(time.August, 20, "", Lab{Nitrate: share("1200 ppm"), NitrateAs: NitrateNitrogen, NitrateBasis: BasisDryMatter, Prussic: share("180 ppm"), PrussicBasis: BasisAsFed,
		Moisture: share("52 %"), Protein: share("14.5 %"), ADF: share("33 %"), NDF: share("55 %"), NDFD: share("62 %"), PH: MustSay[float64]("4.6"), Sampled: quantity.NewDate(2026, time.August, 12)}, store("", "W1"))
	add(time.September, 1, "", Bought{Load{Feed: "grass hay", Amount: weight("6 ton"), DryMatter: share("88 %")}}, store("Hay barn", ""))
	add(time.September, 4, "", Sold{Load{Pieces: Pieces{Bales: 4, Each: weight("980 lb")}}}, store("Bale row", "W1"))
	add(time.September, 10, "", Fed{Load{Pieces: Pieces{Bales: 12}}}, store("Bale row", "W1"), group("Milkers"))
	add(time.September, 11, "", StoreMeasured{Load{Amount: weight("120 ton"), DryMatter: share("34 %")}}, store("Bunker", ""))
	add(time.September, 15, "", AnimalsIn{Head: 5}, group("Heifers"))
	add(time.September, 16, "", AnimalsOut{Head: 2}, group("Milkers"))
	add(time.September, 24, "North Six", Frost{Minimum: MustSay[quantity.Temperature]("30 F")})
	add(time.September, 30, "North Six", Shoots{Height: length("3 in")})
	add(time.October, 3, "North Six", Ended{Why: "killed by frost"})
	add(time.July, 12, "North Six", Height{Heights: []Amount[quantity.Length]{length("31 in"), length("29 in"), length("33 in")}}, func(e *Entry) { e.Corrects = ID{"barn", 8}; e.Note = "misread the stick" })
	add(time.August, 5, "", Withdrawn{}, func(e *Entry) { e.Corrects = ID{"barn", 14}; e.Note = "it was the next farm" })
	return out
}
