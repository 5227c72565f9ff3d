package hazard_test

import (
	"math"

	"pgregory.net/rapid"

	"rowen/handbook/hazard"
	"rowen/quantity"
)

// asked is a gate with its facts drawn, asked again with knowledge taken away:
// of the facts, of the animals, of the sample.
type asked func(facts, animals, sample hazard.Known) hazard.Verdict

const everything = ^hazard.Known(0)

var (
	drawDays  = rapid.SampledFrom([]int{-1, 0, 1, 2, 3, 4, 6, 7, 10, 13, 14, 15, 20, 21, 30, 41, 42, 45, 56, 90, hazard.Never})
	drawShare = rapid.SampledFrom([]float64{0, 0.0005, 0.001, 0.002, 0.02, 0.2, 0.3, 0.5, 0.6, 0.7, 1})
	drawBool  = rapid.Bool()
	drawKnown = rapid.Custom(func(t *rapid.T) hazard.Known {
		if rapid.IntRange(0, 2).Draw(t, "all known") > 0 {
			return everything
		}
		return hazard.Known(rapid.Uint64().Draw(t, "known"))
	})
	drawAnimals = rapid.Custom(func(t *rapid.T) hazard.Animals {
		return hazard.Animals{
			Species:   hazard.Species(rapid.IntRange(0, 5).Draw(t, "species")),
			Lactating: drawBool.Draw(t, "lactating"), Pregnant: drawBool.Draw(t, "pregnant"), Young: drawBool.Draw(t, "young"), Hungry: drawBool.Draw(t, "hungry"),
			Known: drawKnown.Draw(t, "of animals"),
		}
	})
	drawSample = rapid.Custom(func(t *rapid.T) hazard.Sample {
		return hazard.Sample{
			Basis: hazard.Basis(rapid.IntRange(0, 3).Draw(t, "basis")), DryMatter: drawShare.Draw(t, "dry matter"), Same: drawBool.Draw(t, "same"),
			Ago: drawDays.Draw(t, "ago"), Stress: drawDays.Draw(t, "stress"), Known: drawKnown.Draw(t, "of sample"),
		}
	})
	drawPPM   = rapid.SampledFrom([]float64{-1, 0, 100, 199, 200, 499, 500, 600, 700, 1000, 1001, 1400, 2000, 3500, 9000, math.NaN(), math.Inf(1)})
	drawNight = rapid.Custom(func(t *rapid.T) quantity.Temperature {
		return quantity.Fahrenheit(rapid.SampledFrom([]float64{10, 23, 32, 33, 36, 37, 60, math.NaN(), math.Inf(1)}).Draw(t, "night"))
	})
)

func drawPrussicSample(t *rapid.T) hazard.PrussicSample {
	return hazard.PrussicSample{Result: hazard.HCN(drawPPM.Draw(t, "HCN")), Sample: drawSample.Draw(t, "sample"), Fresh: drawBool.Draw(t, "fresh")}
}

func drawSteer(t *rapid.T) hazard.PrussicSteerFacts {
	f := facts(t)
	f.Risk = hazard.PrussicRisk(rapid.IntRange(0, 2).Draw(t, "any risk"))
	f.Known = drawKnown.Draw(t, "of facts")
	return hazard.PrussicSteerFacts{
		PrussicFacts: f, Look: hazard.Look(rapid.IntRange(0, 4).Draw(t, "look")), LookAgo: rapid.IntRange(-1, 4).Draw(t, "look ago"),
		Tonight: drawNight.Draw(t, "tonight"), Sky: hazard.Sky(rapid.IntRange(0, 2).Draw(t, "sky")), LowGround: drawBool.Draw(t, "low"),
		Age: drawDays.Draw(t, "age"), Animals: drawAnimals.Draw(t, "animals"), Tested: drawBool.Draw(t, "tested"), Test: drawPrussicSample(t),
	}
}

func drawNitrate(t *rapid.T) hazard.NitrateSteerFacts {
	f := hazard.NitrateFacts{
		Use: hazard.Use(rapid.IntRange(0, 3).Draw(t, "use")), Stressed: drawBool.Draw(t, "stressed"), Rain: drawDays.Draw(t, "rain"),
		Nitrogen: rapid.SampledFrom([]float64{-1, 0, 60, 112, 113, math.NaN()}).Draw(t, "n"), Frost: drawDays.Draw(t, "frost"), Known: drawKnown.Draw(t, "of facts"),
	}
	return hazard.NitrateSteerFacts{
		NitrateFacts: f, Seldom: drawBool.Draw(t, "seldom"), Cloudy: drawBool.Draw(t, "cloudy"), Weeds: drawBool.Draw(t, "weeds"), Animals: drawAnimals.Draw(t, "animals"),
		Tested: drawBool.Draw(t, "tested"), Test: hazard.NitrateSample{Result: hazard.NO3N(drawPPM.Draw(t, "NO3-N")), Sample: drawSample.Draw(t, "sample")},
	}
}

// gates are the gates whose every fact counts as its worst value when unknown.
var gates = map[string]func(*rapid.T) asked{
	"prussic acid": func(t *rapid.T) asked {
		f := drawSteer(t)
		return func(k, a, s hazard.Known) hazard.Verdict {
			f := f
			f.Known, f.Animals.Known, f.Test.Sample.Known = f.Known&^k, f.Animals.Known&^a, f.Test.Sample.Known&^s
			return hazard.PrussicSteer(f)
		}
	},
	"prussic acid, daily": func(t *rapid.T) asked {
		f := drawSteer(t).PrussicFacts
		return func(k, _, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known &^= k
			return hazard.Prussic(f)
		}
	},
	"mixture": func(t *rapid.T) asked {
		f := drawSteer(t)
		parts := make([]hazard.PrussicPart, rapid.IntRange(0, 3).Draw(t, "parts"))
		for i := range parts {
			parts[i] = hazard.PrussicPart{Risk: hazard.PrussicRisk(rapid.IntRange(0, 2).Draw(t, "risk of part")), Height: rapid.Float64Range(0, 200).Draw(t, "height of part"), Known: drawKnown.Draw(t, "of part")}
		}
		return func(k, a, s hazard.Known) hazard.Verdict {
			f, parts := f, append([]hazard.PrussicPart(nil), parts...)
			f.Known, f.Animals.Known, f.Test.Sample.Known = f.Known&^k, f.Animals.Known&^a, f.Test.Sample.Known&^s
			for i := range parts {
				parts[i].Known &^= k
			}
			return hazard.PrussicMixture(f, parts)
		}
	},
	"prussic acid, lot": func(t *rapid.T) asked {
		f := hazard.PrussicLotFacts{
			Risk: hazard.PrussicRisk(rapid.IntRange(0, 2).Draw(t, "risk")), Use: hazard.Use(rapid.IntRange(0, 3).Draw(t, "use")), Stressed: drawBool.Draw(t, "stressed"),
			Days: drawDays.Draw(t, "days"), Tested: drawBool.Draw(t, "tested"), Test: drawPrussicSample(t), Animals: drawAnimals.Draw(t, "animals"), Known: drawKnown.Draw(t, "of facts"),
		}
		return func(k, a, s hazard.Known) hazard.Verdict {
			f := f
			f.Known, f.Animals.Known, f.Test.Sample.Known = f.Known&^k, f.Animals.Known&^a, f.Test.Sample.Known&^s
			return hazard.PrussicLot(f)
		}
	},
	"nitrate": func(t *rapid.T) asked {
		f := drawNitrate(t)
		return func(k, a, s hazard.Known) hazard.Verdict {
			f := f
			f.Known, f.Animals.Known, f.Test.Sample.Known = f.Known&^k, f.Animals.Known&^a, f.Test.Sample.Known&^s
			return hazard.NitrateSteer(f)
		}
	},
	"nitrate, daily": func(t *rapid.T) asked {
		f := drawNitrate(t).NitrateFacts
		return func(k, _, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known &^= k
			return hazard.Nitrate(f)
		}
	},
	"bloat": func(t *rapid.T) asked {
		f := hazard.BloatFacts{Animals: drawAnimals.Draw(t, "animals"), Legume: quantity.Fraction(drawShare.Draw(t, "legume")), Tannin: drawBool.Draw(t, "tannin"), Frost: drawDays.Draw(t, "frost"), Wet: drawBool.Draw(t, "wet"), Known: drawKnown.Draw(t, "of facts")}
		return func(k, a, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known, f.Animals.Known = f.Known&^k, f.Animals.Known&^a
			return hazard.Bloat(f)
		}
	},
	"tetany": func(t *rapid.T) asked {
		share := func(what string) quantity.Fraction { return quantity.Fraction(drawShare.Draw(t, what)) }
		f := hazard.TetanyFacts{Animals: drawAnimals.Draw(t, "animals"), Lush: drawBool.Draw(t, "lush"), Magnesium: drawBool.Draw(t, "magnesium"), Dressed: drawBool.Draw(t, "dressed"), Tested: drawBool.Draw(t, "tested"), Mg: share("mg"), K: share("k"), Ca: share("ca"), Known: drawKnown.Draw(t, "of facts")}
		return func(k, a, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known, f.Animals.Known = f.Known&^k, f.Animals.Known&^a
			return hazard.Tetany(f)
		}
	},
	"brassicas": func(t *rapid.T) asked {
		f := hazard.BrassicaFacts{Animals: drawAnimals.Draw(t, "animals"), Share: quantity.Fraction(drawShare.Draw(t, "share")), Days: drawDays.Draw(t, "days"), Ripeness: hazard.Ripeness(rapid.IntRange(0, 4).Draw(t, "ripeness")), Roughage: drawBool.Draw(t, "roughage"), Sulphur: drawBool.Draw(t, "sulphur"), Known: drawKnown.Draw(t, "of facts")}
		return func(k, a, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known, f.Animals.Known = f.Known&^k, f.Animals.Known&^a
			return hazard.Brassica(f)
		}
	},
	"ergot": func(t *rapid.T) asked {
		f := hazard.ErgotFacts{Animals: drawAnimals.Draw(t, "animals"), Headed: drawBool.Draw(t, "headed"), Found: drawBool.Draw(t, "found"), Share: quantity.Fraction(drawShare.Draw(t, "share")), Known: drawKnown.Draw(t, "of facts")}
		return func(k, a, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known, f.Animals.Known = f.Known&^k, f.Animals.Known&^a
			return hazard.Ergot(f)
		}
	},
	"photosensitisation": func(t *rapid.T) asked {
		f := hazard.LightFacts{Animals: drawAnimals.Draw(t, "animals"), Plants: hazard.LightPlants(rapid.IntRange(0, 31).Draw(t, "plants")), Buckwheat: quantity.Fraction(drawShare.Draw(t, "buckwheat")), DarkSkin: drawBool.Draw(t, "dark"), Known: drawKnown.Draw(t, "of facts")}
		return func(k, a, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known, f.Animals.Known = f.Known&^k, f.Animals.Known&^a
			return hazard.Photosensitisation(f)
		}
	},
	"ground": func(t *rapid.T) asked {
		mm := rapid.SampledFrom([]float64{-20, 0, 1, 3, 4, 5, 10, 40, math.NaN(), math.Inf(1)})
		depth := func(what string) quantity.WaterDepth {
			return quantity.WaterDepth(mm.Draw(t, what)) * quantity.MillimetreOfWater
		}
		f := hazard.GroundFacts{Load: hazard.Load(rapid.IntRange(0, 1).Draw(t, "load")), Standing: drawBool.Draw(t, "standing"), Deficit: depth("deficit"), Day: depth("day"), TwoDays: depth("two days"), Drains: hazard.Drains(rapid.IntRange(0, 4).Draw(t, "drains")), Known: drawKnown.Draw(t, "of facts")}
		return func(k, _, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known &^= k
			return hazard.Ground(f)
		}
	},
	"readiness": func(t *rapid.T) asked {
		length := func(what string) quantity.Length {
			return quantity.Length(rapid.SampledFrom([]float64{0, 0.1, 0.3, 0.6, 1, -1, math.NaN(), math.Inf(1)}).Draw(t, what))
		}
		f := hazard.ReadyFacts{Height: length("height"), Ready: length("ready"), TooTall: length("too tall"), Residual: length("residual"), Stage: drawShare.Draw(t, "stage"), Latest: drawShare.Draw(t, "latest"), Rest: drawDays.Draw(t, "rest"), MinRest: drawDays.Draw(t, "least rest"), Known: drawKnown.Draw(t, "of facts")}
		return func(k, _, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known &^= k
			return hazard.Readiness(f)
		}
	},
	"roots": func(t *rapid.T) asked {
		f := hazard.AnchorFacts{Pull: hazard.Pull(rapid.IntRange(0, 3).Draw(t, "pull")), Sown: drawDays.Draw(t, "sown"), Known: drawKnown.Draw(t, "of facts")}
		return func(k, _, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known &^= k
			return hazard.Anchorage(f)
		}
	},
	"autumn rest": func(t *rapid.T) asked {
		f := hazard.AutumnFacts{Days: drawDays.Draw(t, "days"), Dormant: drawBool.Draw(t, "dormant"), Known: drawKnown.Draw(t, "of facts")}
		return func(k, _, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known &^= k
			return hazard.AutumnRest(f)
		}
	},
	"labels": func(t *rapid.T) asked {
		f := hazard.ProductFacts{Applied: drawBool.Draw(t, "applied"), Since: drawDays.Draw(t, "since"), Interval: drawDays.Draw(t, "interval"), Known: drawKnown.Draw(t, "of facts")}
		return func(k, _, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known &^= k
			return hazard.ProductWait(f)
		}
	},
	"silo": func(t *rapid.T) asked {
		f := hazard.SiloFacts{Days: drawDays.Draw(t, "days"), Outside: drawBool.Draw(t, "outside"), NO2: rapid.SampledFrom([]float64{0, 1, 5, -1, math.NaN()}).Draw(t, "no2"), Oxygen: quantity.Fraction(rapid.SampledFrom([]float64{0.19, 0.209, 0.3}).Draw(t, "oxygen")), Blower: drawBool.Draw(t, "blower"), Lifeline: drawBool.Draw(t, "lifeline"), Second: drawBool.Draw(t, "second"), Known: drawKnown.Draw(t, "of facts")}
		return func(k, _, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known &^= k
			return hazard.Silo(f)
		}
	},
	"hay": func(t *rapid.T) asked {
		heat := quantity.Fahrenheit(rapid.SampledFrom([]float64{80, 120, 140, 150, 160, 175, 300, -400, math.NaN(), math.Inf(1)}).Draw(t, "heat"))
		known := drawKnown.Draw(t, "of facts")
		return func(k, _, _ hazard.Known) hazard.Verdict { return hazard.HayHeat(heat, known&^k) }
	},
	"baler": func(t *rapid.T) asked {
		f := hazard.BalerFacts{Stopped: drawBool.Draw(t, "stopped"), Second: drawBool.Draw(t, "second"), Level: drawBool.Draw(t, "level")}
		return func(_, _, _ hazard.Known) hazard.Verdict { return hazard.Baler(f) }
	},
	"wrapped": func(t *rapid.T) asked {
		f := hazard.LotFacts{PH: rapid.SampledFrom([]float64{4, 4.6, 5.5, -1, math.NaN(), math.Inf(1)}).Draw(t, "ph"), Moisture: rapid.SampledFrom([]float64{0.2, 0.5, 0.7, 2, math.NaN()}).Draw(t, "moisture"), Soiled: drawBool.Draw(t, "soiled"), Punctured: drawBool.Draw(t, "punctured"), Carcass: rapid.IntRange(0, 9).Draw(t, "carcass") == 0, Strict: drawBool.Draw(t, "strict"), Known: drawKnown.Draw(t, "of facts")}
		return func(k, _, _ hazard.Known) hazard.Verdict {
			f := f
			f.Known &^= k
			return hazard.Wrapped(f)
		}
	},
}
