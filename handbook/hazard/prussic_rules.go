package hazard

import "rowen/handbook"

// prussicRules are the rules of prussic acid beyond the daily gate.
var prussicRules = []Rule{
	prussicNone:        {Hazard: "prussic acid", Answer: handbook.Clear, Text: "does not apply: millets, teff, corn and cool-season grasses carry no prussic acid; nitrate they do", Source: kansasAge},
	prussicMixture:     {Hazard: "prussic acid", Answer: handbook.Hold, Text: "a mixture is judged by its most dangerous part, weeds such as johnsongrass and shattercane too: find out what stands in it", Source: iowaFrost},
	youngLeaf:          {Hazard: "prussic acid", Answer: handbook.Caution, Text: "regrowth younger than 14 days is mostly young leaf, whatever its height", Note: "that young regrowth is highest is read; the number of days is common practice", Source: kansasAge},
	frostForecast:      {Hazard: "prussic acid", Answer: handbook.Caution, Text: "tonight 36 °F or less when clear and calm, or in low ground: animals off before dark, look in the morning", Source: seedsman},
	frostNotSeen:       {Hazard: "prussic acid", Answer: handbook.Hold, Text: "frosted and not looked at within 3 days: no thermometer tells a kill, not even 23 °F; the stand counts as living until someone has looked", Source: practice},
	frostKilled:        {Hazard: "prussic acid", Answer: handbook.Hold, Text: "killed, looked at and dry to the base: 7 days from the last frost", Note: "3 to 7 days are printed, and 10 to 14 where nobody looks whether it is dry", Source: nebraska},
	frostBurnt:         {Hazard: "prussic acid", Answer: handbook.Caution, Text: "burnt by frost and alive: shoots will come; look again every 3 days", Source: ohio},
	droughtRainLong:    {Hazard: "prussic acid", Answer: handbook.Hold, Text: "less than 14 days after rain on drought: new growth is dangerous, keep stock off", Note: "4 to 7 days elsewhere; the longest stands for a person on the spot", Source: texas},
	hungryPrussic:      {Hazard: "prussic acid", Answer: handbook.Caution, Text: "hungry animals eat fast and choose leaf: fill them with hay first", Source: seedsman},
	lotPrussicTest:     {Hazard: "prussic acid", Answer: handbook.Hold, Text: "put up from frosted, short or stressed growth and ensiled or wrapped: after the 8 weeks test, and feed only below 500 ppm of dry matter", Source: kansas},
	resultNoBasis:      {Hazard: "prussic acid", Answer: handbook.Hold, Text: "a result without its basis, dry or as fed, and the sample's dry matter is no result: ask the laboratory", Note: "the dry and the wet scale differ two- to threefold and both circulate unnamed", Source: wetLab, Laboratory: true},
	resultOther:        {Hazard: "laboratory results", Answer: handbook.Hold, Text: "a result counts for the lot or stand it was drawn from, and no other", Source: practice, Laboratory: true},
	resultStale:        {Hazard: "laboratory results", Answer: handbook.Hold, Text: "sampled before the last frost, rain or cut: a new stress cancels a result", Source: practice, Laboratory: true},
	resultDried:        {Hazard: "prussic acid", Answer: handbook.Hold, Text: "a sample that dried on its way reads low: it does not count", Note: "freeze and ship overnight (Ohio State), or cool and never freeze (a laboratory): ask yours", Source: ohioTest, Laboratory: true},
	prussicWet:         {Hazard: "prussic acid", Answer: handbook.Hold, Text: "laboratory: above 600 ppm as fed, very dangerous", Source: wetLab, Laboratory: true},
	prussicWetDoubtful: {Hazard: "prussic acid", Answer: handbook.Caution, Text: "laboratory: 200 to 600 ppm as fed, doubtful; not the only feed", Note: "of the dry and the wet scale the stricter stands", Source: kansasNow, Laboratory: true},
}

// Thresholds of the prussic acid rules, in the gates' units.
const (
	SorghumHold       = 24 * 2.54 // cm
	SorghumClear      = 30 * 2.54 // cm, and the least height of stressed or frosted regrowth
	SudangrassHold    = 18 * 2.54 // cm
	SudangrassClear   = 24 * 2.54 // cm
	FrostWait         = 14        // days after any frost without a look at the field
	FrostKillWait     = 7         // days after a frost that was seen to have killed
	FrostOpens        = 0.0       // °C, opens the frost clock
	FrostWatch        = 2.2       // °C, go and look
	LookDays          = 3         // days that a look at the field counts
	RainWait          = 7         // days after a rain that ends a drought, in a simulation
	RainWaitSteer     = 14        // the same for a person on the spot: the longest printed
	YoungRegrowth     = 14        // days since the last cut or grazing
	SingleNitrogen    = 67.0      // kg N/ha in one dressing (60 lb/ac)
	EnsileWait        = 56        // days in store before feeding where risk was high
	EnsileWaitUsual   = 21        // days in store before feeding otherwise
	EnsileFrostWait   = 7         // days after frost before chopping or wrapping
	PrussicSafe       = HCN(500)  // of dry matter
	PrussicDangerous  = HCN(1000) // of dry matter
	PrussicSafeFed    = HCN(200)  // as fed
	PrussicDangerFed  = HCN(600)  // as fed
	frostWatchReading = 4.0 / 1.8 // °C, 36 °F exactly
)
