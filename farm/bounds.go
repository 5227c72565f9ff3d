package farm

import "rowen/quantity"

// What a farm can have of fields and sowings: each is grown through every weather year,
// and with more a plan takes longer than anybody waits.
const (
	MostFields  = 2500
	MostSowings = 500
)

// bounds are the least and the most, in SI, that a quantity of a document can be: far
// beyond any farm there is, so that nobody is refused, and near enough that whatever is
// reckoned from it stays a number.
type bounds struct {
	least, most float64
	none        bool   // nothing at all may be written too
	said        string // the sentence that says them
}

// The bounds, by what is measured.
//
//say:words
var (
	ofGround     = bounds{10, 1e9, false, "a piece of ground has between 110 ft2 and 250,000 ac (10 m2 and 100,000 ha)"}
	ofElevation  = bounds{-450, 6000, false, "farms lie between 1,500 ft below and 20,000 ft above the sea (-450 m and 6,000 m)"}
	ofWay        = bounds{0, 50e3, false, "animals walk between nothing and 30 mi (50 km)"}
	ofDepth      = bounds{0.05, 20, true, "roots are stopped between 2 in and 65 ft (5 cm and 20 m); leave it out where it is not known"}
	ofSlope      = bounds{0, 2, false, "a field's slope lies between 0 % and 200 %"}
	ofBuffer     = bounds{0, 1000, false, "a buffer is between nothing and 3,200 ft (1,000 m) wide"}
	ofShare      = bounds{0, 1, false, "a share lies between 0 % and 100 %"}
	ofSoilTest   = bounds{0, 0.1, false, "a soil test finds between nothing and 100,000 ppm (200,000 lb/ac)"}
	ofDressing   = bounds{0, 0.1, false, "a year's or a dressing's nitrogen lies between nothing and 890 lb/ac (1,000 kg/ha)"}
	ofDung       = bounds{0, 100, false, "manure lies between nothing and 440 ton/ac (1,000 t/ha)"}
	ofHead       = bounds{0.1, 100000, true, "a group has between 0.1 and 100,000 head, or 0 while it is away"}
	ofAnimal     = bounds{1, 2000, false, "an animal weighs between 2.2 lb and 4,400 lb (1 kg and 2,000 kg)"}
	ofMilk       = bounds{0.1, 100, true, "an animal gives between 0.2 lb/d and 220 lb/d of milk (0.1 kg/d and 100 kg/d), or none"}
	ofMilkSolids = bounds{0.005, 0.2, false, "milk holds between 0.5 % and 20 % of it"}
	ofGain       = bounds{-5, 5, false, "an animal gains or loses 11 lb/d (5 kg/d) at most"}
	ofGrain      = bounds{0, 50, false, "an animal eats between nothing and 110 lb/d of grain (50 kg/d)"}
	ofStored     = bounds{0, 1e9, false, "a farm keeps between nothing and 1,100,000 ton (1,000,000 t)"}
	ofWidth      = bounds{0.3, 50, false, "a machine is between 1 ft and 160 ft wide (0.3 m and 50 m)"}
	ofPace       = bounds{0.1, 30, false, "a machine works at between 0.3 mph and 65 mph (0.4 km/h and 108 km/h)"}
	ofUse        = bounds{1, 3000, false, "a machine runs between 1 and 3,000 hours a year"}
	ofSeed       = bounds{5e-6, 0.1, false, "seed is sown at between 0.05 lb/ac and 890 lb/ac (0.05 kg/ha and 1,000 kg/ha)"}
	ofPlants     = bounds{1e-4, 1e5, true, "a stand has between 1 and 400,000,000 plants to the acre (1 and 1,000,000,000 /ha)"}
	ofLife       = bounds{0.01, 1, true, "seed germinates, and is pure, between 1 % and 100 %"}
	ofBag        = bounds{0.1, 5000, true, "a bag or a bulk box holds between 0.25 lb and 11,000 lb (0.1 kg and 5,000 kg)"}
	ofBale       = bounds{1, 5000, false, "a bale holds between 2.2 lb and 11,000 lb (1 kg and 5,000 kg)"}
	ofStagger    = bounds{0, 366 * 86400, false, "blocks are sown within a year: between 0 d and 366 d apart"}
	ofMassPrice  = bounds{0, 1e7, false, "a price lies between nothing and 4,500,000 for a pound (10,000,000 for a kg)"}
	ofAreaPrice  = bounds{0, 1e6, false, "a price lies between nothing and 4,000,000,000 for an acre (10,000,000,000 for a ha)"}
	ofPieceRate  = bounds{0, 1e9, false, "a price lies between nothing and 1,000,000,000 each"}
)

// perDay is bounds of what is counted by the day.
func (b bounds) perDay() bounds {
	b.least, b.most = b.least*float64(quantity.KilogramPerDay), b.most*float64(quantity.KilogramPerDay)
	return b
}

// holds tells whether a number in SI can be; what is no number cannot.
func (b bounds) holds(v float64) bool { return v >= b.least && v <= b.most || b.none && v == 0 }

// within is a parser that refuses what lies beyond bounds.
func within[T ~float64](b bounds, parse func(string) (T, error)) func(string) (T, error) {
	return func(text string) (T, error) {
		v, err := parse(text)
		if err == nil && !b.holds(float64(v)) {
			return 0, &quantity.ParseError{Value: text, Remedy: b.said}
		}
		return v, err
	}
}
