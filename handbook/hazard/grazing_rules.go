package hazard

import "rowen/handbook"

// grazingRules are the rules of bloat and grass tetany.
var grazingRules = []Rule{
	bloatShare:  {Hazard: "bloat", Answer: handbook.Caution, Text: "more than half legume: fill with hay first, turn in after noon, look several times a day for three days, keep a grass field to flee to", Note: "30 to 50 % legume is the printed aim", Source: kentuckyBloat},
	bloatFrost:  {Hazard: "bloat", Answer: handbook.Hold, Text: "within 5 days after a frost legume bloats more: none from legume-rich growth, others with care; each frost starts again", Note: "3 to 5 days are printed; wet herbage in the morning is worst", Source: southDakota},
	bloatHungry: {Hazard: "bloat", Answer: handbook.Hold, Text: "never turn hungry animals into legume", Source: southDakota},
	bloatDew:    {Hazard: "bloat", Answer: handbook.Caution, Text: "legume wet with dew or rain: wait until it is dry", Source: wisconsinLeg},
	bloatTannin: {Hazard: "bloat", Answer: handbook.Clear, Text: "birdsfoot trefoil, sainfoin and crownvetch hold tannin and do not bloat", Source: wisconsinLeg},
	bloatNone:   {Hazard: "bloat", Answer: handbook.Clear, Text: "frothy bloat is of ruminants on legume", Source: practice},

	tetanyLush:      {Hazard: "grass tetany", Answer: handbook.Hold, Text: "cows and ewes in milk on lush cool-season grass or small grain without magnesium: feed it first, from 30 days before green-up, or graze dry stock there", Note: "mineral of 12 to 14 % magnesium (Missouri)", Source: davis},
	tetanyFed:       {Hazard: "grass tetany", Answer: handbook.Caution, Text: "lush grass for animals in milk: see that each takes its magnesium and salt, oldest and freshest cows first", Source: davis},
	tetanyDressed:   {Hazard: "grass tetany", Answer: handbook.Caution, Text: "potash, nitrogen or manure on early spring grass ties up magnesium: none before the flush is over", Source: landefeld},
	tetanyMagnesium: {Hazard: "grass tetany", Answer: handbook.Hold, Text: "less than 0.20 % magnesium of dry matter: not to animals in milk without magnesium, with it with care", Source: ohioTetany, Laboratory: true},
	tetanyRatio:     {Hazard: "grass tetany", Answer: handbook.Hold, Text: "potassium over calcium plus magnesium above 2.2 in equivalents: as for low magnesium", Source: rahman, Laboratory: true},
	tetanyNone:      {Hazard: "grass tetany", Answer: handbook.Clear, Text: "dry stock, growing stock and horses seldom suffer grass tetany", Source: davis},
}

// Thresholds of the grazing rules.
const (
	BloatLegume     = 0.5   // share of the growth
	BloatFrostDays  = 5     // days after a frost
	TetanyMagnesium = 0.002 // of dry matter
	TetanyLimit     = 2.2   // K/(Ca+Mg), equivalents
)
