package hazard

import "rowen/handbook"

// peopleRules are the rules that keep those who work alive. The fire service,
// the insurer, local rules and trained rescuers go before them.
var peopleRules = []Rule{
	siloWait:  {Hazard: "silo gas", Kind: People, Answer: handbook.Hold, Text: "nobody enters within 42 days of the last load; whoever must is trained, with self-contained air, lifeline, blower running and a second person outside", Note: "2, 3 and 4 to 6 weeks are printed; a filter mask is no protection", Source: township},
	siloSpace: {Hazard: "silo gas", Kind: People, Answer: handbook.Hold, Text: "a silo is a confined space in any month: blower for 30 minutes before and during, air tested, lifeline on", Source: miface},
	siloNear:  {Hazard: "silo gas", Kind: People, Answer: handbook.Caution, Text: "chute and silo room within 42 days: doors and windows open, no children or visitors; gas flows down, smells of bleach and cannot always be seen", Source: ontarioSilo},
	siloAir:   {Hazard: "silo gas", Kind: People, Answer: handbook.Hold, Text: "air with more than 1 ppm NO2 or less than 19.5 % oxygen, or not tested: out; whoever has breathed it sees a doctor at once", Note: "5 ppm is OSHA's ceiling, 1 ppm the advice; sickness can come 12 hours later", Source: griswold},
	siloAlone: {Hazard: "silo gas", Kind: People, Answer: handbook.Hold, Text: "never alone, and never in after a fallen man without self-contained air: call rescue", Source: township},

	hayProbe:   {Hazard: "heating hay", Kind: People, Answer: handbook.Hold, Text: "temperature not known: probe from a plank with a second person there, before anyone works on or moves the stack", Source: practice},
	hayNormal:  {Hazard: "heating hay", Kind: People, Answer: handbook.Clear, Text: "below 120 °F: normal sweating; probe again daily for six weeks", Source: hotHay},
	hayWarm:    {Hazard: "heating hay", Kind: People, Answer: handbook.Caution, Text: "120 to 140 °F: probe daily; nobody on the stack", Source: cornellHay},
	hayTwice:   {Hazard: "heating hay", Kind: People, Answer: handbook.Caution, Text: "140 to 150 °F: probe twice a day; nobody on the stack", Source: cornellHay},
	hayMove:    {Hazard: "heating hay", Kind: People, Answer: handbook.Hold, Text: "150 to 160 °F: probe every two hours; tell the fire service before any bale is moved, wet the bales first", Source: hallHay},
	hayFire:    {Hazard: "heating hay", Kind: People, Answer: handbook.Hold, Text: "160 to 175 °F: call the fire service; move none without it on site; nobody on the stack", Source: cornellHay},
	hayPockets: {Hazard: "heating hay", Kind: People, Answer: handbook.Hold, Text: "175 °F and above: pockets of fire; stop fans and drafts, everybody out, the fire service opens it", Note: "185 to 212 °F is printed as the point of bursting into flame", Source: insurer},

	balerRunning: {Hazard: "balers", Kind: People, Answer: handbook.Hold, Text: "baler, wrapper: nobody reaches in or steps near until the PTO is out, the engine off, the key in the pocket and all has stopped", Source: niosh},
	balerAlone:   {Hazard: "balers", Kind: People, Answer: handbook.Caution, Text: "working alone: someone knows the field and the hour of return", Source: niosh},
	balerSlope:   {Hazard: "balers", Kind: People, Answer: handbook.Caution, Text: "round bales roll: drop them across the slope, carry them low and in a grapple, nobody below", Source: bales},
}

// Thresholds of the rules of people.
const (
	SiloDays   = 42    // days after the last load
	SiloNO2    = 1.0   // ppm
	SiloOxygen = 0.195 // of the air, least
)
