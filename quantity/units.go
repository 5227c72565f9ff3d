package quantity

// dimension is what a unit measures.
type dimension uint8

const (
	length dimension = iota + 1
	area
	volume
	mass
	massPerArea
	waterDepth
	temperature
	temperatureDifference
	energy
	energyPerMass
	massPerTime
	massPerVolume
	speed
	areaPerTime
	fraction
	countPerArea
	countPerMass
	duration
)

// dimensions names each dimension for errors, with examples a person may copy.
var dimensions = [...]struct{ name, example string }{
	length:                {"a length", `"6 in" or "15 cm"`},
	area:                  {"an area", `"12.4 ac" or "5 ha"`},
	volume:                {"a volume", `"40 ft3" or "1.1 m3"`},
	mass:                  {"a mass", `"1,250 lb", "4.2 ton" or "570 kg"`},
	massPerArea:           {"a mass per area", `"45 lb/ac" or "2.1 t/ha"`},
	waterDepth:            {"a depth of water", `"1.2 in water" or "30 mm water"`},
	temperature:           {"a temperature", `"65 F" or "18 C"`},
	temperatureDifference: {"a difference of temperatures", `"5 K" or "9 R"`},
	energy:                {"an energy", `"35 Mcal" or "146 MJ"`},
	energyPerMass:         {"an energy per mass", `"0.68 Mcal/lb" or "6.3 MJ/kg"`},
	massPerTime:           {"a mass per time", `"55 lb/d" or "25 kg/d"`},
	massPerVolume:         {"a density", `"15 lb/ft3" or "240 kg/m3"`},
	speed:                 {"a speed", `"5 mph" or "8 km/h"`},
	areaPerTime:           {"a work rate", `"6.8 ac/h" or "2.7 ha/h"`},
	fraction:              {"a share", `"35 %"`},
	countPerArea:          {"a number per area", `"32,000 /ac" or "80,000 /ha"`},
	countPerMass:          {"a number per mass", `"22,000 /lb" or "48,500 /kg"`},
	duration:              {"a span of time", `"45 d" or "8 h"`},
}

// unit is one way of writing a quantity. The first name is the one printed.
type unit struct {
	dim    dimension
	factor float64 // SI units in one of it
	offset float64 // added after multiplying; temperatures only
	names  []string
}

// units is every unit that is read or printed.
var units = []unit{
	{length, float64(Inch), 0, []string{"in", "inch", "inches"}},
	{length, float64(Foot), 0, []string{"ft", "foot", "feet"}},
	{length, float64(Yard), 0, []string{"yd", "yard", "yards"}},
	{length, float64(Mile), 0, []string{"mi", "mile", "miles"}},
	{length, float64(Millimetre), 0, []string{"mm"}},
	{length, float64(Centimetre), 0, []string{"cm"}},
	{length, float64(Metre), 0, []string{"m"}},
	{length, float64(Kilometre), 0, []string{"km"}},
	{area, float64(Acre), 0, []string{"ac", "acre", "acres"}},
	{area, float64(Hectare), 0, []string{"ha", "hectare", "hectares"}},
	{area, float64(SquareFoot), 0, []string{"ft2", "sq ft"}},
	{area, 1, 0, []string{"m2", "m²"}},
	{volume, float64(CubicFoot), 0, []string{"ft3", "cu ft"}},
	{volume, 1, 0, []string{"m3", "m³"}},
	{volume, float64(Litre), 0, []string{"L", "l"}},
	{volume, float64(Gallon), 0, []string{"gal"}},
	{volume, float64(Bushel), 0, []string{"bu"}},
	{mass, float64(Pound), 0, []string{"lb", "lbs", "pound", "pounds"}},
	{mass, float64(Ton), 0, []string{"ton", "tons"}},
	{mass, float64(Hundredweight), 0, []string{"cwt"}},
	{mass, 1, 0, []string{"kg"}},
	{mass, float64(Gram), 0, []string{"g"}},
	{mass, float64(Tonne), 0, []string{"t", "tonne", "tonnes", "Mg"}},
	{massPerArea, float64(PoundPerAcre), 0, []string{"lb/ac", "lb/acre", "lbs/ac"}},
	{massPerArea, float64(TonPerAcre), 0, []string{"ton/ac", "tons/ac", "ton/acre"}},
	{massPerArea, float64(KilogramPerHectare), 0, []string{"kg/ha"}},
	{massPerArea, float64(TonnePerHectare), 0, []string{"t/ha", "Mg/ha"}},
	{massPerArea, float64(Gram), 0, []string{"g/m2", "g/m²"}},
	{waterDepth, float64(InchOfWater), 0, []string{"in water"}},
	{waterDepth, float64(MillimetreOfWater), 0, []string{"mm water"}},
	{temperature, 5.0 / 9, -160.0 / 9, []string{"°F", "F"}},
	{temperature, 1, 0, []string{"°C", "C"}},
	{temperatureDifference, 1, 0, []string{"K"}},
	{temperatureDifference, 5.0 / 9, 0, []string{"R"}},
	{energy, float64(Megacalorie), 0, []string{"Mcal"}},
	{energy, float64(Megajoule), 0, []string{"MJ"}},
	{energyPerMass, float64(MegacaloriePerPound), 0, []string{"Mcal/lb"}},
	{energyPerMass, float64(MegacaloriePerKilogram), 0, []string{"Mcal/kg"}},
	{energyPerMass, float64(MegajoulePerKilogram), 0, []string{"MJ/kg"}},
	{massPerTime, float64(PoundPerDay), 0, []string{"lb/d", "lb/day"}},
	{massPerTime, float64(KilogramPerDay), 0, []string{"kg/d", "kg/day"}},
	{massPerTime, float64(TonPerHour), 0, []string{"ton/h"}},
	{massPerVolume, float64(PoundPerCubicFoot), 0, []string{"lb/ft3"}},
	{massPerVolume, 1, 0, []string{"kg/m3", "kg/m³"}},
	{speed, float64(MilePerHour), 0, []string{"mph"}},
	{speed, float64(KilometrePerHour), 0, []string{"km/h"}},
	{speed, 1, 0, []string{"m/s"}},
	{areaPerTime, float64(AcrePerHour), 0, []string{"ac/h"}},
	{areaPerTime, float64(HectarePerHour), 0, []string{"ha/h"}},
	{fraction, 0.01, 0, []string{"%", "percent"}},
	{fraction, 1e-6, 0, []string{"ppm", "mg/kg"}},
	{fraction, 1.0 / 2000, 0, []string{"lb/ton"}},
	{fraction, 1e-3, 0, []string{"kg/t", "g/kg"}},
	{countPerArea, float64(PerAcre), 0, []string{"/ac", "per acre", "seeds/ac", "plants/ac"}},
	{countPerArea, 1e-4, 0, []string{"/ha", "seeds/ha", "plants/ha"}},
	{countPerArea, 1, 0, []string{"/m2", "/m²"}},
	{countPerMass, float64(PerPound), 0, []string{"/lb", "seeds/lb"}},
	{countPerMass, 1, 0, []string{"/kg", "seeds/kg"}},
	{duration, float64(Day), 0, []string{"d", "day", "days"}},
	{duration, float64(Hour), 0, []string{"h", "hour", "hours"}},
	{duration, float64(Week), 0, []string{"wk", "week", "weeks"}},
	{duration, 60, 0, []string{"min"}},
	{duration, 1, 0, []string{"s"}},
}

// byName finds a unit by any of its names.
var byName = func() map[string]*unit {
	m := map[string]*unit{}
	for i := range units {
		for _, n := range units[i].names {
			m[n] = &units[i]
		}
	}
	return m
}()
