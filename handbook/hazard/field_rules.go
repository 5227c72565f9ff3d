package hazard

import "rowen/handbook"

// fieldRules are the rules of readiness of a field. They say nothing of the
// safety of feed.
var fieldRules = []Rule{
	groundStanding: {Hazard: "ground", Kind: Field, Answer: handbook.Hold, Text: "water stands on it: neither animals nor machines", Source: practice},
	groundWet:      {Hazard: "ground", Kind: Field, Answer: handbook.Hold, Text: "at or above field capacity: neither animals nor machines", Source: workability},
	groundTread:    {Hazard: "ground", Kind: Field, Answer: handbook.Hold, Text: "cattle tread soil to harm within 3 mm of field capacity: wait, or use the field kept for wet days", Note: "found on two New Zealand soils; lighter stock harm less", Source: laurenson},
	groundMachine:  {Hazard: "ground", Kind: Field, Answer: handbook.Hold, Text: "machines: wait until 5 mm below field capacity", Note: "about 95 % of field capacity in the plough layer", Source: workability},
	groundRain:     {Hazard: "ground", Kind: Field, Answer: handbook.Caution, Text: "10 mm of rain or more in the last day, or in two days on slowly drained soil: walk it first", Source: practice},
	groundRainPoor: {Hazard: "ground", Kind: Field, Answer: handbook.Hold, Text: "10 mm of rain or more in the last two days on poorly drained soil", Source: practice},

	readyShort:    {Hazard: "readiness", Kind: Field, Answer: handbook.Hold, Text: "shorter than the height at which its use begins", Source: kentuckyGraze},
	readyTall:     {Hazard: "readiness", Kind: Field, Answer: handbook.Caution, Text: "past its best height: much will be trodden down; cut it instead", Source: practice},
	readyMature:   {Hazard: "readiness", Kind: Field, Answer: handbook.Caution, Text: "past the stage at which its use should begin: little energy left in it", Source: practice},
	readyResidual: {Hazard: "readiness", Kind: Field, Answer: handbook.Hold, Text: "no taller than what must be left: animals and machines out", Source: kentuckyGraze},
	readyRest:     {Hazard: "readiness", Kind: Field, Answer: handbook.Hold, Text: "rested less than its least rest", Source: kentuckyGraze},

	rootsUntested: {Hazard: "roots", Kind: Field, Answer: handbook.Hold, Text: "first grazing of teff or another shallow-rooted sowing: pull at ten plants as an animal would; graze when the leaf breaks before the root comes", Source: practice},
	rootsPulled:   {Hazard: "roots", Kind: Field, Answer: handbook.Hold, Text: "plants come out by the root: take the first growth as hay, graze the next", Source: teffSeed},
	rootsEarly:    {Hazard: "roots", Kind: Field, Answer: handbook.Hold, Text: "less than 45 days since sowing: no grazing of teff", Source: farney},

	lateRest:   {Hazard: "autumn rest", Kind: Field, Answer: handbook.Hold, Text: "less than six weeks to the usual killing frost: a perennial used now has no time to fill its roots", Note: "four to six weeks are printed", Source: kentuckyFall},
	lateKilled: {Hazard: "autumn rest", Kind: Field, Answer: handbook.Caution, Text: "after the killing frost, or when it has gone to rest: use it once, leave the stubble", Source: kentuckyFall},

	productNone:  {Hazard: "labels", Kind: Field, Answer: handbook.Clear, Text: "nothing with a waiting time was applied", Source: practice},
	productLabel: {Hazard: "labels", Kind: Field, Answer: handbook.Hold, Text: "read the label: its days are not known here, and none are supplied", Source: practice},
	productWait:  {Hazard: "labels", Kind: Field, Answer: handbook.Hold, Text: "the label's days are not over", Source: practice},
}

// Thresholds of the field rules.
const (
	TreadDeficit   = 3.0  // mm below field capacity, animals
	MachineDeficit = 5.0  // mm below field capacity, machines
	WetRain        = 10.0 // mm
	TeffDays       = 45   // days from sowing to the first grazing
	AutumnRestDays = 42   // days before the usual killing frost
)
