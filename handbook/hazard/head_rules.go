package hazard

import "rowen/handbook"

// headRules are the rules of ergot and of plants that sensitise to light.
var headRules = []Rule{
	ergotLeaf:  {Hazard: "ergot", Answer: handbook.Clear, Text: "ergot sits in seed heads alone: growth without heads is free of it", Source: iowaErgot},
	ergotLook:  {Hazard: "ergot", Answer: handbook.Hold, Text: "grass or small grain in head and not looked at: look through the heads for dark bodies like mouse droppings", Source: missouriErgot},
	ergotFound: {Hazard: "ergot", Answer: handbook.Hold, Text: "ergot found, above 0.1 % of the dry matter or nobody knows how much: animals off, clip the heads; hay of it keeps at least half the poison for a year", Source: missouriErgot},
	ergotClass: {Hazard: "ergot", Answer: handbook.Hold, Text: "ergot found at all: none to pregnant or milking animals or horses", Note: "horses are printed as affected, without a limit", Source: saskErgot},
	ergotTrace: {Hazard: "ergot", Answer: handbook.Caution, Text: "ergot up to 0.1 % of the dry matter: thin with clean feed, less in heat; ask the veterinarian", Source: saskErgot},

	lightUnknown:       {Hazard: "photosensitisation", Answer: handbook.Hold, Text: "find out whether buckwheat, alsike, kleingrass, rape, kale or switchgrass stands in it", Source: practice},
	lightBuckwheat:     {Hazard: "photosensitisation", Answer: handbook.Hold, Text: "more than a quarter buckwheat, green or dry: pale-skinned animals off", Note: "the quarter is printed for straw in rations", Source: lardy},
	lightBuckwheatSome: {Hazard: "photosensitisation", Answer: handbook.Caution, Text: "some buckwheat: watch pale skin; out of the sun at the first redness, and off it", Source: colorado},
	lightAlsike:        {Hazard: "photosensitisation", Answer: handbook.Hold, Text: "alsike clover, pasture or hay: none to horses (big liver); others with care", Note: "5 % of the feed is printed as enough", Source: columbia},
	lightKlein:         {Hazard: "photosensitisation", Answer: handbook.Hold, Text: "kleingrass: none to sheep, goats or horses; cattle with care", Note: "printed of sheep and horses; goats are put with sheep", Source: klein},
	lightRape:          {Hazard: "photosensitisation", Answer: handbook.Caution, Text: "rape and kale: lambs and pale skin scald, most on unripe growth; shade, and off it at the first swelling", Source: districtRape},
	lightSwitchgrass:   {Hazard: "photosensitisation", Answer: handbook.Caution, Text: "switchgrass, hay too: sheep, goats and horses can be sensitised; stop at the first sign", Source: undersander},
}

// Thresholds of the rules.
const (
	ErgotShare     = 0.001 // of dry matter, by weight
	BuckwheatShare = 0.25  // of the feed
)
