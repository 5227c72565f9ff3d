package hazard

import "rowen/handbook"

// nitrateRules are the rules of nitrate beyond the daily gate.
var nitrateRules = []Rule{
	nitrateBoth:           {Hazard: "nitrate", Answer: handbook.Hold, Text: "drought, or rain on it within 14 days, together with 50 lb N/ac or more: feed none until tested", Note: "50 to 60 lb are printed for the two together; alone nitrogen warns from 100 lb", Source: missouri},
	nitrateCloud:          {Hazard: "nitrate", Answer: handbook.Caution, Text: "a cloudy spell, and the week after it: nitrate gathers; more hay, or animals off", Source: districtNo},
	nitrateWeeds:          {Hazard: "nitrate", Answer: handbook.Caution, Text: "pigweed, lambsquarters, kochia, thistles and nightshade in it gather nitrate", Source: logan},
	nitrateHungry:         {Hazard: "nitrate", Answer: handbook.Caution, Text: "hungry animals are poisoned by what fed ones stand: fill them first, and never free choice of a doubtful feed", Source: stephen},
	nitrateHigh:           {Hazard: "nitrate", Answer: handbook.Clear, Text: "graze or cut high, nitrate sits in the lower stem; cutting higher helps nitrate, not prussic acid", Note: "10 to 12 in corn (Penn State), 8 to 12 for hay (Nebraska)", Source: pennState},
	nitrateSeldom:         {Hazard: "nitrate", Answer: handbook.Clear, Text: "perennial grass and legumes free of weeds seldom gather nitrate", Source: montanaNO3},
	nitrateSeldomStressed: {Hazard: "nitrate", Answer: handbook.Caution, Text: "perennial grass too gathers nitrate after drought with heavy nitrogen: test", Source: montanaNO3},
	nitrateResultOld:      {Hazard: "nitrate", Answer: handbook.Hold, Text: "growth that stands is another feed a week after sampling: test again", Source: practice, Laboratory: true},
}

// Thresholds of the nitrate rules, in the gates' units.
const (
	NitrateRainWait = 14    // days after a rain that ends a drought
	HeavyNitrogen   = 112.0 // kg N/ha in one dressing within six weeks, manure counted (100 lb/ac)
	DroughtNitrogen = 56.0  // kg N/ha, the same together with drought (50 lb/ac)
	NitrateResult   = 7     // days that a result counts for growth still standing
)
