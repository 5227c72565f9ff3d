package fertility

// Excretion is what 1,000 lb of animals leave in a year: tons of manure as it falls,
// nitrogen, phosphorus and potassium in a ton of it, lb, and what storage and
// handling leave of each, lb.
type Excretion struct{ Tons, N, P, K, KeptN, KeptP, KeptK float64 }

// Excretions by kind of animal.
//
// Source: USDA NRCS, manure production and nutrient content (read): tons of manure a
// year from 1,000 lb of animals, and lb of each in a ton before and after losses.
var (
	DairyExcretion  = Excretion{15.24, 10.69, 1.92, 6.70, 4.30, 1.65, 6.04}
	HeiferExcretion = Excretion{12.05, 6.06, 1.30, 5.03, 1.82, 1.10, 4.53}
	BeefExcretion   = Excretion{11.50, 10.95, 3.79, 8.25, 3.30, 3.23, 7.44}
	SheepExcretion  = Excretion{7.3, 21, 4.0, 14.5, 6.5, 3.5, 13} // from memory: sheep are not in the table
)

// PhosphatePerPhosphorus and PotashPerPotassium turn elements into oxides: atomic
// weights.
const (
	PhosphatePerPhosphorus = 2.291
	PotashPerPotassium     = 1.205
)

// Collected is the manure, ton, and the nitrogen, phosphate and potash in it after
// storage, lb, of animals weighing so many thousand lb over a share of a year, 0 to
// 1, spent where it is collected.
//
// Source: as Excretion; a hundred cows at 120 lb of manure a day leave 2,190 ton a
// year (laboratory page, read), within a fifth of the table's for 1,400-lb cows.
func Collected(e Excretion, thousands, share float64) (tons, n, phosphate, potash float64) {
	tons = e.Tons * thousands * share
	return tons, tons * e.KeptN, tons * e.KeptP * PhosphatePerPhosphorus, tons * e.KeptK * PotashPerPotassium
}

// decay is the share of manure's organic nitrogen that is freed this year, from
// last year's spreading and from the year's before: wet cow manure, below 18 % dry
// matter; drier frees a quarter in its first year.
var decay = [3]float64{0.35, 0.12, 0.05}

// OrganicRelease is the nitrogen, lb/ac, that organic nitrogen spread this year,
// last year and the year before gives now, lb/ac each.
//
// Source: Cornell University, CSS 412: cows below 18 % dry matter 35, 12 and 5 %
// (read); checked on its example of 10 ton/ac at 5 lb organic nitrogen.
func OrganicRelease(thisYear, lastYear, before float64) float64 {
	return decay[0]*thisYear + decay[1]*lastYear + decay[2]*before
}

// Of a ton of dry matter, phosphate and potash by kind of forage, lb. Nitrogen is
// known from the feed's own protein: protein over 6.25.
var (
	CornSilageMinerals = RemovalPerTon{0, 10, 26} // Iowa State PM 1688 (read): 3.5 and 9.0 lb a ton at 65 % moisture
	BrassicaMinerals   = RemovalPerTon{0, 12, 60} // from memory
	CerealMinerals     = RemovalPerTon{0, 13, 55} // from memory
)

// PotassiumOfPotash is potassium, % of dry matter, where a ton of it holds so much
// potash, lb: K is 0.83 of K2O.
//
// Source: atomic weights; a ton is 2,000 lb.
func PotassiumOfPotash(potash float64) float64 { return 0.83 * potash / 2000 * 100 }

// CloseUpPotassium is the potassium in forage, % of dry matter, above which it is
// kept from dry cows in their last three to four weeks: milk fever.
//
// Source: University of Vermont, Bosworth & Thomas; Cornell grass manual (read).
const CloseUpPotassium = 2.0

// Fixed is the nitrogen that legumes take from the air, lb, for so many tons of their
// dry matter above ground: 2.6 % of it, of which grazing or cutting takes most away.
//
// Source: Carlsson & Huss-Danell 2003, Nitrogen fixation in perennial forage legumes in
// the field, Plant and Soil 253:353-372: 0.021 (alfalfa), 0.026 (red clover) and 0.031
// (white clover) of dry matter (from memory); the middle is taken.
func Fixed(tons float64) float64 { return 0.026 * 2000 * max(0, tons) }
