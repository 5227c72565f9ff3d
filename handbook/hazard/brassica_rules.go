package hazard

import "rowen/handbook"

// brassicaRules are the rules of the disorders of brassicas.
var brassicaRules = []Rule{
	brassicaShare:    {Hazard: "brassicas", Answer: handbook.Hold, Text: "more than two thirds of the ration", Note: "three quarters in Penn State", Source: kentuckyRape},
	brassicaMilk:     {Hazard: "brassicas", Answer: handbook.Caution, Text: "animals in milk: no more than a third, eaten right after milking and 4 hours before the next, or the milk is tainted", Source: cornellRape},
	brassicaAdapt:    {Hazard: "brassicas", Answer: handbook.Hold, Text: "in the first 14 days an hour or two a day, no more than a third of the ration; more only after", Note: "5 days to two weeks are printed; the third is common practice", Source: cornellRape},
	brassicaHungry:   {Hazard: "brassicas", Answer: handbook.Hold, Text: "never turn hungry animals in: bloat, acidosis of the rumen, nitrate", Source: districtNo},
	brassicaGreen:    {Hazard: "brassicas", Answer: handbook.Hold, Text: "unripe rape and kale scald the skin and upset: wait for the days the seed house prints", Source: cornellRape},
	brassicaFlower:   {Hazard: "brassicas", Answer: handbook.Hold, Text: "bolted or in flower: SMCO breaks the blood, red water; do not graze", Source: kiwiRape},
	brassicaRoughage: {Hazard: "brassicas", Answer: handbook.Caution, Text: "hay or straw before them at all times; little fibre brings bloat and acidosis of the rumen", Source: districtNo},
	brassicaSulphur:  {Hazard: "brassicas", Answer: handbook.Caution, Text: "much sulphur in feed, soil or water: polioencephalomalacia, blindness; count all sources, call the veterinarian at the first sign", Source: districtRape},
	brassicaGoitre:   {Hazard: "brassicas", Answer: handbook.Caution, Text: "pregnant and young animals: goitre; iodine by the veterinarian's word", Source: practice},
	brassicaHorses:   {Hazard: "brassicas", Answer: handbook.Caution, Text: "horses: little is published; ask the veterinarian first", Source: practice},
	brassicaWatch:    {Hazard: "brassicas", Answer: handbook.Clear, Text: "watch for red urine, swollen ears and muzzle, blindness, hard breath; nitrate has its own gate", Source: kentuckyRape},
}

// Thresholds of the brassica rules.
const (
	BrassicaShare = 2.0 / 3 // of the ration's dry matter
	BrassicaMilk  = 1.0 / 3 // of the ration's dry matter, animals in milk or new to it
	BrassicaDays  = 14      // days of getting used to it
)
