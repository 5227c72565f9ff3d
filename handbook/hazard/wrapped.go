package hazard

// LotFacts is what the gate of wrapped and ensiled lots reads.
type LotFacts struct {
	PH        float64 // of the feed, as a laboratory or strip read it
	Moisture  float64 // at wrapping, wet basis, 0..1
	Soiled    bool    // soil or manure in it
	Punctured bool    // film holed and not mended at once
	Carcass   bool    // an animal was picked up
	Strict    bool    // for horses or sheep
	Known     Known   // of pH and moisture
}

// The limits of wrapped lots.
const (
	LotPH       = 4.5
	LotPHSevere = 5.0
	LotMoisture = 0.65
)

// Wrapped is the gate for feeding a wrapped or ensiled lot: botulism and listeria.
// Horses and sheep are held where cattle are warned; for them an unknown pH of a
// wet or unknown lot is a Hold.
//
// Source: the rule table, Book; each rule cites its own.
func Wrapped(f LotFacts) Verdict {
	var v Verdict
	if f.Carcass {
		v.hold(lotCarcass)
	}
	var absurd Known
	if f.Known&KnowLotPH != 0 && !(f.PH >= 0 && f.PH <= 14) {
		absurd = KnowLotPH
	}
	if f.Known&KnowLotMoisture != 0 && !share(f.Moisture) {
		absurd |= KnowLotMoisture
	}
	if absurd != 0 { // no reading is a fact that was not read
		v.missing(missingLot, absurd)
		f.Known &^= absurd
	}
	known := f.Known&KnowLotPH != 0
	wet := f.Known&KnowLotMoisture == 0 || f.Moisture > LotMoisture
	either := func(strict, other ruleIndex) {
		if f.Strict {
			v.hold(strict)
		} else {
			v.caution(other)
		}
	}
	switch {
	case known && f.PH > LotPHSevere && wet:
		v.hold(lotSourStrict)
	case known && f.PH > LotPH:
		either(lotSourStrict, lotSour)
	case !known && wet:
		either(lotWetStrict, lotWet)
		if f.Strict {
			v.missing(missingLot, (KnowLotPH|KnowLotMoisture)&^f.Known)
		}
	}
	if f.Soiled {
		either(lotSoiled, lotSoiled)
	}
	if f.Punctured {
		either(lotPunctured, lotPunctured)
	}
	return v
}
