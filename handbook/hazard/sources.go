package hazard

import "rowen/handbook"

func read(author string, year int, title string) handbook.Source {
	return handbook.Source{Author: author, Year: year, Title: title, Reading: handbook.Read}
}

func remembered(author string, year int, title string) handbook.Source {
	return handbook.Source{Author: author, Year: year, Title: title, Reading: handbook.Memory}
}

var (
	practice = handbook.Source{Title: "common practice", Reading: handbook.CommonPractice}

	// Prussic acid.
	nebraska  = read("University of Nebraska Extension", 2024, "prussic acid in sorghums and sudangrass")
	ohio      = read("Ohio State University Extension", 2016, "frost and forage toxicity")
	purdue    = read("Purdue University Extension", 0, "prussic acid after frost, carried by a seed firm")
	ndsu      = read("North Dakota State University Extension", 0, "prussic acid poisoning")
	vermont   = read("University of Vermont Extension", 2019, "summer annual forages")
	seedsman  = read("Pennsylvania and New York seedsman", 0, "sorghum grazing leaflet")
	kansas    = read("Kansas State University, by way of a forage magazine", 0, "prussic acid lasting in stored sorghum")
	kansasNow = read("Kansas State University Extension, by the Sorghum Checkoff", 0, "prussic acid in sorghum following a hard freeze")
	kansasAge = read("Kansas State University Extension", 0, "managing forages to minimize prussic acid poisoning")
	texas     = read("Corriher & Redmon, Texas A&M AgriLife, by way of a forage magazine", 0, "prussic acid alert")
	wetLab    = read("commercial laboratory, Nebraska", 0, "prussic acid, wet basis")
	ohioTest  = read("Sulc, Ohio State University Extension", 2014, "prussic acid testing in forages")
	iowaFrost = read("cattle magazine from extension advice", 0, "danger to cattle from frosted forage")
	newMexico = read("Turner, Marsalis & Creamer, New Mexico State University, Guide B-720", 0, "sorghums and horses")
	memory    = remembered("US extension tables (Kansas, Nebraska, Texas)", 0, "prussic acid levels")

	// Nitrate.
	clemson    = read("Clemson University Feed & Forage Laboratory", 0, "nitrate in forages")
	pennState  = read("Penn State Extension", 0, "nitrates in drought-stressed corn")
	agronomist = read("seed company agronomist", 0, "nitrate after drought-ending rain")
	plains     = read("commercial laboratory, Great Plains", 0, "nitrate interpretation")
	missouri   = read("Roberts, University of Missouri Extension", 0, "warm-season annuals, nitrate and prussic acid")
	stephen    = read("Texas A&M AgriLife, Stephenville", 0, "nitrate accumulation")
	montanaNO3 = read("Cash, Funston, King & Wichman, Montana State University Extension", 0, "nitrate toxicity of Montana forages")
	logan      = read("USDA ARS Poisonous Plant Research, Logan", 0, "nitrate-accumulating plants")
	districtNo = read("Johnstone, district veterinarian, New South Wales", 2020, "grazing brassicas")

	// Wrapped lots.
	bravo    = read("Bravo, Rutgers University", 2015, "botulism in forages")
	kentucky = read("Arnold & Lehmkuhler, University of Kentucky", 0, "botulism in baleage")
	utah     = read("Bagley, Utah State University", 0, "botulism")

	// Disorders of grazing.
	kentuckyBloat = read("Lehmkuhler, University of Kentucky Extension", 0, "managing legumes in spring pasture: bloat")
	southDakota   = read("South Dakota State University Extension, by way of a forage magazine", 0, "bloat when alfalfa is grazed in fall")
	wisconsinLeg  = read("Cosgrove, Jeranyama, Meyer, Peterson & Undersander", 0, "alfalfa is not bloat safe after a killing frost")
	kentuckyRape  = read("Arnold & Lehmkuhler, University of Kentucky, ID-223", 2013, "brassicas: be aware of the animal health risks")
	cornellRape   = read("Benson & Soberon, Cornell Cooperative Extension", 0, "brassica feeding recommendations")
	districtRape  = read("Braine, district veterinarian, New South Wales", 2021, "grazing brassicas and livestock health")
	kiwiRape      = read("New Zealand seed house", 0, "brassica reference manual")
	ohioTetany    = read("Martin, Ohio State University Extension", 2024, "grass tetany and magnesium deficiency")
	davis         = read("Davis, University of Missouri Extension", 2022, "grass tetany in lush spring forage")
	landefeld     = read("Landefeld, Ohio State University Extension", 0, "good management helps reduce grass tetany")
	rahman        = read("Rahman et al., Open Access Library Journal 9", 2022, "forage nutrients and hypomagnesemia")
	missouriErgot = read("Roberts & Evans, University of Missouri Extension", 2014, "ergot in pasture grasses")
	saskErgot     = read("Doig, Saskatchewan Agriculture", 0, "ergot in cattle feed")
	iowaErgot     = read("Friskop, Stoetzer, Mueller, Telenko & Johnson", 2019, "ergot: six things to be mindful of")
	colorado      = read("Colorado State University, guide to poisonous plants", 0, "buckwheat")
	lardy         = read("Lardy et al., by way of Feedipedia", 2009, "buckwheat straw in rations")
	columbia      = read("British Columbia Ministry of Agriculture", 0, "alsike clover toxicity in horses")
	klein         = read("Texas A&M AgriLife, Stephenville", 0, "kleingrass: photosensitization")
	undersander   = read("Undersander, University of Wisconsin Extension", 0, "photosensitization from switchgrass hay")

	// The field.
	laurenson     = read("Laurenson & Houlbrooke, New Zealand Journal of Agricultural Research 59:444", 2016, "soil water thresholds for cattle treading")
	workability   = remembered("Rounsevell & Jones; Thomasson", 1993, "machinery work-day thresholds near field capacity")
	farney        = read("Farney, Kansas State University", 2020, "teff for forage and grazing")
	teffSeed      = read("teff seed house", 0, "harvesting teff")
	kentuckyFall  = read("University of Kentucky, grazing alfalfa in fall and winter", 0, "six weeks before the killing freeze")
	kentuckyGraze = read("University of Kentucky, ID-143", 0, "rotational grazing: start and end heights")

	// People.
	ontarioSilo = read("Ontario agriculture, field crop news", 2025, "silo gas")
	township    = read("Ontario township, farm safety spotlight", 0, "silo gas: do not enter for 4 to 6 weeks")
	griswold    = read("Griswold, Penn State Extension", 0, "silage safety: NO2 limits")
	miface      = read("Michigan fatality assessment 02MI143", 2002, "oxygen-limiting silo three days after filling")
	hotHay      = read("Penn State, Cornell, Ohio State and Mississippi State extension", 0, "hay temperature lists")
	cornellHay  = read("Cornell University safety list", 0, "hay fires")
	hallHay     = read("Hall, Penn State Extension", 0, "hay temperatures and actions")
	insurer     = read("farm insurer's danger signs", 0, "wet hay")
	niosh       = read("NIOSH fatality assessments, Minnesota and Kentucky", 0, "entangled in a large round baler")
	bales       = read("National Ag Safety Database, Iowa", 0, "risks around big round bales")
)
