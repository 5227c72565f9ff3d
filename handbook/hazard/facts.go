package hazard

import "math"

// Known tells which facts are known; the bits index factNames.
type Known uint64

// The facts. Those that a simulation knows come first.
const (
	KnowHeight Known = 1 << iota
	KnowFrost
	KnowDrought
	KnowRain
	KnowNitrogen
	KnowBasis
	KnowDryMatter
	KnowPregnant
	KnowLotPH
	KnowLotMoisture
	KnowLook
	KnowForecast
	KnowAge
	KnowHunger
	KnowHerbicide
	KnowSpecies
	KnowParts
	KnowSampled
	KnowStress
	KnowLotSource
	KnowStored
	KnowCloud
	KnowWeeds
	KnowLactating
	KnowYoung
	KnowLegume
	KnowDew
	KnowShare
	KnowAdapted
	KnowMaturity
	KnowSulphur
	KnowLush
	KnowPotash
	KnowMinerals
	KnowHeads
	KnowErgot
	KnowErgotShare
	KnowPlants
	KnowWater
	KnowRecentRain
	KnowDrainage
	KnowUseHeight
	KnowRest
	KnowStage
	KnowRoots
	KnowSowing
	KnowKillingFrost
	KnowSprayed
	KnowLabel
	KnowSinceSpray
	KnowFilled
	KnowAir
	KnowHeat
)

// factNames are indexed by the bit of Known and Verdict.Missing.
//
//say:words
var factNames = [...]string{
	"height", "days since the last frost", "whether it is drought-stressed", "days since the rain that ended the drought",
	"nitrogen given", "the basis of the laboratory result (wet or dry)", "the dry matter of the sample", "whether the animals are pregnant",
	"the lot's pH", "the lot's moisture at wrapping",
	"a look at the field since the last frost", "tonight's lowest temperature", "days since the last cut or grazing",
	"whether the animals are hungry", "whether 2,4-D or its like was sprayed", "the kind of animal", "what stands in the mixture",
	"the day of sampling", "days since the last stress", "what the lot was made of", "days in store",
	"whether the last week was cloudy", "whether nitrate-gathering weeds stand in it", "whether the animals are in milk", "whether the animals are young",
	"the legume share", "whether the growth is wet", "the share of the ration", "days since the animals began on it",
	"how ripe the growth is", "the sulphur of feed and water", "whether grass grows lush", "potash, nitrogen or manure given this season",
	"magnesium, potassium and calcium of the feed", "whether the grass is in head", "a look at the heads for ergot", "the share of ergot by weight",
	"which light-sensitising plants stand in it",
	"soil water against field capacity", "rain of the last two days", "the drainage class", "height at which use begins", "days of rest", "stage of growth",
	"a pull at the roots", "days since sowing", "days to the usual killing frost",
	"whether a product was applied", "the waiting time as the label gives it", "days since the product was applied",
	"days since the silo was filled", "an air test inside the silo", "the temperature inside the stack",
}

// Species is the kind of animal a gate is asked for.
type Species uint8

// The kinds. Not knowing counts as the kind that stands it least.
const (
	UnknownSpecies Species = iota
	Cattle
	Sheep
	Goats
	Horses
)

// Animals is the class a gate is asked for. What Known does not hold counts as
// the worse value.
type Animals struct {
	Species   Species
	Lactating bool
	Pregnant  bool
	Young     bool
	Hungry    bool
	Known     Known // of lactating, pregnant, young, hunger
}

// is tells whether a fact about animals is so, or may be.
func (a *Animals) is(fact Known, value bool) bool { return a.Known&fact == 0 || value }

// may tells whether the animals are of a kind, or may be.
func (a *Animals) may(s Species) bool {
	return a.Species == s || a.Species == UnknownSpecies || a.Species > Horses
}

// lacking are the facts about the animals, of those asked for, that are not known.
func (a *Animals) lacking(want Known) Known {
	lack := want &^ KnowSpecies &^ a.Known
	if want&KnowSpecies != 0 && (a.Species == UnknownSpecies || a.Species > Horses) {
		lack |= KnowSpecies
	}
	return lack
}

// share is a fraction as a gate may use it: what is no share counts as unknown.
func share(x float64) bool { return x >= 0 && x <= 1 }

// amount is a number as a gate may use it: finite and not negative.
func amount(x float64) bool { return x >= 0 && !math.IsInf(x, 1) }
