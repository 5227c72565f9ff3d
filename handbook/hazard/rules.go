package hazard

import "rowen/handbook"

// Rule is one published rule as the gates apply it. Where sources differ the
// strictest stands, and Note says what the others print.
type Rule struct {
	Hazard string // "prussic acid", "nitrate", ...
	Text   string
	Note   string
	Source handbook.Source
	// Risk: the rule speaks of this class of crop alone; NoPrussic: of any.
	Risk PrussicRisk
	// Laboratory: the rule reads a laboratory result, which no simulation has.
	Laboratory bool
}

// ruleIndex is a rule's bit in Verdict.Reasons.
type ruleIndex uint8

const (
	shortSorghum ruleIndex = iota
	middlingSorghum
	shortSudangrass
	middlingSudangrass
	frostNight
	frostWait
	frostWatch
	frostRegrowth
	droughtStunted
	droughtStressed
	droughtRain
	heavyNitrogen
	herbicide
	storedStressed
	storedWait
	hayStressed
	horses
	prussicLab
	prussicLabDoubtful
	missingPrussic
	nitrateDrought
	nitrateRain
	nitrateNitrogen
	nitrateFrost
	nitrateStored
	nitrateLab
	nitrateLabCaution
	missingNitrate
	lotCarcass
	lotSour
	lotSourStrict
	lotWet
	lotWetStrict
	lotSoiled
	lotPunctured
	missingLot
	ruleCount
)

// Thresholds of the rules, in the gates' units.
const (
	SorghumHold      = 24 * 2.54 // cm
	SorghumClear     = 30 * 2.54 // cm, and the least height of stressed or frosted regrowth
	SudangrassHold   = 18 * 2.54 // cm
	SudangrassClear  = 24 * 2.54 // cm
	FrostWait        = 14        // days after any frost without a look at the field
	FrostOpens       = 0.0       // °C, opens the frost clock
	FrostWatch       = 2.2       // °C, go and look
	RainWait         = 7         // days after a rain that ends a drought
	NitrateRainWait  = 14        // days
	SingleNitrogen   = 67.0      // kg N/ha in one dressing (60 lb/ac)
	NitrateNitrogen  = 112.0     // kg N/ha in one dressing (100 lb/ac)
	EnsileWait       = 56        // days in store before feeding where risk was high
	EnsileWaitUsual  = 21        // days in store before feeding otherwise
	EnsileFrostWait  = 7         // days after frost before chopping or wrapping
	PrussicSafe      = 500.0     // ppm HCN of dry matter
	PrussicDangerous = 1000.0    // ppm HCN of dry matter
)

func read(author string, year int, title string) handbook.Source {
	return handbook.Source{Author: author, Year: year, Title: title, Reading: handbook.Read}
}

var (
	nebraska   = read("University of Nebraska Extension", 2024, "prussic acid in sorghums and sudangrass")
	ohio       = read("Ohio State University Extension", 2016, "frost and forage toxicity")
	purdue     = read("Purdue University Extension", 0, "prussic acid after frost, carried by a seed firm")
	ndsu       = read("North Dakota State University Extension", 0, "prussic acid poisoning")
	vermont    = read("University of Vermont Extension", 2019, "summer annual forages")
	seedsman   = read("Pennsylvania and New York seedsman", 0, "sorghum grazing leaflet")
	kansas     = read("Kansas State University, by way of a forage magazine", 0, "prussic acid lasting in stored sorghum")
	clemson    = read("Clemson University Feed & Forage Laboratory", 0, "nitrate in forages")
	pennState  = read("Penn State Extension", 0, "nitrates in drought-stressed corn")
	agronomist = read("seed company agronomist", 0, "nitrate after drought-ending rain")
	plains     = read("commercial laboratory, Great Plains", 0, "nitrate interpretation")
	bravo      = read("Bravo, Rutgers University", 2015, "botulism in forages")
	kentucky   = read("Arnold & Lehmkuhler, University of Kentucky", 0, "botulism in baleage")
	utah       = read("Bagley, Utah State University", 0, "botulism")
	practice   = handbook.Source{Title: "common practice", Reading: handbook.CommonPractice}
	memory     = handbook.Source{Author: "US extension tables (Kansas, Nebraska, Texas)", Title: "prussic acid levels", Reading: handbook.Memory}
)

// rules is indexed by ruleIndex.
var rules = [ruleCount]Rule{
	shortSorghum:       {Hazard: "prussic acid", Text: "sorghum or sorghum-sudangrass below 24 in: keep stock off", Note: "Vermont and Kansas print 18 in; the stricter stands", Source: nebraska, Risk: PrussicSorghum},
	middlingSorghum:    {Hazard: "prussic acid", Text: "sorghum or sorghum-sudangrass from 24 to 30 in: with care, hungry stock fed first, and never after stress", Note: "seedsmen ask 24 to 30 in", Source: seedsman, Risk: PrussicSorghum},
	shortSudangrass:    {Hazard: "prussic acid", Text: "sudangrass below 18 in: keep stock off", Note: "Nebraska, Vermont and Kansas agree", Source: nebraska, Risk: PrussicSudangrass},
	middlingSudangrass: {Hazard: "prussic acid", Text: "sudangrass from 18 to 24 in: with care", Source: vermont, Risk: PrussicSudangrass},
	frostNight:         {Hazard: "prussic acid", Text: "frost last night: keep stock off, even for a light frost", Source: ohio},
	frostWait:          {Hazard: "prussic acid", Text: "less than 14 days after a frost, the clock starting again at each: keep stock off", Note: "printed waits run from 3 to 14 days; only a look at the field tells a kill, so the longest stands", Source: purdue},
	frostWatch:         {Hazard: "prussic acid", Text: "a night at or below 36 °F: low ground may have frozen, go and look", Source: practice},
	frostRegrowth:      {Hazard: "prussic acid", Text: "new shoots after frost below 30 in: keep stock off", Note: "printed heights run from 15 to 30 in", Source: seedsman},
	droughtStunted:     {Hazard: "prussic acid", Text: "drought-stunted below 30 in: keep stock off", Note: "rule read in general terms; height from the stressed regrowth rule", Source: vermont},
	droughtStressed:    {Hazard: "prussic acid", Text: "drought-stressed at full height: with care, test first", Source: practice},
	droughtRain:        {Hazard: "prussic acid", Text: "less than 7 days after rain on drought: new growth is dangerous, keep stock off", Note: "4 to 7 days are printed", Source: practice},
	heavyNitrogen:      {Hazard: "prussic acid", Text: "more than 60 lb N/ac in one dressing raises it", Note: "70 lb in the south-east", Source: ndsu},
	herbicide:          {Hazard: "prussic acid", Text: "2,4-D raises it for weeks: the label and a test decide", Source: ndsu},
	storedStressed:     {Hazard: "prussic acid", Text: "put up from frosted, short or stressed growth: test before feeding", Note: "in one Kansas study stored sorghum stayed dangerous all winter", Source: kansas},
	storedWait:         {Hazard: "prussic acid", Text: "still in its wait: 8 weeks in store where risk was high, 3 otherwise", Note: "3 to 8 weeks are printed", Source: seedsman},
	hayStressed:        {Hazard: "prussic acid", Text: "hay from stressed growth is not surely safe: test", Note: "most sources call well-cured hay safe", Source: kansas},
	horses:             {Hazard: "horses", Text: "sorghums and sudangrass are never fed to horses: cystitis", Source: practice},
	prussicLab:         {Hazard: "prussic acid", Text: "laboratory: above 1,000 ppm HCN of dry matter, dangerous", Source: memory, Laboratory: true},
	prussicLabDoubtful: {Hazard: "prussic acid", Text: "laboratory: 500 to 1,000 ppm HCN of dry matter, doubtful; not the only feed", Source: memory, Laboratory: true},
	missingPrussic:     {Hazard: "prussic acid", Text: "a fact that matters is missing: keep stock off until it is known", Source: practice},
	nitrateDrought:     {Hazard: "nitrate", Text: "drought now: nitrate gathers in the lower stem; graze high, test before cutting low", Source: practice},
	nitrateRain:        {Hazard: "nitrate", Text: "less than 14 days after rain on drought: wait, then test", Note: "3 to 5 days (Penn State, Ohio State), 10 to 14 (seed firm); the longest stands", Source: agronomist},
	nitrateNitrogen:    {Hazard: "nitrate", Text: "more than 100 lb N/ac in one dressing within six weeks: test", Source: practice},
	nitrateFrost:       {Hazard: "nitrate", Text: "frost within a week stops growth while roots take up nitrate: test", Source: practice},
	nitrateStored:      {Hazard: "nitrate", Text: "ensiling lowers nitrate by 30 to 60 %, drying not at all: test before feeding, no credit without a test", Source: pennState},
	nitrateLab:         {Hazard: "nitrate", Text: "laboratory: above the strictest printed limit for this class of animal: do not feed", Source: clemson, Laboratory: true},
	nitrateLabCaution:  {Hazard: "nitrate", Text: "laboratory: feed only as a share of the ration", Source: plains, Laboratory: true},
	missingNitrate:     {Hazard: "nitrate", Text: "a fact that matters is missing: keep stock off until it is known", Source: practice},
	lotCarcass:         {Hazard: "botulism", Text: "a carcass was baled or ensiled: feed none of the lot to any animal", Source: practice},
	lotSour:            {Hazard: "botulism", Text: "wrapped forage above pH 4.5: clostridia are not stopped; look at each bale, none that smells or is mouldy", Source: bravo},
	lotSourStrict:      {Hazard: "botulism", Text: "wrapped forage above pH 4.5: none to horses or sheep; above 5 and wetter than 65 %, none to any", Note: "90 calves were lost on oat bales of pH 6.8 (Kentucky)", Source: kentucky},
	lotWet:             {Hazard: "botulism", Text: "wrapped wetter than 65 %: test the pH before feeding", Note: "70 % is printed as the limit by one source; the stricter stands", Source: kentucky},
	lotWetStrict:       {Hazard: "listeria", Text: "wrapped wetter than 65 %: none to horses or sheep without a pH below 4.5", Source: bravo},
	lotSoiled:          {Hazard: "listeria", Text: "soil in the bale carries listeria and spores: none to horses or sheep, others with care", Source: practice},
	lotPunctured:       {Hazard: "botulism", Text: "the film was holed: what lies round the hole is thrown away; none of that bale to horses or sheep", Source: utah},
	missingLot:         {Hazard: "botulism", Text: "a fact that matters is missing: keep this lot from horses and sheep until it is known", Source: practice},
}

// Rules is the whole table, for the page that a veterinarian audits.
//
// Source: each rule cites its own.
func Rules() []Rule { return append([]Rule(nil), rules[:]...) }

// Standing are cautions that no simulation can lift; they are printed with every
// plan they concern.
//
// Source: each rule cites its own.
func Standing() []Rule {
	return []Rule{
		{Hazard: "silo gas", Text: "stay out of a freshly filled silo for three weeks; yellow-brown gas with a smell of bleach, heavier than air and sometimes invisible, kills; sickness can come 12 hours later. If entry cannot wait: blower running, self-contained air, lifeline, a second person", Note: "waits of 2 to 6 weeks are printed", Source: read("Penn State Extension; Ontario and Alberta agriculture", 0, "silo gas")},
		{Hazard: "heating hay", Text: "check hay for six weeks after baling; from 150 °F tell the fire service before any bale is moved, from 160 °F move none without it on site", Note: "the strictest of four extension lists", Source: read("Penn State, Cornell, Ohio State and Mississippi State extension", 0, "hay temperature lists")},
		{Hazard: "brassicas", Text: "bring in over a week or more, never the whole diet: at most two thirds; watch for bloat, goitre, polioencephalomalacia and rape scald", Note: "Penn State prints three quarters", Source: practice},
		{Hazard: "bloat", Text: "legume-rich and frosted legume growth can bloat: never turn hungry animals in; wait 3 to 5 days after a killing frost", Source: practice},
		{Hazard: "nitrate", Text: "adapt animals over one to two weeks; count the nitrate of water and every feed together", Source: read("Manitoba Agriculture", 0, "nitrate")},
		{Hazard: "labels", Text: "herbicide plant-back and grazing intervals: the label is the law", Source: practice},
	}
}

// fact names are indexed by the bit of Known and Verdict.Missing.
var factNames = [...]string{
	"height", "days since the last frost", "whether it is drought-stressed", "days since the rain that ended the drought",
	"nitrogen given", "the basis of the laboratory result (wet or dry)", "the dry matter of the sample", "whether the animals are pregnant",
	"the lot's pH", "the lot's moisture at wrapping",
}

// Known tells which facts are known; the bits index factNames.
type Known uint16

// The facts.
const (
	KnowHeight Known = 1 << iota
	KnowFrost
	KnowDrought
	KnowRain
	KnowNitrogen
	KnowBasis
	KnowDryMatter
	KnowPregnant
	KnowLotPH
	KnowLotMoisture
)

// Words puts a verdict into words at the edge.
//
// Source: the rule table, Rules.
func Words(name string, v Verdict) handbook.Gate {
	g := handbook.Gate{Name: name, Answer: v.Answer}
	for i := range rules {
		if v.Reasons&(1<<i) != 0 {
			g.Reasons = append(g.Reasons, handbook.Reason{Text: rules[i].Text, Source: rules[i].Source})
		}
	}
	for i, f := range factNames {
		if v.Missing&(1<<i) != 0 {
			g.Missing = append(g.Missing, f)
		}
	}
	return g
}
