// Package quantity holds the typed amounts that farmers, advisers and papers
// speak of. Every type is a float64 in one SI unit (named at the type), so a
// quantity costs nothing at run time; unit constants multiply in
// (12.4 * quantity.Acre) and methods read out (a.Hectares()).
//
// The package knows no agronomy: it may not import any other room.
package quantity

// Length is a distance in metres.
type Length float64

// Units of length. Inch, foot, yard and mile are exact by definition
// (international yard and pound agreement, 1959).
const (
	Metre      Length = 1
	Millimetre        = Metre / 1000
	Centimetre        = Metre / 100
	Kilometre         = 1000 * Metre
	Inch              = 0.0254 * Metre
	Foot              = 0.3048 * Metre
	Yard              = 0.9144 * Metre
	Mile              = 1609.344 * Metre
)

// Area is a surface in square metres.
type Area float64

// Units of area. The acre is the international acre, 43,560 square feet.
const (
	SquareMetre Area = 1
	Hectare          = 10000 * SquareMetre
	Acre             = 4046.8564224 * SquareMetre
	SquareFoot       = 0.09290304 * SquareMetre
)

// Volume is a space in cubic metres.
type Volume float64

// Units of volume. Gallon is the US liquid gallon of 231 cubic inches; the
// bushel is the US bushel of 2150.42 cubic inches.
const (
	CubicMetre Volume = 1
	Litre             = CubicMetre / 1000
	CubicFoot         = 0.028316846592 * CubicMetre
	Gallon            = 3.785411784 * Litre
	Bushel            = 35.23907016688 * Litre
)

// Mass is a mass in kilograms.
type Mass float64

// Units of mass. The pound is exact by definition; Ton is the short ton of
// 2,000 lb (written "ton"), Tonne the metric ton of 1,000 kg (written "t").
const (
	Kilogram      Mass = 1
	Gram               = Kilogram / 1000
	Tonne              = 1000 * Kilogram
	Pound              = 0.45359237 * Kilogram
	Hundredweight      = 100 * Pound
	Ton                = 2000 * Pound
)

// MassPerArea is a yield, a seeding rate or a fertiliser rate, in kilograms per
// square metre.
type MassPerArea float64

// Units of mass per area.
const (
	KilogramPerSquareMetre MassPerArea = 1
	KilogramPerHectare                 = KilogramPerSquareMetre / 10000
	TonnePerHectare                    = 1000 * KilogramPerHectare
	PoundPerAcre                       = MassPerArea(float64(Pound) / float64(Acre))
	TonPerAcre                         = 2000 * PoundPerAcre
)

// WaterDepth is an amount of water over an area (rain, soil water), in metres.
// It is not a Length: a field of it can be added to rain, a stubble cannot.
type WaterDepth float64

// Units of water depth.
const (
	MillimetreOfWater WaterDepth = 0.001
	InchOfWater                  = 25.4 * MillimetreOfWater
)

// Temperature is a point on the Celsius scale, in degrees Celsius. It is no
// scale factor: make one with Celsius or Fahrenheit.
type Temperature float64

// TemperatureDifference is a difference of temperatures in kelvins.
type TemperatureDifference float64

// Energy is an energy in joules.
type Energy float64

// Units of energy. The calorie is the thermochemical one used in animal
// nutrition (4.184 J).
const (
	Joule       Energy = 1
	Megajoule          = 1e6 * Joule
	Megacalorie        = 4.184 * Megajoule
)

// EnergyPerMass is an energy concentration of feed in joules per kilogram.
type EnergyPerMass float64

// Units of energy per mass.
const (
	MegajoulePerKilogram   EnergyPerMass = 1e6
	MegacaloriePerKilogram               = 4.184 * MegajoulePerKilogram
	MegacaloriePerPound                  = MegacaloriePerKilogram / EnergyPerMass(0.45359237)
)

// MassPerTime is a rate such as milk or intake per day, in kilograms per second.
type MassPerTime float64

// Units of mass per time.
const (
	KilogramPerDay MassPerTime = 1.0 / 86400
	PoundPerDay                = 0.45359237 * KilogramPerDay
	TonPerHour                 = MassPerTime(907.18474 / 3600)
)

// MassPerVolume is a density in kilograms per cubic metre.
type MassPerVolume float64

// Units of density.
const (
	KilogramPerCubicMetre MassPerVolume = 1
	PoundPerCubicFoot                   = MassPerVolume(0.45359237 / 0.028316846592)
)

// Speed is a speed in metres per second.
type Speed float64

// Units of speed.
const (
	MetrePerSecond   Speed = 1
	KilometrePerHour       = MetrePerSecond / 3.6
	MilePerHour            = 0.44704 * MetrePerSecond
	Knot                   = MetrePerSecond * 1852 / 3600
)

// AreaPerTime is a work rate in square metres per second.
type AreaPerTime float64

// Units of work rate.
const (
	AcrePerHour    AreaPerTime = 4046.8564224 / 3600
	HectarePerHour             = AreaPerTime(10000.0 / 3600)
)

// Fraction is a share of one; 0.85 prints as 85 %.
type Fraction float64

// Percent is one hundredth.
const Percent Fraction = 0.01

// CountPerArea is a number of plants or seeds per square metre.
type CountPerArea float64

// PerAcre is one to the acre.
const PerAcre CountPerArea = 1 / 4046.8564224

// CountPerMass is a number of seeds per kilogram.
type CountPerMass float64

// PerPound is one to the pound.
const PerPound CountPerMass = 1 / 0.45359237

// Duration is a span of time in seconds. Plans count in days and hours, so it
// is a float64 and not the nanosecond integer of package time.
type Duration float64

// Units of duration.
const (
	Second Duration = 1
	Hour            = 3600 * Second
	Day             = 24 * Hour
	Week            = 7 * Day
)

// Money is an amount in the one currency of the farm's document.
type Money float64

// MoneyPerMass is a price in currency per kilogram.
type MoneyPerMass float64

// MoneyPerArea is a cost in currency per square metre.
type MoneyPerArea float64

// MoneyPerTime is a wage in currency per second.
type MoneyPerTime float64

// MoneyPerCount is a price of one thing: a bale, a head, a load.
type MoneyPerCount float64

// Price units.
const (
	PerKilogram      MoneyPerMass  = 1
	PerTonne                       = PerKilogram / 1000
	PerTon                         = MoneyPerMass(1 / 907.18474)
	PerPoundOf                     = MoneyPerMass(1 / 0.45359237)
	PerHundredweight               = PerPoundOf / 100
	PerHectareOf     MoneyPerArea  = 1.0 / 10000
	PerAcreOf                      = MoneyPerArea(1 / 4046.8564224)
	PerHour          MoneyPerTime  = 1.0 / 3600
	Each             MoneyPerCount = 1
)
