package hazard

// NitrateFacts is what the nitrate gate reads.
type NitrateFacts struct {
	Use      Use
	Stressed bool    // drought-stressed now
	Rain     int     // days since a rain ended a drought, Never
	Nitrogen float64 // largest single dressing within six weeks, kg/ha
	Frost    int     // days since the last frost, Never
	Known    Known
}

// Nitrate is the nitrate gate for growth of a crop that gathers it. Without a
// laboratory result the longest printed wait stands.
//
// Source: the rule table, Rules; each rule cites its own.
func Nitrate(f NitrateFacts) Verdict {
	var v Verdict
	if missing := (KnowDrought | KnowRain | KnowFrost) &^ f.Known; missing != 0 {
		v.missing(missingNitrate, missing)
	}
	stored := f.Use == Ensiling || f.Use == Haying
	if f.Known&KnowRain != 0 && f.Rain < NitrateRainWait {
		if stored {
			v.caution(nitrateStored)
		} else {
			v.hold(nitrateRain)
		}
	}
	if f.Known&KnowDrought != 0 && f.Stressed {
		v.caution(nitrateDrought)
		if stored {
			v.caution(nitrateStored)
		}
	}
	if f.Known&KnowNitrogen != 0 && f.Nitrogen > NitrateNitrogen {
		v.caution(nitrateNitrogen)
	}
	if f.Known&KnowFrost != 0 && f.Frost < 7 {
		v.caution(nitrateFrost)
	}
	return v
}

// Conversions between the ways laboratories print nitrate, from atomic weights.
const (
	NitratePerNitrogen          = 4.427 // NO3 per NO3-N
	PotassiumNitratePerNitrogen = 7.218 // KNO3 per NO3-N
	PotassiumNitratePerNitrate  = 1.631 // KNO3 per NO3
)

// NitrateShare is the largest share of a ration's dry matter, 0 to 1, that a
// feed of so many ppm nitrate nitrogen (NO3-N) of dry matter may be, by the
// strictest printed band for the class; what is not a number is 0.
//
// Source: Clemson University; Wisconsin and Illinois table; a Great Plains
// laboratory (read): the strictest of the three for each class.
func NitrateShare(ppm float64, pregnant bool) float64 {
	type band struct{ below, share float64 }
	table := [...]band{{1000, 1}, {1400, 1}, {2000, 0.5}, {3500, 0.35}}
	if pregnant {
		table = [...]band{{700, 1}, {1400, 0.5}, {2000, 0.25}, {2000, 0}}
	}
	if !(ppm >= 0) {
		return 0
	}
	for _, b := range table {
		if ppm < b.below {
			return b.share
		}
	}
	return 0
}

// NitrateReading judges a laboratory result in ppm NO3-N. Without its basis, or
// not knowing whether animals are pregnant, it fails to the safe side.
//
// Source: as NitrateShare.
func NitrateReading(ppm float64, basis Basis, pregnant bool, known Known) Verdict {
	var v Verdict
	if basis != DryBasis {
		v.missing(missingNitrate, KnowBasis)
		return v
	}
	if known&KnowPregnant == 0 {
		pregnant = true
	}
	switch share := NitrateShare(ppm, pregnant); {
	case share == 0:
		v.hold(nitrateLab)
	case share < 1:
		v.caution(nitrateLabCaution)
	}
	return v
}

// Dilution is the share of a ration, 0 to 1, at which a feed of one nitrate test
// mixed with the rest of another meets a target, all in the same unit.
//
// Source: arithmetic of mixing; common practice.
func Dilution(feed, rest, target float64) float64 {
	if feed <= target {
		return 1
	}
	if rest >= target {
		return 0
	}
	return (target - rest) / (feed - rest)
}
